//! Prints as JSON what hands and tools must reach on the board of a robot, the room of its wires' bends,
//! and everything that stands there. The checks in `verify/` hold it against a geometry library.
//!
//! `cargo run --release -p loomdeck-space --example reach -- FOLDER_OR_FILE`
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "it is there to print")]

use loomdeck_model::{Folder, Robot, read};
use loomdeck_space::access::{Job, Need};
use loomdeck_space::{Owner, bend};
use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(path) = std::env::args().nth(1) else {
        eprintln!("Give the folder or file of a robot.");
        return ExitCode::FAILURE;
    };
    match robot(Path::new(&path)) {
        Ok(robot) => {
            println!("{}", told(&robot));
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn robot(path: &Path) -> Result<Robot, String> {
    let told = |problems: &[loomdeck_model::Problem]| {
        problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    let folder = if path.is_dir() {
        Folder::load(path).map_err(|problems| told(&problems))?
    } else {
        Folder::single(&std::fs::read_to_string(path).map_err(|e| e.to_string())?)
    };
    let (robot, problems) = read(&folder);
    robot.ok_or_else(|| told(&problems))
}

/// It is done with the board in the body.
fn in_body(robot: &Robot, need: &Need) -> bool {
    match (&need.job, need.owner) {
        (Job::Unplug, _) | (_, None) => true,
        (Job::Reach { need }, Some(Owner::Part(p))) => robot.type_of(p).reach[*need].in_place,
        _ => false,
    }
}

fn told(robot: &Robot) -> serde_json::Value {
    let geometry = loomdeck_space::study(robot);
    let bends: Vec<serde_json::Value> = geometry
        .bends
        .iter()
        .map(|b| {
            serde_json::json!({
                "bend": b,
                "wire_name": robot.wires[b.wire.0].name,
                "need": b.need(),
                "stiff": b.stiff(),
            })
        })
        .collect();
    serde_json::json!({
        "board": robot.board.as_ref().map(|b| {
            serde_json::json!({
                "outline": b.outline,
                "depth_front": b.depth_front,
                "depth_back": b.depth_back,
                "edge_room": b.edge_room,
            })
        }),
        "parts": robot.parts.iter().map(|p| &p.name).collect::<Vec<_>>(),
        "plugs": robot.plugs.iter().map(|p| &p.name).collect::<Vec<_>>(),
        "faces": geometry.faces,
        "needs": geometry.access.needs,
        "in_body": geometry.access.needs.iter().map(|n| in_body(robot, n)).collect::<Vec<_>>(),
        "bends": bends,
        "facing": bend::facing(&geometry.faces, &geometry.bends),
    })
}
