//! The tables of the workshop: holes, fasteners, cuts, shopping, labels.

use crate::csv::{Cell, Table};
use crate::making::{ColourBasis, Cut, Hole, HoleShape, Making, Piece, Stack, Work};
use crate::plan::{Speed, Stage, Stop};
use crate::shopping::{cable_word, piece_word};
use loomdeck_model::units::{Degrees, MM_PER_INCH, Millimetres};
use loomdeck_model::{Face, LengthUnit, Point, Robot};

/// Headings in both units, where they differ.
struct Columns<'a>(LengthUnit, &'a [(&'static str, &'static str)]);

impl Columns<'_> {
    fn named(&self) -> Vec<&'static str> {
        self.1.iter().map(|(mm, inch)| if self.0 == LengthUnit::Mm { *mm } else { *inch }).collect()
    }
}

fn length(unit: LengthUnit, value: Millimetres) -> Cell {
    match unit {
        LengthUnit::Mm => Cell::Number(value.0, 2),
        LengthUnit::Inch => Cell::Number(value.0 / MM_PER_INCH, 4),
    }
}

fn whole(n: usize) -> Cell {
    Cell::Number(n as f64, 0)
}

/// All tables, in the order of work.
pub fn all(robot: &Robot, making: &Making, unit: LengthUnit) -> Vec<Table> {
    vec![
        holes(making, unit),
        drill_plan(making, unit),
        fasteners(making, unit),
        cutlist(robot, making, unit),
        shopping(making, unit),
        labels(robot, making),
    ]
}

/// The hole table, by number.
pub fn holes(making: &Making, unit: LengthUnit) -> Table {
    let columns = Columns(
        unit,
        &[
            ("number", "number"),
            ("drilled", "drilled"),
            ("x_mm", "x_in"),
            ("y_mm", "y_in"),
            ("diameter_mm", "diameter_in"),
            ("length_mm", "length_in"),
            ("corner_mm", "corner_in"),
            ("turn_deg", "turn_deg"),
            ("end_1_x_mm", "end_1_x_in"),
            ("end_1_y_mm", "end_1_y_in"),
            ("end_2_x_mm", "end_2_x_in"),
            ("end_2_y_mm", "end_2_y_in"),
            ("depth_mm", "depth_in"),
            ("bit", "bit"),
            ("side", "side"),
            ("work", "work"),
            ("for", "for"),
        ],
    );
    let mut drilled = vec![0; making.holes.len()];
    for (n, hole) in making.drilling.iter().enumerate() {
        drilled[*hole] = n + 1;
    }
    let rows =
        making.holes.iter().enumerate().map(|(i, h)| hole_row(i + 1, drilled[i], h, unit)).collect();
    Table { name: "holes", columns: columns.named(), rows }
}

fn hole_row(number: usize, drilled: usize, hole: &Hole, unit: LengthUnit) -> Vec<Cell> {
    let degrees = |turn: Degrees| Cell::Number(turn.0, 1);
    let (long, corner, turn) = match hole.shape {
        HoleShape::Round(_) => (Cell::Empty, Cell::Empty, Cell::Empty),
        HoleShape::Slot { length: l, turn, .. } => (length(unit, l), Cell::Empty, degrees(turn)),
        HoleShape::Rect { length: l, corner, turn, .. } => {
            (length(unit, l), length(unit, corner), degrees(turn))
        }
    };
    let mut row = vec![
        whole(number),
        whole(drilled),
        length(unit, Millimetres(hole.from_datum.x)),
        length(unit, Millimetres(hole.from_datum.y)),
        length(unit, hole.diameter()),
        long,
        corner,
        turn,
    ];
    row.extend(match hole.ends_from_datum {
        Some([a, b]) => [a.x, a.y, b.x, b.y].map(|d| length(unit, Millimetres(d))),
        None => [const { Cell::Empty }; 4],
    });
    row.extend([
        hole.depth.map_or(Cell::Empty, |d| length(unit, d)),
        hole.bit().map_or(Cell::Empty, |b| Cell::text(b.to_string())),
        Cell::text(hole.side.word()),
        Cell::text(work_words(hole, unit)),
        Cell::text(use_words(hole)),
    ]);
    row
}

