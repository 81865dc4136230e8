//! Prints what is found about the packs of robots, with the data of batteries and chargers, for an
//! independent integrator.
//!
//! `pack FOLDER…`: one JSON value for each folder or file.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

mod common;

use loomdeck_model::element::ElementKind;
use loomdeck_power::faults::{Ground, pack};
use serde_json::{Value, json};
use std::process::ExitCode;

fn main() -> ExitCode {
    common::print(common::each(&common::words(), |folder| {
        common::on_ground(folder, |ground| watched(folder, ground))
    }))
}

fn watched(folder: &str, ground: &Ground<'_>) -> Value {
    let (robot, power) = (ground.robot, ground.power);
    let found = common::timed(folder, || pack::study(ground));
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
    json!({
        "folder": folder,
        "parts": elements,
        "day": day,
        "found": found,
        "findings": pack::findings(ground, &found),
    })
}
