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
         the order of drilling: small holes first, openings last. The letter under “work” stands in the list \
         below.",
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

/// The hole table, and what each of its letters stands for: one way of working serves many holes.
pub fn holes(making: &Making, unit: LengthUnit) -> (Table, Table) {
    let right = format!(">{}", making.datum.upright_edge(Face::Front));
    let up = format!(">{}", making.datum.level_edge());
    let heads = ["☐", ">no.", ">turn", &right, &up, "from", "bit", "work", "*for"];
    let mut t = Table::new("Holes", &heads, "There is nothing to drill.");
    let mut works =
        Table::new("What to do, by letter", &["work", ">holes", "*what to do, in order"], "");
    let mut counts: Vec<(String, usize)> = Vec::new();
    let mut order = vec![0; making.holes.len()];
    for (n, hole) in making.drilling.iter().enumerate() {
        order[*hole] = n + 1;
    }
    for (i, hole) in making.holes.iter().enumerate() {
        let words = work_words(hole, unit);
        let at = counts.iter().position(|(w, _)| *w == words).unwrap_or_else(|| {
            counts.push((words, 0));
            counts.len() - 1
        });
        counts[at].1 += 1;
        t.row([
            "☐".to_owned(),
            (i + 1).to_string(),
            order[i].to_string(),
            words::position(hole.from_datum.x, unit),
            words::position(hole.from_datum.y, unit),
            hole.side.word().to_owned(),
            hole.bit().map_or_else(String::new, |b| b.to_string()),
            letter(at),
            use_words(hole),
        ]);
    }
    for (i, (words, count)) in counts.into_iter().enumerate() {
        works.row([letter(i), count.to_string(), words]);
    }
    (t, works)
}

/// A, B … Z, AA, AB …
fn letter(mut n: usize) -> String {
    let mut letters = String::new();
    loop {
        letters.insert(0, char::from(b'A' + (n % 26) as u8));
        if n < 26 {
            return letters;
        }
        n = n / 26 - 1;
    }
}

/// What holds each part; equal stacks of one thing are one row.
pub fn fasteners(making: &Making) -> Table {
    let mut t = Table::new(
        "Fasteners",
        &["***for", ">how many", "***holes", "********from the screw's head on", "turned from"],
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
    let heads = [
        "*****wire",
        ">cut",
        "******one end",
        ">strip",
        "*****fit",
        "******other end",
        ">strip",
        "*****fit",
    ];
    for cut in making.cuts.iter().filter(|c| c.cable.is_none()) {
        let reel = spool_word(&cut.spool);
        let entry = reels.entry(reel.clone()).or_insert_with(|| (0.0, Table::new(&reel, &heads, "")));
        entry.0 += cut.cut.0;
        let strip = |e: &loomdeck_make::End| words::length_number(e.strip.0, unit);
        entry.1.row([
            robot.wires[cut.wire.0].name.clone(),
            words::length_number(cut.cut.0, unit),
            cut.from.at.clone(),
            strip(&cut.from),
            cut.from.kind.to_string(),
            cut.to.at.clone(),
            strip(&cut.to),
            cut.to.kind.to_string(),
        ]);
    }
    let each = reels.into_values().map(|(sum, mut t)| {
        // Wires that come with their part are not cut from a reel.
        if sum > 0.0 {
            t.title = format!("{} · {} in all", t.title, words::long(sum, unit));
        }
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
    // A third of the page less its margins, at 9.5 pt (10.5 pt bold for the name).
    let cut = |t: &str, size: f64| crate::text::cut_if_longer(t, size * 0.3528, 51.0);
    let each = making.labels.iter().map(|l| LabelPart {
        name: cut(&l.name, 11.2),
        at: cut(&l.at, 9.5),
        far: crate::text::cut_if_longer(&l.far, 9.5 * 0.3528, 46.0),
    });
    each.collect()
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

/// What to buy, by shelf of the shop. A note that most rows of a table share stands over it once.
pub fn shopping(making: &Making) -> Vec<Table> {
    let mut groups: Vec<(&str, Vec<&loomdeck_make::ShoppingLine>)> = Vec::new();
    for line in &making.shopping {
        match groups.last_mut() {
            Some((group, lines)) if *group == line.group => lines.push(line),
            _ => groups.push((line.group, vec![line])),
        }
    }
    groups.into_iter().map(|(group, lines)| shelf(group, &lines)).collect()
}

fn shelf(group: &str, lines: &[&loomdeck_make::ShoppingLine]) -> Table {
    let shared = |note: &str| lines.iter().filter(|l| l.note == note).count();
    // A note that begins so tells the spare; any other tells what the piece is for.
    let spares = lines.iter().map(|l| l.note.as_str()).filter(|n| n.starts_with("with "));
    let common = spares.max_by_key(|n| shared(n)).filter(|n| 2 * shared(n) > lines.len());
    let all = common.is_some_and(|n| shared(n) == lines.len());
    let heads = ["☐", "****what", ">needed", ">buy", "***note"];
    let mut t = Table::new(&capital(group), &heads, "");
    if let Some(note) = common {
        let but = if all { "" } else { ", unless the row says otherwise" };
        t.note = format!("bought {note}{but}");
    }
    for line in lines {
        let amount = |x: f64| match line.unit {
            "pieces" => three_digits(x),
            unit => format!("{}\u{2009}{unit}", three_digits(x)),
        };
        let note = if common == Some(line.note.as_str()) { "" } else { &line.note };
        t.row([
            "☐".to_owned(),
            line.item.clone(),
            amount(line.needed),
            amount(line.buy),
            note.to_owned(),
        ]);
    }
    t
}

/// With its first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}
