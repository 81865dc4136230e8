//! Prints the surges of robots as networks with their course, for an independent integrator.
//!
//! `surge FOLDER…`: one JSON value for each folder: its surges, what the room found, and the time it took.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

mod common;

use loomdeck_power::faults::surge;
use serde_json::{Value, json};
use std::process::ExitCode;

fn main() -> ExitCode {
    common::print(common::each(&common::words(), surges))
}

fn surges(folder: &str) -> Result<Value, String> {
    common::on_ground(folder, |ground| {
        let found = common::timed(folder, || surge::study(ground));
        json!({
            "folder": folder,
            "surges": surge::export(ground),
            "found": found,
            "findings": surge::findings(ground, &found),
        })
    })
}
