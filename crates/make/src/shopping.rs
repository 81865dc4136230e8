//! What to buy, with spares.

use crate::making::{Cut, Hole, HoleShape, Making, Piece, ShoppingLine, Spool};
use crate::table::exact;
use loomdeck_model::part_type::{FixingStyle, Thread};
use loomdeck_model::units::{Millimetres, three_digits};
use loomdeck_model::wire::{Colour, EndKind, Gauge, Insulation};
use loomdeck_model::{Robot, Subject, TypeId};
use loomdeck_space::Geometry;
use std::collections::BTreeMap;

/// How many more than needed, by kind of thing. All common practice.
#[derive(Clone, Copy)]
enum Spare {
    /// Nothing is lost in making.
    None,
    /// One for each two, two at least: a fuse opens at the show, not at home.
    Fuses,
    /// A tenth, two at least: screws fall into the robot.
    Fasteners,
    /// A fifth, three at least: some crimps fail the pull test.
    Ends,
}

impl Spare {
    fn buy(self, needed: usize) -> usize {
        needed
            + match self {
                Self::None => 0,
                Self::Fuses => needed.div_ceil(2).max(2),
                Self::Fasteners => needed.div_ceil(10).max(2),
                Self::Ends => needed.div_ceil(5).max(3),
            }
    }
    const fn words(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Fuses => "with half as many again to carry along, two at least",
            Self::Fasteners => "with a tenth more, two at least",
            Self::Ends => "with a fifth more, three at least",
        }
    }
}

/// The whole list, by group.
pub fn list(robot: &Robot, geometry: &Geometry, making: &Making) -> Vec<ShoppingLine> {
    let mut lines = Vec::new();
    lines.extend(parts(robot));
    lines.extend(plugs(robot));
    lines.extend(fuses(robot));
    lines.extend(fasteners(robot, making));
    lines.extend(grommets(robot, making));
    lines.extend(wire(&making.cuts));
    lines.extend(cables(robot, making));
    lines.extend(ends(&making.cuts));
    lines.extend(ties(geometry));
    lines.extend(labels(making));
    lines
}

fn pieces(group: &'static str, item: String, needed: usize, spare: Spare, note: &str) -> ShoppingLine {
    let note = match (note, spare.words()) {
        (n, "") => n.to_owned(),
        ("", s) => s.to_owned(),
        (n, s) => format!("{n}; {s}"),
    };
    ShoppingLine {
        group,
        item,
        needed: needed as f64,
        buy: spare.buy(needed) as f64,
        unit: "pieces",
        note,
    }
}

/// Counts things in the order in which they first occur.
fn count<K: PartialEq>(things: impl Iterator<Item = K>) -> Vec<(K, usize)> {
    let mut counted: Vec<(K, usize)> = Vec::new();
    for thing in things {
        match counted.iter_mut().find(|(k, _)| *k == thing) {
            Some((_, n)) => *n += 1,
            None => counted.push((thing, 1)),
        }
    }
    counted
}

fn by_type(types: impl Iterator<Item = TypeId>) -> BTreeMap<TypeId, usize> {
    let mut counted = BTreeMap::new();
    for t in types {
        *counted.entry(t).or_insert(0) += 1;
    }
    counted
}

fn parts(robot: &Robot) -> Vec<ShoppingLine> {
    by_type(robot.parts.iter().map(|p| p.kind))
        .into_iter()
        .map(|(t, n)| {
            let who: Vec<&str> =
                robot.parts.iter().filter(|p| p.kind == t).map(|p| p.name.as_str()).collect();
            pieces("parts", robot.types[t.0].title.clone(), n, Spare::None, &who.join(", "))
        })
        .collect()
}

fn plugs(robot: &Robot) -> Vec<ShoppingLine> {
    by_type(robot.plugs.iter().map(|p| p.family))
        .into_iter()
        .map(|(t, n)| {
            let who: Vec<&str> =
                robot.plugs.iter().filter(|p| p.family == t).map(|p| p.name.as_str()).collect();
            let item = format!("{}, both halves", robot.types[t.0].title);
            pieces("plugs", item, n, Spare::None, &who.join(", "))
        })
        .collect()
}

