//! The result of this crate: everything a builder's hands need, as data.
//!
//! All of it follows from the robot and its geometry and nothing else, in an order that depends on
//! nothing else either.

use crate::bit::Bit;
use loomdeck_model::part_type::{FixingStyle, Head, Thread};
use loomdeck_model::units::*;
use loomdeck_model::wire::{Colour, EndKind, Gauge, Insulation};
use loomdeck_model::{CableId, CableKind, Face, Function, LoomId, Point, Subject, WireId};
use serde::Serialize;

pub use loomdeck_space::held::ScrewChoice;

/// How one robot is made.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Making {
    /// From which corner the hole table measures.
    pub datum: Datum,
    /// The holes, by number. The number of a hole is its place in this list, from 1.
    pub holes: Vec<Hole>,
    /// Order of drilling: indices into `holes`, the two registration holes first.
    pub drilling: Vec<usize>,
    /// The drill plan, tool by tool.
    pub plan: crate::plan::Plan,
    /// What holds each part, hole by hole.
    pub fasteners: Vec<Stack>,
    /// One per wire that is cut from a reel or a cable, in the robot's order.
    pub cuts: Vec<Cut>,
    /// One per cable, in the robot's order.
    pub cables: Vec<CableCut>,
    /// What to buy, by group.
    pub shopping: Vec<ShoppingLine>,
    /// The order in which to fit the wires.
    pub wiring: Vec<WiringStep>,
    /// Both labels of each wire, in the robot's order.
    pub labels: Vec<Label>,
}

/// The corner of the board that distances are measured from. Distances grow into the board.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Datum {
    /// Its position in the board's frame.
    pub at: Point,
    /// `true`: the upright datum edge is the right one, seen from the front.
    pub from_right: bool,
    /// `true`: the level datum edge is the upper one.
    pub from_top: bool,
}

impl Datum {
    /// Distances of a point of the board's frame from the two datum edges.
    pub fn distances(&self, at: Point) -> Point {
        let sign = |flipped| if flipped { -1.0 } else { 1.0 };
        Point::new(sign(self.from_right) * (at.x - self.at.x), sign(self.from_top) * (at.y - self.at.y))
    }
    /// The upright edge in words, as seen looking at a face.
    pub const fn upright_edge(&self, seen_on: Face) -> &'static str {
        match (self.from_right, seen_on) {
            (false, Face::Front) | (true, Face::Back) => "left",
            _ => "right",
        }
    }
    /// The level edge in words.
    pub const fn level_edge(&self) -> &'static str {
        if self.from_top { "upper" } else { "lower" }
    }
}

/// One hole, or one opening cut as a slot or rectangle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hole {
    /// Centre, in the board's frame.
    pub at: Point,
    /// Distances from the two datum edges, mm.
    pub from_datum: Point,
    /// Its shape when finished.
    pub shape: HoleShape,
    /// Of a slot: distances of the centres of its two end holes from the two datum edges, mm.
    pub ends_from_datum: Option<[Point; 2]>,
    /// Of a rectangle: the same for its four corner holes.
    pub corners_from_datum: Option<[Point; 4]>,
    /// Depth, when it does not go through.
    pub depth: Option<Millimetres>,
    /// The face it is drilled from.
    pub side: Face,
    /// What to do, in order.
    pub work: Vec<Work>,
    /// What it is for; more than one when things share it.
    pub uses: Vec<HoleUse>,
    /// An ordinary set of bits has the one it needs.
    pub ordinary_bit: bool,
    /// Its bit's size is one of those that do; `false`: nobody sells one, and the next larger stands in.
    pub bit_fits: bool,
    /// One of the two holes on which the other face's template is laid.
    pub registration: bool,
}

impl Hole {
    /// Finished diameter, or width of a slot or rectangle.
    pub const fn diameter(&self) -> Millimetres {
        match self.shape {
            HoleShape::Round(d) => d,
            HoleShape::Slot { width, .. } | HoleShape::Rect { width, .. } => width,
        }
    }
    /// Full length along its long axis: of a round hole its diameter.
    pub const fn length(&self) -> Millimetres {
        match self.shape {
            HoleShape::Round(d) => d,
            HoleShape::Slot { length, .. } | HoleShape::Rect { length, .. } => length,
        }
    }
    /// The bit that gives it its final size (of a slot: its ends; of a rectangle: its corners).
    pub fn bit(&self) -> Option<Bit> {
        self.work.iter().rev().find_map(|w| match *w {
            Work::Drill { bit, .. }
            | Work::Opening { bit }
            | Work::EndHoles { bit, .. }
            | Work::CornerHoles { bit, .. } => Some(bit),
            _ => None,
        })
    }
    /// It is sawn out between smaller holes.
    pub const fn is_sawn(&self) -> bool {
        matches!(self.shape, HoleShape::Slot { .. } | HoleShape::Rect { .. })
    }
    /// The pocket for a captive nut: the face it is bored from.
    pub fn pocket_face(&self) -> Option<Face> {
        self.work.iter().find_map(|w| match w {
            Work::Pocket { face, .. } => Some(*face),
            _ => None,
        })
    }
}

