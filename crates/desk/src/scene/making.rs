//! How a robot is made: order of work, drill plan, cuts, fasteners, shopping.

use super::findings::in_unit;
use super::milli;
use crate::talk::{CutOn, EndOn, FastenerOn, MakeOn, ShopOn, StageOn, StepOn};
use loomdeck_draw::book;
use loomdeck_draw::palette::insulation;
use loomdeck_make::csv::Cell;
use loomdeck_make::plan::Stage;
use loomdeck_make::shopping::{piece_word, spool_word};
use loomdeck_make::{Cut, End, Step, table};
use loomdeck_model::{Face, LengthUnit, Paper, Robot};
use loomdeck_study::Study;
use std::collections::BTreeMap;

/// How it is made; `None` while the study has no deep tier: the order of work is part of it.
pub fn make(study: &Study) -> Option<MakeOn> {
    let (robot, making) = (&study.robot, &study.making);
    let unit = robot.book.unit;
    let mut steps = Keys::default();
    let mut stages = Keys::default();
    Some(MakeOn {
        paper: match robot.book.paper {
            Paper::A4 => "A4".to_owned(),
            Paper::Letter => "letter".to_owned(),
        },
        measured: table::datum_words(making, Face::Front),
        steps: study.deep.as_ref()?.steps.iter().map(|s| step(robot, s, &mut steps)).collect(),
        stages: making.plan.stages.iter().map(|s| stage(study, s, &mut stages)).collect(),
        cuts: table::by_reel(&making.cuts).into_iter().map(|c| cut(robot, c)).collect(),
        fasteners: fasteners(study),
        shopping: shopping(study, unit),
    })
}

/// Keys that differ: a count where two would be alike.
#[derive(Default)]
struct Keys(BTreeMap<String, usize>);

impl Keys {
    fn new_for(&mut self, words: String) -> String {
        let count = self.0.entry(words.clone()).or_insert(0);
        *count += 1;
        if *count == 1 { words } else { format!("{words} #{count}") }
    }
}

fn step(robot: &Robot, s: &Step, keys: &mut Keys) -> StepOn {
    let unit = robot.book.unit;
    let said = |all: &[String]| all.iter().map(|t| in_unit(t, unit)).collect();
    let parts = s.adds.iter().map(|a| a.name().to_owned()).collect();
    let hardware = s.hardware.iter().map(|p| format!("{} × {}", p.count, piece_word(&p.piece)));
    StepOn {
        key: keys.new_for(format!("{}: {}", s.group.word(), s.heading)),
        number: s.number,
        group: s.group.word().to_owned(),
        heading: in_unit(&s.heading, unit),
        turn: book::lies(s),
        face: s.face.map(Into::into),
        words: said(&s.words),
        parts,
        wires: s.wires.iter().map(|w| robot.wires[w.0].name.clone()).collect(),
        tools: said(&s.tools),
        hardware: hardware.collect(),
        torques: book::torques(s),
        watch: said(&s.watch),
        cautions: said(&s.cautions),
        stages: s.stages.iter().map(|i| i + 1).collect(),
    }
}

fn stage(study: &Study, s: &Stage, keys: &mut Keys) -> StageOn {
    let unit = study.robot.book.unit;
    let tool = s.tool.word(unit);
    StageOn {
        // The tool by its millimetres: another unit in the book is no other work.
        key: keys.new_for(format!(
            "{}, {}, {}",
            s.operation.word(),
            s.tool.word(LengthUnit::Mm),
            s.lies.word()
        )),
        number: s.number,
        work: s.operation.word().to_owned(),
        tool,
        lies: s.lies.word().to_owned(),
        turn_over: s.turn_over,
        rpm: s.speed.map(|s| [s.slow.round(), s.fast.round()]),
        backing: in_unit(s.backing, unit),
        stops: book::stops(&study.making, s, unit),
        count: s.stops.len(),
        cautions: s.cautions.iter().map(|c| in_unit(c, unit)).collect(),
    }
}

fn cut(robot: &Robot, c: &Cut) -> CutOn {
    let end = |e: &End| EndOn { at: e.at.clone(), fit: e.kind.to_string(), strip_mm: milli(e.strip.0) };
    CutOn {
        wire: robot.wires[c.wire.0].name.clone(),
        reel: c.cable.map_or_else(
            || spool_word(&c.spool),
            |cable| format!("cable {}, core {}", robot.cables[cable.0].name, c.spool.colour),
        ),
        colour: insulation(c.spool.colour.base).to_owned(),
        cut_mm: milli(c.cut.0),
        from: end(&c.from),
        to: end(&c.to),
        note: table::cut_note(robot, c),
    }
}

/// Equal stacks of one thing together.
fn fasteners(study: &Study) -> Vec<FastenerOn> {
    let mut all: Vec<FastenerOn> = Vec::new();
    for stack in &study.making.fasteners {
        let pieces: Vec<String> = stack.pieces.iter().map(piece_word).collect();
        let mut faces: Vec<&str> = stack.screws.iter().map(|s| s.turned_from.word()).collect();
        faces.dedup();
        let (of, turned_from, fits) = (stack.subject.name(), faces.join(", "), stack.fits());
        let hole = stack.hole.map(|h| h + 1);
        let same = |f: &&mut FastenerOn| {
            f.of == of && f.pieces == pieces && f.turned_from == turned_from && f.fits == fits
        };
        if let Some(there) = all.iter_mut().find(same) {
            there.holes.extend(hole);
            continue;
        }
        all.push(FastenerOn {
            key: format!("{of}: {} from {turned_from}", pieces.join(" + ")),
            of: of.to_owned(),
            holes: hole.into_iter().collect(),
            pieces,
            turned_from,
            fits,
        });
    }
    let mut keys = Keys::default();
    for f in &mut all {
        f.key = keys.new_for(std::mem::take(&mut f.key));
    }
    all
}

/// The lines of the shopping list, as its table has them.
fn shopping(study: &Study, unit: LengthUnit) -> Vec<ShopOn> {
    let table = table::shopping(&study.making, unit);
    let row = |row: &Vec<Cell>| {
        let text = |i: usize| match row.get(i) {
            Some(Cell::Text(t)) => t.clone(),
            _ => String::new(),
        };
        let number = |i: usize| match row.get(i) {
            Some(Cell::Number(n, _)) => milli(*n),
            _ => 0.0,
        };
        ShopOn {
            group: text(0),
            item: text(1),
            needed: number(2),
            buy: number(3),
            unit: text(4),
            note: text(5),
        }
    };
    table.rows.iter().map(row).collect()
}
