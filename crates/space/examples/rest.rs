//! Prints how boards lie, stand, bend and come out, for libraries of another kind.
//!
//! `rest FOLDER…`: one JSON value for each folder, with what stands on the faces. `rest hardware`: the
//! sizes of screws, nuts and washers by thread.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use loomdeck_model::Folder;
use loomdeck_model::part_type::{Head, Thread};
use loomdeck_space::hardware::{self, Fit};
use loomdeck_space::screw;
use serde_json::{Value, json};
use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    if args.iter().any(|a| a == "hardware") {
        println!("{}", Value::Array(Thread::ALL.into_iter().map(sizes).collect()));
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

fn board(folder: &str) -> Result<Value, String> {
    let files = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&files);
    let robot = robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect::<String>())?;
    let g = loomdeck_space::study(&robot);
    let out = loomdeck_space::takeout::take_out(&robot, &g.faces);
    Ok(json!({ "folder": folder, "faces": g.faces, "rest": g.rest, "take_out": out }))
}

fn sizes(t: Thread) -> Value {
    let head = |h| {
        let s = hardware::head(t, h);
        json!({ "diameter_mm": s.diameter.0, "height_mm": s.height.0 })
    };
    let (nut, washer) = (hardware::nut(t), hardware::washer(t));
    let clearance = [Fit::Close, Fit::Normal, Fit::Loose].map(|f| hardware::clearance_hole(t, f).0);
    json!({
        "thread": t.word(),
        "major_mm": t.major().0,
        "pitch_mm": hardware::pitch(t).0,
        "clearance_mm": clearance,
        "tap_mm": hardware::tap_drill(t).0,
        "socket": head(Head::Socket),
        "countersunk": head(Head::Countersunk),
        "pan": head(Head::Pan),
        "nut": {
            "flats_mm": nut.across_flats.0,
            "corners_mm": nut.across_corners.0,
            "height_mm": nut.height.0,
        },
        "washer": {
            "inside_mm": washer.inside.0,
            "outside_mm": washer.outside.0,
            "thickness_mm": washer.thickness.0,
        },
        "lengths_mm": screw::lengths(t),
    })
}