/// Shape of a finished hole.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HoleShape {
    /// Round, by diameter.
    Round(Millimetres),
    /// Slot with round ends.
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
        /// Counter-clockwise from x, as seen from the front.
        turn: Degrees,
        /// Radius of its corners as they are cut; zero: filed square.
        corner: Millimetres,
    },
}

/// What a hole is for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoleUse {
    /// The part, plug, pass-through or board mount.
    pub subject: Subject,
    /// In words: `M3 screw`, `loom`, `grommet`, `insert M4`.
    pub what: String,
    /// Diameter this use asks for.
    pub wants: Millimetres,
}

/// One piece of work at a hole.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Work {
    /// Mark the centre with a punch or awl.
    CentrePunch,
    /// Drill a small hole through first, so that the big bit stays on its mark.
    Pilot {
        /// Bit.
        bit: Bit,
    },
    /// Drill.
    Drill {
        /// Bit.
        bit: Bit,
        /// Depth; `None`: through.
        depth: Option<Millimetres>,
        /// What the size is for: `clearance`, `insert bore`, `pilot for a wood screw`.
        fit: &'static str,
    },
    /// Cut a large round opening with a spur bit, saw-tooth bit or hole saw: half from each face.
    Opening {
        /// Bit.
        bit: Bit,
    },
    /// Countersink.
    Countersink {
        /// From this face.
        face: Face,
        /// Diameter at the face.
        diameter: Millimetres,
        /// Depth of the cone, from the face to the rim of the hole.
        depth: Millimetres,
        /// Full angle of the cone.
        angle: Degrees,
        /// How far the largest head of the standard then lies below the face.
        below: Millimetres,
    },
    /// Drill the two ends of a slot.
    EndHoles {
        /// Bit.
        bit: Bit,
        /// Centres of the two ends, in the board's frame.
        ends: [Point; 2],
    },
    /// Drill the four corners of a rectangle.
    CornerHoles {
        /// Bit.
        bit: Bit,
        /// Centres, in the board's frame.
        corners: [Point; 4],
        /// The corners are filed square afterwards.
        square: bool,
    },
    /// Drill a hole inside an opening for the saw's blade.
    EntryHole {
        /// Bit.
        bit: Bit,
        /// Centre, in the board's frame.
        at: Point,
    },
    /// Saw out what is left between the end or corner holes.
    Saw,
    /// File the edges straight.
    File,
    /// Bore a flat-bottomed pocket in which a captive nut lies flush.
    Pocket {
        /// From this face.
        face: Face,
        /// Diameter.
        diameter: Millimetres,
        /// Depth.
        depth: Millimetres,
    },
    /// Press or melt the insert in.
    SetInsert {
        /// From this face.
        face: Face,
    },
    /// Fix the captive nut.
    SetNut {
        /// On this face.
        face: Face,
    },
    /// Take the burr off both edges.
    Deburr,
    /// Break the edges that wires lie on.
    EdgeRelief {
        /// To this radius.
        radius: Millimetres,
    },
}

/// What holds a part at one hole: screw, washers, nut or insert, standoff.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stack {
    /// What it holds.
    pub subject: Subject,
    /// Index into [`Making::holes`]; `None`: it is stuck on.
    pub hole: Option<usize>,
    /// How.
    pub style: FixingStyle,
    /// Pieces in the order they go on, from the screw's head.
    pub pieces: Vec<Piece>,
    /// Whether each of the pieces stays on the board when the part comes off.
    pub stays: Vec<bool>,
    /// The screws in it with the reckoning of their length: one, or two at a standoff.
    pub screws: Vec<ScrewChoice>,
}

impl Stack {
    /// The pieces that stay on the board when the part comes off.
    pub fn staying(&self) -> impl Iterator<Item = &Piece> {
        self.pieces.iter().zip(&self.stays).filter(|(_, stays)| **stays).map(|(piece, _)| piece)
    }
    /// The pieces that go on with the part.
    pub fn with_the_part(&self) -> impl Iterator<Item = &Piece> {
        self.pieces.iter().zip(&self.stays).filter(|(_, stays)| !**stays).map(|(piece, _)| piece)
    }
    /// Every screw of it has a standard length that fits, and so has what stands between.
    pub fn fits(&self) -> bool {
        self.screws.iter().all(|s| s.fits) && self.odd_spacer().is_none()
    }
    /// The standoff or spacer in it, when its length is not one that shops keep.
    pub fn odd_spacer(&self) -> Option<&Piece> {
        use loomdeck_space::screw;
        self.pieces.iter().find(|p| match **p {
            Piece::Standoff { thread, length } => !screw::is_kept(&screw::standoffs(thread), length),
            Piece::Spacer { thread, length } => !screw::is_kept(&screw::spacers(thread), length),
            _ => false,
        })
    }
}

