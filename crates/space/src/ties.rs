//! Where looms are tied, and with what.

use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Face, Point};
use serde::Serialize;

/// A cable tie round a loom.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tie {
    /// On which face.
    pub face: Face,
    /// Where, on the loom's middle line, in the board's frame.
    pub at: Point,
    /// Which way the loom runs there, counter-clockwise from x; the tie lies across.
    pub along: Degrees,
    /// Diameter of the bundle there.
    pub bundle: Millimetres,
    /// Width of the tie.
    pub width: Millimetres,
    /// Length of the tie, a size on sale.
    pub length: Millimetres,
    /// Why it is there.
    pub reason: TieReason,
}

/// Why a tie is where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TieReason {
    /// The bundle begins or ends.
    End,
    /// Wires join or leave.
    Branch,
    /// A bend begins or ends.
    Bend,
    /// It goes through the board.
    Opening,
    /// The last tie is as far away as it may be.
    Spacing,
}
