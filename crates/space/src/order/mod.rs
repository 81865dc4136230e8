//! In which order a board goes together and comes apart. Part of the deep tier.
//!
//! Taking apart is the order of assembly read backwards, so both follow from what must be off before
//! a thing can come off.

use crate::access::Tool;
use crate::geometry::{Geometry, Owner};
use loomdeck_model::{Face, Finding, PlugId, Robot, Subject, WireId};
use serde::Serialize;

/// The order of work.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Order {
    /// A feasible order of assembly; when there is none, as far as it goes.
    pub assembly: Vec<Move>,
    /// The smallest set of fasteners that makes an order impossible; empty when there is one.
    pub stuck: Vec<StuckFastener>,
    /// For each part and fixed plug on the board, in the robot's order, the least that must come off.
    pub service: Vec<Service>,
}

/// One move of the assembly.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Move {
    /// What is done.
    pub what: MoveKind,
    /// The face that is up.
    pub face: Face,
    /// Tools in hand.
    pub tools: Vec<Tool>,
}

/// Kinds of moves.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MoveKind {
    /// What stays on the board of a fixing: standoffs, inserts, captive nuts, cleats, clips.
    Prepare(Owner),
    /// A part or plug is put on and fixed.
    Fit(Owner),
    /// Wires are laid and their ends made.
    Wire(Vec<WireId>),
}

/// A fastener that cannot be reached in any order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StuckFastener {
    /// Whose.
    pub owner: Owner,
    /// Index into the type's holes.
    pub hole: usize,
    /// What stands in the way of it in every order.
    pub by: Vec<Subject>,
}

/// What it takes to remove one part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Service {
    /// Which.
    pub owner: Owner,
    /// What else must come off first, in order; itself last.
    pub remove: Vec<Owner>,
    /// Wires to undo, in the robot's order.
    pub wires: Vec<WireId>,
    /// Plugs to pull.
    pub plugs: Vec<PlugId>,
    /// Fasteners to undo.
    pub fasteners: usize,
    /// Tools, each once.
    pub tools: Vec<Tool>,
    /// Nothing smaller does it; `false`: found within a bound, which `lower_bound` states.
    pub exact: bool,
    /// No removal gets by with fewer other parts than this.
    pub lower_bound: usize,
    /// It cannot be removed at all.
    pub impossible: bool,
}

/// Works out the order.
pub fn study(_robot: &Robot, _geometry: &Geometry) -> Order {
    Order::default()
}

/// What the builder must know about it.
pub fn findings(robot: &Robot, geometry: &Geometry, order: &Order) -> Vec<Finding> {
    crate::findings::order(robot, geometry, order)
}