/// The drill plan: a row for each stop, in order.
pub fn drill_plan(making: &Making, unit: LengthUnit) -> Table {
    let columns = Columns(
        unit,
        &[
            ("stage", "stage"),
            ("operation", "operation"),
            ("board", "board"),
            ("turn_over_first", "turn_over_first"),
            ("tool", "tool"),
            ("slow_rpm", "slow_rpm"),
            ("fast_rpm", "fast_rpm"),
            ("stop", "stop"),
            ("hole", "hole"),
            ("piece", "piece"),
            ("x_mm", "x_in"),
            ("y_mm", "y_in"),
            ("diameter_mm", "diameter_in"),
            ("depth_mm", "depth_in"),
            ("travel_mm", "travel_in"),
        ],
    );
    let rows = making.plan.stages.iter().flat_map(|s| stage_rows(s, making.datum.at, unit)).collect();
    Table { name: "drill-plan", columns: columns.named(), rows }
}

fn stage_rows(stage: &Stage, datum: Point, unit: LengthUnit) -> Vec<Vec<Cell>> {
    let mut travel = 0.0;
    let mut here = datum;
    let row = |(i, stop): (usize, &Stop)| {
        travel += here.distance(stop.at);
        here = stop.at;
        let size = |l: Option<Millimetres>| l.map_or(Cell::Empty, |l| length(unit, l));
        let rpm =
            |of: fn(&Speed) -> f64| stage.speed.as_ref().map_or(Cell::Empty, |s| Cell::Number(of(s), 0));
        vec![
            whole(stage.number),
            Cell::text(stage.operation.word()),
            Cell::text(stage.lies.word()),
            Cell::text(if stage.turn_over && i == 0 { "yes" } else { "" }),
            Cell::text(stage.tool.word(unit)),
            rpm(|s| s.slow),
            rpm(|s| s.fast),
            whole(i + 1),
            stop.hole.map_or_else(|| Cell::text("outer edge"), |h| whole(h + 1)),
            whole(stop.piece + 1),
            length(unit, Millimetres(stop.from_datum.x)),
            length(unit, Millimetres(stop.from_datum.y)),
            size(stop.diameter),
            size(stop.depth),
            length(unit, Millimetres(travel)),
        ]
    };
    stage.stops.iter().enumerate().map(row).collect()
}

/// What a hole is for, in words.
pub fn use_words(hole: &Hole) -> String {
    let each = |u: &crate::making::HoleUse| format!("{}: {}", u.subject.name(), u.what);
    hole.uses.iter().map(each).collect::<Vec<_>>().join("; ")
}

/// What to do at a hole, in words, in order.
pub fn work_words(hole: &Hole, unit: LengthUnit) -> String {
    let places = |work: &Work| match work {
        Work::EndHoles { .. } => hole.ends_from_datum.map_or_else(Vec::new, |e| e.to_vec()),
        Work::CornerHoles { .. } => hole.corners_from_datum.map_or_else(Vec::new, |c| c.to_vec()),
        // In the middle of its opening.
        Work::EntryHole { .. } => vec![hole.from_datum],
        _ => Vec::new(),
    };
    let word = |work: &Work| {
        let words: Vec<String> = places(work).into_iter().map(|p| place_word(p, unit)).collect();
        match words.as_slice() {
            [] => work_word(work, unit),
            [one] => format!("{} at {one}", work_word(work, unit)),
            [first @ .., last] => {
                format!("{} at {} and {last}", work_word(work, unit), first.join(", "))
            }
        }
    };
    let mut words: Vec<String> = hole.work.iter().map(word).collect();
    if hole.registration {
        words.push("registers the back's template".to_owned());
    }
    words.join(", ")
}

/// Distances from the two datum edges: `x 303 mm y 282 mm`.
fn place_word(at: Point, unit: LengthUnit) -> String {
    format!("x {} y {}", exact(Millimetres(at.x), unit), exact(Millimetres(at.y), unit))
}

fn length_word(unit: LengthUnit, value: Millimetres) -> String {
    match unit {
        LengthUnit::Mm => format!("{:.1}\u{2009}mm", value.0),
        LengthUnit::Inch => format!("{:.3}\u{2009}in", value.0 / MM_PER_INCH),
    }
}

/// A length that is drilled or bought, with the digits it has: `19.05 mm`, `0.75 in`.
pub fn exact(value: Millimetres, unit: LengthUnit) -> String {
    let (number, name) = match unit {
        LengthUnit::Mm => (format!("{:.2}", value.0), "mm"),
        LengthUnit::Inch => (format!("{:.3}", value.0 / MM_PER_INCH), "in"),
    };
    format!("{}\u{2009}{name}", number.trim_end_matches('0').trim_end_matches('.'))
}

