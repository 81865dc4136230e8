//! The shortest way from some gates to others, over both faces, openings and a loom's trunk.
//!
//! A* over the corners of both faces (generated as they are needed and kept for the next wire), with
//! gates, openings and the knots of the trunk as further nodes.

mod nodes;

use super::market::{Market, Payer};
use super::recall::Ask;
use super::scene::{Scene, Seen};
use super::tree::{Step, TOGETHER, Tree};
use crate::shape::{apart, dot, minus, nearest_on_segment};
use loomdeck_model::Point;
use nodes::{Extras, Link, Scratch};
use std::cell::{Cell, OnceCell, RefCell};
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::sync::Arc;

/// A free point on a face from which a wire goes on.
#[derive(Clone, Debug)]
pub struct Gate {
    /// Face: 0 front, 1 back.
    pub face: usize,
    /// Where.
    pub at: Point,
    /// From the terminal to here, both included.
    pub stub: Vec<Point>,
    /// Length of the stub and what else it costs to come here.
    pub cost: f64,
    /// Corners it sees, first look.
    pub seen: Arc<Seen>,
}

/// An opening between the faces.
pub struct Opening {
    /// Where.
    pub at: Point,
    /// Whether nothing covers it, on each face.
    pub free: [bool; 2],
    /// What it sees on each face, as far as it was asked.
    seen: [OnceCell<Arc<Seen>>; 2],
}

/// Both faces at one clearance.
pub struct Net {
    /// Front and back.
    pub scenes: [Scene; 2],
    /// In the board's order.
    pub openings: Vec<Opening>,
    /// Thickness of the board.
    pub thickness: f64,
    scratch: Scratch,
    extras: Extras,
    /// Passages crossed by the edges out of every corner, as far as they were asked for.
    crossings: Vec<Vec<Option<Box<[u32]>>>>,
    /// What first searches asked, with the face, while it is written down.
    pub journal: RefCell<Vec<(u8, Ask)>>,
    pub noting: Cell<bool>,
}

/// A found way.
pub struct Way {
    /// Index of the start gate.
    pub start: usize,
    /// Index of the goal gate.
    pub goal: usize,
    /// Points from gate to gate.
    pub steps: Vec<Step>,
}

/// What is looked for.
pub struct Question<'a> {
    /// Where it may begin; all on one face.
    pub start: &'a [Gate],
    /// Where it may end.
    pub goal: &'a [Gate],
    /// Openings that it may use to change face.
    pub openings: &'a [usize],
    /// The trunk it may join.
    pub tree: Option<&'a Tree>,
    /// What it pays for room; `None`: nothing.
    pub payer: Option<(&'a Market, Payer)>,
}

impl Question<'_> {
    /// What a straight stretch costs beyond its length.
    fn toll(&self, face: usize, a: Point, b: Point) -> f64 {
        self.payer.as_ref().map_or(0.0, |(market, payer)| market.toll(face, a, b, payer))
    }
}

#[derive(PartialEq)]
struct Open(f64, u32);
impl Eq for Open {}
impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Open {
    fn cmp(&self, other: &Self) -> Ordering {
        other.0.total_cmp(&self.0).then(other.1.cmp(&self.1))
    }
}

impl Net {
    /// Both faces at one clearance.
    pub fn new(scenes: [Scene; 2], openings: &[Point], thickness: f64) -> Self {
        let openings = openings
            .iter()
            .map(|at| Opening {
                at: *at,
                free: [0, 1].map(|f| scenes[f].holder(*at, None).is_none()),
                seen: Default::default(),
            })
            .collect();
        Self {
            scenes,
            openings,
            thickness,
            scratch: Scratch::default(),
            extras: Extras::default(),
            crossings: Vec::new(),
            journal: RefCell::new(Vec::new()),
            noting: Cell::new(true),
        }
    }

