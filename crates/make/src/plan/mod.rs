//! The drill plan: the holes tool by tool, each bit's holes in an order with little walking.
//!
//! A [`Stage`] is one tool on one face, or with the board on its edge; its [`Stop`]s are in the order in
//! which the hand goes from one to the next, beginning at the datum corner. Everything that can be done
//! from one face is done before the board is turned over.

mod build;
pub mod speed;
#[cfg(test)]
mod tests;
pub mod tour;
mod words;

pub use build::{drilling, own_holes, plan};

use crate::bit::Bit;
use crate::table::exact;
use loomdeck_model::units::*;
use loomdeck_model::{Face, LengthUnit, Point};
use serde::Serialize;

/// The whole plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Plan {
    /// The stages, in order.
    pub stages: Vec<Stage>,
    /// Way of the hand over all stages.
    pub travel: Millimetres,
    /// The same when the holes of each stage are taken by their number instead.
    pub travel_by_number: Millimetres,
    /// How often the board is turned over.
    pub turns: usize,
    /// The two holes that carry the other face's template, by index, with their distance.
    pub registration: Option<Registration>,
}

/// The two holes on which the other face's template is laid.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Registration {
    /// Indices of the two holes.
    pub holes: [usize; 2],
    /// Distance of their centres: measured after they are drilled and before all the others.
    pub apart: Millimetres,
}

/// One tool at work.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stage {
    /// From 1.
    pub number: usize,
    /// What is done.
    pub operation: Operation,
    /// How the board lies.
    pub lies: Lies,
    /// The board is turned over before this stage.
    pub turn_over: bool,
    /// With what.
    pub tool: ToolInHand,
    /// Where, in order.
    pub stops: Vec<Stop>,
    /// Way from the datum corner over all stops.
    pub travel: Millimetres,
    /// The same when the holes are taken by their number instead.
    pub travel_by_number: Millimetres,
    /// No order of the stops is shorter; `false`: the order was improved until nothing simple helped.
    pub shortest: bool,
    /// Speed of the drill.
    pub speed: Option<Speed>,
    /// What lies under or behind the board, in words; empty when nothing is needed.
    pub backing: &'static str,
    /// What to heed, in sentences.
    pub cautions: Vec<String>,
}

/// What a stage does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Operation {
    /// Mark and punch the centres through the template.
    Mark,
    /// Drill the two holes that carry the other face's template.
    Register,
    /// Small holes through, on which the bigger bits run true.
    Pilot,
    /// Drill through.
    Drill,
    /// Flat-bottomed pocket for a captive nut.
    Pocket,
    /// Drill to a depth.
    Blind,
    /// Large hole, first half from this face.
    OpeningFirst,
    /// Large hole, the rest from the other face.
    OpeningSecond,
    /// Conical seat of a screw's head.
    Countersink,
    /// Take the burr off the rims on this face.
    Deburr,
    /// Saw out between the holes of a slot or rectangle.
    Saw,
    /// File its edges straight.
    File,
    /// Break the edges that wires and hands touch.
    EdgeRelief,
}

impl Operation {
    /// What is done, in words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mark => "mark and punch",
            Self::Register => "drill the registration holes",
            Self::Pilot => "pilot holes",
            Self::Drill => "drill through",
            Self::Pocket => "bore pockets for nuts",
            Self::Blind => "drill to a depth",
            Self::OpeningFirst => "large holes, first half",
            Self::OpeningSecond => "large holes, second half",
            Self::Countersink => "countersink",
            Self::Deburr => "deburr",
            Self::Saw => "saw out",
            Self::File => "file straight",
            Self::EdgeRelief => "break the edges",
        }
    }
}

/// How the board lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lies {
    /// Flat, with this face up.
    Up(Face),
    /// On its edge, in a vice or against the bench: both faces can be worked.
    OnEdge,
}

impl Lies {
    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Up(Face::Front) => "front up",
            Self::Up(Face::Back) => "back up",
            Self::OnEdge => "on its edge",
        }
    }
}

/// What is in the hand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToolInHand {
    /// Awl or centre punch.
    Punch,
    /// A bit in the drill.
    Bit(Bit),
    /// Flat-bottomed bit of this diameter.
    FlatBottom(Millimetres),
    /// Countersink of this full angle.
    Countersink(Degrees),
    /// Countersink turned by hand, or a deburring blade.
    HandDeburrer,
    /// Jigsaw.
    Jigsaw,
    /// Coping saw, where a jigsaw's blade does not go in.
    CopingSaw,
    /// Flat file.
    File,
    /// Half-round file or scraper, and fine paper.
    Scraper,
}

impl ToolInHand {
    /// In words.
    pub fn word(&self, unit: LengthUnit) -> String {
        match self {
            Self::Punch => "awl or centre punch".to_owned(),
            Self::Bit(bit) if bit.is_cutter() => bit.to_string(),
            Self::Bit(bit) => format!("{bit} bit"),
            Self::FlatBottom(d) => format!("{} flat-bottomed bit", exact(*d, unit)),
            Self::Countersink(angle) => format!("{}° countersink", angle.0),
            Self::HandDeburrer => "hand countersink or deburring blade".to_owned(),
            Self::Jigsaw => "jigsaw".to_owned(),
            Self::CopingSaw => "coping saw".to_owned(),
            Self::File => "flat file".to_owned(),
            Self::Scraper => "half-round file or scraper, fine paper".to_owned(),
        }
    }
}

/// One place of a stage.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stop {
    /// The hole, index into the making's holes; `None`: the outer edge of the board.
    pub hole: Option<usize>,
    /// Which of the hole's own holes: the ends of a slot, the corners of a rectangle; 0 when round.
    pub piece: usize,
    /// Centre, in the board's frame.
    pub at: Point,
    /// Distances from the two datum edges.
    pub from_datum: Point,
    /// Diameter that this stage leaves: of a countersink at the face.
    pub diameter: Option<Millimetres>,
    /// Depth, when it does not go through.
    pub depth: Option<Millimetres>,
}

/// Speed of the drill, turns a minute: a starting point, not a limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Speed {
    /// Slow end.
    pub slow: f64,
    /// Fast end.
    pub fast: f64,
    /// Where the surface speed comes from.
    pub source: &'static str,
}
