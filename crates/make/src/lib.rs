//! How it is made: holes, fasteners, cutting, order of work. Draws and prints nothing.
//!
//! [`study`] turns a robot and its geometry into a [`Making`]; [`findings()`] says what of it does
//! not go smoothly; [`table`] holds the same as tables for the workshop, and [`csv`] their text.

pub mod colour;
pub mod csv;
pub mod cutting;
pub mod ends;
pub mod findings;
pub mod holes;
pub mod making;
pub mod plan;
pub mod shopping;
pub mod stacks;
pub mod steps;
pub mod table;
pub mod wiring;

pub use loomdeck_space::bit;

pub use findings::{PAGES, findings};
pub use making::*;
pub use plan::Plan;
pub use steps::{Step, steps};

use loomdeck_model::Robot;
use loomdeck_space::Geometry;

/// Works out how a robot is made.
///
/// A robot without a board has no holes and no fasteners; wires that the geometry does not know are
/// left out.
pub fn study(robot: &Robot, geometry: &Geometry) -> Making {
    let wants = holes::wanted(robot);
    let (holes, place_of) = holes::holes(robot);
    let cuts = cutting::cuts(robot, geometry);
    let datum = robot.board.as_ref().map(holes::datum).unwrap_or_default();
    let threads = stacks::countersunk_threads(robot, &holes);
    let plan = robot.board.as_ref().map(|b| plan::plan(b, &datum, &holes, &threads)).unwrap_or_default();
    let mut making = Making {
        datum,
        drilling: plan::drilling(&plan, holes.len()),
        plan,
        fasteners: stacks::stacks(robot, &wants, &place_of),
        cables: cutting::cables(robot, &cuts),
        wiring: wiring::steps(robot, geometry),
        labels: cutting::labels(robot, &cuts),
        shopping: Vec::new(),
        holes,
        cuts,
    };
    making.shopping = shopping::list(robot, geometry, &making);
    making
}

#[cfg(test)]
mod tests;
