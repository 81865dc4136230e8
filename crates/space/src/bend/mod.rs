//! Room for the bend of every wire in front of its terminal: boot, straight and bend radius.

use crate::geometry::FaceView;
use loomdeck_model::Robot;
use serde::Serialize;

/// The bend of one wire's end.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bend {}

/// The bends of all ends in use.
pub fn bends(_robot: &Robot, _faces: &[FaceView]) -> Vec<Bend> {
    Vec::new()
}
