//! Prints shorted networks with their solutions, for an independent solver: `shorts FOLDER…` gives one list
//! for each robot, with shorts between ends and middles of its wires and the ends of others. `shorts rows
//! FOLDER…` gives what the study of shorts says of each robot.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

mod common;

use loomdeck_model::SituationId;
use loomdeck_power::faults::{Ground, short};
use loomdeck_power::solver::sweep::Place;
use serde_json::Value;
use std::process::ExitCode;

/// Shorts of each robot at most.
const MOST: usize = 24;

fn main() -> ExitCode {
    let words = common::words();
    common::print(match words.split_first() {
        Some((first, folders)) if first == "rows" => common::each(folders, study),
        _ => common::each(&words, |folder| common::on_ground(folder, shorts)?),
    })
}

fn value(of: impl serde::Serialize) -> Result<Value, String> {
    serde_json::to_value(of).map_err(|why| why.to_string())
}

fn study(folder: &str) -> Result<Value, String> {
    common::on_ground(folder, |ground| value(short::study(ground)))?
}

fn shorts(ground: &Ground<'_>) -> Result<Value, String> {
    let robot = ground.robot;
    let count = robot.wires.len();
    let stride = count.div_ceil(MOST).max(1);
    let end = |w: usize| ground.circuit.node(robot, robot.wires[w % count].to);
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
    value(short::exported(ground, id, &pairs))
}
