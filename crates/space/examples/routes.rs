//! Prints the ways of wires, for libraries of another kind.
//!
//! `routes FOLDER…`: one JSON value for each folder. `routes rules`: bundles of equal wires, bend radii, tie
//! spacing and slack.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use loomdeck_model::units::Millimetres;
use loomdeck_model::{Folder, Slack};
use loomdeck_space::route::{CLEARANCES, LEAST_BEND, class_of, path};
use loomdeck_space::{Leg, lengths, packing, ties};
use serde_json::{Value, json};
use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    if args.iter().any(|a| a == "rules") {
        println!("{}", rules());
        return ExitCode::SUCCESS;
    }
    let mut all = Vec::new();
    for folder in &args {
        match board(folder) {
            Ok(value) => all.push(value),
            Err(why) => {
                eprintln!("{folder}: {why}");
                return ExitCode::from(2);
            }
        }
    }
    println!("{}", Value::Array(all));
    ExitCode::SUCCESS
}

fn rules() -> Value {
    let bundles: Vec<Value> = (1..=19)
        .map(
            |n| json!({ "n": n, "ratio": packing::bundle_diameter(&vec![Millimetres(2.0); n]).0 / 2.0 }),
        )
        .collect();
    let spacing: Vec<Value> = [3.0, 6.3, 6.5, 12.0, 13.0, 25.0, 26.0, 40.0]
        .iter()
        .map(|d| {
            let d = Millimetres(*d);
            let (harness, board) = (ties::harness_spacing(d).0, ties::spacing(d).0);
            json!({ "bundle_mm": d.0, "harness_mm": harness, "board_mm": board, "tie_mm": ties::tie_length(d).0 })
        })
        .collect();
    json!({
        "bundles": bundles,
        "ties": spacing,
        "bend_over_diameter": LEAST_BEND,
        "moving_bend_over_diameter": lengths::MOVING_BEND,
    })
}

fn board(folder: &str) -> Result<Value, String> {
    let files = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&files);
    let robot = robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect::<String>())?;
    let g = loomdeck_space::study(&robot);
    let wires: Vec<Value> = g
        .wires
        .iter()
        .map(|run| {
            let wire = &robot.wires[run.wire.0];
            let thick = wire.insulation.outside_diameter(wire.gauge).0;
            let along = |leg: &Leg| match leg {
                Leg::Along { points, radii, .. } => path::length(points, radii),
                _ => 0.0,
            };
            json!({
                "name": wire.name,
                "outside_mm": thick,
                "clearance_mm": CLEARANCES[class_of(thick)],
                "blocked": g.blocked.iter().any(|b| b.wire == run.wire),
                "length_mm": run.length.0,
                "along_mm": run.legs.iter().map(along).sum::<f64>(),
                "alone_mm": run.alone.map(|a| a.0),
                "cut_mm": run.cut.0,
                "service": run.slack == Slack::Service,
                "slack_mm": lengths::end_slack(&robot, run.slack).0,
            })
        })
        .collect();
    Ok(json!({ "folder": folder, "wires": wires, "gaps": g.gaps }))
}
