//! Holes, fasteners, cutting, labels, order of wiring and shopping in tables.

use super::data::{LabelPart, Table};
use crate::words;
use loomdeck_make::shopping::{piece_word, spool_word};
use loomdeck_make::table::{use_words, work_words};
use loomdeck_make::{Making, Stage};
use loomdeck_model::units::three_digits;
use loomdeck_model::{CableKind, Face, LengthUnit, Robot, WireId};
use std::collections::BTreeMap;

/// How the hole table is read.
pub fn holes_note(making: &Making, unit: LengthUnit) -> Vec<String> {
    if making.holes.is_empty() {
        return vec!["There is nothing to drill.".to_owned()];
    }
    let d = &making.datum;
    let mut notes = vec![format!(
        "Distances are in {}, from the {} and the {} edge, seen from the front; the corner where they meet is \
         marked green on the drawings. This table is what counts; the templates help you to mark it. “Turn” is \
         the order of drilling: small holes first, openings last.",
        match unit {
            LengthUnit::Mm => "millimetres",
            LengthUnit::Inch => "inches",
        },
        d.upright_edge(Face::Front),
        d.level_edge()
    )];
    let numbers: Vec<String> = making
        .holes
        .iter()
        .enumerate()
        .filter(|(_, h)| h.registration)
        .map(|(i, _)| (i + 1).to_string())
        .collect();
    if !numbers.is_empty() {
        notes.push(format!(
            "Holes {} are drilled first. The template of the back is laid on them.",
            numbers.join(" and ")
        ));
    }
    notes
}

/// The hole table.
pub fn holes(making: &Making, unit: LengthUnit) -> Table {
    let right = format!(">{}", making.datum.upright_edge(Face::Front));
    let up = format!(">{}", making.datum.level_edge());
    let heads = [">no.", ">turn", &right, &up, "from", "*******work", "****for"];
    let mut t = Table::new("Holes", &heads, "There is nothing to drill.");
    let mut order = vec![0; making.holes.len()];
    for (n, hole) in making.drilling.iter().enumerate() {
        order[*hole] = n + 1;
    }
    for (i, hole) in making.holes.iter().enumerate() {
        t.row([
            (i + 1).to_string(),
            order[i].to_string(),
            words::position(hole.from_datum.x, unit),
            words::position(hole.from_datum.y, unit),
            hole.side.word().to_owned(),
            work_words(hole, unit),
            use_words(hole),
        ]);
    }
    t
}

/// What holds each part; equal stacks of one thing are one row.
pub fn fasteners(making: &Making) -> Table {
    let mut t = Table::new(
        "Fasteners",
        &["**for", ">how many", "*holes", "****from the screw's head on", "turned from"],
        "Nothing is screwed to a board.",
    );
    let mut rows: Vec<(String, Vec<usize>, String, String)> = Vec::new();
    for stack in &making.fasteners {
        let pieces: Vec<String> = stack.pieces.iter().map(piece_word).collect();
        let mut words = pieces.join(", ");
        if !stack.fits() {
            words.push_str(" (no standard length fits: see the findings)");
        }
        let name = stack.subject.name().to_owned();
        let mut faces: Vec<&str> = stack.screws.iter().map(|s| s.turned_from.word()).collect();
        faces.dedup();
        let side = faces.join(", ");
        let hole = stack.hole.map(|h| h + 1);
        match rows.iter_mut().find(|r| r.0 == name && r.2 == words && r.3 == side) {
            Some(row) => row.1.extend(hole),
            None => rows.push((name, hole.into_iter().collect(), words, side)),
        }
    }
    for (name, holes, pieces, side) in rows {
        let list: Vec<String> = holes.iter().map(usize::to_string).collect();
        t.row([name, holes.len().max(1).to_string(), list.join(", "), pieces, side]);
    }
    t
}

