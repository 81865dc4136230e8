//! Size and shape proposed for each pass-through.

use crate::bit::Bit;
use crate::geometry::{PassFill, WireRun};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{PassId, PassShape, Robot, Subject, WireId};
use serde::Serialize;

/// What is proposed for one pass-through.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OpeningAdvice {
    /// Which.
    pub pass: PassId,
    /// Wires that go through, in the robot's order.
    pub wires: Vec<WireId>,
    /// Sum of their cross-sections over the insulation, mm².
    pub wire_area_mm2: f64,
    /// Largest part of the opening that so many wires may fill, 0 to 1.
    pub fill_limit: f64,
    /// The end that is hardest to thread: whose, how wide, and how much room the other wires leave it.
    pub end: Option<EndThrough>,
    /// The shape it should have: the one it has when that does.
    pub shape: PassShape,
    /// It has to be changed for what goes through it.
    pub too_small: bool,
    /// What cuts it: the whole of a round one, the ends of a slot, the corners of a rectangle.
    pub bit: Bit,
    /// What its edge needs.
    pub edge: EdgeRelief,
    /// Nearest other hole or edge of the board once it has that shape, with the material left between
    /// them; negative when they would meet.
    pub nearest: Option<(Subject, Millimetres)>,
}

/// The end of a wire that has to go through last.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct EndThrough {
    /// Whose end.
    pub wire: WireId,
    /// How wide it is.
    pub width: Millimetres,
    /// Width left for it beside the wires already in.
    pub room: Millimetres,
}

/// How the edge of an opening is made harmless.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum EdgeRelief {
    /// Nothing goes through: break the edge with a file.
    Deburr,
    /// Round the edges of both faces over.
    Rounded,
    /// A grommet (round) or edge trim (slot, rectangle).
    Lined,
}

/// One per pass-through, in the board's order.
pub fn openings(_robot: &Robot, _wires: &[WireRun], _fills: &[PassFill]) -> Vec<OpeningAdvice> {
    Vec::new()
}