    /// What an opening sees on a face; `None` when something covers it there.
    pub fn seen_from_opening(&self, opening: usize, face: usize) -> Option<&Arc<Seen>> {
        let o = &self.openings[opening];
        o.free[face].then(|| o.seen[face].get_or_init(|| self.scenes[face].seen_from(o.at, 0)))
    }

    fn note(&self, face: usize, ask: Ask) {
        if self.noting.get() {
            self.journal.borrow_mut().push((face as u8, ask));
        }
    }

    /// Nothing lies across a segment.
    fn clear(&self, face: usize, a: Point, b: Point) -> bool {
        self.note(face, Ask::Clear(a, b));
        self.scenes[face].clear(a, b, None)
    }

    fn first(&self, face: usize) -> usize {
        if face == 0 { 0 } else { self.scenes[0].len() }
    }

    /// The shortest way, or `None` when there is none.
    pub fn find(&mut self, q: &Question) -> Option<Way> {
        if q.start.is_empty() || q.goal.is_empty() {
            return None;
        }
        if q.tree.is_none_or(|t| t.stretches.is_empty())
            && let Some(way) = self.straight(q)
        {
            return Some(way);
        }
        let again = self.scenes.iter().any(Scene::has_second_look);
        self.look(q, 0).or_else(|| if again { self.look(q, 1) } else { None })
    }

    /// One gate sees the other: nothing can be shorter.
    fn straight(&self, q: &Question) -> Option<Way> {
        let [a] = q.start else { return None };
        let [b] = q.goal else { return None };
        if a.face != b.face || !self.clear(a.face, a.at, b.at) || q.toll(a.face, a.at, b.at) > 0.0 {
            return None;
        }
        Some(Way { start: 0, goal: 0, steps: vec![gate_step(a), gate_step(b)] })
    }

    fn look(&mut self, q: &Question, look: usize) -> Option<Way> {
        let mut extras = std::mem::take(&mut self.extras);
        extras.begin(self.scenes[0].len() + self.scenes[1].len());
        let way = self.look_among(q, look, &mut extras);
        self.extras = extras;
        way
    }

    fn look_among(&mut self, q: &Question, look: usize, extras: &mut Extras) -> Option<Way> {
        let starts: Vec<u32> = q.start.iter().map(|g| extras.add(gate_step(g))).collect();
        let goals: Vec<u32> = q.goal.iter().map(|g| extras.add(gate_step(g))).collect();
        self.link_gates(q, look, &starts, &goals, extras);
        self.link_openings(q, &starts, &goals, extras);
        if let Some(tree) = q.tree {
            self.link_tree(q, tree, &starts, &goals, extras);
        }
        extras.back.sort_by_key(|x| (x.0, x.1));
        let ids = self.run(q, look, &starts, &goals, extras)?;
        let steps = ids.iter().map(|id| self.step(*id, extras)).collect();
        let start = starts.iter().position(|s| Some(s) == ids.first())?;
        let goal = goals.iter().position(|g| Some(g) == ids.last())?;
        Some(Way { start, goal, steps })
    }

    fn step(&self, id: u32, extras: &Extras) -> Step {
        let id = id as usize;
        if id >= extras.base {
            return extras.nodes[id - extras.base].step.clone();
        }
        let face = usize::from(id >= self.scenes[0].len());
        let corner = (id - self.first(face)) as u32;
        let at = self.scenes[face].at(corner);
        Step { face, at, corner: Some(corner), seen: None, within: None, pass: None, pin: false }
    }

    fn link_gates(&self, q: &Question, look: usize, starts: &[u32], goals: &[u32], extras: &mut Extras) {
        let seen = |g: &Gate| {
            if look == 0 {
                return g.seen.clone();
            }
            self.note(g.face, Ask::Point(g.at, look));
            self.scenes[g.face].seen_from(g.at, look)
        };
        for (g, id) in q.start.iter().zip(starts) {
            extras.see(*id, self.first(g.face), &seen(g), true, false);
            for (h, goal) in q.goal.iter().zip(goals) {
                if g.face == h.face && self.clear(g.face, g.at, h.at) {
                    extras.link(*id, *goal, apart(g.at, h.at));
                }
            }
        }
        for (h, id) in q.goal.iter().zip(goals) {
            extras.see(*id, self.first(h.face), &seen(h), false, true);
        }
    }

