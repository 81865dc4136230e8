//! Openings and passages: what goes through, and what they should be.

use super::data::Table;
use crate::words;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, LengthUnit, PassShape, Robot, Subject};
use loomdeck_space::bend::{Bend, Facing, Lane, Turn};
use loomdeck_space::openings::{EdgeRelief, OpeningAdvice};
use loomdeck_space::{Geometry, Owner};

/// Passages fuller than this are listed.
const TIGHT: f64 = 0.7;
/// How a row begins whose wire has no room.
const NO_WAY: &str = "no way";
/// Parts that face each other are listed up to this many times the least distance.
const ROOMY: f64 = 1.5;

/// Size and shape proposed for each pass-through.
pub fn openings(robot: &Robot, geometry: &Geometry, unit: LengthUnit) -> Table {
    let heads = [
        "***opening",
        "***has",
        "***should have",
        ">wires",
        ">full",
        ">may be",
        "***last end",
        "**edge",
    ];
    let mut t = Table::new("Pass-throughs", &heads, "No opening for wires.");
    let Some(board) = &robot.board else { return t };
    for advice in &geometry.openings {
        let Some(pass) = board.passes.get(advice.pass.0).filter(|p| !p.tools_only) else { continue };
        let fill = geometry.fills.iter().find(|f| f.pass == advice.pass).map_or(0.0, |f| f.fill);
        let keeps = if advice.too_small { shape(advice.shape, unit) } else { "as it is".to_owned() };
        t.row([
            pass.name.clone(),
            shape(pass.shape, unit),
            keeps,
            advice.wires.len().to_string(),
            words::percent(fill),
            words::percent(advice.fill_limit),
            last_end(robot, advice, unit),
            edge(advice.edge).to_owned(),
        ]);
    }
    t
}

/// A shape in words.
pub fn shape(shape: PassShape, unit: LengthUnit) -> String {
    let n = |mm: f64| words::length_number(mm, unit);
    let u = words::unit_word(unit);
    match shape {
        PassShape::Round(d) => format!("Ø\u{2009}{}\u{2009}{u}", n(d.0)),
        PassShape::Slot { length, width, .. } => {
            format!("slot {} × {}\u{2009}{u}", n(length.0), n(width.0))
        }
        PassShape::Rect { length, width, corner, .. } => {
            let corners =
                if corner.0 > 0.0 { format!(", corners {}", n(corner.0)) } else { String::new() };
            format!("{} × {}\u{2009}{u}{corners}", n(length.0), n(width.0))
        }
    }
}

fn last_end(robot: &Robot, advice: &OpeningAdvice, unit: LengthUnit) -> String {
    advice.end.map_or_else(String::new, |e| {
        format!(
            "{} of {}, room {}",
            words::length(e.width.0, unit),
            robot.wires[e.wire.0].name,
            words::length(e.room.0, unit)
        )
    })
}

const fn edge(relief: EdgeRelief) -> &'static str {
    match relief {
        EdgeRelief::Deburr => "file smooth",
        EdgeRelief::Rounded => "round over on both faces",
        EdgeRelief::Lined => "grommet or edge trim",
    }
}

/// What the proposals are cut with and what they come near to; only openings that should change.
pub fn proposals(board: &Board, geometry: &Geometry, unit: LengthUnit) -> Vec<String> {
    let changed = geometry.openings.iter().filter(|a| a.too_small);
    let each = changed.filter_map(|a| {
        let pass = board.passes.get(a.pass.0)?;
        let near = a.nearest.as_ref().map_or_else(String::new, |(what, left)| {
            let what = match what {
                Subject::Board => "the edge of the board".to_owned(),
                other => format!("the hole of {}", other.name()),
            };
            if left.0 < 0.0 {
                format!(" It would then run into {what}: move it first.")
            } else {
                format!(" {} of material is left to {what}.", words::length(left.0, unit))
            }
        });
        Some(format!("Make {} {}, cut with a {}.{near}", pass.name, shape(a.shape, unit), a.bit))
    });
    each.collect()
}

/// The fullest passages on the faces.
pub fn passages(geometry: &Geometry, unit: LengthUnit) -> Table {
    let heads = ["face", "****between", ">room", ">wires", ">wanted side by side", ">layers", "**"];
    let mut t = Table::new("Tight passages", &heads, "");
    let mut rows: Vec<(f64, [String; 7])> = Vec::new();
    for gap in &geometry.gaps {
        let full = gap.need.0 / (gap.room.0.max(1e-6) * f64::from(gap.layers.max(1)));
        if full < TIGHT {
            continue;
        }
        let [a, b] = gap.between.each_ref().map(name);
        let missing = gap.missing();
        rows.push((
            full,
            [
                gap.face.word().to_owned(),
                format!("{a} and {b}"),
                words::length(gap.room.0, unit),
                gap.wires.len().to_string(),
                words::length(gap.need.0, unit),
                gap.layers.to_string(),
                if missing.0 > 0.0 {
                    format!("{} too narrow", words::length(missing.0, unit))
                } else {
                    String::new()
                },
            ],
        ));
    }
    // The fullest first; equal ones stay in the order of the study.
    rows.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (_, row) in rows {
        t.row(row);
    }
    t
}

