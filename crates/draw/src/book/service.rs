//! How the board comes apart again: part by part, and as a whole.

use super::data::Table;
use crate::words;
use loomdeck_model::units::three_digits;
use loomdeck_model::{LengthUnit, Robot};
use loomdeck_space::Owner;
use loomdeck_space::access::Tool;
use loomdeck_space::order::{Order, Service};

/// The name of a part or plug.
pub fn owner(robot: &Robot, owner: Owner) -> &str {
    match owner {
        Owner::Part(p) => &robot.parts[p.0].name,
        Owner::Plug(p) => &robot.plugs[p.0].name,
    }
}

/// Tools, each once, in words.
pub fn tools(tools: &[Tool]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for word in tools.iter().map(|t| tool(*t)) {
        if !names.contains(&word) {
            names.push(word);
        }
    }
    names.join(", ")
}

const fn tool(tool: Tool) -> &'static str {
    match tool {
        Tool::Screwdriver => "screwdriver",
        Tool::HexKey => "hex key",
        Tool::NutDriver => "nut driver",
        Tool::OpenSpanner => "open spanner",
        Tool::FusePuller => "fuse puller",
        Tool::Fingers => "fingers",
        Tool::Card => "card",
        Tool::UsbPlug => "USB plug",
        Tool::TrimTool => "trimming tool",
        Tool::Other => "its own tool",
    }
}

/// What it takes to remove each part.
pub fn table(robot: &Robot, order: Option<&Order>) -> Table {
    let heads = [
        "***part",
        "face",
        "****what comes off first",
        "***plugs to pull",
        ">wires",
        ">screws",
        "***tools",
    ];
    let mut t = Table::new("Service", &heads, "Nothing stands on the board.");
    for s in order.into_iter().flat_map(|o| &o.service) {
        t.row([
            owner(robot, s.owner).to_owned(),
            s.face.word().to_owned(),
            first(robot, s),
            s.plugs.iter().map(|p| robot.plugs[p.0].name.as_str()).collect::<Vec<_>>().join(", "),
            s.wires.len().to_string(),
            s.fasteners.to_string(),
            tools(&s.tools),
        ]);
    }
    t
}

fn first(robot: &Robot, s: &Service) -> String {
    if s.impossible {
        return "cannot be removed: see the findings".to_owned();
    }
    let others: Vec<&str> =
        s.remove.iter().filter(|o| **o != s.owner).map(|o| owner(robot, *o)).collect();
    let mut words = if others.is_empty() { String::new() } else { others.join(", ") };
    if s.board_out {
        words = if words.is_empty() { "board out".to_owned() } else { format!("board out; {words}") };
    }
    if !s.exact {
        words.push_str(&format!(" (at least {} in any case)", s.lower_bound));
    }
    words
}

/// How the table is read, and what of it matters most.
pub fn notes(robot: &Robot, order: &Order) -> Vec<String> {
    if order.service.is_empty() {
        return Vec::new();
    }
    let mut notes = vec![
        "What has to come off before a part does, and what it takes. “Board out”: something is undone on the \
         other face, so the board comes out of the body first. Batteries are unplugged before anything."
            .to_owned(),
    ];
    let often: Vec<String> = order
        .service
        .iter()
        .filter_map(|s| s.often.as_ref().map(|o| format!("{} ({o})", owner(robot, s.owner))))
        .collect();
    if !often.is_empty() {
        notes.push(format!("Worked on most often: {}.", often.join(", ")));
    }
    if order.service.iter().any(|s| !s.exact) {
        notes.push(
            "Where a number stands in brackets, the list is the shortest that was found; no list is shorter than \
             that number of parts."
                .to_owned(),
        );
    }
    notes
}

/// A small length: with the digits that are known, not with those of a ruler.
pub fn fine(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm if mm.abs() < 10.0 => {
            format!("{}\u{2009}mm", three_digits((mm * 100.0).round() / 100.0))
        }
        LengthUnit::Mm => words::length(mm, unit),
        LengthUnit::Inch => {
            let inches = mm / loomdeck_model::units::MM_PER_INCH;
            format!("{}\u{2009}in", three_digits((inches * 1000.0).round() / 1000.0))
        }
    }
}
