//! Robots from text, for tests of every crate.

use crate::Robot;
use crate::read::{Folder, read};

/// The robot of one text.
///
/// # Panics
/// When the text has problems; the message lists them.
#[allow(clippy::panic, reason = "this is for tests")]
pub fn robot(text: &str) -> Robot {
    let (robot, problems) = read(&Folder::single(text));
    match robot {
        Some(robot) => robot,
        None => {
            let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("{}\n{text}", told.join("\n"));
        }
    }
}
