//! Prints the heat in the bodies of robots, with what it was computed from, for an independent integrator.
//!
//! `body FOLDER…`: one JSON value for each folder or file.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use loomdeck_model::Folder;
use loomdeck_power::faults::{Ground, body};
use serde_json::{Value, json};
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    let mut all = Vec::new();
    for folder in std::env::args().skip(1) {
        match heat(&folder) {
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

fn heat(folder: &str) -> Result<Value, String> {
    let files = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&files);
    let robot = robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect::<String>())?;
    let geometry = loomdeck_space::study(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    let ground = Ground::of(&robot, &geometry, &power);
    let start = Instant::now();
    let found = body::study(&ground);
    eprintln!("{folder}: {:.1} ms", start.elapsed().as_secs_f64() * 1e3);
    Ok(json!({
        "folder": folder,
        "body": robot.body,
        "wall_w_per_m_k": robot.body.as_ref().map(|b| b.wall.conductivity()),
        "factors": body::FACTORS,
        "found": found,
        "findings": body::findings(&ground, &found),
    }))
}