    fn link_openings(&self, q: &Question, starts: &[u32], goals: &[u32], extras: &mut Extras) {
        let near = q.start[0].face;
        let far = 1 - near;
        if q.goal.iter().all(|g| g.face == near) {
            return;
        }
        for &o in q.openings {
            let opening = &self.openings[o];
            (0..2).for_each(|face| self.note(face, Ask::Opening(opening.at)));
            if opening.free != [true, true] {
                continue;
            }
            let mut ids = [0u32; 2];
            for face in [near, far] {
                let Some(seen) = self.seen_from_opening(o, face) else { continue };
                self.note(face, Ask::Point(opening.at, 0));
                let step = Step {
                    face,
                    at: opening.at,
                    corner: None,
                    seen: Some(seen.clone()),
                    within: None,
                    pass: Some(o),
                    pin: false,
                };
                ids[face] = extras.add(step);
                extras.see(ids[face], self.first(face), seen, face == far, face == near);
            }
            let fee = q.payer.as_ref().map_or(0.0, |(market, payer)| market.fee(o, payer));
            extras.link(ids[near], ids[far], self.thickness + fee);
            for (g, id) in q.start.iter().zip(starts) {
                if self.clear(near, g.at, opening.at) {
                    extras.link(*id, ids[near], apart(g.at, opening.at));
                }
            }
            for (h, id) in q.goal.iter().zip(goals).filter(|(h, _)| h.face == far) {
                if self.clear(far, h.at, opening.at) {
                    extras.link(ids[far], *id, apart(h.at, opening.at));
                }
            }
        }
    }

    /// Knots of the trunk, and points where the gates may join its stretches.
    fn link_tree(&self, q: &Question, tree: &Tree, starts: &[u32], goals: &[u32], extras: &mut Extras) {
        let knots: Vec<u32> = tree
            .knots
            .iter()
            .map(|k| {
                let id = extras.add(Step {
                    face: k.face,
                    at: k.at,
                    corner: k.corner,
                    seen: k.seen.clone(),
                    within: None,
                    pass: None,
                    pin: false,
                });
                if let Some(c) = k.corner {
                    let corner = (self.first(k.face) + c as usize) as u32;
                    extras.link(id, corner, 0.0);
                    extras.back.push((corner, id, 0.0));
                }
                // In a large trunk there are corners enough to join and leave it.
                if let Some(seen) = k.seen.as_ref().filter(|_| tree.knots.len() <= SMALL_TRUNK) {
                    extras.see(id, self.first(k.face), seen, true, true);
                }
                id
            })
            .collect();
        let start = q.start.iter().zip(starts).map(|(g, i)| (g, *i, true, join_reach(tree, g)));
        let goal = q.goal.iter().zip(goals).map(|(g, i)| (g, *i, false, join_reach(tree, g)));
        let gates: Vec<_> = start.chain(goal).collect();
        for (e, s) in tree.stretches.iter().enumerate() {
            let (a, b) = (&tree.knots[s.a], &tree.knots[s.b]);
            if a.face != b.face {
                if q.openings.iter().any(|o| self.openings[*o].at == a.at) {
                    extras.link_both(knots[s.a], knots[s.b], self.thickness * TOGETHER);
                }
                continue;
            }
            let mut chain: Vec<(f64, u32)> = vec![(0.0, knots[s.a]), (1.0, knots[s.b])];
            for (g, id, out, reach) in &gates {
                let near =
                    g.face == a.face && apart(g.at, nearest_on_segment(g.at, a.at, b.at)) <= *reach;
                if near {
                    self.join(g, *id, *out, (e, a.at, b.at), &mut chain, extras);
                }
            }
            chain.sort_by(|x, y| x.0.total_cmp(&y.0));
            let length = apart(a.at, b.at);
            for pair in chain.windows(2) {
                extras.link_both(pair[0].1, pair[1].1, (pair[1].0 - pair[0].0) * length * TOGETHER);
            }
        }
    }