fn name(subject: &Subject) -> String {
    match subject {
        Subject::Board => "the edge".to_owned(),
        other => other.name().to_owned(),
    }
}

/// Room for the bends in front of the terminals; equal ends of a part are one row, those without room first.
pub fn bends(robot: &Robot, geometry: &Geometry, unit: LengthUnit) -> Table {
    let heads = [
        "*****at",
        ">wire",
        ">stiff end",
        ">straight",
        ">radius",
        ">needs",
        ">trimming saves",
        "****goes",
    ];
    let mut t = Table::new("Bend room", &heads, "");
    t.note = "In front of a terminal a wire needs its stiff end (boot, lug or ferrule), a straight stretch behind it, \
              and the outside of its bend."
        .to_owned();
    let mut rows: Vec<(bool, Owner, Vec<String>, [String; 7])> = Vec::new();
    for bend in &geometry.bends {
        let cells = bend_cells(bend, unit);
        let terminal = terminal(robot, bend);
        let (free, owner) = (bend.is_free(), bend.owner);
        match rows.iter_mut().find(|r| r.0 == free && r.1 == owner && r.3 == cells) {
            Some(row) => row.2.push(terminal),
            None => rows.push((free, owner, vec![terminal], cells)),
        }
    }
    rows.sort_by_key(|r| r.0);
    for (_, owner, terminals, cells) in rows {
        let name = super::service::owner(robot, owner);
        let at = match terminals.concat().as_str() {
            "" => format!("{name}, behind the plug"),
            _ => format!("{name}: {}", terminals.join(", ")),
        };
        let [wire, stiff, straight, radius, need, saves, goes] = cells;
        t.row([at, wire, stiff, straight, radius, need, saves, goes]);
    }
    say_once(&mut t);
    t
}

/// A last column that says the same in every row says it over the table.
fn say_once(t: &mut Table) {
    let last = |row: &Vec<String>| row.last().cloned().unwrap_or_default();
    let Some(first) = t.rows.first().map(last) else { return };
    if !first.starts_with(NO_WAY) && t.rows.iter().all(|r| last(r) == first) {
        t.columns.pop();
        for row in &mut t.rows {
            row.pop();
        }
        t.note.push_str(&format!(" Every one has room and goes {first}."));
    }
}

fn terminal(robot: &Robot, bend: &Bend) -> String {
    match (bend.owner, bend.terminal) {
        (Owner::Part(part), Some(terminal)) => robot.type_of(part).terminals[terminal].name.clone(),
        _ => String::new(),
    }
}

fn bend_cells(bend: &Bend, unit: LengthUnit) -> [String; 7] {
    let n = |mm: Millimetres| words::length(mm.0, unit);
    [
        format!("Ø\u{2009}{}", n(bend.diameter)),
        n(bend.boot),
        n(bend.straight),
        n(bend.radius),
        n(bend.need()),
        bend.trim_saves.map_or_else(String::new, n),
        goes(bend, unit),
    ]
}

/// The way it takes, or what stands in every one of them.
fn goes(bend: &Bend, unit: LengthUnit) -> String {
    let Some(way) = bend.ways.first() else { return String::new() };
    let beyond = way
        .beyond_edge
        .filter(|b| b.0 > 0.0)
        .map_or_else(String::new, |b| format!(", {} over the edge", words::length(b.0, unit)));
    match way.blockers.first() {
        Some(b) => {
            format!("{NO_WAY}: {} stands {} in it", name(&b.by), words::length(b.overlap.0, unit))
        }
        None => {
            let turn = match way.turn {
                Turn::On => "straight on",
                Turn::To(_) => "to one side",
                Turn::Down => "down to the face",
            };
            format!("{turn}{beyond}")
        }
    }
}

/// Parts whose wires face another part, tightest first: how close they stand, and how close they may.
pub fn facing(robot: &Robot, all: &[Facing], unit: LengthUnit) -> Table {
    let heads = ["***wires of", "***face", ">apart", ">least", ">boots trimmed", "***"];
    let mut t = Table::new("Parts that face each other", &heads, "");
    let mut worst: Vec<Facing> = Vec::new();
    let spare = |f: &Facing| f.distance.0 - f.least.0;
    for f in all {
        match worst.iter_mut().find(|w| (w.owner, w.to) == (f.owner, f.to)) {
            Some(w) if spare(f) < spare(w) => *w = f.clone(),
            Some(_) => {}
            None => worst.push(f.clone()),
        }
    }
    worst.sort_by(|a, b| spare(a).total_cmp(&spare(b)));
    for f in worst.iter().filter(|f| f.distance.0 < ROOMY * f.least.0) {
        let n = |mm: Millimetres| words::length(mm.0, unit);
        let remark = if spare(f) < 0.0 {
            format!("{} closer than that", words::length(-spare(f), unit))
        } else if f.lane == Lane::Shared {
            "one lane for both: they leave one after the other".to_owned()
        } else {
            String::new()
        };
        t.row([
            super::service::owner(robot, f.owner).to_owned(),
            super::service::owner(robot, f.to).to_owned(),
            n(f.distance),
            n(f.least),
            if f.trimmed < f.least { n(f.trimmed) } else { String::new() },
            remark,
        ]);
    }
    t
}
