//! What the examples share: robots named on the command line, and one JSON value for each.
#![allow(dead_code, reason = "no example needs all of it")]

use loomdeck_model::{Folder, Robot};
use loomdeck_power::faults::Ground;
use serde_json::Value;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

/// The words behind the program's name.
pub fn words() -> Vec<String> {
    std::env::args().skip(1).collect()
}

/// Prints a value, or why there is none.
pub fn print(value: Result<Value, String>) -> ExitCode {
    match value {
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

/// One value for each folder or file, up to the first that has none.
pub fn each(folders: &[String], of: impl Fn(&str) -> Result<Value, String>) -> Result<Value, String> {
    folders.iter().map(|f| of(f).map_err(|why| format!("{f}: {why}"))).collect()
}

/// The robot of a folder or file.
pub fn read(folder: &str) -> Result<Robot, String> {
    let files = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&files);
    robot.ok_or_else(|| problems.iter().map(ToString::to_string).collect())
}

/// Looks at a robot from what every room of faults starts from.
pub fn on_ground<T>(folder: &str, look: impl FnOnce(&Ground<'_>) -> T) -> Result<T, String> {
    let robot = read(folder)?;
    let geometry = loomdeck_space::study(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    Ok(look(&Ground::of(&robot, &geometry, &power)))
}

/// Does something and says on standard error how long it took.
pub fn timed<T>(what: &str, work: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let done = work();
    eprintln!("{what}: {:.1} ms", start.elapsed().as_secs_f64() * 1e3);
    done
}
