//! The order of work and the drill plan: steps with their pictures, in words.

use super::data::{Drill, StageRow, StepGroup, StepLine, StepPart, Table};
use super::{Files, front};
use crate::face::Matter;
use crate::palette::Theme;
use crate::steps::{self, Scene};
use crate::words;
use loomdeck_make::plan::{Lies, Plan, Stage};
use loomdeck_make::shopping::piece_word;
use loomdeck_make::steps::Group;
use loomdeck_make::{Making, Step};
use loomdeck_model::{LengthUnit, Paper, Robot, WireId};

/// Room for a picture beside its words, mm: four of them stand on a page.
const fn picture_room(robot: &Robot) -> (f64, f64) {
    match robot.book.paper {
        Paper::A4 => (84.0, 58.0),
        Paper::Letter => (77.0, 53.0),
    }
}
/// Stages with no more places than this have no map.
const FEW: usize = 2;

/// The order of work; steps of one kind that follow one another stand under one heading.
pub fn order(matter: &Matter<'_>, steps: &[Step], files: &mut Files) -> Vec<StepGroup> {
    let runs = steps.chunk_by(|a, b| a.group == b.group);
    let each = runs.map(|run| StepGroup {
        title: super::making::capital(run[0].group.word()),
        steps: run.iter().map(|s| step(matter, s, files)).collect(),
    });
    each.collect()
}

fn step(matter: &Matter<'_>, step: &Step, files: &mut Files) -> StepPart {
    let unit = matter.robot.book.unit;
    let said = |text: &String| front::quoted(&front::in_unit(text, unit));
    // The drill plan has its own pictures; a check is made with a meter, not on a drawing.
    let drawn = !matches!(step.group, Group::Drill | Group::Checks);
    let sketch = drawn
        .then(|| {
            steps::sketch(matter, &Scene::of(matter, step), Theme::Paper, picture_room(matter.robot))
        })
        .flatten();
    let keys = sketch.as_ref().map(|s| s.keys.clone()).unwrap_or_default();
    let picture =
        sketch.map(|s| files.picture(&format!("step-{}", step.number), s.svg, &step.heading, s.width));
    let hardware = step.hardware.iter().map(|p| format!("{} × {}", p.count, piece_word(&p.piece)));
    StepPart {
        number: step.number,
        heading: front::quoted(&front::in_unit(&step.heading, unit)),
        lies: lies(step),
        picture,
        keys,
        words: step.words.iter().map(|w| sentence_of(matter, step, w, unit)).collect(),
        tools: step.tools.join(", "),
        // Screws are bought by the size on their box.
        hardware: hardware.collect(),
        torques: torques(step),
        watch: step.watch.iter().map(said).collect(),
        cautions: step.cautions.iter().map(said).collect(),
        stages: stages(&step.stages),
    }
}

/// Equal torques together.
pub fn torques(step: &Step) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for t in &step.torques {
        let torque = t.torque.to_string();
        match groups.iter_mut().find(|g| g.0 == torque) {
            Some(g) => g.1.push(&t.at),
            None => groups.push((torque, vec![&t.at])),
        }
    }
    groups.into_iter().map(|(torque, at)| format!("{torque} at {}", at.join(", "))).collect()
}

/// What to do with the board before a step; empty: nothing.
pub fn lies(step: &Step) -> String {
    match (step.turn_over, step.face) {
        (true, Some(face)) => format!("Turn the board over: {} up.", face.word()),
        _ => String::new(),
    }
}

/// Which stages of the drill plan a step is: runs of numbers as from–to.
fn stages(indices: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for number in indices.iter().map(|i| i + 1) {
        match runs.last_mut() {
            Some((_, to)) if *to + 1 == number => *to = number,
            _ => runs.push((number, number)),
        }
    }
    let each = runs.iter().map(|(a, b)| if a == b { a.to_string() } else { format!("{a}–{b}") });
    each.collect::<Vec<_>>().join(", ")
}

/// A sentence of a step; one about a wire that is made is ticked off.
fn sentence_of(matter: &Matter<'_>, step: &Step, text: &str, unit: LengthUnit) -> StepLine {
    let begins = |w: &WireId| {
        let rest = text.strip_prefix(matter.robot.wires[w.0].name.as_str());
        rest.is_some_and(|r| r.starts_with([' ', ':', ',']))
    };
    let tick = step.wires.iter().any(begins);
    StepLine { text: front::quoted(&front::in_unit(text, unit)), tick }
}

/// The drill plan, stage by stage.
pub fn drill(matter: &Matter<'_>, files: &mut Files) -> Drill {
    let plan = &matter.making.plan;
    let unit = matter.robot.book.unit;
    let shared = shared(&plan.stages);
    let stages = plan.stages.iter().map(|s| stage(matter, s, &shared, files)).collect();
    let always = shared.iter().map(|c| front::quoted(&front::in_unit(c, unit))).collect();
    Drill { note: note(plan, unit), always, stages, tools: tools(plan, unit) }
}

