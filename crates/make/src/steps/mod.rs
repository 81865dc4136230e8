//! The order of work, step by step: drill, set what stays, fit the parts in the order that was found, lay the
//! wires, close the covers, make the plugs, check. Part of the deep tier, since the order is.
//!
//! The steps are in the order in which they are done. Parts and wires follow the order of assembly, so that a
//! group may come up more than once: wires that can only be reached before a part is on come before it.

mod bench;
mod drill;
mod finish;
mod fit;
#[cfg(test)]
mod tests;
mod tools;
mod wire;

use crate::making::{Making, Piece};
use loomdeck_model::units::*;
use loomdeck_model::{Face, Robot, Subject, WireId};
use loomdeck_space::Geometry;
use loomdeck_space::order::Order;
use serde::Serialize;

/// One step of the work.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// From 1, through all groups.
    pub number: usize,
    /// Which part of the work it belongs to.
    pub group: Group,
    /// What is done, in a few words.
    pub heading: String,
    /// How, in sentences, in order.
    pub words: Vec<String>,
    /// Parts, plugs, openings that are added or worked on: drawn in colour.
    pub adds: Vec<Subject>,
    /// Wires that are added: drawn in colour.
    pub wires: Vec<WireId>,
    /// Holes that are made or used, indices into the making's holes.
    pub holes: Vec<usize>,
    /// Stages of the drill plan, indices into its stages.
    pub stages: Vec<usize>,
    /// The face that is up; `None`: the board stands on its edge or is not needed.
    pub face: Option<Face>,
    /// The board is turned over before it.
    pub turn_over: bool,
    /// Tools, each once.
    pub tools: Vec<String>,
    /// Hardware that is used, equal pieces together.
    pub hardware: Vec<PieceCount>,
    /// Torques, where they are stated.
    pub torques: Vec<Torque>,
    /// What to watch, in sentences: what is near its limit.
    pub watch: Vec<String>,
    /// What can hurt, in sentences.
    pub cautions: Vec<String>,
    /// Parts and plugs already there: drawn quiet.
    pub there: Vec<Subject>,
    /// Wires already there.
    pub wires_there: Vec<WireId>,
}

/// Parts of the work, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// Mark and drill.
    Drill,
    /// Deburr, set inserts and captive nuts.
    Set,
    /// Standoffs, cleats, clips: what stays on the board.
    Stays,
    /// Parts.
    Parts,
    /// Wires.
    Wires,
    /// Covers.
    Covers,
    /// Plugs.
    Plugs,
    /// Last checks before power.
    Checks,
}

impl Group {
    /// All, in order.
    pub const ALL: [Self; 8] = [
        Self::Drill,
        Self::Set,
        Self::Stays,
        Self::Parts,
        Self::Wires,
        Self::Covers,
        Self::Plugs,
        Self::Checks,
    ];
    /// Heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Drill => "mark and drill",
            Self::Set => "deburr, set inserts and nuts",
            Self::Stays => "what stays on the board",
            Self::Parts => "parts",
            Self::Wires => "wires",
            Self::Covers => "covers",
            Self::Plugs => "plugs",
            Self::Checks => "before the first power",
        }
    }
}

/// Equal pieces of hardware.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PieceCount {
    /// What.
    pub piece: Piece,
    /// How many.
    pub count: usize,
}

/// A torque that a part's type states.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Torque {
    /// The terminal, as the files write it.
    pub at: String,
    /// How tight.
    pub torque: NewtonMetres,
}

/// The order of work.
///
/// Everything is in it once, whatever the order of assembly leaves out: what it leaves out comes after the
/// rest, with a word about it.
pub fn steps(robot: &Robot, geometry: &Geometry, order: &Order, making: &Making) -> Vec<Step> {
    let mut bench = bench::Bench::new(robot, geometry, making);
    drill::drill(&mut bench);
    fit::set(&mut bench);
    fit::stays(&mut bench, order);
    finish::in_the_body(&mut bench);
    fit::assemble(&mut bench, order);
    finish::board_into_body(&mut bench);
    finish::plugs(&mut bench);
    finish::checks(&mut bench);
    bench.steps
}