/// One piece of hardware. Equal pieces are bought together.
#[derive(Clone, Debug, PartialEq, PartialOrd, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Piece {
    Screw { thread: Thread, head: Head, length: Millimetres },
    Washer { thread: Thread },
    Nut { thread: Thread },
    CaptiveNut { thread: Thread },
    Insert { thread: Thread },
    Standoff { thread: Thread, length: Millimetres },
    Spacer { thread: Thread, length: Millimetres },
    WoodScrew { diameter: Millimetres, length: Millimetres },
    Printed { what: &'static str },
    AdhesiveMount,
}

/// One wire, ready to cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cut {
    /// Which.
    pub wire: WireId,
    /// Reel it comes from.
    pub spool: Spool,
    /// Who chose the colour, and by which convention.
    pub colour_basis: ColourBasis,
    /// Length to cut, rounded up to 5 mm (a quarter of an inch where the book is in inches); zero
    /// when the modules' own leads are long enough.
    pub cut: Millimetres,
    /// Something its length depends on is not stated: measure before cutting.
    pub measure_first: bool,
    /// At the `from` end.
    pub from: End,
    /// At the `to` end.
    pub to: End,
    /// Cable whose core it is: then it is not cut from a reel of single wire.
    pub cable: Option<CableId>,
}

/// A reel of wire.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spool {
    /// Size.
    pub gauge: Gauge,
    /// Insulation.
    pub insulation: Insulation,
    /// Colour.
    pub colour: Colour,
}

/// Why a wire has its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ColourBasis {
    /// The builder chose it.
    Chosen,
    /// Proposed, from the words of this convention.
    Convention(&'static str),
    /// Proposed: the convention's colours are not on the shelf; this one is, and is kept for nothing else.
    Shelf,
    /// The core of a cable: the colours come with the cable.
    Core,
}

/// One end of a wire.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct End {
    /// Where it lands, as the files write it.
    pub at: String,
    /// What is fitted.
    pub kind: EndKind,
    /// How much insulation to strip; of a module's own lead: for the splice.
    pub strip: Millimetres,
    /// Length of the module's own lead, which the cut wire is spliced to.
    pub own_lead: Option<Millimetres>,
    /// Text of its label: the wire's name and the far end.
    pub label: String,
}

/// One cable, ready to cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CableCut {
    /// Which.
    pub cable: CableId,
    /// Make-up.
    pub kind: CableKind,
    /// Its cores, by wire.
    pub cores: Vec<WireId>,
    /// Size of the thickest core.
    pub gauge: Option<Gauge>,
    /// Length to cut: that of the longest core, rounded up to 5 mm.
    pub cut: Millimetres,
}

/// What to buy.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShoppingLine {
    /// Shelf of the shop: `parts`, `fuses`, `screws`, `wire`, `ends`.
    pub group: &'static str,
    /// The thing in words.
    pub item: String,
    /// How much is needed.
    pub needed: f64,
    /// How much to buy, with spares and rounding.
    pub buy: f64,
    /// `pieces` or `m`.
    pub unit: &'static str,
    /// Which spare was added and where it is used, in words.
    pub note: String,
}

/// One step of wiring.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WiringStep {
    /// Stage.
    pub stage: Stage,
    /// Loom that is laid in this step; `None`: wires that run alone.
    pub loom: Option<LoomId>,
    /// The wires, in order.
    pub wires: Vec<WireId>,
}

/// Stages of wiring, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Stage {
    Supply,
    Return,
    Motor,
    Logic,
    Audio,
}

impl Stage {
    /// All, in order.
    pub const ALL: [Self; 5] = [Self::Supply, Self::Return, Self::Motor, Self::Logic, Self::Audio];
    /// Where wires of a function belong.
    pub const fn of(function: Function) -> Self {
        match function {
            Function::Supply => Self::Supply,
            Function::Return | Function::Bond => Self::Return,
            Function::Motor => Self::Motor,
            Function::Logic | Function::SignalReturn | Function::Radio => Self::Logic,
            Function::Audio | Function::Screen => Self::Audio,
        }
    }
    /// Heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Supply => "supplies",
            Self::Return => "returns and bonds",
            Self::Motor => "motors",
            Self::Logic => "logic and radio",
            Self::Audio => "audio and screens",
        }
    }
}

/// A label at one end of a wire.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Label {
    /// The wire.
    pub wire: WireId,
    /// The end it is stuck to, as the files write it.
    pub at: String,
    /// First line: the wire's name.
    pub name: String,
    /// Second line: where the other end lands.
    pub far: String,
    /// Outside diameter of the wire it wraps.
    pub wraps: Millimetres,
}
