//! The result of this crate: what stands where on the faces, where every wire runs, how long it is,
//! with whom it is tied.

use crate::access::Access;
use crate::bend::Bend;
use crate::openings::OpeningAdvice;
use crate::rest::Rest;
use crate::ties::Tie;
use loomdeck_model::part_type::Exit;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{
    Face, LoomId, Outline, PartId, PassId, PlugId, Point, Slack, Subject, WireId, ZoneId,
};
use serde::Serialize;

/// Where things are, as far as the other crates need to know.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Geometry {
    /// One per wire, in the robot's order.
    pub wires: Vec<WireRun>,
    /// One per loom, in the robot's order.
    pub looms: Vec<LoomRun>,
    /// Front, then back; empty when there is no board.
    pub faces: Vec<FaceView>,
    /// Every hole in the board, in the robot's order: parts', mounts', pass-throughs.
    pub holes: Vec<BoardHole>,
    /// What goes through each pass-through, in the board's order.
    pub fills: Vec<PassFill>,
    /// Passages on the faces that wires run through, front first.
    pub gaps: Vec<Gap>,
    /// Wires that find no free way. Their run is a straight line, with [`LengthBasis::Range`].
    pub blocked: Vec<Blocked>,
    /// What hands and tools must reach.
    pub access: Access,
    /// The bends of all wire ends in use.
    pub bends: Vec<Bend>,
    /// What is proposed for each pass-through, in the board's order.
    pub openings: Vec<OpeningAdvice>,
    /// How the board lies, stands and bears its load.
    pub rest: Option<Rest>,
}

impl Geometry {
    /// One face, if there is a board.
    pub fn face(&self, face: Face) -> Option<&FaceView> {
        self.faces.iter().find(|f| f.face == face)
    }
}

/// What stands on one face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FaceView {
    /// Which.
    pub face: Face,
    /// Parts and fixed plugs, in the robot's order.
    pub bodies: Vec<Body>,
    /// Heads and nuts that come out here of what stands on the other face, and mounts.
    pub fasteners: Vec<Fastener>,
    /// Posts and feet under what stands on this face, heads and nuts on its flanges.
    pub fixtures: Vec<Fastener>,
}

/// A part or a fixed plug as a prism on a face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Body {
    /// Whose it is.
    pub owner: Owner,
    /// Footprint in the board's frame.
    pub outline: Outline,
    /// Gap between the face and its underside (the standoff).
    pub base: Millimetres,
    /// Top above the face, standoff included.
    pub top: Millimetres,
    /// Where its wires leave, in the order of its type's terminals; empty for plugs.
    pub terminals: Vec<TerminalSpot>,
}

/// Part or plug.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Owner {
    Part(PartId),
    Plug(PlugId),
}

/// A terminal on the board.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct TerminalSpot {
    /// Index into the type's terminals.
    pub terminal: usize,
    /// Where, in the board's frame.
    pub at: Point,
    /// How far above the face.
    pub height: Millimetres,
    /// Which way the wire leaves, in the board's frame.
    pub exit: Exit,
}

/// A head, a nut or a mount's free circle that shows on a face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fastener {
    /// The part, plug or mount it belongs to.
    pub subject: Subject,
    /// What it is.
    pub kind: FastenerKind,
    /// Centre, in the board's frame.
    pub at: Point,
    /// Diameter of the disc it needs: washer or head, whichever is wider.
    pub diameter: Millimetres,
    /// How far its lower end stands off the face.
    pub base: Millimetres,
    /// How far it stands off the face.
    pub height: Millimetres,
    /// The same when its part is off; `None`: it comes off with the part.
    pub bare: Option<Millimetres>,
}