fn fuses(robot: &Robot) -> Vec<ShoppingLine> {
    by_type(robot.parts.iter().flat_map(|p| p.fuses.values().copied()))
        .into_iter()
        .map(|(t, n)| pieces("fuses", robot.types[t.0].title.clone(), n, Spare::Fuses, ""))
        .collect()
}

fn fasteners(robot: &Robot, making: &Making) -> Vec<ShoppingLine> {
    let all = making.fasteners.iter().flat_map(|s| s.pieces.iter().cloned());
    let mut counted = count(all.filter(|p| !matches!(p, Piece::Printed { .. } | Piece::AdhesiveMount)));
    counted.sort_by(|(a, _), (b, _)| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
    let mut lines: Vec<ShoppingLine> = counted
        .into_iter()
        .map(|(p, n)| pieces("fasteners", piece_word(&p), n, Spare::Fasteners, ""))
        .collect();
    lines.extend(board_bolts(robot));
    lines.extend(held_without_screws(robot));
    lines
}

fn board_bolts(robot: &Robot) -> Vec<ShoppingLine> {
    let mounts = robot.board.iter().flat_map(|b| &b.mounts);
    let mut counted = count(mounts.map(|m| m.thread));
    counted.sort_by_key(|(t, _)| *t);
    counted
        .into_iter()
        .map(|(t, n)| {
            let note = "hold the board; their length follows from the frame they go into";
            pieces(
                "fasteners",
                format!("{} board bolt with washer", t.word()),
                n,
                Spare::Fasteners,
                note,
            )
        })
        .collect()
}

/// Printed holders and adhesive mounts, one a part; saddles of plugs that stick to the board.
fn held_without_screws(robot: &Robot) -> Vec<ShoppingLine> {
    let holder = |style, stuck| match style {
        FixingStyle::Clip => Some(("printed", "clip")),
        FixingStyle::Cleat => Some(("printed", "cleat")),
        FixingStyle::Housing => Some(("printed", "housing")),
        FixingStyle::Adhesive => Some(("fasteners", stuck)),
        _ => None,
    };
    let parts = robot.parts.iter().map(|p| (Subject::Part(p.name.clone()), "adhesive mount"));
    let plugs =
        robot.plugs.iter().map(|p| (Subject::Plug(p.name.clone()), "adhesive tie base with tie"));
    parts
        .chain(plugs)
        .filter_map(|(subject, stuck)| {
            let (group, what) = holder(crate::stacks::fixing_of(robot, &subject)?.style, stuck)?;
            Some(pieces(group, format!("{what} for {}", subject.name()), 1, Spare::None, ""))
        })
        .collect()
}

/// A piece of hardware in words.
pub fn piece_word(piece: &Piece) -> String {
    match piece {
        Piece::Screw { thread, head, length } => {
            format!("{} × {} {} screw", thread.word(), length_word(*thread, *length), head_word(*head))
        }
        Piece::Washer { thread } => format!("{} washer", thread.word()),
        Piece::Nut { thread } => format!("{} nut", thread.word()),
        Piece::CaptiveNut { thread } => format!("{} captive nut", thread.word()),
        Piece::Insert { thread } => format!("{} threaded insert", thread.word()),
        Piece::Standoff { thread, length } => {
            format!("{} × {} standoff, female both ends", thread.word(), length_word(*thread, *length))
        }
        Piece::Spacer { thread, length } => {
            format!("{} spacer, {} long", thread.word(), length_word(*thread, *length))
        }
        Piece::WoodScrew { diameter, length } => {
            format!("wood screw {} × {}\u{2009}mm", three_digits(diameter.0), three_digits(length.0))
        }
        Piece::Printed { what } => format!("printed {what}"),
        Piece::AdhesiveMount => "adhesive mount".to_owned(),
    }
}

const fn head_word(head: loomdeck_model::part_type::Head) -> &'static str {
    use loomdeck_model::part_type::Head;
    match head {
        Head::Socket => "socket head",
        Head::Countersunk => "countersunk",
        Head::Pan => "pan head",
    }
}

