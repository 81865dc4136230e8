//! The mounting panel with its openings, bolts and forbidden regions.

use crate::geometry::{Face, Outline, Point};
use crate::part_type::Thread;
use crate::units::*;
use serde::Serialize;

/// The mounting panel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Board {
    /// Outline, as seen from the front.
    pub outline: Outline,
    /// Thickness.
    pub thickness: Millimetres,
    /// Material.
    pub material: Material,
    /// Free depth in front of each face, inside the body.
    pub depth_front: Millimetres,
    /// Free depth behind the back.
    pub depth_back: Millimetres,
    /// Free room in the body beyond the edge of the board, when the builder states it.
    pub edge_room: Option<Millimetres>,
    /// The opening of the body through which the board comes out.
    pub body_opening: Option<BodyOpening>,
    /// Corner from which the hole table measures: its position in the board's frame.
    pub datum: Point,
    /// Pass-throughs.
    pub passes: Vec<Pass>,
    /// Bolts that hold the board in the body.
    pub mounts: Vec<BoardMount>,
    /// Regions to stay out of.
    pub keep_outs: Vec<KeepOut>,
}

/// The opening of the body through which the board comes out, as a flat shape.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BodyOpening {
    /// Its outline, in its own plane.
    pub outline: Outline,
    /// Air wanted all round while the board goes through.
    pub gap: Millimetres,
}

/// Sheet materials.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Material {
    Hdpe,
    Plywood,
    Acrylic,
    Abs,
    Polycarbonate,
    Aluminium,
}

impl Material {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hdpe => "hdpe",
            Self::Plywood => "plywood",
            Self::Acrylic => "acrylic",
            Self::Abs => "abs",
            Self::Polycarbonate => "polycarbonate",
            Self::Aluminium => "aluminium",
        }
    }
    /// It conducts: bare terminals need clearance and the sheet is a node.
    pub const fn conducts(self) -> bool {
        matches!(self, Self::Aluminium)
    }
}

/// An opening that lets a loom change face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pass {
    /// Name.
    pub name: String,
    /// Centre, in the board's frame.
    pub at: Point,
    /// Shape.
    pub shape: PassShape,
    /// Edge protection fitted (grommet or trim).
    pub grommet: bool,
    /// It lets a tool through; no wires go here.
    pub tools_only: bool,
}

/// Shape of a pass-through.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PassShape {
    /// Round, by diameter.
    Round(Millimetres),
    /// Rounded slot: full length, width, and turn of its long axis.
    Slot {
        /// End to end.
        length: Millimetres,
        /// Across.
        width: Millimetres,
        /// Counter-clockwise from x, as seen from the front.
        turn: Degrees,
    },
    /// Rectangle with rounded corners.
    Rect {
        /// Along its long axis.
        length: Millimetres,
        /// Across.
        width: Millimetres,
        /// Turn of its long axis, counter-clockwise from x, as seen from the front.
        turn: Degrees,
        /// Radius of its corners.
        corner: Millimetres,
    },
}

/// A bolt that holds the board in the body.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoardMount {
    /// Name.
    pub name: String,
    /// Centre, in the board's frame.
    pub at: Point,
    /// Thread.
    pub thread: Thread,
    /// Diameter kept free around it on both faces, for head, washer or standoff.
    pub clear: Millimetres,
    /// Diameter of its hole in the sheet, when it is wider than the thread asks for.
    pub hole: Option<Millimetres>,
}

/// A region to stay out of.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KeepOut {
    /// Name.
    pub name: String,
    /// Face it concerns; `None`: both.
    pub face: Option<Face>,
    /// Where, in the board's frame.
    pub outline: Outline,
    /// The corner that it was given by; `None` where its corners were given one by one.
    pub at: Option<Point>,
    /// Free height that must remain above the face; zero: nothing at all may be there.
    pub above: Millimetres,
    /// Wires may cross it.
    pub wires_may_cross: bool,
}
