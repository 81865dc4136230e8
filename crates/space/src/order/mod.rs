//! In which order a board goes together and comes apart. Part of the deep tier.
//!
//! Taking apart is the order of assembly read backwards, so both follow from one question: what must
//! be off before a thing can come off ([`build`]). The answer is a [`puzzle`] of things with
//! conditions, and three rooms work on it: [`sequence`] puts everything in an order with as few turns
//! of the board as can be, [`locked`] finds the fewest fasteners that make an order impossible, and
//! [`least`] the least that must come off for one part.

pub mod bits;
pub mod build;
pub mod hitting;
pub mod least;
pub mod locked;
mod lying;
pub mod puzzle;
#[cfg(test)]
mod samples;
pub mod sequence;
mod service;
#[cfg(test)]
mod tests;

use crate::access::{Blocker, Job, Need, Tool, ToolUse, Way};
use crate::geometry::{Geometry, Owner};
use crate::takeout::{self, TakeOut};
use bits::Bits;
use build::{Model, PRICES, Reason, What};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Finding, PlugId, Point, Robot, Subject, WireId};
use serde::Serialize;

/// Sets that the search for the fewest stuck fasteners looks at for each knot.
const LOCK_EFFORT: usize = 5_000;

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
    /// What it takes to get the whole board out of the body; `None` without a board.
    pub take_out: Option<TakeOut>,
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
    /// What stayed on the board of its fixing comes off too.
    Strip(Owner),
}

/// Works out the order.
pub fn study(robot: &Robot, geometry: &Geometry) -> Order {
    let model = Model::new(robot, geometry);
    let mut order = locks(&model);
    (order.assembly, order.turns) = service::assembly(&model);
    order.service = service::services(&model);
    order.take_out = takeout::take_out(robot, &geometry.faces);
    order.good_news = good_news(robot, &order);
    order
}

/// Only whether there is an order, and what makes it impossible.
pub fn study_locks(robot: &Robot, geometry: &Geometry) -> Order {
    locks(&Model::new(robot, geometry))
}

/// What it takes to remove one thing.
pub fn service_of(model: &Model, owner: Owner) -> Option<Service> {
    model.thing(owner).map(|t| service::service(model, t))
}

fn locks(model: &Model) -> Order {
    let off = model.puzzle.all_off();
    let found = locked::waivers(&model.puzzle, LOCK_EFFORT);
    let stuck = found.waived.iter().filter_map(|(thing, c)| stuck(model, *thing, *c)).collect();
    let count =
        |price: u64| PRICES.iter().rev().fold((0, price), |(n, left), p| (n + left / p, left % p)).0;
    Order {
        stuck,
        stuck_exact: found.exact,
        stuck_at_least: usize::try_from(count(found.bound)).unwrap_or(usize::MAX),
        stuck_things: (0..model.bodies)
            .filter(|t| !off.has(*t))
            .filter_map(|t| match model.things[t] {
                What::Body(owner) => Some(owner),
                What::Pieces(_) | What::Wire(_) => None,
            })
            .collect(),
        ..Order::default()
    }
}

/// A waived condition as the fastener or terminal it stands for.
fn stuck(model: &Model, thing: usize, condition: usize) -> Option<StuckFastener> {
    let off = model.puzzle.all_off();
    let n = match model.reasons[thing][condition] {
        Reason::Need(n) => n,
        Reason::Ends => {
            let ends = &model.ends[thing - model.first_wire];
            let blocked = |n: &&usize| still_there(model, &model.access.needs[**n], &off).is_some();
            *ends.iter().filter(|e| e.comes_off).flat_map(|e| &e.needs).find(blocked)?
        }
        Reason::Above | Reason::Wire(_) => return None,
    };
    let need = &model.access.needs[n];
    let (at, by) = still_there(model, need, &off)?;
    let mut names: Vec<Subject> = Vec::new();
    for b in &by {
        if !names.contains(&b.by) {
            names.push(b.by.clone());
        }
    }
    Some(StuckFastener {
        owner: need.owner?,
        hole: if let Job::Fastener { hole } = need.job { hole } else { 0 },
        job: need.job.clone(),
        for_good: model.puzzle.things[thing].conditions[condition].ways.is_empty(),
        overlap: by.first().map_or(Millimetres::ZERO, |b| b.overlap),
        by: names,
        face: at.face,
        at: at.at,
    })
}

/// What stays in the way of a need, in the way that the fewest things stay in, and the tool that the first of
/// them hinders. `None` when a way is open.
fn still_there<'n>(
    model: &Model,
    need: &'n Need,
    off: &Bits,
) -> Option<(&'n ToolUse, Vec<&'n Blocker>)> {
    let stays = |u: &ToolUse, b: &Blocker| {
        let alone = Way { uses: vec![ToolUse { blockers: vec![b.clone()], ..u.clone() }] };
        model.standing(need, &alone).is_none_or(|s| s.iter().any(|t| !off.has(*t)))
    };
    let left = |way: &'n Way| -> Vec<(&'n ToolUse, &'n Blocker)> {
        let all = way.uses.iter().flat_map(|u| u.blockers.iter().map(move |b| (u, b)));
        all.filter(|(u, b)| stays(u, b)).collect()
    };
    let fewest = need.ways.iter().map(left).min_by_key(Vec::len)?;
    let (at, _) = *fewest.first()?;
    Some((at, fewest.into_iter().map(|(_, b)| b).collect()))
}

fn good_news(robot: &Robot, order: &Order) -> Vec<String> {
    if order.service.is_empty() || order.service.iter().any(|s| s.impossible) {
        return Vec::new();
    }
    let worst = order.service.iter().max_by_key(|s| (s.others(), std::cmp::Reverse(s.owner)));
    let Some(worst) = worst else { return Vec::new() };
    let name = |o: Owner| crate::faces::subject(robot, o).name().to_owned();
    let text = match worst.others() {
        0 => "Every part comes off without taking another one off.".to_owned(),
        n => {
            let others: Vec<String> = worst.remove.iter().take(n).map(|o| name(*o)).collect();
            format!(
                "Every part comes off with at most {n} other{} off; it is {} that takes most: {} first.",
                if n == 1 { "" } else { "s" },
                name(worst.owner),
                others.join(", ")
            )
        }
    };
    vec![text]
}

/// What the builder must know about it.
pub fn findings(robot: &Robot, geometry: &Geometry, order: &Order) -> Vec<Finding> {
    crate::findings::order(robot, geometry, order)
}
