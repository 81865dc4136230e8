//! Marks: what is drawn where a finding happens.

use crate::geometry::{Face, Outline, Point};
use serde::Serialize;

/// Something to draw at the place where a finding happens, in the board's frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Mark {
    /// On which face.
    pub face: Face,
    /// What is drawn.
    pub shape: MarkShape,
    /// What stands beside it, with its unit: `8 mm`, `screwdriver`. Empty: nothing.
    pub words: String,
}

/// What a mark is.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkShape {
    /// Where two things want the same place, or a thing is where it must not be.
    Clash(Outline),
    /// A place that must stay free: of a tool, of a wire's bend.
    Room(Outline),
    /// A distance that is too small, or one by which something is too far.
    Span(Point, Point),
}