    /// Links a gate to a stretch: square to it, slanting to either side, and at its ends.
    fn join(
        &self,
        gate: &Gate,
        id: u32,
        out: bool,
        (e, a, b): (usize, Point, Point),
        chain: &mut Vec<(f64, u32)>,
        extras: &mut Extras,
    ) {
        let d = minus(b, a);
        let length = apart(a, b);
        if length < 1e-9 {
            return;
        }
        let foot = dot(minus(gate.at, a), d) / (length * length);
        let off = crate::shape::cross(d, minus(gate.at, a)).abs() / length;
        let lean = off * TOGETHER / (1.0 - TOGETHER * TOGETHER).sqrt() / length;
        let mut tried: Vec<f64> = [foot, foot - lean, foot + lean].map(|t| t.clamp(0.0, 1.0)).to_vec();
        tried.dedup();
        for t in tried {
            let at = Point::new(a.x + d.x * t, a.y + d.y * t);
            let cost = apart(gate.at, at);
            if !self.clear(gate.face, gate.at, at) {
                continue;
            }
            let node = if t <= 0.0 || t >= 1.0 {
                chain[usize::from(t >= 1.0)].1
            } else {
                let step = Step {
                    face: gate.face,
                    at,
                    corner: None,
                    seen: None,
                    within: Some(e),
                    pass: None,
                    pin: false,
                };
                let node = extras.add(step);
                chain.push((t, node));
                node
            };
            if out {
                extras.link(id, node, cost);
            } else {
                extras.link(node, id, cost);
            }
        }
    }

