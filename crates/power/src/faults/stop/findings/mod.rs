//! What the builder must know of stopping: one file per kind of finding.

mod no_stop_takes_the_motors_off;
mod radio_loss_keeps_moving;
mod stop_breaks_return_only;
mod stop_leaves_something_moving;
mod welded_contact_defeats_stop;

use super::Stopping;
use crate::faults::Ground;
use loomdeck_model::{Finding, Page};

/// A page per kind.
pub const PAGES: &[Page] = &[
    no_stop_takes_the_motors_off::PAGE,
    radio_loss_keeps_moving::PAGE,
    stop_breaks_return_only::PAGE,
    stop_leaves_something_moving::PAGE,
    welded_contact_defeats_stop::PAGE,
];

/// All findings of this room.
pub fn all(ground: &Ground<'_>, found: &Stopping) -> Vec<Finding> {
    let robot = ground.robot;
    let mut out = Vec::new();
    no_stop_takes_the_motors_off::find(robot, found, &mut out);
    radio_loss_keeps_moving::find(robot, found, &mut out);
    stop_breaks_return_only::find(robot, found, &mut out);
    stop_leaves_something_moving::find(robot, found, &mut out);
    welded_contact_defeats_stop::find(robot, found, &mut out);
    out
}

/// Words for a list of names.
pub fn names(all: &[String]) -> String {
    crate::faults::motion::names(all.iter().map(String::as_str))
}

/// What every stop of a moving machine is held against.
pub const SOURCE: &str = "ISO 13850 (emergency stop takes precedence over all else and acts on the power of what is dangerous; from memory); local rules decide";
