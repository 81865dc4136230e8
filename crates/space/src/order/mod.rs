//! In which order a board goes together and comes apart. Part of the deep tier.
//!
//! Taking apart is the order of assembly read backwards, so both follow from one question: what must
//! be off before a thing can come off.

use crate::access::{Job, Tool};
use crate::geometry::{Geometry, Owner};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Finding, PlugId, Point, Robot, Subject, WireId};
use serde::Serialize;

/// The order of work.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Order {
    /// A feasible order of assembly; when there is none, as far as it goes.
    pub assembly: Vec<Move>,
    /// How often the board is turned over in it.
    pub turns: usize,
    /// The smallest set of fasteners that makes an order impossible; empty when there is one.
    pub stuck: Vec<StuckFastener>,
    /// No smaller set does it; `false`: the search ended early, and `stuck_at_least` is what is sure.
    pub stuck_exact: bool,
    /// No set with fewer than this would do.
    pub stuck_at_least: usize,
    /// Parts and plugs that no order gets off, in the robot's order; empty when there is an order.
    pub stuck_things: Vec<Owner>,
    /// For each part and fixed plug on the board, in the robot's order, the least that must come off.
    pub service: Vec<Service>,
    /// What is well.
    pub good_news: Vec<String>,
}

/// One move of the assembly.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Move {
    /// What is done.
    pub what: MoveKind,
    /// The face that is up.
    pub face: Face,
    /// The other face must be reached at the same time: stand the board on its edge.
    pub both_faces: bool,
    /// Tools in hand.
    pub tools: Vec<Tool>,
    /// Wires of which one end is made before its part is put on, since it cannot be reached later.
    pub ends_first: Vec<WireId>,
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
    /// Index into the type's holes; zero when `job` is no fastener.
    pub hole: usize,
    /// What cannot be done.
    pub job: Job,
    /// What stands in the way of it in every order.
    pub by: Vec<Subject>,
    /// How far the first of them reaches into the tool's space.
    pub overlap: Millimetres,
    /// It is in the way even on a board with nothing else to take off: no other order of work helps.
    pub for_good: bool,
    /// The face the tool works on.
    pub face: Face,
    /// Where, in the board's frame.
    pub at: Point,
}

/// What it takes to remove one part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Service {
    /// Which.
    pub owner: Owner,
    /// What else must come off first, in order; itself last.
    pub remove: Vec<Owner>,
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// Wires to undo, in the robot's order.
    pub wires: Vec<WireId>,
    /// Plugs to pull.
    pub plugs: Vec<PlugId>,
    /// Fasteners to undo.
    pub fasteners: usize,
    /// Tools, each once.
    pub tools: Vec<Tool>,
    /// The face that carries it.
    pub face: Face,
    /// Something is done on the back, so the board comes out of the body first.
    pub board_out: bool,
    /// How often it is worked on, in the words of the files, when that is more than once in a while.
    pub often: Option<String>,
    /// Nothing smaller does it; `false`: found within a bound, which `lower_bound` states.
    pub exact: bool,
    /// No removal gets by with fewer other parts than this.
    pub lower_bound: usize,
    /// It cannot be removed at all.
    pub impossible: bool,
}

impl Service {
    /// How many other parts and plugs come off.
    pub fn others(&self) -> usize {
        self.remove.len().saturating_sub(1)
    }
}

/// One step of a removal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// What is done.
    pub what: StepKind,
    /// The face that is up.
    pub face: Face,
    /// The other face must be reached at the same time.
    pub both_faces: bool,
    /// Tools in hand.
    pub tools: Vec<Tool>,
    /// Fasteners undone.
    pub fasteners: usize,
}

/// Kinds of steps.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum StepKind {
    /// A plug is pulled.
    Pull(PlugId),
    /// Wires are undone.
    Undo(Vec<WireId>),
    /// A part or plug is unfastened and lifted or slid off.
    TakeOff(Owner),
}

/// Works out the order.
pub fn study(robot: &Robot, geometry: &Geometry) -> Order {
    let _ = (robot, geometry);
    Order::default()
}

/// What the builder must know about it.
pub fn findings(robot: &Robot, geometry: &Geometry, order: &Order) -> Vec<Finding> {
    crate::findings::order(robot, geometry, order)
}