/// Length as the packet says it: millimetres, or inches as a fraction for inch threads.
fn length_word(thread: Thread, length: Millimetres) -> String {
    if !thread.is_inch() {
        return format!("{}\u{2009}mm", three_digits(length.0));
    }
    let sixteenths = length.0 / loomdeck_model::units::MM_PER_INCH * 16.0;
    if (sixteenths - sixteenths.round()).abs() > 1e-6 {
        return format!("{}\u{2009}in", three_digits(sixteenths / 16.0));
    }
    crate::bit::fraction_word(sixteenths.round() as u32, 16)
}

/// Grommets and edge trim for the openings as they are cut, which may be wider than they are drawn.
fn grommets(robot: &Robot, making: &Making) -> Vec<ShoppingLine> {
    let Some(board) = &robot.board else { return Vec::new() };
    let unit = robot.book.unit;
    let thick = exact(board.thickness, unit);
    let fitted = |hole: &&Hole| hole.uses.iter().any(|u| u.what == crate::holes::GROMMET);
    let size = |hole: &Hole| match (hole.shape, hole.bit()) {
        (HoleShape::Round(_), Some(bit)) => {
            format!("grommet for a {} hole, board {thick}", bit.size_word())
        }
        (HoleShape::Round(d), None) => format!("grommet for a {} hole, board {thick}", exact(d, unit)),
        (HoleShape::Slot { length, width, .. }, _) => format!(
            "edge trim for a slot {} × {}, board {thick}",
            exact(length, unit),
            exact(width, unit)
        ),
        (HoleShape::Rect { length, width, .. }, _) => format!(
            "edge trim for an opening {} × {}, board {thick}",
            exact(length, unit),
            exact(width, unit)
        ),
    };
    let counted = count(making.holes.iter().filter(fitted).map(size));
    counted.into_iter().map(|(item, n)| pieces("grommets", item, n, Spare::None, "")).collect()
}

/// Order of reels: by insulation, thickness, colour.
fn reel_key(spool: &Spool) -> (Insulation, u64, Colour, String) {
    (spool.insulation, area_key(spool.gauge), spool.colour, spool.gauge.to_string())
}

fn area_key(gauge: Gauge) -> u64 {
    (gauge.area().0 * 1e6).round() as u64
}

fn wire(cuts: &[Cut]) -> Vec<ShoppingLine> {
    let mut reels: BTreeMap<_, (Spool, f64)> = BTreeMap::new();
    for cut in cuts.iter().filter(|c| c.cable.is_none() && c.cut.0 > 0.0) {
        reels.entry(reel_key(&cut.spool)).or_insert((cut.spool, 0.0)).1 += cut.cut.0;
    }
    reels.into_values().map(|(spool, mm)| metres("wire", spool_word(&spool), mm)).collect()
}

/// A reel in words.
pub fn spool_word(spool: &Spool) -> String {
    format!("{}, {}, {}", spool.gauge, spool.insulation.word(), spool.colour)
}

fn metres(group: &'static str, item: String, mm: f64) -> ShoppingLine {
    ShoppingLine {
        group,
        item,
        needed: mm / 1000.0,
        buy: (mm / 1000.0 * 1.1 - 1e-9).ceil(),
        unit: "m",
        note: "with a tenth more, rounded up to a metre".to_owned(),
    }
}

fn cables(robot: &Robot, making: &Making) -> Vec<ShoppingLine> {
    let mut kinds: BTreeMap<String, f64> = BTreeMap::new();
    for c in making.cables.iter().filter(|c| c.cut.0 > 0.0) {
        let size = c.gauge.map_or_else(String::new, |g| format!(" × {g}"));
        let item = format!("{}, {}{size}", cable_word(robot.cables[c.cable.0].kind), c.cores.len());
        *kinds.entry(item).or_insert(0.0) += c.cut.0;
    }
    kinds.into_iter().map(|(item, mm)| metres("cables", item, mm)).collect()
}

/// The make-up of a cable in words.
pub const fn cable_word(kind: loomdeck_model::CableKind) -> &'static str {
    use loomdeck_model::CableKind;
    match kind {
        CableKind::Pair => "pair",
        CableKind::TwistedPair => "twisted pair",
        CableKind::Screened => "screened cable",
        CableKind::MultiCore => "multi-core cable",
    }
}

