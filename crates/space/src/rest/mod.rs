//! How the board lies, stands and bears its load.
//!
//! [`mass`] adds up what is on the sheet and finds its centre; [`laid`] finds the points it stands on with
//! a face down; [`strength`] bends the sheet under its load between its mounts ([`plate`]); [`growth`]
//! warms it against mounts that stay where they are. Figures of the sheet's materials stand in
//! [`material`].

pub(crate) mod facet;
pub mod growth;
pub mod laid;
pub mod mass;
pub mod material;
pub mod plate;
pub mod strength;

pub use growth::{Growth, MountGrowth};
pub use laid::{Carrier, Foot, Laid, Stand};
pub use mass::{BoardMass, MassOf, MassShare};
pub use strength::{Held, MountLoad, Strength};

use crate::geometry::{FaceView, WireRun};
use loomdeck_model::Robot;
use serde::Serialize;

/// A point in space: x and y of the board's frame, z above its front face (negative behind it), mm.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Spot {
    /// To the right, seen from the front, mm.
    pub x: f64,
    /// Up, mm.
    pub y: f64,
    /// Out of the front face, mm.
    pub z: f64,
}

/// How the board lies, stands and bears its load.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rest {
    /// What it weighs, and where its centre of mass is.
    pub mass: BoardMass,
    /// Laid on a table with a face down: front, then back.
    pub laid: Vec<Laid>,
    /// How it is held, and how far the sheet bends between its mounts.
    pub held: Held,
    /// How far the sheet grows against its mounts; `None` with fewer than two of them.
    pub growth: Option<Growth>,
}

/// Works it out; `None` without a board.
pub fn rest(robot: &Robot, faces: &[FaceView], wires: &[WireRun]) -> Option<Rest> {
    let board = robot.board.as_ref()?;
    let mass = mass::mass(robot, board, faces, wires);
    let laid = laid::laid(robot, board, faces, &mass, &[]);
    let held = strength::held(board, faces, &mass);
    let growth = growth::growth(robot, board);
    Some(Rest { mass, laid, held, growth })
}
