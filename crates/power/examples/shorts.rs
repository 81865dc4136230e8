//! Prints shorted networks with their solutions, for an independent solver: `shorts FOLDER…` gives one list
//! for each robot, with shorts between ends and middles of its wires and the ends of others.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use loomdeck_model::{Folder, SituationId};
use loomdeck_power::faults::{Ground, short};
use loomdeck_power::netlist::Exported;
use loomdeck_power::solver::sweep::Place;
use std::path::Path;
use std::process::ExitCode;

/// Shorts of each robot at most.
const MOST: usize = 24;

fn main() -> ExitCode {
    let mut all = Vec::new();
    for folder in std::env::args().skip(1) {
        match shorts(&folder) {
            Ok(list) => all.push(list),
            Err(why) => {
                eprintln!("{folder}: {why}");
                return ExitCode::from(2);
            }
        }
    }
    match serde_json::to_string(&all) {
        Ok(text) => {
            println!("{text}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
}

fn shorts(folder: &str) -> Result<Vec<Exported>, String> {
    let files = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&files);
    let robot = robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect::<String>())?;
    let geometry = loomdeck_space::study(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    let ground = Ground::of(&robot, &geometry, &power);
    let count = robot.wires.len();
    let stride = count.div_ceil(MOST).max(1);
    let end = |w: usize| ground.circuit.node(&robot, robot.wires[w % count].to);
    let pairs: Vec<(Place, usize)> = (0..count)
        .step_by(stride)
        .map(|w| {
            let item = ground.circuit.wire_item[w];
            // Far and near, end and middle, in a fixed order.
            let place = if w % 2 == 0 { Place::Node(end(w)) } else { Place::Along(item, 0.3) };
            (place, end(5 * w + 3))
        })
        .filter(|(place, back)| *place != Place::Node(*back))
        .collect();
    let busiest =
        robot.situations.iter().enumerate().max_by_key(|(i, s)| (s.closed.len(), usize::MAX - i));
    let id = busiest.map(|(i, _)| SituationId(i)).ok_or("it has no situation")?;
    Ok(short::exported(&ground, id, &pairs))
}
