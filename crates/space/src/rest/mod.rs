//! How the board lies, stands and bears its load.

use loomdeck_model::Robot;
use serde::Serialize;

/// How the board lies, stands and bears its load.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Rest {}

/// Works it out; `None` without a board.
pub fn rest(_robot: &Robot, _faces: &[crate::geometry::FaceView]) -> Option<Rest> {
    None
}
