//! Openings and passages: what goes through, and what they should be.

use super::data::Table;
use crate::words;
use loomdeck_model::{Board, LengthUnit, PassShape, Robot, Subject};
use loomdeck_space::Geometry;
use loomdeck_space::openings::{EdgeRelief, OpeningAdvice};

/// Passages fuller than this are listed.
const TIGHT: f64 = 0.7;

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

/// Room for the bends in front of the terminals.
pub fn bends(_robot: &Robot, _geometry: &Geometry, _unit: LengthUnit) -> (Table, Vec<String>) {
    (Table::new("Bend room", &[], ""), Vec::new())
}
