//! Prints what pushed and stopped robots do, for numerics of another kind.
//!
//! `motion FOLDER…`: one JSON value for each folder: the motors' data, the drivers' diodes, the wires'
//! resistances, and what the two rooms found. `motion coast`: drags from standard input, each
//! `{"points": [[v, F], …], "mass": m, "pull": F, "from": v}`, and how each comes to rest.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use loomdeck_model::element::ElementKind;
use loomdeck_model::{Folder, PartId, Robot, SituationId};
use loomdeck_power::faults::Ground;
use loomdeck_power::faults::motion::drag::Drag;
use loomdeck_power::faults::{motion, stop};
use serde_json::{Value, json};
use std::io::Read;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let run = if args.first().is_some_and(|a| a == "coast") {
        coast()
    } else {
        args.iter().map(|a| robot(a)).collect::<Result<Vec<_>, _>>().map(Value::Array)
    };
    match run {
        Ok(value) => {
            println!("{value}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
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

fn robot(folder: &str) -> Result<Value, String> {
    let path = Path::new(folder);
    let files = if path.is_dir() {
        Folder::load(path).map_err(|p| format!("{p:?}"))?
    } else {
        Folder::single(std::fs::read_to_string(path).map_err(|e| e.to_string())?)
    };
    let (robot, problems) = loomdeck_model::read(&files);
    let robot = robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect::<String>())?;
    let geometry = loomdeck_space::study(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    let ground = Ground::of(&robot, &geometry, &power);
    let start = Instant::now();
    let pushed = motion::study(&ground);
    let between = Instant::now();
    let stopped = stop::study(&ground);
    let end = Instant::now();
    eprintln!("{folder}: motion {:?}, stop {:?}", between - start, end - between);
    let mut told = motion::findings(&ground, &pushed);
    told.extend(stop::findings(&ground, &stopped));
    for f in &told {
        eprintln!("{} {}: {} {}", f.severity.word(), f.slug, f.what, f.why);
    }
    for line in pushed.good_news.iter().chain(&stopped.good_news) {
        eprintln!("well: {line}");
    }
    let ohms = ground.ohms(SituationId(0));
    let wires = robot.wires.iter().zip(&ohms).map(|(w, r)| json!({ "name": w.name, "ohm": r }));
    Ok(json!({
        "motors": elements(&robot, |k| match k {
            ElementKind::Motor(m) => Some(json!({
                "constant": m.constant, "ohm": m.resistance.0, "no_load_a": m.no_load.0, "ratio": m.gear_ratio,
                "efficiency": m.gear_efficiency, "wheel_m": m.wheel.map(|w| w.0 / 1000.0),
            })),
            _ => None,
        }),
        "drivers": elements(&robot, |k| match k {
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
    }))
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
