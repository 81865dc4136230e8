//! What must be off before each part, plug and wire comes off, as a [`Puzzle`].
//!
//! Things are the parts and fixed plugs on the board, in the robot's order; then what stays on the board of
//! their fixings (standoffs, cleats, clips); then the wires that land on them. A part or plug asks:
//!
//! - for each of its fasteners (and for sliding it out) one way that is open, as [`crate::access`] found
//!   them: all parts and plugs that stand in it are off, and wires that lie over the fastener's head too;
//!   where a standoff or cleat stands in it, that is off as well;
//! - that nothing stands above its own outline, since it is lifted straight off its face. What slides out of
//!   cleats asks for its swept outline instead;
//! - that the wires that land on it are undone, and those that run across it.
//!
//! What stays on the board asks that its part is off and that its own screws can be reached. A wire asks that
//! one of its ends can be reached; what is undone at its far end comes off with its part.
//!
//! The work is done on the bench: bolts that hold the board in the body are out, and the body is not
//! there. The board itself never comes off, nor does a part that stands in its own way.

use super::lying::{Lying, bounds, box_of};
use super::puzzle::{Condition, Puzzle, Thing};
use crate::access::{Access, Blocker, Job, Need, ToolUse, Way, When};
use crate::faces;
use crate::geometry::{Body, Geometry, Owner};
use crate::shape::{self, Convex, direction, pieces};
use loomdeck_model::part_type::Fitting;
use loomdeck_model::{
    Face, Half, Landing, PartId, Place, PlugId, PlugPlace, Point, Robot, Subject, WireId,
};
use rstar::{AABB, RTree};
use std::collections::BTreeMap;

/// Price of changing a fastener, of making a terminal or a latch reachable, and of anything that no change
/// of a fastener helps.
pub const PRICES: [u64; 3] = [1, 1_000, 1_000_000];

/// A thing of the puzzle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// A part or fixed plug.
    Body(Owner),
    /// What stays on the board of its fixing.
    Pieces(Owner),
    /// A wire.
    Wire(WireId),
}

/// Why a condition is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// A need of [`Access`], by its place there.
    Need(usize),
    /// Things above it, or its part above what stays of its fixing.
    Above,
    /// A wire that lands on it or runs across it.
    Wire(WireId),
    /// Its ends must be reached.
    Ends,
}

/// One end of a wire.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// The thing it lands on, when that is on the board.
    pub on: Option<usize>,
    /// The face it is undone from; `None`: either will do.
    pub face: Option<Face>,
    /// Needs that must all be met, by their place in [`Access`].
    pub needs: Vec<usize>,
    /// The plug that is pulled to undo it.
    pub pull: Option<PlugId>,
    /// It can be undone at all; a lead of its own or a solder joint cannot.
    pub comes_off: bool,
}

/// The puzzle of a board, and what stands behind it.
pub struct Model<'a> {
    /// The robot.
    pub robot: &'a Robot,
    /// What must be reached.
    pub access: &'a Access,
    /// The puzzle.
    pub puzzle: Puzzle,
    /// What each thing is.
    pub things: Vec<What>,
    /// Why each condition of each thing is there.
    pub reasons: Vec<Vec<Reason>>,
    /// How many of the things are parts and plugs; they come first.
    pub bodies: usize,
    /// Place of the first wire; before it come the pieces that stay on the board.
    pub first_wire: usize,
    /// Both ends of each wire of the puzzle.
    pub ends: Vec<[End; 2]>,
    /// Weight of one part or plug, more than all else together.
    pub heavy: u64,
    names: BTreeMap<&'a str, Owner>,
    place: BTreeMap<What, usize>,
    lying: [Lying; 2],
}

/// What a blocker means here.
enum Stand {
    Thing(usize),
    Gone,
    Never,
}