/// The cut list, reel by reel.
pub fn cuts(robot: &Robot, making: &Making, unit: LengthUnit) -> Vec<Table> {
    let mut reels: BTreeMap<String, (f64, Table)> = BTreeMap::new();
    let u = words::unit_word(unit);
    let heads =
        ["**wire".to_owned(), format!(">cut, {u}"), "***one end".to_owned(), "***other end".to_owned()];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    for cut in making.cuts.iter().filter(|c| c.cable.is_none()) {
        let reel = spool_word(&cut.spool);
        let end = |e: &loomdeck_make::End| {
            format!("{}: strip {}, {}", e.at, words::length(e.strip.0, unit), e.kind)
        };
        let entry = reels.entry(reel.clone()).or_insert_with(|| (0.0, Table::new(&reel, &heads, "")));
        entry.0 += cut.cut.0;
        entry.1.row([
            robot.wires[cut.wire.0].name.clone(),
            words::length_number(cut.cut.0, unit),
            end(&cut.from),
            end(&cut.to),
        ]);
    }
    let each = reels.into_values().map(|(sum, mut t)| {
        t.title = format!("{} · {}\u{2009}m in all", t.title, three_digits(sum / 1000.0));
        t
    });
    each.collect()
}

/// Cables.
pub fn cables(robot: &Robot, making: &Making, unit: LengthUnit) -> Table {
    let u = words::unit_word(unit);
    let cut = format!(">cut, {u}");
    let heads = ["**cable", "*make-up", "size", &cut, "****cores"];
    let mut t = Table::new("Cables", &heads, "");
    for c in &making.cables {
        let kind = match c.kind {
            CableKind::Pair => "pair",
            CableKind::TwistedPair => "twisted pair",
            CableKind::Screened => "screened",
            CableKind::MultiCore => "several cores",
        };
        t.row([
            robot.cables[c.cable.0].name.clone(),
            kind.to_owned(),
            c.gauge.map_or_else(String::new, |g| g.to_string()),
            words::length_number(c.cut.0, unit),
            c.cores.iter().map(|w| robot.wires[w.0].name.as_str()).collect::<Vec<_>>().join(", "),
        ]);
    }
    t
}

/// Both labels of every wire.
pub fn labels(making: &Making) -> Vec<LabelPart> {
    let each = making.labels.iter();
    each.map(|l| LabelPart { name: l.name.clone(), at: l.at.clone(), far: l.far.clone() }).collect()
}

/// The order of wiring, stage by stage.
pub fn wiring(robot: &Robot, making: &Making) -> Vec<Table> {
    let mut step = 0;
    let mut tables = Vec::new();
    for (n, stage) in Stage::ALL.into_iter().enumerate() {
        let mut t = Table::new(
            &format!("{}. {}", n + 1, capital(stage.word())),
            &[">step", "☐", "**wire", "***from", "***to", "*loom"],
            "",
        );
        for s in making.wiring.iter().filter(|s| s.stage == stage) {
            step += 1;
            let loom = s.loom.map_or_else(String::new, |l| robot.looms[l.0].name.clone());
            for (i, w) in s.wires.iter().enumerate() {
                let number = if i == 0 { step.to_string() } else { String::new() };
                t.row(wire_row(robot, *w, number, loom.clone()));
            }
        }
        if !t.rows.is_empty() {
            tables.push(t);
        }
    }
    tables
}

fn wire_row(robot: &Robot, id: WireId, number: String, loom: String) -> [String; 6] {
    let w = &robot.wires[id.0];
    [number, "☐".to_owned(), w.name.clone(), robot.landing_word(w.from), robot.landing_word(w.to), loom]
}

/// What to buy, by shelf of the shop.
pub fn shopping(making: &Making) -> Vec<Table> {
    let mut tables: Vec<Table> = Vec::new();
    for line in &making.shopping {
        let title = capital(line.group);
        if tables.last().is_none_or(|t| t.title != title) {
            tables.push(Table::new(&title, &["☐", "****what", ">needed", ">buy", "***note"], ""));
        }
        let amount = |x: f64| match line.unit {
            "pieces" => three_digits(x),
            unit => format!("{}\u{2009}{unit}", three_digits(x)),
        };
        let row = [
            "☐".to_owned(),
            line.item.clone(),
            amount(line.needed),
            amount(line.buy),
            line.note.clone(),
        ];
        if let Some(t) = tables.last_mut() {
            t.row(row);
        }
    }
    tables
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}
