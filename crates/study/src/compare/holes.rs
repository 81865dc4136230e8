//! Holes moved, added, gone, or changed in size.

use crate::Study;
use loomdeck_make::{Hole, HoleShape};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Place, Placement, PlugPlace, Point, Robot, Subject};
use serde::Serialize;
use std::collections::BTreeMap;

/// A hole that is different.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoleChange {
    /// What it is for.
    pub subjects: Vec<Subject>,
    /// The same in words: `M3 screw`, `loom`.
    pub what: String,
    /// As it was; `None`: it is new.
    pub old: Option<HoleNow>,
    /// As it is; `None`: it is gone.
    pub new: Option<HoleNow>,
    /// How far it moved, when it is in both.
    pub moved: Option<Millimetres>,
}

impl HoleChange {
    /// It is somewhere else.
    pub fn has_moved(&self) -> bool {
        self.moved.is_some_and(|m| m.0 > SAME_PLACE)
    }
    /// It is in both and its size, depth or side is another.
    pub fn is_resized(&self) -> bool {
        matches!((&self.old, &self.new), (Some(o), Some(n)) if !o.same_work(n))
    }
}

/// A hole in one of the robots.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoleNow {
    /// Its number in the hole table.
    pub number: usize,
    /// Its centre, in the board's frame.
    pub at: Point,
    /// Its shape.
    pub shape: HoleShape,
    /// Its depth, when it does not go through.
    pub depth: Option<Millimetres>,
    /// The face it is drilled from.
    pub side: Face,
}

impl HoleNow {
    fn of(index: usize, hole: &Hole) -> Self {
        Self { number: index + 1, at: hole.at, shape: hole.shape, depth: hole.depth, side: hole.side }
    }
    fn same_work(&self, other: &Self) -> bool {
        (self.shape, self.depth, self.side) == (other.shape, other.depth, other.side)
    }
}

/// Nearer than this is the same place: no hand drills it otherwise, mm.
const SAME_PLACE: f64 = 0.05;

/// One use of a hole, in the frame of what uses it.
struct Use {
    hole: usize,
    local: Point,
}

/// What is different, old holes first.
pub fn changes(old: &Study, new: &Study) -> Vec<HoleChange> {
    let (old_holes, new_holes) = (&old.making.holes, &new.making.holes);
    let mut pairs = matched(&uses(old), &uses(new));
    // A hole that several things share is one pair, not several.
    pairs.sort_unstable();
    pairs.dedup();
    let with = |i: usize, j: usize| {
        let (o, n) = (&old_holes[i], &new_holes[j]);
        let moved = Some(Millimetres(o.at.distance(n.at)));
        let change = HoleChange {
            subjects: subjects(n),
            what: what(n),
            old: Some(HoleNow::of(i, o)),
            new: Some(HoleNow::of(j, n)),
            moved,
        };
        (change.has_moved() || change.is_resized()).then_some(change)
    };
    let mut out: Vec<HoleChange> = Vec::new();
    for (i, hole) in old_holes.iter().enumerate() {
        let mine: Vec<_> = pairs.iter().filter(|p| p.0 == i).collect();
        if mine.is_empty() {
            out.push(HoleChange {
                subjects: subjects(hole),
                what: what(hole),
                old: Some(HoleNow::of(i, hole)),
                new: None,
                moved: None,
            });
        }
        out.extend(mine.into_iter().filter_map(|(i, j)| with(*i, *j)));
    }
    let fresh = new_holes.iter().enumerate().filter(|(j, _)| pairs.iter().all(|p| p.1 != *j));
    out.extend(fresh.map(|(j, hole)| HoleChange {
        subjects: subjects(hole),
        what: what(hole),
        old: None,
        new: Some(HoleNow::of(j, hole)),
        moved: None,
    }));
    out
}

fn subjects(hole: &Hole) -> Vec<Subject> {
    let mut out: Vec<Subject> = Vec::new();
    for u in &hole.uses {
        if !out.contains(&u.subject) {
            out.push(u.subject.clone());
        }
    }
    out
}

fn what(hole: &Hole) -> String {
    let mut out: Vec<&str> = Vec::new();
    for u in &hole.uses {
        if !out.contains(&u.what.as_str()) {
            out.push(&u.what);
        }
    }
    out.join(", ")
}

/// Every use of every hole by what it is for.
fn uses(study: &Study) -> BTreeMap<Subject, Vec<Use>> {
    let mut out: BTreeMap<Subject, Vec<Use>> = BTreeMap::new();
    for (hole, h) in study.making.holes.iter().enumerate() {
        for u in &h.uses {
            let local = placement(&study.robot, &u.subject).map_or(h.at, |p| in_own_frame(&p, h.at));
            out.entry(u.subject.clone()).or_default().push(Use { hole, local });
        }
    }
    out
}

fn placement(robot: &Robot, subject: &Subject) -> Option<Placement> {
    match subject {
        Subject::Part(name) => match robot.parts[robot.part(name)?.0].place {
            Place::Board(at) => Some(at),
            Place::Zone { .. } => None,
        },
        Subject::Plug(name) => match robot.plugs.iter().find(|p| p.name == *name)?.place {
            PlugPlace::Fixed(at) => Some(at),
            PlugPlace::Tail { .. } => None,
        },
        _ => None,
    }
}

/// A point of the board in the frame of what is placed there.
fn in_own_frame(place: &Placement, p: Point) -> Point {
    let (x, y) = (p.x - place.at.x, p.y - place.at.y);
    let x = if place.face == Face::Front { x } else { -x };
    let (sin, cos) = place.turn.0.to_radians().sin_cos();
    Point::new(cos * x + sin * y, cos * y - sin * x)
}

/// Pairs of holes, old and new: within each thing the nearest in its own frame first.
fn matched(old: &BTreeMap<Subject, Vec<Use>>, new: &BTreeMap<Subject, Vec<Use>>) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for (subject, olds) in old {
        let Some(news) = new.get(subject) else { continue };
        let mut near: Vec<(f64, usize, usize)> = Vec::new();
        for (i, o) in olds.iter().enumerate() {
            near.extend(news.iter().enumerate().map(|(j, n)| (o.local.distance(n.local), i, j)));
        }
        // To a thousandth, so that rounding in one direction cannot change the order in the other; ties by
        // both places alike, so that the order does not depend on which robot is the old one.
        near.sort_by_key(|(d, i, j)| ((d * 1000.0).round() as i64, *i.min(j), *i.max(j), *i));
        let (mut o_taken, mut n_taken) = (vec![false; olds.len()], vec![false; news.len()]);
        for (_, i, j) in near {
            if !o_taken[i] && !n_taken[j] {
                o_taken[i] = true;
                n_taken[j] = true;
                pairs.push((olds[i].hole, news[j].hole));
            }
        }
    }
    pairs
}
