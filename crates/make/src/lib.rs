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

/// What is drilled and screwed: it needs the robot alone, and no way of a wire.
#[derive(Clone, Debug)]
pub struct Drilled {
    datum: Datum,
    holes: Vec<Hole>,
    plan: Plan,
    drilling: Vec<usize>,
    fasteners: Vec<Stack>,
}

/// Works out what is drilled and screwed.
pub fn drilled(robot: &Robot) -> Drilled {
    let wants = holes::wanted(robot);
    let (holes, place_of) = holes::holes(robot);
    let datum = robot.board.as_ref().map(holes::datum).unwrap_or_default();
    let threads = stacks::countersunk_threads(robot, &holes);
    let plan = robot.board.as_ref().map(|b| plan::plan(b, &datum, &holes, &threads)).unwrap_or_default();
    let fasteners = stacks::stacks(robot, &wants, &place_of);
    Drilled { datum, drilling: plan::drilling(&plan, holes.len()), plan, fasteners, holes }
}

/// Works out how a robot is made.
///
/// A robot without a board has no holes and no fasteners; wires that the geometry does not know are
/// left out.
pub fn study(robot: &Robot, geometry: &Geometry) -> Making {
    finished(robot, geometry, drilled(robot))
}

/// [`study`], when what is drilled is known already.
pub fn finished(robot: &Robot, geometry: &Geometry, drilled: Drilled) -> Making {
    let Drilled { datum, holes, plan, drilling, fasteners } = drilled;
    let cuts = cutting::cuts(robot, geometry);
    let mut making = Making {
        datum,
        drilling,
        plan,
        fasteners,
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