impl<'a> Model<'a> {
    /// The puzzle of a robot's board.
    pub fn new(robot: &'a Robot, geometry: &'a Geometry) -> Self {
        let bodies = owners(robot);
        let count = bodies.len();
        let on_board = |l: Landing| match l {
            Landing::Part { part, .. } => bodies.contains(&Owner::Part(part)),
            Landing::Plug { plug, half, .. } => {
                half == Half::Board && bodies.contains(&Owner::Plug(plug))
            }
        };
        let wires = (0..robot.wires.len())
            .filter(|w| on_board(robot.wires[*w].from) || on_board(robot.wires[*w].to))
            .map(|w| What::Wire(WireId(w)));
        let prepared = |o: &&Owner| {
            geometry.access.needs.iter().any(|n| n.when == When::Prepare && n.owner == Some(**o))
        };
        let pieces: Vec<What> = bodies.iter().filter(prepared).map(|o| What::Pieces(*o)).collect();
        let first_wire = count + pieces.len();
        let things: Vec<What> =
            bodies.iter().map(|o| What::Body(*o)).chain(pieces).chain(wires).collect();
        let place: BTreeMap<What, usize> = things.iter().enumerate().map(|(i, t)| (*t, i)).collect();
        let names = (robot.parts.iter().enumerate())
            .map(|(i, p)| (p.name.as_str(), Owner::Part(PartId(i))))
            .chain(
                robot.plugs.iter().enumerate().map(|(i, p)| (p.name.as_str(), Owner::Plug(PlugId(i)))),
            )
            .collect();
        let mut model = Self {
            robot,
            access: &geometry.access,
            puzzle: Puzzle::default(),
            reasons: vec![Vec::new(); things.len()],
            things,
            bodies: count,
            first_wire,
            ends: Vec::new(),
            heavy: 0,
            names,
            place,
            lying: Face::BOTH.map(|face| Lying::new(robot, geometry, face)),
        };
        model.fill(geometry);
        model
    }

    /// Where a part or plug stands among the things.
    pub fn thing(&self, owner: Owner) -> Option<usize> {
        self.place.get(&What::Body(owner)).copied()
    }

    /// The face that carries a thing; `None` for wires.
    pub fn face(&self, thing: usize) -> Option<Face> {
        let (What::Body(owner) | What::Pieces(owner)) = self.things[thing] else { return None };
        match owner {
            Owner::Part(p) => match self.robot.parts[p.0].place {
                Place::Board(at) => Some(at.face),
                Place::Zone { .. } => None,
            },
            Owner::Plug(p) => match self.robot.plugs[p.0].place {
                PlugPlace::Fixed(at) => Some(at.face),
                PlugPlace::Tail { .. } => None,
            },
        }
    }

    /// Things that stand in a way, or `None` when something never leaves it.
    pub fn standing(&self, need: &Need, way: &Way) -> Option<Vec<usize>> {
        let mut out = Vec::new();
        for u in &way.uses {
            for b in &u.blockers {
                match self.stand(need, b) {
                    Stand::Thing(t) => out.push(t),
                    Stand::Gone => {}
                    Stand::Never => return None,
                }
            }
            if need.when == When::Hold {
                out.extend(self.over_head(need, u));
            }
        }
        out.sort_unstable();
        out.dedup();
        Some(out)
    }

    fn stand(&self, need: &Need, blocker: &Blocker) -> Stand {
        match &blocker.by {
            Subject::Part(name) | Subject::Plug(name) => {
                let owner = self.names.get(name.as_str()).copied();
                if owner.is_some() && owner == need.owner {
                    return Stand::Never;
                }
                let pieces =
                    owner.filter(|_| blocker.stays).and_then(|o| self.place.get(&What::Pieces(o)));
                let body = owner.and_then(|o| self.thing(o));
                pieces.copied().or(body).map_or(Stand::Gone, Stand::Thing)
            }
            Subject::Wire(name) => {
                let thing = self.robot.wire(name).and_then(|w| self.place.get(&What::Wire(w)));
                thing.map_or(Stand::Gone, |t| Stand::Thing(*t))
            }
            Subject::Board | Subject::Robot => Stand::Never,
            // On the bench the board's own bolts are out, and what the body keeps free is free.
            _ => Stand::Gone,
        }
    }