/// Cautions that hold for at least half of the stages with a drill: told once.
fn shared(stages: &[Stage]) -> Vec<String> {
    let drilled: Vec<&Stage> = stages.iter().filter(|s| s.speed.is_some()).collect();
    let mut seen: Vec<&String> = Vec::new();
    for caution in drilled.iter().flat_map(|s| &s.cautions) {
        if !seen.contains(&caution) {
            seen.push(caution);
        }
    }
    let often =
        |c: &&String| 2 * drilled.iter().filter(|s| s.cautions.contains(c)).count() > drilled.len();
    seen.into_iter().filter(often).cloned().collect()
}

fn note(plan: &Plan, unit: LengthUnit) -> Vec<String> {
    if plan.stages.is_empty() {
        return Vec::new();
    }
    let turns = match plan.turns {
        0 => "the board stays as it lies".to_owned(),
        1 => "the board is turned over once".to_owned(),
        n => format!("the board is turned over {n} times"),
    };
    let mut notes = vec![format!(
        "Tool by tool, each bit’s holes in an order with little walking, from the green corner on: {} of way for \
         the hand in all, {} if you took the holes by their numbers; {turns}. Numbers are those of the hole \
         table; in a stage they stand in the order of the work.",
        words::long(plan.travel.0, unit),
        words::long(plan.travel_by_number.0, unit),
    )];
    if let Some(r) = plan.registration {
        let [a, b] = r.holes.map(|h| h + 1);
        notes.push(format!(
            "Holes {a} and {b} carry the template of the back. When they are drilled, measure from centre to \
             centre: {}. If it is not, find out why before you go on.",
            words::length(r.apart.0, unit)
        ));
    }
    notes
}

/// One tool a row: what to lay out before beginning.
fn tools(plan: &Plan, unit: LengthUnit) -> Table {
    let heads = [">stage", "**tool", "**what it does", "the board lies", ">places", ">turns/min"];
    let mut t = Table::new("Tools, in order", &heads, "");
    for s in &plan.stages {
        t.row([
            s.number.to_string(),
            s.tool.word(unit),
            s.operation.word().to_owned(),
            s.lies.word().to_owned(),
            s.stops.len().to_string(),
            speed(s),
        ]);
    }
    t
}

fn speed(stage: &Stage) -> String {
    stage.speed.map_or_else(String::new, |s| {
        let (slow, fast) = (s.slow.round(), s.fast.round());
        if slow < fast { format!("{slow}–{fast}") } else { slow.to_string() }
    })
}

fn stage(matter: &Matter<'_>, stage: &Stage, shared: &[String], files: &mut Files) -> StageRow {
    let unit = matter.robot.book.unit;
    let said = |text: &String| front::quoted(&front::in_unit(text, unit));
    // One hole or two are found without a map.
    let sketch = (stage.stops.len() > FEW)
        .then(|| steps::tour(matter, stage, Theme::Paper, picture_room(matter.robot)))
        .flatten();
    let title = format!("{}, {}", super::making::capital(stage.operation.word()), stage.tool.word(unit));
    let picture =
        sketch.map(|s| files.picture(&format!("stage-{}", stage.number), s.svg, &title, s.width));
    let mut facts = Vec::new();
    if stage.turn_over {
        let face = match stage.lies {
            Lies::Up(face) => format!("Turn the board over: {} up.", face.word()),
            Lies::OnEdge => "Stand the board on its edge.".to_owned(),
        };
        facts.push(face);
    } else if stage.lies == Lies::OnEdge {
        facts.push("The board stands on its edge.".to_owned());
    }
    if stage.speed.is_some() {
        facts.push(format!("Start at {} turns a minute.", speed(stage)));
    }
    if !stage.backing.is_empty() {
        facts.push(front::in_unit(&sentence(stage.backing), unit));
    }
    StageRow {
        number: stage.number,
        title,
        picture,
        facts,
        stops: stops(matter.making, stage, unit),
        cautions: stage.cautions.iter().filter(|c| !shared.contains(c)).map(said).collect(),
    }
}

/// First letter large, full stop at the end.
fn sentence(text: &str) -> String {
    let text = super::making::capital(text.trim_end_matches('.'));
    format!("{text}.")
}

/// The places in order; runs with the same diameter and depth are told together.
pub fn stops(making: &Making, stage: &Stage, unit: LengthUnit) -> Vec<String> {
    let mut runs: Vec<(String, Vec<String>)> = Vec::new();
    let tells_size = stage.stops.iter().any(|s| s.depth.is_some());
    for stop in &stage.stops {
        let name = match stop.hole {
            None => "the outer edge".to_owned(),
            Some(h) => {
                let sawn = making.holes.get(h).is_some_and(loomdeck_make::Hole::is_sawn);
                let piece = if sawn {
                    char::from(b'a' + (stop.piece % 26) as u8).to_string()
                } else {
                    String::new()
                };
                format!("{}{piece}", h + 1)
            }
        };
        let size = match (stop.diameter, stop.depth) {
            (Some(d), Some(t)) if tells_size => {
                format!("to {} across, {} deep", words::length(d.0, unit), words::length(t.0, unit))
            }
            (None, Some(t)) => format!("{} deep", words::length(t.0, unit)),
            _ => String::new(),
        };
        match runs.last_mut() {
            Some((s, names)) if *s == size => names.push(name),
            _ => runs.push((size, vec![name])),
        }
    }
    let each = runs.into_iter().map(|(size, names)| {
        let list = names.join(", ");
        if size.is_empty() { list } else { format!("{list}: {size}") }
    });
    each.collect()
}
