//! Taking the whole board out of the body.

use loomdeck_model::Robot;
use serde::Serialize;

/// What it takes to get the board out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct TakeOut {}

/// Works it out; `None` without a board.
pub fn take_out(_robot: &Robot, _faces: &[crate::geometry::FaceView]) -> Option<TakeOut> {
    None
}
