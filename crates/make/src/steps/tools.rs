//! Tools in words, with their size.

use crate::making::Piece;
use loomdeck_model::part_type::{Fitting, Head, Thread};
use loomdeck_model::units::{MM_PER_INCH, three_digits};
use loomdeck_space::access::Tool;
use loomdeck_space::hardware;

/// The tools that pieces of hardware ask for, with how they are reached where that is known.
pub fn of_pieces<'p>(pieces: impl Iterator<Item = &'p Piece>, reached_with: &[Tool]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for piece in pieces {
        let tool = match piece {
            Piece::Screw { thread, head, .. } => Some(driver(*thread, *head)),
            Piece::Nut { thread } => Some(nut(*thread, reached_with)),
            Piece::Standoff { thread, .. } => Some(spanner(*thread, "open spanner")),
            Piece::WoodScrew { .. } => Some("screwdriver for the wood screws".to_owned()),
            Piece::Insert { .. } => Some("soldering iron with a tip for inserts, or a press".to_owned()),
            _ => None,
        };
        if let Some(tool) = tool.filter(|t| !all.contains(t)) {
            all.push(tool);
        }
    }
    all
}

/// The tools of a move, without sizes.
pub const fn word(tool: Tool) -> &'static str {
    match tool {
        Tool::Screwdriver => "screwdriver",
        Tool::HexKey => "hex key",
        Tool::NutDriver => "nut driver",
        Tool::OpenSpanner => "open spanner",
        Tool::FusePuller => "fuse puller",
        Tool::Fingers | Tool::Card => "fingers",
        Tool::UsbPlug => "USB plug",
        Tool::TrimTool => "trimming tool",
        Tool::Other => "the part's own tool",
    }
}

/// The tool that makes a wire's end at a terminal; `None` for ends that are pushed on or in.
pub fn of_fitting(fitting: Fitting, reached_with: &[Tool]) -> Option<String> {
    match fitting {
        Fitting::ScrewClamp => Some("small screwdriver for clamps".to_owned()),
        Fitting::Stud(thread) => Some(nut(thread, reached_with)),
        _ => None,
    }
}

fn driver(thread: Thread, head: Head) -> String {
    match head {
        Head::Socket => match hex_key(thread) {
            Some(size) => format!("hex key {size}\u{2009}mm"),
            None => format!("hex key for {} screws", thread.word()),
        },
        Head::Pan | Head::Countersunk => match cross(thread) {
            Some(n) => format!("cross-head screwdriver no. {n}"),
            None => format!("screwdriver for {} screws", thread.word()),
        },
    }
}

/// Hex key of a socket head (ISO 4762).
const fn hex_key(thread: Thread) -> Option<f64> {
    Some(match thread {
        Thread::M2 => 1.5,
        Thread::M2_5 => 2.0,
        Thread::M3 => 2.5,
        Thread::M4 => 3.0,
        Thread::M5 => 4.0,
        Thread::M6 => 5.0,
        Thread::M8 => 6.0,
        Thread::M10 => 8.0,
        _ => return None,
    })
}

/// Size of a cross recess (ISO 4757, ASME B18.6.3; from memory).
const fn cross(thread: Thread) -> Option<u32> {
    Some(match thread {
        Thread::M2 => 0,
        Thread::M2_5 | Thread::M3 | Thread::No4 => 1,
        Thread::M4 | Thread::M5 | Thread::No6 | Thread::No8 | Thread::No10 => 2,
        Thread::M6 => 3,
        Thread::M8 | Thread::M10 => 4,
    })
}

fn nut(thread: Thread, reached_with: &[Tool]) -> String {
    let driver = reached_with.contains(&Tool::NutDriver);
    let open = reached_with.contains(&Tool::OpenSpanner);
    match (driver, open) {
        (true, false) => spanner(thread, "nut driver"),
        (false, true) => spanner(thread, "open spanner"),
        _ => spanner(thread, "nut driver or spanner"),
    }
}

/// A spanner by the width across the flats of the thread's nut.
fn spanner(thread: Thread, tool: &str) -> String {
    let flats = hardware::nut(thread).across_flats.0;
    if thread.is_inch() {
        let parts = (flats / MM_PER_INCH * 32.0).round() as u32;
        format!("{tool} {}", crate::bit::fraction_word(parts, 32))
    } else {
        format!("{tool} {}\u{2009}mm", three_digits(flats))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use loomdeck_model::units::Millimetres;

    #[test]
    fn tools_have_the_sizes_of_the_standards() {
        // ISO 4762: keys of M3 to M6 are 2.5, 3, 4, 5 mm; ISO 4032: M4 nuts are 7 mm across flats.
        let length = Millimetres(12.0);
        let screw = Piece::Screw { thread: Thread::M5, head: Head::Socket, length };
        let nut = Piece::Nut { thread: Thread::M4 };
        let tools = of_pieces([screw, nut].iter(), &[Tool::OpenSpanner]);
        assert_eq!(tools, ["hex key 4\u{2009}mm", "open spanner 7\u{2009}mm"]);
        let inch = of_pieces([Piece::Nut { thread: Thread::No8 }].iter(), &[]);
        assert_eq!(inch, ["nut driver or spanner 11/32\u{2009}in"]);
    }
}