    /// Wires that lie over the head or nut that a tool turns.
    fn over_head(&self, need: &Need, tool: &ToolUse) -> Vec<usize> {
        let Job::Fastener { .. } = need.job else { return Vec::new() };
        let lying = &self.lying[tool.face as usize];
        let Some(radius) = lying.head_at(tool.at) else { return Vec::new() };
        let disc = [shape::octagon(tool.at, radius)];
        lying
            .wires_over(&disc, f64::INFINITY)
            .filter_map(|w| self.place.get(&What::Wire(w)).copied())
            .collect()
    }

    fn fill(&mut self, geometry: &Geometry) {
        let holding = self.needs_by_owner(|n| n.when == When::Hold);
        let preparing = self.needs_by_owner(|n| n.when == When::Prepare);
        let wiring = self.wiring_needs();
        self.ends = self.things[self.first_wire..]
            .iter()
            .map(|t| match t {
                What::Wire(w) => self.ends_of(*w, &wiring),
                What::Body(_) | What::Pieces(_) => no_ends(),
            })
            .collect();
        let fasteners: Vec<u64> = (0..self.bodies).map(|t| self.fasteners_of(t, &holding)).collect();
        let thing = |weight| Thing { weight, conditions: Vec::new() };
        let mut things: Vec<Thing> = fasteners.iter().map(|f| thing(*f)).collect();
        for t in self.bodies..self.first_wire {
            let (What::Body(owner) | What::Pieces(owner)) = self.things[t] else { continue };
            let screws = self.thing(owner).map_or(0, |b| self.fasteners_of(b, &preparing));
            things.push(thing(screws.max(1)));
        }
        things.resize_with(self.things.len(), || thing(1));
        self.heavy = 1 + things.iter().map(|t| t.weight).sum::<u64>();
        things[..self.bodies].iter_mut().for_each(|t| t.weight += self.heavy);
        self.puzzle.things = things;
        for t in self.bodies..self.first_wire {
            let What::Pieces(owner) = self.things[t] else { continue };
            let Some(body) = self.thing(owner) else { continue };
            self.ask(t, Reason::Above, must(body));
            for n in preparing.get(&body).into_iter().flatten() {
                self.ask_need(t, *n);
            }
        }
        for t in 0..self.bodies {
            for n in holding.get(&t).into_iter().flatten() {
                self.ask_need(t, *n);
            }
        }
        self.ask_above(geometry);
        self.ask_wires();
    }

    fn needs_by_owner(&self, wanted: impl Fn(&Need) -> bool) -> BTreeMap<usize, Vec<usize>> {
        let mut out: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (i, n) in self.access.needs.iter().enumerate().filter(|(_, n)| wanted(n)) {
            if let Some(t) = n.owner.and_then(|o| self.thing(o)) {
                out.entry(t).or_default().push(i);
            }
        }
        out
    }

    fn wiring_needs(&self) -> BTreeMap<(usize, usize), Vec<usize>> {
        let mut out: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
        for (i, n) in self.access.needs.iter().enumerate().filter(|(_, n)| n.when == When::Wire) {
            if let (Some(t), Job::Terminal { terminal }) = (n.owner.and_then(|o| self.thing(o)), &n.job)
            {
                out.entry((t, *terminal)).or_default().push(i);
            }
        }
        out
    }

    fn fasteners_of(&self, thing: usize, holding: &BTreeMap<usize, Vec<usize>>) -> u64 {
        let needs = holding.get(&thing).into_iter().flatten();
        needs.filter(|n| matches!(self.access.needs[**n].job, Job::Fastener { .. })).count() as u64
    }

    fn ask(&mut self, thing: usize, reason: Reason, condition: Condition) {
        self.puzzle.things[thing].conditions.push(condition);
        self.reasons[thing].push(reason);
    }

    /// The ways of a need, each as the things that stand in it. Ways that something never leaves are left
    /// out.
    fn ways(&self, need: usize) -> Vec<Vec<usize>> {
        let need = &self.access.needs[need];
        need.ways.iter().filter_map(|w| self.standing(need, w)).collect()
    }

