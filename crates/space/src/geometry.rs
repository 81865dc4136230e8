//! The result of this crate: where every wire runs, how long it is, with whom it is tied.

use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, LoomId, PassId, Point, WireId, ZoneId};
use serde::Serialize;

/// Where things are, as far as the other crates need to know.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Geometry {
    /// One per wire, in the robot's order.
    pub wires: Vec<WireRun>,
    /// One per loom, in the robot's order.
    pub looms: Vec<LoomRun>,
}

/// The way of one wire.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WireRun {
    /// Which.
    pub wire: WireId,
    /// Length of conductor from terminal to terminal as installed; what resistance is computed from.
    pub length: Millimetres,
    /// Length to cut: installed length with stripping and service slack at both ends.
    pub cut: Millimetres,
    /// How well the length is known.
    pub basis: LengthBasis,
    /// Its stretches from `from` to `to`.
    pub legs: Vec<Leg>,
    /// Stretches over which it is tied together with others; they need not cover all of it.
    pub bundles: Vec<BundleStretch>,
}

/// How well a length is known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LengthBasis {
    /// The builder measured it.
    Measured,
    /// Follows from the routes and the stated paths.
    Routed,
    /// Something it depends on is not stated; the true length lies in this range. `length` is then
    /// the longer end, so that drops and cuts are on the safe side.
    Range {
        /// Shortest it may be.
        least: Millimetres,
        /// Longest it may be.
        most: Millimetres,
    },
}

/// One stretch of a wire's way.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Leg {
    /// Up or down between a terminal and the face.
    Rise {
        /// On which face.
        face: Face,
        /// Where, in the board's frame.
        at: Point,
        /// How far.
        height: Millimetres,
    },
    /// Along a face.
    Along {
        /// Which face.
        face: Face,
        /// Corners, in the board's frame.
        points: Vec<Point>,
    },
    /// Through an opening to the other face.
    Through {
        /// Which.
        pass: PassId,
        /// Where.
        at: Point,
        /// Thickness of the board.
        depth: Millimetres,
    },
    /// Over the edge of the board to a plug on a tail or towards a zone.
    Tail {
        /// Where it leaves the board.
        at: Point,
        /// Free length.
        length: Millimetres,
    },
    /// Through the body.
    Body {
        /// The zone.
        zone: ZoneId,
        /// Path, allowance for joints and lead within the zone.
        length: Millimetres,
    },
}

/// A stretch over which a wire is tied together with others.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BundleStretch {
    /// How long.
    pub length: Millimetres,
    /// The other wires in it, in the robot's order.
    pub with: Vec<WireId>,
    /// Diameter over all of them.
    pub diameter: Millimetres,
}

/// A loom as drawn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoomRun {
    /// Which.
    pub loom: LoomId,
    /// Its trunk: stretches on the faces with the wires in each.
    pub trunk: Vec<TrunkStretch>,
    /// Largest diameter anywhere along it.
    pub diameter: Millimetres,
}

/// A stretch of a loom's trunk on a face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrunkStretch {
    /// Which face.
    pub face: Face,
    /// From.
    pub from: Point,
    /// To.
    pub to: Point,
    /// Wires in it, in the robot's order.
    pub wires: Vec<WireId>,
    /// Diameter of the bundle here.
    pub diameter: Millimetres,
}
