//! Prints what pushed and stopped robots do, for numerics of another kind.
//!
//! `motion FOLDER…`: one JSON value for each folder: the motors' data, the drivers' diodes, the wires'
//! resistances, and what the two rooms found. `motion coast`: drags from standard input, each
//! `{"points": [[v, F], …], "mass": m, "pull": F, "from": v}`, and how each comes to rest.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

mod common;

use loomdeck_model::element::ElementKind;
use loomdeck_model::{PartId, Robot, SituationId};
use loomdeck_power::faults::Ground;
use loomdeck_power::faults::motion::drag::Drag;
use loomdeck_power::faults::{motion, stop};
use serde_json::{Value, json};
use std::io::Read;
use std::process::ExitCode;

fn main() -> ExitCode {
    let words = common::words();
    common::print(if words.first().is_some_and(|a| a == "coast") {
        coast()
    } else {
        common::each(&words, |folder| common::on_ground(folder, |ground| moved(folder, ground)))
    })
}

fn coast() -> Result<Value, String> {
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text).map_err(|e| e.to_string())?;
    let asked: Vec<Value> = serde_json::from_str(&text).map_err(|e| e.to_string())?;
    let one = |v: &Value| {
        let number = |key: &str| v[key].as_f64().unwrap_or(0.0);
        let points = v["points"].as_array().cloned().unwrap_or_default();
        let pair = |p: &Value| (p[0].as_f64().unwrap_or(0.0), p[1].as_f64().unwrap_or(0.0));
        let drag = Drag { points: points.iter().map(pair).collect() };
        json!(drag.coast(number("mass"), number("pull"), number("from")))
    };
    Ok(Value::Array(asked.iter().map(one).collect()))
}

fn moved(folder: &str, ground: &Ground<'_>) -> Value {
    let robot = ground.robot;
    let pushed = common::timed(&format!("{folder}, motion"), || motion::study(ground));
    let stopped = common::timed(&format!("{folder}, stop"), || stop::study(ground));
    let mut told = motion::findings(ground, &pushed);
    told.extend(stop::findings(ground, &stopped));
    for f in &told {
        eprintln!("{} {}: {} {}", f.severity.word(), f.slug, f.what, f.why);
    }
    for line in pushed.good_news.iter().chain(&stopped.good_news) {
        eprintln!("well: {line}");
    }
    let ohms = ground.ohms(SituationId(0));
    let wires = robot.wires.iter().zip(&ohms).map(|(w, r)| json!({ "name": w.name, "ohm": r }));
    json!({
        "motors": elements(robot, |k| match k {
            ElementKind::Motor(m) => Some(json!({
                "constant": m.constant, "ohm": m.resistance.0, "no_load_a": m.no_load.0, "ratio": m.gear_ratio,
                "efficiency": m.gear_efficiency, "wheel_m": m.wheel.map(|w| w.0 / 1000.0),
            })),
            _ => None,
        }),
        "drivers": elements(robot, |k| match k {
            ElementKind::Driver(d) => Some(json!({
                "diode_v": d.body_diode.0, "diode_a": d.continuous.0, "slope_v": loomdeck_power::circuit::BODY_SLOPE,
                "on_ohm": d.on_resistance.0, "peak_a": d.peak.0, "idle_a": d.idle.0,
            })),
            _ => None,
        }),
        "mass_kg": robot.motion.mass.map(|m| m.0),
        "rolling": robot.motion.rolling_resistance,
        "wires": wires.collect::<Vec<_>>(),
        "motion": pushed,
        "stop": stopped,
    })
}

fn elements(robot: &Robot, take: impl Fn(&ElementKind) -> Option<Value>) -> Value {
    let mut all = Vec::new();
    for part in (0..robot.parts.len()).map(PartId) {
        for e in &robot.type_of(part).elements {
            if let Some(mut value) = take(&e.kind) {
                value["name"] = json!(robot.parts[part.0].name);
                all.push(value);
            }
        }
    }
    Value::Array(all)
}
