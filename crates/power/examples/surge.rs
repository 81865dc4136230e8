//! Prints the surges of robots as networks with their course, for an independent integrator.
//!
//! `surge FOLDER…`: one JSON value for each folder: its surges, what the room found, and the time it took.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use loomdeck_model::Folder;
use loomdeck_power::faults::{Ground, surge};
use serde_json::{Value, json};
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    let mut all = Vec::new();
    for folder in std::env::args().skip(1) {
        match surges(&folder) {
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

fn surges(folder: &str) -> Result<Value, String> {
    let files = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&files);
    let robot = robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect::<String>())?;
    let geometry = loomdeck_space::study(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    let ground = Ground::of(&robot, &geometry, &power);
    let start = Instant::now();
    let found = surge::study(&ground);
    eprintln!("{folder}: {:.1} ms", start.elapsed().as_secs_f64() * 1e3);
    let findings = surge::findings(&ground, &found);
    Ok(json!({
        "folder": folder,
        "surges": surge::export(&ground),
        "found": found,
        "findings": findings,
    }))
}
