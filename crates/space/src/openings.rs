//! Size and shape proposed for each pass-through.

use crate::geometry::{PassFill, WireRun};
use loomdeck_model::Robot;
use serde::Serialize;

/// What is proposed for one pass-through.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OpeningAdvice {}

/// One per pass-through, in the board's order.
pub fn openings(_robot: &Robot, _wires: &[WireRun], _fills: &[PassFill]) -> Vec<OpeningAdvice> {
    Vec::new()
}