    /// A* from the starts to the goals; the nodes of the best way.
    fn run(
        &mut self,
        q: &Question,
        look: usize,
        starts: &[u32],
        goals: &[u32],
        extras: &Extras,
    ) -> Option<Vec<u32>> {
        let Self { scenes, scratch, crossings, journal, noting, .. } = self;
        let split = scenes[0].len();
        let end = extras.base + extras.nodes.len();
        scratch.begin(end + 1);
        if let Some((market, payer)) = &q.payer {
            (0..2).for_each(|face| market.prices(face, payer, &mut scratch.prices[face]));
        }
        let pull = if q.tree.is_some_and(|t| !t.stretches.is_empty()) { TOGETHER } else { 1.0 };
        // Prices move from round to round: a way that is nearly the cheapest does, and is found much sooner.
        let pull = if q.payer.is_some() { pull * HASTE } else { pull };
        let ahead = |p: Point| {
            q.goal.iter().map(|g| pull * apart(p, g.at) + g.cost).fold(f64::INFINITY, f64::min)
        };
        let place = |id: usize| {
            if id >= extras.base {
                extras.nodes[id - extras.base].step.at
            } else if id < split {
                scenes[0].at(id as u32)
            } else {
                scenes[1].at((id - split) as u32)
            }
        };
        let face_of = |id: usize| {
            if id >= extras.base {
                extras.nodes.get(id - extras.base).map_or(0, |n| n.step.face)
            } else {
                usize::from(id >= split)
            }
        };
        let mut open = BinaryHeap::new();
        for (g, id) in q.start.iter().zip(starts) {
            if scratch.better(*id, g.cost, u32::MAX) {
                open.push(Open(g.cost + ahead(g.at), *id));
            }
        }
        while let Some(Open(_, id)) = open.pop() {
            if scratch.close(id) {
                continue;
            }
            let here = scratch.nodes[id as usize].cost;
            if id as usize == end {
                return Some(scratch.trace(id));
            }
            let (face_here, place_here) = (face_of(id as usize), place(id as usize));
            let mut relax = |to: u32, cost: f64, known: Option<&mut Option<Box<[u32]>>>| {
                let mut total = here + cost;
                let next = to as usize;
                let pays = q.payer.as_ref().filter(|_| next != end && face_of(next) == face_here);
                if let Some((market, _)) = pays
                    && scratch.is_better(to, total)
                {
                    total += match known {
                        Some(known) => {
                            let crossed = known.get_or_insert_with(|| {
                                market.crossed(face_here, place_here, place(next)).into_boxed_slice()
                            });
                            let prices = &scratch.prices[face_here];
                            crossed.iter().map(|p| prices[*p as usize]).sum()
                        }
                        None => q.toll(face_here, place_here, place(next)),
                    };
                }
                if scratch.better(to, total, id) {
                    let rest = if to as usize == end { 0.0 } else { ahead(place(to as usize)) };
                    open.push(Open(total + rest, to));
                }
            };
            if id as usize >= extras.base {
                let node = &extras.nodes[id as usize - extras.base];
                let mut link = extras.links.get(node.link as usize);
                while let Some(Link { to, cost, before }) = link {
                    relax(*to, *cost, None);
                    link = extras.links.get(*before as usize);
                }
                if let Some(k) = goals.iter().position(|g| *g == id) {
                    relax(end as u32, q.goal[k].cost, None);
                }
                continue;
            }
            let face = usize::from(id as usize >= split);
            let first = if face == 0 { 0 } else { split };
            if noting.get() {
                journal.get_mut().push((face as u8, Ask::Corner(id - first as u32, look)));
            }
            let seen = scenes[face].seen_from_corner(id - first as u32, look);
            if q.payer.is_none() || look > 0 {
                seen.iter().for_each(|(v, d)| relax(first as u32 + *v, *d, None));
            } else {
                // What an edge between corners crosses is found once and kept.
                crossings.resize(extras.base.max(crossings.len()), Vec::new());
                let known = &mut crossings[id as usize];
                known.resize(seen.len(), None);
                for ((v, d), known) in seen.iter().zip(known) {
                    relax(first as u32 + *v, *d, Some(known));
                }
            }
            let from = extras.back.partition_point(|x| x.0 < id);
            for (_, to, cost) in extras.back[from..].iter().take_while(|x| x.0 == id) {
                relax(*to, *cost, None);
            }
        }
        None
    }
}

/// How much more the rest of a way counts where room has a price.
const HASTE: f64 = 1.5;
/// A gate looks at this many of the nearest stretches of a trunk to join.
const NEAR_STRETCHES: usize = 10;
/// Up to this many knots every way in and out of a trunk is looked at.
const SMALL_TRUNK: usize = 24;

/// How far from a gate the stretches lie that it may join.
fn join_reach(tree: &Tree, gate: &Gate) -> f64 {
    let mut far: Vec<f64> = tree
        .stretches
        .iter()
        .map(|s| (&tree.knots[s.a], &tree.knots[s.b]))
        .filter(|(a, b)| a.face == b.face && a.face == gate.face)
        .map(|(a, b)| apart(gate.at, nearest_on_segment(gate.at, a.at, b.at)))
        .collect();
    if far.len() <= NEAR_STRETCHES {
        return f64::INFINITY;
    }
    let (_, last, _) = far.select_nth_unstable_by(NEAR_STRETCHES - 1, f64::total_cmp);
    *last + 1e-9
}

fn gate_step(g: &Gate) -> Step {
    Step {
        face: g.face,
        at: g.at,
        corner: None,
        seen: Some(g.seen.clone()),
        within: None,
        pass: None,
        pin: false,
    }
}

#[cfg(test)]
mod tests;