fn ends(cuts: &[Cut]) -> Vec<ShoppingLine> {
    let mut kinds: BTreeMap<(String, u64), (String, usize)> = BTreeMap::new();
    for cut in cuts {
        for end in [&cut.from, &cut.to] {
            let what = match end.kind {
                EndKind::Bare | EndKind::Soldered => continue,
                EndKind::Lead if cut.cut.0 == 0.0 => continue,
                EndKind::Lead => "crimp splice".to_owned(),
                kind => kind.to_string(),
            };
            let item = format!("{what} for {}", cut.spool.gauge);
            kinds.entry((what, area_key(cut.spool.gauge))).or_insert((item, 0)).1 += 1;
        }
    }
    kinds.into_values().map(|(item, n)| pieces("ends", item, n, Spare::Ends, "")).collect()
}

/// The ties that the looms want, by width and length.
fn ties(geometry: &Geometry) -> Vec<ShoppingLine> {
    let tenths = |l: Millimetres| (l.0 * 10.0).round() as u32;
    let mut sizes: BTreeMap<(u32, u32), usize> = BTreeMap::new();
    for tie in geometry.looms.iter().flat_map(|l| &l.ties) {
        *sizes.entry((tenths(tie.width), tenths(tie.length))).or_insert(0) += 1;
    }
    sizes
        .into_iter()
        .map(|((wide, long), n)| {
            let mm = |tenths: u32| Millimetres(f64::from(tenths) / 10.0);
            let item = format!("cable tie {} × {}", mm(wide), mm(long));
            pieces("ties", item, n, Spare::Fasteners, "")
        })
        .collect()
}

fn labels(making: &Making) -> Vec<ShoppingLine> {
    let n = making.labels.len();
    if n == 0 {
        return Vec::new();
    }
    vec![pieces("labels", "wire label, wrap-around".to_owned(), n, Spare::Fasteners, "two a wire")]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spares_are_added_and_never_taken_away() {
        for n in 1..200 {
            for spare in [Spare::None, Spare::Fuses, Spare::Fasteners, Spare::Ends] {
                assert!(spare.buy(n) >= n);
            }
        }
        assert_eq!(Spare::Fuses.buy(1), 3);
        assert_eq!(Spare::Fasteners.buy(40), 44);
        assert_eq!(Spare::Ends.buy(10), 13);
    }

    #[test]
    fn wire_is_bought_by_the_metre_with_a_tenth() {
        let line = metres("wire", String::new(), 2_750.0);
        assert_eq!((line.needed, line.buy), (2.75, 4.0));
        assert_eq!(metres("wire", String::new(), 10_000.0).buy, 11.0);
    }

    #[test]
    fn grommets_are_those_of_the_hole_that_is_cut() {
        let list = |unit: &str, pass: &str| {
            let robot = loomdeck_model::testing::robot(&format!(
                "format = 1\n[robot]\nname = \"tray\"\n[book]\nunit = \"{unit}\"\n[board]\nsize_mm = [400, 300]\n\
                 thickness_mm = 9\nmaterial = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 40\n\
                 [[pass]]\nname = \"a\"\nat_mm = [100, 100]\ngrommet = true\n{pass}\n"
            ));
            let making = crate::study(&robot, &loomdeck_space::study(&robot));
            let line = making.shopping.iter().find(|l| l.group == "grommets");
            line.map(|l| l.item.replace('\u{2009}', " ")).unwrap_or_default()
        };
        assert_eq!(list("mm", "diameter_mm = 42"), "grommet for a 43 mm hole, board 9 mm");
        assert_eq!(list("mm", "diameter_mm = 19"), "grommet for a 19 mm or 3/4 in hole, board 9 mm");
        assert_eq!(list("inch", "diameter_mm = 19"), "grommet for a 3/4 in hole, board 0.354 in");
        assert_eq!(
            list("mm", "length_mm = 60\nwidth_mm = 42"),
            "edge trim for a slot 60 mm × 43 mm, board 9 mm"
        );
    }

    #[test]
    fn packets_are_read_as_written() {
        use loomdeck_model::part_type::Head;
        let screw = |thread, length| {
            piece_word(&Piece::Screw { thread, head: Head::Pan, length: Millimetres(length) })
        };
        assert_eq!(screw(Thread::M3, 12.0), "M3 × 12\u{2009}mm pan head screw");
        assert_eq!(screw(Thread::No6, 19.05), "6-32 × 3/4\u{2009}in pan head screw");
    }
}