/// One piece of work in words.
pub fn work_word(work: &Work, unit: LengthUnit) -> String {
    match work {
        Work::CentrePunch => "centre punch".to_owned(),
        Work::Pilot { bit } => format!("pilot {bit}"),
        Work::Drill { bit, depth: None, fit } => format!("drill {bit} through ({fit})"),
        Work::Drill { bit, depth: Some(d), fit } => {
            format!("drill {bit}, {} deep ({fit})", length_word(unit, *d))
        }
        Work::Opening { bit } => format!("{bit}, half from each face"),
        Work::Countersink { face, diameter, depth, angle, below } => format!(
            "countersink {}° from the {} to {} across, {} deep (head {} below the face)",
            angle.0,
            face.word(),
            length_word(unit, *diameter),
            length_word(unit, *depth),
            length_word(unit, *below)
        ),
        Work::EndHoles { bit, .. } => format!("end holes {bit}"),
        Work::CornerHoles { bit, .. } => format!("corner holes {bit}"),
        Work::EntryHole { bit, .. } => format!("hole for the saw's blade {bit}"),
        Work::Pocket { face, diameter, depth } => format!(
            "bore a pocket {} across and {} deep from the {} before the hole",
            exact(*diameter, unit),
            length_word(unit, *depth),
            face.word()
        ),
        Work::Saw => "saw between them".to_owned(),
        Work::File => "file straight".to_owned(),
        Work::SetInsert { face } => format!("set the insert from the {}", face.word()),
        Work::SetNut { face } => format!("fix the captive nut on the {}", face.word()),
        Work::Deburr => "deburr".to_owned(),
        Work::EdgeRelief { radius } => {
            format!("round the edges to {}", length_word(unit, *radius))
        }
    }
}

/// What holds each part at each hole.
pub fn fasteners(making: &Making, unit: LengthUnit) -> Table {
    let columns = Columns(
        unit,
        &[
            ("part", "part"),
            ("hole", "hole"),
            ("style", "style"),
            ("pieces", "pieces"),
            ("stays_on_the_board", "stays_on_the_board"),
            ("clamped_mm", "clamped_in"),
            ("shortest_mm", "shortest_in"),
            ("longest_mm", "longest_in"),
            ("length_mm", "length_in"),
            ("turned_from", "turned_from"),
            ("fits", "fits"),
        ],
    );
    let rows = making.fasteners.iter().flat_map(|s| fastener_rows(s, unit)).collect();
    Table { name: "fasteners", columns: columns.named(), rows }
}

/// One row a screw; the pieces stand in the first. What is stuck on has one row without a screw.
fn fastener_rows(stack: &Stack, unit: LengthUnit) -> Vec<Vec<Cell>> {
    let words = |pieces: Vec<&Piece>| {
        let words: Vec<String> = pieces.into_iter().map(piece_word).collect();
        if words.is_empty() { Cell::Empty } else { Cell::text(words.join(" + ")) }
    };
    let kept = stack.odd_spacer().is_none();
    let row = |i: usize| {
        let mut row = vec![
            Cell::text(stack.subject.name()),
            stack.hole.map_or(Cell::Empty, |h| whole(h + 1)),
            Cell::text(stack.style.word()),
        ];
        if i == 0 {
            row.extend([words(stack.pieces.iter().collect()), words(stack.staying().collect())]);
        } else {
            row.extend([Cell::Empty, Cell::Empty]);
        }
        match stack.screws.get(i) {
            Some(screw) => row.extend([
                length(unit, screw.grip),
                length(unit, screw.least),
                screw.most.map_or(Cell::Empty, |m| length(unit, m)),
                length(unit, screw.length),
                Cell::text(screw.turned_from.word()),
                Cell::text(if screw.fits && kept { "yes" } else { "no" }),
            ]),
            None => row.extend([const { Cell::Empty }; 6]),
        }
        row
    };
    (0..stack.screws.len().max(1)).map(row).collect()
}

/// The cut list, reel by reel: one change of reel for all of its wires.
pub fn cutlist(robot: &Robot, making: &Making, unit: LengthUnit) -> Table {
    let columns = Columns(
        unit,
        &[
            ("wire", "wire"),
            ("cable", "cable"),
            ("size", "size"),
            ("area_mm2", "area_mm2"),
            ("insulation", "insulation"),
            ("colour", "colour"),
            ("colour_from", "colour_from"),
            ("cut_mm", "cut_in"),
            ("from", "from"),
            ("from_end", "from_end"),
            ("from_strip_mm", "from_strip_in"),
            ("to", "to"),
            ("to_end", "to_end"),
            ("to_strip_mm", "to_strip_in"),
            ("function", "function"),
            ("note", "note"),
        ],
    );
    let rows = by_reel(&making.cuts).into_iter().map(|c| cut_row(robot, c, unit)).collect();
    Table { name: "cutlist", columns: columns.named(), rows }
}