    fn ask_need(&mut self, thing: usize, need: usize) {
        if self.access.needs[need].ways.is_empty() {
            return;
        }
        let price = match self.access.needs[need].job {
            Job::Fastener { .. } | Job::Slide => PRICES[0],
            _ => PRICES[1],
        };
        let ways = self.ways(need);
        self.ask(thing, Reason::Need(need), Condition { ways, price });
    }

    /// Things above, and wires across.
    fn ask_above(&mut self, geometry: &Geometry) {
        for view in &geometry.faces {
            let cut: Vec<(usize, &Body, Vec<Convex>)> = view
                .bodies
                .iter()
                .filter_map(|b| Some((self.thing(b.owner)?, b, pieces(&b.outline))))
                .collect();
            let boxes = RTree::bulk_load(
                cut.iter().enumerate().map(|(i, (_, b, _))| box_of(&b.outline, i)).collect(),
            );
            for (thing, body, own) in &cut {
                let path = self.lifted_from(body.owner, own);
                let (low, high) = bounds(&path);
                let inside = AABB::from_corners([low.x, low.y], [high.x, high.y]);
                let mut above: Vec<usize> = boxes
                    .locate_in_envelope_intersecting(inside)
                    .map(|b| &cut[b.data])
                    // Bodies that begin no higher but overlap do so by mistake, and are found elsewhere.
                    .filter(|(other, b, _)| other != thing && b.base.0 > body.base.0 + shape::TOUCH)
                    .filter(|(_, _, shape)| shape::overlap(&path, shape))
                    .map(|(other, _, _)| *other)
                    .collect();
                above.sort_unstable();
                for other in above {
                    self.ask(*thing, Reason::Above, must(other));
                }
                let over = self.lying[view.face as usize].wires_over(own, body.base.0);
                let across: Vec<(WireId, usize)> = over
                    .filter_map(|w| Some((w, self.place.get(&What::Wire(w)).copied()?)))
                    .filter(|(_, w)| {
                        self.ends[*w - self.first_wire].iter().all(|e| e.on != Some(*thing))
                    })
                    .collect();
                for (wire, other) in across {
                    self.ask(*thing, Reason::Wire(wire), must(other));
                }
            }
        }
    }

    /// The outline from which it is lifted off: its own, or where it is once it slid out of its cleats. That
    /// nothing is in the way of the sliding itself is a need of its own.
    fn lifted_from(&self, owner: Owner, own: &[Convex]) -> Vec<Convex> {
        let slides = self.access.needs.iter().find(|n| n.owner == Some(owner) && n.job == Job::Slide);
        let swept = slides.and_then(|n| Some(&n.ways.first()?.uses.first()?.solids));
        let standing = faces::standing(self.robot).find(|s| s.owner == owner);
        let way = standing.and_then(|s| Some(s.at.direction_to_board(s.fixing.slides?)));
        let (Some(swept), Some(way)) = (swept, way) else { return own.to_vec() };
        let d = direction(way.0);
        let far = |points: &mut dyn Iterator<Item = Point>| {
            points.map(|p| shape::dot(p, d)).fold(f64::NEG_INFINITY, f64::max)
        };
        let end = far(&mut swept.iter().flat_map(|s| s.outline.0.iter().copied()));
        let by = (end - far(&mut own.iter().flat_map(|c| c.corners.iter().copied()))).max(0.0);
        own.iter().map(|piece| piece.moved(Point::new(d.x * by, d.y * by))).collect()
    }

    fn ask_wires(&mut self) {
        for i in 0..self.ends.len() {
            let thing = self.first_wire + i;
            let What::Wire(wire) = self.things[thing] else { continue };
            let ends = self.ends[i].clone();
            for end in &ends {
                if let Some(on) = end.on {
                    self.ask(
                        on,
                        Reason::Wire(wire),
                        Condition { ways: vec![vec![thing]], price: PRICES[2] },
                    );
                }
            }
            // A wire that comes off nowhere was soldered in; then it is unsoldered where it is.
            if !ends.iter().any(|e| e.comes_off) {
                continue;
            }
            let ways = ends.iter().filter(|e| e.comes_off).flat_map(|e| self.end_ways(e)).collect();
            self.ask(thing, Reason::Ends, Condition { ways, price: PRICES[1] });
        }
    }

