//! Prints shorted networks with their solutions, for an independent solver: `shorts FOLDER…` gives one list
//! for each robot, with shorts between ends and middles of its wires and the ends of others. `shorts rows
//! FOLDER…` gives what the study of shorts says of each robot.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use loomdeck_model::{Folder, Robot, SituationId};
use loomdeck_power::faults::{Ground, short};
use loomdeck_power::solver::sweep::Place;
use serde_json::Value;
use std::path::Path;
use std::process::ExitCode;

/// Shorts of each robot at most.
const MOST: usize = 24;

fn main() -> ExitCode {
    let mut folders: Vec<String> = std::env::args().skip(1).collect();
    let rows = folders.first().is_some_and(|f| f == "rows");
    folders.drain(..usize::from(rows));
    let mut all = Vec::new();
    for folder in folders {
        match if rows { study(&folder) } else { shorts(&folder) } {
            Ok(value) => all.push(value),
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

fn read(folder: &str) -> Result<Robot, String> {
    let files = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&files);
    robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect::<String>())
}

fn value(of: impl serde::Serialize) -> Result<Value, String> {
    serde_json::to_value(of).map_err(|why| why.to_string())
}

fn study(folder: &str) -> Result<Value, String> {
    let robot = read(folder)?;
    let geometry = loomdeck_space::study(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    value(short::study(&Ground::of(&robot, &geometry, &power)))
}

fn shorts(folder: &str) -> Result<Value, String> {
    let robot = read(folder)?;
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
    value(short::exported(&ground, id, &pairs))
}