/// Cuts sorted by reel, longest first within a reel: offcuts then serve the short ones.
pub fn by_reel(cuts: &[Cut]) -> Vec<&Cut> {
    let mut sorted: Vec<&Cut> = cuts.iter().collect();
    sorted.sort_by(|a, b| {
        let key = |c: &Cut| (c.cable, c.spool.insulation);
        let area = |c: &Cut| c.spool.gauge.area().0;
        key(a)
            .cmp(&key(b))
            .then(area(a).total_cmp(&area(b)))
            .then(a.spool.colour.cmp(&b.spool.colour))
            .then(b.cut.0.total_cmp(&a.cut.0))
            .then(a.wire.cmp(&b.wire))
    });
    sorted
}

fn cut_row(robot: &Robot, cut: &Cut, unit: LengthUnit) -> Vec<Cell> {
    let wire = &robot.wires[cut.wire.0];
    let cable = cut.cable.map_or(Cell::Empty, |c| Cell::text(&robot.cables[c.0].name));
    vec![
        Cell::text(&wire.name),
        cable,
        Cell::text(cut.spool.gauge.to_string()),
        Cell::Number(cut.spool.gauge.area().0, 3),
        Cell::text(cut.spool.insulation.word()),
        Cell::text(cut.spool.colour.to_string()),
        Cell::text(basis_word(cut.colour_basis)),
        length(unit, cut.cut),
        Cell::text(&cut.from.at),
        Cell::text(cut.from.kind.to_string()),
        length(unit, cut.from.strip),
        Cell::text(&cut.to.at),
        Cell::text(cut.to.kind.to_string()),
        length(unit, cut.to.strip),
        Cell::text(wire.function.word()),
        Cell::text(cut_note(robot, cut)),
    ]
}

/// Why a wire has its colour, in words.
pub const fn basis_word(basis: ColourBasis) -> &'static str {
    match basis {
        ColourBasis::Chosen => "your choice",
        ColourBasis::Convention(name) => name,
        ColourBasis::Shelf => "what the shelf has",
        ColourBasis::Core => "proposed; the cable's own cores decide",
    }
}

/// What to heed before cutting a wire, in words; empty when nothing.
pub fn cut_note(robot: &Robot, cut: &Cut) -> String {
    let mut notes = Vec::new();
    if cut.measure_first {
        notes.push("measure before you cut: part of the way is not stated".to_owned());
    }
    if let Some(cable) = cut.cable {
        let cable = &robot.cables[cable.0];
        notes.push(format!("core of the {} {}", cable_word(cable.kind), cable.name));
    }
    for end in [&cut.from, &cut.to] {
        let Some(lead) = end.own_lead else { continue };
        notes.push(if cut.cut.0 == 0.0 {
            format!("nothing to cut: the lead of {} reaches", end.at)
        } else {
            format!("splice to the {lead} lead of {}", end.at)
        });
    }
    notes.join("; ")
}

/// The shopping list.
pub fn shopping(making: &Making, unit: LengthUnit) -> Table {
    let columns = vec!["group", "item", "needed", "buy", "unit", "note"];
    let rows = making
        .shopping
        .iter()
        .map(|line| {
            // Wire is sold by the metre or by the foot.
            let (factor, name) = match (line.unit, unit) {
                ("m", LengthUnit::Inch) => (1000.0 / MM_PER_INCH / 12.0, "ft"),
                (name, _) => (1.0, name),
            };
            let buy = if factor == 1.0 { line.buy } else { (line.buy * factor).ceil() };
            vec![
                Cell::text(line.group),
                Cell::text(&line.item),
                Cell::Number(line.needed * factor, 2),
                Cell::Number(buy, 0),
                Cell::text(name),
                Cell::text(&line.note),
            ]
        })
        .collect();
    Table { name: "shopping", columns, rows }
}

/// The labels of both ends of each wire.
pub fn labels(robot: &Robot, making: &Making) -> Table {
    let columns = vec!["wire", "stick_at", "line_1", "line_2", "wraps_mm"];
    let rows = making
        .labels
        .iter()
        .map(|l| {
            vec![
                Cell::text(&robot.wires[l.wire.0].name),
                Cell::text(&l.at),
                Cell::text(&l.name),
                Cell::text(format!("> {}", l.far)),
                Cell::Number(l.wraps.0, 1),
            ]
        })
        .collect();
    Table { name: "labels", columns, rows }
}

/// Where the hole table measures from, in words, for somebody looking at a face.
pub fn datum_words(making: &Making, seen_on: Face) -> String {
    format!(
        "x from the {} edge, y from the {} edge, looking at the {}",
        making.datum.upright_edge(seen_on),
        making.datum.level_edge(),
        seen_on.word()
    )
}
