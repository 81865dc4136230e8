//! Steps of marking and drilling: stages of the drill plan that belong together.

use super::bench::{Bench, holes_word};
use super::{Group, Step};
use crate::plan::{Lies, Operation, Stage};
use crate::table::exact;
use loomdeck_model::Face;

/// Stages with the same number become one step.
const fn class(operation: Operation) -> u8 {
    match operation {
        Operation::Mark => 0,
        Operation::Pilot
        | Operation::Register
        | Operation::Drill
        | Operation::Pocket
        | Operation::Blind => 1,
        Operation::OpeningFirst | Operation::OpeningSecond => 3,
        Operation::Countersink | Operation::Deburr => 4,
        Operation::Saw | Operation::File => 5,
        Operation::EdgeRelief => 6,
    }
}

/// One step for each run of stages that belong together.
pub fn drill(bench: &mut Bench<'_>) {
    let stages = &bench.making.plan.stages;
    let key = |s: &Stage| {
        // With the board on its edge everything but sawing is one last round over the rims.
        let on_edge = s.lies == Lies::OnEdge && class(s.operation) != 5;
        (s.lies.word(), if on_edge { 6 } else { class(s.operation) })
    };
    let mut from = 0;
    while from < stages.len() {
        let run = stages[from..].iter().take_while(|s| key(s) == key(&stages[from])).count();
        let step = step(bench, from, from + run);
        bench.done(step);
        from += run;
    }
}

fn step(bench: &Bench<'_>, from: usize, to: usize) -> Step {
    let stages = &bench.making.plan.stages[from..to];
    let first = &stages[0];
    let on = match first.lies {
        Lies::Up(face) => format!("the {}", face.word()),
        Lies::OnEdge => "the edges".to_owned(),
    };
    let heading = match (class(first.operation), first.lies) {
        (0, _) => format!("Mark {on}"),
        (1, _) => format!("Drill {on}"),
        (3, _) if first.operation == Operation::OpeningFirst => {
            format!("Large holes from {on}, half-way")
        }
        (3, _) => format!("Large holes from {on}, the rest"),
        (4, Lies::Up(_)) => match first.operation {
            Operation::Countersink => format!("Countersink and deburr {on}"),
            _ => format!("Deburr {on}"),
        },
        (5, _) => "Saw and file the openings".to_owned(),
        _ => "Deburr and break the edges".to_owned(),
    };
    let group = if first.lies == Lies::OnEdge && class(first.operation) != 5 {
        Group::Set
    } else {
        Group::Drill
    };
    let mut step = bench.step(group, heading);
    step.stages = (from..to).collect();
    step.face = match first.lies {
        Lies::Up(face) => Some(face),
        Lies::OnEdge => None,
    };
    for stage in stages {
        step.holes.extend(stage.stops.iter().filter_map(|s| s.hole));
        step.pick_up([stage.tool.word(bench.unit())]);
        step.words.push(words(bench, stage));
        for caution in &stage.cautions {
            let list = if caution.starts_with("Wear") { &mut step.cautions } else { &mut step.watch };
            if !list.contains(caution) {
                list.push(caution.clone());
            }
        }
    }
    if let (Some(pins), Lies::Up(Face::Back), Operation::Mark) =
        (&bench.making.plan.registration, first.lies, first.operation)
    {
        let holes = holes_word(pins.holes.into_iter());
        step.words.insert(0, format!("The template lies on {holes}."));
    }
    step
}

/// What one stage does, in a sentence: `Drill through with the 5.5 mm bit: 44 holes, 2.5 m of way.`
fn words(bench: &Bench<'_>, stage: &Stage) -> String {
    let unit = bench.unit();
    let holes = stage.stops.iter().filter(|s| s.hole.is_some()).count();
    let many = match (holes, stage.operation) {
        (0, _) => "the outer edge".to_owned(),
        (n, Operation::EdgeRelief) => format!("{n} openings and the outer edge"),
        (1, _) => "1 place".to_owned(),
        (n, _) => format!("{n} places"),
    };
    let what = stage.operation.word();
    let mut text = format!("{}, {}: {many}", capital(what), stage.tool.word(unit));
    if let (Operation::Register, Some(pins)) = (stage.operation, &bench.making.plan.registration) {
        // Nobody measures that on a board to a hundredth.
        let apart = loomdeck_model::units::Millimetres((pins.apart.0 * 10.0).round() / 10.0);
        text.push_str(&format!("; they must then be {} apart", exact(apart, unit)));
    }
    if let Some(speed) = &stage.speed {
        let turns = if speed.fast > speed.slow {
            format!("{:.0} to {:.0}", speed.slow, speed.fast)
        } else {
            format!("{:.0}", speed.fast)
        };
        text.push_str(&format!("; {turns} turns a minute"));
    }
    if !stage.backing.is_empty() {
        text.push_str(&format!("; {}", stage.backing));
    }
    text.push('.');
    text
}

/// With a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}