/// Kinds of fasteners on a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FastenerKind {
    /// Nut of a bolt that comes through, with its washer and the end of the screw.
    Nut,
    /// Head of a screw that goes in from this face.
    ScrewHead,
    /// End of a screw that is longer than the board lets it be.
    ScrewEnd,
    /// Circle kept free around a bolt that holds the board.
    Mount,
    /// Standoff or spacer under a part.
    Post,
    /// Foot of a clip, cleat or housing, with the screw in it.
    Foot,
}

/// A hole in the board: a circle swept from `from` to `to` (the same point for a round hole).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoardHole {
    /// The part, plug, mount or pass-through it belongs to.
    pub subject: Subject,
    /// Centre of one end.
    pub from: Point,
    /// Centre of the other end.
    pub to: Point,
    /// Diameter, or width of a slot.
    pub diameter: Millimetres,
}

/// What goes through a pass-through.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PassFill {
    /// Which.
    pub pass: PassId,
    /// Wires, in the robot's order.
    pub wires: Vec<WireId>,
    /// Sum of the wires' cross-sections over their insulation, as a fraction of the opening.
    pub fill: f64,
}

/// A wire that finds no free way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Blocked {
    /// Which.
    pub wire: WireId,
    /// What stands in its way; `None`: there is no way at all between the two faces.
    pub by: Option<Subject>,
    /// The face where it is stuck.
    pub face: Face,
    /// Where it is stuck.
    pub at: Point,
    /// Width of free way that it needs.
    pub needs: Millimetres,
}

/// The way of one wire.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WireRun {
    /// Which.
    pub wire: WireId,
    /// Length of conductor from terminal to terminal as installed; what resistance is computed from.
    pub length: Millimetres,
    /// Length to cut: installed length with stripping and service slack at each end.
    pub cut: Millimetres,
    /// How well the length is known.
    pub basis: LengthBasis,
    /// Length of the way over the faces, round sharp corners, that it would take if no other wire were
    /// there; `None` when it does not run over the board, shares a trunk or finds no way.
    pub alone: Option<Millimetres>,
    /// How much slack it is cut with.
    pub slack: Slack,
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
    /// Along a face, in its own lane. [`crate::route::path::pieces`] gives it as lines and arcs.
    Along {
        /// Which face.
        face: Face,
        /// Corners, in the board's frame: where the straight stretches would meet.
        points: Vec<Point>,
        /// Radius of the bend at each corner, on the wire's middle line; zero at both ends.
        radii: Vec<Millimetres>,
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
    /// The trunk as it is laid: stretches with the same wires in one piece, bends rounded.
    pub bodies: Vec<TrunkBody>,
    /// Where it is tied, in order along its bodies.
    pub ties: Vec<Tie>,
}

/// A piece of a loom with the same wires from end to end, on one face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrunkBody {
    /// Which face.
    pub face: Face,
    /// Corners of its middle line, in the board's frame.
    pub points: Vec<Point>,
    /// Radius of the bend at each corner, on the middle line; zero at both ends.
    pub radii: Vec<Millimetres>,
    /// Wires in it, in the robot's order.
    pub wires: Vec<WireId>,
    /// Diameter of the bundle.
    pub diameter: Millimetres,
}

/// A passage between two things on a face, through which wires run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gap {
    /// Which face.
    pub face: Face,
    /// What bounds it; the board's edge is [`Subject::Board`].
    pub between: [Subject; 2],
    /// Where it is narrowest: on the first.
    pub from: Point,
    /// And on the second.
    pub to: Point,
    /// Free width.
    pub room: Millimetres,
    /// How many wires may lie on top of one another.
    pub layers: u32,
    /// Width that the strands in it need side by side, in one layer, with the air between them.
    pub need: Millimetres,
    /// Wires through it, in the robot's order.
    pub wires: Vec<WireId>,
}

impl Gap {
    /// Width missing when the strands lie in as many layers as they may; zero when they fit.
    pub fn missing(&self) -> Millimetres {
        (self.need / f64::from(self.layers.max(1)) - self.room).max(Millimetres::ZERO)
    }
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
