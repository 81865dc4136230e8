//! Prints the heat in the bodies of robots, with what it was computed from, for an independent integrator.
//!
//! `body FOLDER…`: one JSON value for each folder or file.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

mod common;

use loomdeck_power::faults::body;
use serde_json::{Value, json};
use std::process::ExitCode;

fn main() -> ExitCode {
    common::print(common::each(&common::words(), heat))
}

fn heat(folder: &str) -> Result<Value, String> {
    common::on_ground(folder, |ground| {
        let found = common::timed(folder, || body::study(ground));
        let body = &ground.robot.body;
        json!({
            "folder": folder,
            "body": body,
            "wall_w_per_m_k": body.as_ref().map(|b| b.wall.conductivity()),
            "factors": body::FACTORS,
            "found": found,
            "findings": body::findings(ground, &found),
        })
    })
}
