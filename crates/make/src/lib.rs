//! How it is made: holes, fasteners, cutting, order of work. Draws and prints nothing.
//!
//! [`study`] turns a robot and its geometry into a [`Making`]; [`findings()`] says what of it does
//! not go smoothly.

pub mod bit;
pub mod findings;
pub mod making;

pub use findings::{PAGES, findings};
pub use making::*;

use loomdeck_model::Robot;
use loomdeck_space::Geometry;

/// Works out how a robot is made.
pub fn study(_robot: &Robot, _geometry: &Geometry) -> Making {
    Making::default()
}
