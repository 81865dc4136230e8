//! Prints what is found about the packs of robots, with the data of batteries and chargers, for an
//! independent integrator.
//!
//! `pack FOLDER…`: one JSON value for each folder or file.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use loomdeck_model::Folder;
use loomdeck_model::element::ElementKind;
use loomdeck_power::faults::{Ground, pack};
use serde_json::{Value, json};
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    let mut all = Vec::new();
    for folder in std::env::args().skip(1) {
        match watched(&folder) {
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

fn watched(folder: &str) -> Result<Value, String> {
    let files = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&files);
    let robot = robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect::<String>())?;
    let geometry = loomdeck_space::study(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    let ground = Ground::of(&robot, &geometry, &power);
    let start = Instant::now();
    let found = pack::study(&ground);
    eprintln!("{folder}: {:.1} ms", start.elapsed().as_secs_f64() * 1e3);
    // By part: a battery and a charger where it has one.
    let elements: Vec<Value> = robot
        .parts
        .iter()
        .map(|p| {
            let of = |wanted: &str| {
                let elements = &robot.types[p.kind.0].elements;
                elements.iter().find(|e| e.kind.word() == wanted).map(|e| match &e.kind {
                    ElementKind::Battery(b) => json!(b),
                    ElementKind::Charger(c) => json!(c),
                    _ => Value::Null,
                })
            };
            json!({ "name": p.name, "battery": of("battery"), "charger": of("charger") })
        })
        .collect();
    let day: Vec<Value> = robot
        .day
        .iter()
        .map(|d| {
            let parts = &power.situations[d.situation.0].parts;
            json!({ "time_s": d.time, "parts": parts })
        })
        .collect();
    Ok(json!({
        "folder": folder,
        "parts": elements,
        "day": day,
        "found": found,
        "findings": pack::findings(&ground, &found),
    }))
}