    /// The ways of undoing an end: one of each of its needs, together.
    pub fn end_ways(&self, end: &End) -> Vec<Vec<usize>> {
        let mut out = vec![Vec::new()];
        for need in &end.needs {
            let ways = self.ways(*need);
            out = out
                .iter()
                .flat_map(|so_far: &Vec<usize>| {
                    ways.iter().map(move |w| [so_far.as_slice(), w].concat())
                })
                .collect();
        }
        out
    }

    fn ends_of(&self, wire: WireId, wiring: &BTreeMap<(usize, usize), Vec<usize>>) -> [End; 2] {
        let w = &self.robot.wires[wire.0];
        let mut ends = [w.from, w.to].map(|l| self.end(l, wiring));
        // A plug on a tail is pulled for the sake of one part only when the whole tail hangs on that part.
        for (this, other) in [(0, 1), (1, 0)] {
            let Some(plug) = ends[this].pull else { continue };
            if ends[other].comes_off && !self.whole_tail_on(plug, ends[other].on) {
                ends[this].comes_off = false;
            }
        }
        ends
    }

    fn whole_tail_on(&self, plug: PlugId, on: Option<usize>) -> bool {
        let in_tail =
            |l: Landing| matches!(l, Landing::Plug { plug: p, half: Half::Board, .. } if p == plug);
        self.robot.wires.iter().filter(|w| in_tail(w.from) || in_tail(w.to)).all(|w| {
            let far = if in_tail(w.from) { w.to } else { w.from };
            on.is_some() && self.landing_thing(far) == on
        })
    }

    fn landing_thing(&self, landing: Landing) -> Option<usize> {
        match landing {
            Landing::Part { part, .. } => self.thing(Owner::Part(part)),
            Landing::Plug { plug, half: Half::Board, .. } => self.thing(Owner::Plug(plug)),
            Landing::Plug { half: Half::Body, .. } => None,
        }
    }

    fn end(&self, landing: Landing, wiring: &BTreeMap<(usize, usize), Vec<usize>>) -> End {
        let on = self.landing_thing(landing);
        let mut end = End { on, face: None, needs: Vec::new(), pull: None, comes_off: true };
        match landing {
            Landing::Part { part, terminal } => {
                if let Some(t) = on {
                    end.face = self.face(t);
                    end.needs = wiring.get(&(t, terminal)).cloned().unwrap_or_default();
                }
                let fitting = self.robot.type_of(part).terminals.get(terminal).map(|t| t.fitting);
                end.comes_off = !matches!(fitting, Some(Fitting::Lead(_) | Fitting::Solder));
            }
            Landing::Plug { plug, half: Half::Board, .. } => match on {
                // The contact is pushed out of its housing, from the face that carries the plug.
                Some(t) => end.face = self.face(t),
                None => end.pull = Some(plug),
            },
            Landing::Plug { half: Half::Body, .. } => {}
        }
        end
    }
}

fn no_ends() -> [End; 2] {
    let none = End { on: None, face: None, needs: Vec::new(), pull: None, comes_off: true };
    [none.clone(), none]
}

fn must(other: usize) -> Condition {
    Condition { ways: vec![vec![other]], price: PRICES[2] }
}

/// Parts on the board, then fixed plugs.
pub fn owners(robot: &Robot) -> Vec<Owner> {
    if robot.board.is_none() {
        return Vec::new();
    }
    let parts = (robot.parts.iter().enumerate())
        .filter(|(_, p)| matches!(p.place, Place::Board(_)))
        .map(|(i, _)| Owner::Part(PartId(i)));
    let plugs = (robot.plugs.iter().enumerate())
        .filter(|(_, p)| matches!(p.place, PlugPlace::Fixed(_)))
        .map(|(i, _)| Owner::Plug(PlugId(i)));
    parts.chain(plugs).collect()
}
