//! What a study of reach leaves for the next one, and what the next takes over.
//!
//! While a need is looked at, the scene writes down every space that is asked about, also of the ways that
//! are not kept. As long as the thing and the board are the same, and nothing was put into, taken out of or
//! changed within any of these spaces, the same questions get the same answers.

#[cfg(test)]
mod tests;

use super::{Job, Need, Way, When, scene::Scene};
use crate::Before;
use crate::faces;
use crate::geometry::{Body, FaceView, Fastener, Owner};
use loomdeck_model::{Face, Robot, Subject};
use std::ops::Range;

/// An upright box over a face, mm.
#[derive(Clone, Copy, Debug)]
pub struct Room {
    low: [f64; 3],
    high: [f64; 3],
}

impl Room {
    /// From its lower left corner at its lower end to the opposite one.
    pub const fn new(low: [f64; 3], high: [f64; 3]) -> Self {
        Self { low, high }
    }

    fn of_body(body: &Body) -> Self {
        let (low, high) = body.outline.bounds();
        Self::new([low.x, low.y, body.base.0], [high.x, high.y, body.top.0])
    }

    fn of_fastener(f: &Fastener) -> Self {
        let r = f.diameter.0 / 2.0;
        Self::new([f.at.x - r, f.at.y - r, f.base.0], [f.at.x + r, f.at.y + r, f.height.0])
    }

    /// They may have something in common; touching counts, and so does what is not a number.
    fn meets(&self, other: &Self) -> bool {
        let apart = |i: usize| self.high[i] < other.low[i] || other.high[i] < self.low[i];
        !(apart(0) || apart(1) || apart(2))
    }

    fn around(&self, other: &Self) -> Self {
        let each = |f: fn(f64, f64) -> f64, a: [f64; 3], b: [f64; 3]| [0, 1, 2].map(|i| f(a[i], b[i]));
        Self::new(each(f64::min, self.low, other.low), each(f64::max, self.high, other.high))
    }
}

/// A space that was asked about.
pub type Asked = (Face, Room);

/// What a study of reach leaves for the next one.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    /// Spaces asked about, need by need.
    asked: Vec<Asked>,
    /// Where those of each need end.
    ends: Vec<usize>,
}

impl Kept {
    fn of(&self, need: usize) -> &[Asked] {
        let from = need.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.asked[from..self.ends[need]]
    }

    fn add(&mut self, asked: &[Asked]) {
        self.asked.extend_from_slice(asked);
        self.ends.push(self.asked.len());
    }
}

/// What is found, need by need.
#[derive(Default)]
pub struct Found<'b> {
    /// In their order.
    pub needs: Vec<Need>,
    /// For the next study.
    pub kept: Kept,
    known: Option<Known<'b>>,
    /// Earlier needs of the thing that is looked at, still to come.
    ahead: Range<usize>,
}

impl<'b> Found<'b> {
    /// Nothing yet; an earlier study may help.
    pub fn after(robot: &Robot, views: &[FaceView], before: Option<Before<'b>>) -> Self {
        Self { known: before.and_then(|b| Known::new(robot, views, b)), ..Self::default() }
    }

    /// What follows is of this thing, or without one of the board's mounts.
    pub fn begin(&mut self, robot: &Robot, owner: Option<Owner>) {
        self.ahead = self.known.as_mut().map_or(0..0, |known| known.needs_of(robot, owner));
    }

    /// One more thing to be done: its ways as they were, when nothing about them can have changed.
    pub fn add(
        &mut self,
        scene: &Scene,
        (subject, owner): (&Subject, Option<Owner>),
        (job, when): (Job, When),
        ways: impl FnOnce() -> Vec<Way>,
    ) {
        if let (Some(known), Some(i)) = (&self.known, self.ahead.next()) {
            let need = &known.needs[i];
            let same = need.job == job && need.when == when && need.owner == owner;
            if same && known.changed.none_in(known.kept.of(i)) {
                self.needs.push(need.clone());
                self.kept.add(known.kept.of(i));
                return;
            }
        }
        scene.asked.borrow_mut().clear();
        let ways = ways();
        self.needs.push(Need { subject: subject.clone(), owner, job, when, ways });
        self.kept.add(&scene.asked.borrow());
    }
}

/// An earlier study of the same board.
struct Known<'b> {
    robot: &'b Robot,
    needs: &'b [Need],
    kept: &'b Kept,
    changed: Changed,
    in_use: [Vec<(usize, usize)>; 2],
    /// Whether each type is as before, once it was asked.
    types: Vec<Option<bool>>,
}

impl<'b> Known<'b> {
    /// `None` when the board itself is another: edge, room, mounts, openings and kept-out regions.
    fn new(robot: &Robot, views: &[FaceView], before: Before<'b>) -> Option<Self> {
        let old = before.robot;
        let (needs, kept) = (&before.geometry.access.needs, &before.kept.access);
        let same = old.board == robot.board && old.book.unit == robot.book.unit;
        if !same || needs.len() != kept.ends.len() {
            return None;
        }
        Some(Self {
            robot: old,
            needs,
            kept,
            changed: Changed::new([old, robot], [&before.geometry.faces, views]),
            in_use: [old, robot].map(super::terminals::in_use),
            types: vec![None; robot.types.len()],
        })
    }

    /// Where the needs of a thing are, when it stands as it did and is wired at the same terminals.
    fn needs_of(&mut self, robot: &Robot, owner: Option<Owner>) -> Range<usize> {
        if !self.stands_as_before(robot, owner) {
            return 0..0;
        }
        let place = |n: &Need| n.owner.map_or((1, Owner::Part(loomdeck_model::PartId(0))), |o| (0, o));
        let key = owner.map_or((1, Owner::Part(loomdeck_model::PartId(0))), |o| (0, o));
        let from = self.needs.partition_point(|n| place(n) < key);
        let to = self.needs.partition_point(|n| place(n) <= key);
        from..to
    }

    fn stands_as_before(&mut self, robot: &Robot, owner: Option<Owner>) -> bool {
        match owner {
            None => true,
            Some(Owner::Part(p)) => {
                let (Some(old), Some(new)) = (self.robot.parts.get(p.0), robot.parts.get(p.0)) else {
                    return false;
                };
                old.name == new.name
                    && old.kind == new.kind
                    && old.place == new.place
                    && old.fixing == new.fixing
                    && self.same_type(robot, new.kind.0)
                    && terminals_of(&self.in_use[0], p.0) == terminals_of(&self.in_use[1], p.0)
            }
            Some(Owner::Plug(p)) => {
                let (Some(old), Some(new)) = (self.robot.plugs.get(p.0), robot.plugs.get(p.0)) else {
                    return false;
                };
                old.name == new.name
                    && old.family == new.family
                    && old.place == new.place
                    && old.fixing == new.fixing
                    && self.same_type(robot, new.family.0)
            }
        }
    }

    fn same_type(&mut self, robot: &Robot, kind: usize) -> bool {
        let same = || self.robot.types.get(kind) == robot.types.get(kind);
        match self.types.get_mut(kind) {
            Some(known) => *known.get_or_insert_with(same),
            None => false,
        }
    }
}

/// The terminals in use of one part.
fn terminals_of(in_use: &[(usize, usize)], part: usize) -> &[(usize, usize)] {
    let from = in_use.partition_point(|(p, _)| *p < part);
    let to = in_use.partition_point(|(p, _)| *p <= part);
    &in_use[from..to]
}

/// The spaces of everything that was put on a face, taken off it or changed, as it was and as it is.
#[derive(Default)]
struct Changed {
    rooms: [Vec<Room>; 2],
    around: [Option<Room>; 2],
}

impl Changed {
    fn new(robots: [&Robot; 2], views: [&[FaceView]; 2]) -> Self {
        let mut out = Self::default();
        for face in Face::BOTH {
            let [old, new] = views.map(|all| all.iter().find(|v| v.face == face));
            let rooms = &mut out.rooms[face as usize];
            let bodies = [old, new].map(|v| v.map_or(&[][..], |v| &v.bodies));
            let subject = |which: usize, b: &Body| faces::subject(robots[which], b.owner);
            differing(
                bodies,
                |a, b| a == b && subject(0, a) == subject(1, b),
                |b| {
                    rooms.push(Room::of_body(b));
                },
            );
            for list in [|v: &FaceView| &v.fasteners, |v: &FaceView| &v.fixtures] as [Fasteners; 2] {
                let lists = [old, new].map(|v| v.map_or(&[][..], |v| list(v)));
                differing(lists, PartialEq::eq, |f| rooms.push(Room::of_fastener(f)));
            }
            out.around[face as usize] = rooms.iter().copied().reduce(|a, b| a.around(&b));
        }
        out
    }

    fn none_in(&self, asked: &[Asked]) -> bool {
        asked.iter().all(|(face, room)| {
            let f = *face as usize;
            let near = self.around[f].is_some_and(|all| all.meets(room));
            !near || self.rooms[f].iter().all(|changed| !changed.meets(room))
        })
    }
}

type Fasteners = fn(&FaceView) -> &Vec<Fastener>;

/// Tells everything of two lists that is not the same in both at the same place, counted from the front or,
/// behind all differences, from the end.
fn differing<T>([old, new]: [&[T]; 2], same: impl Fn(&T, &T) -> bool, mut tell: impl FnMut(&T)) {
    let first = old.iter().zip(new).take_while(|(a, b)| same(a, b)).count();
    let (old, new) = (&old[first..], &new[first..]);
    let last = old.iter().rev().zip(new.iter().rev()).take_while(|(a, b)| same(a, b)).count();
    let (old, new) = (&old[..old.len() - last], &new[..new.len() - last]);
    for i in 0..old.len().max(new.len()) {
        let (a, b) = (old.get(i), new.get(i));
        if let (Some(a), Some(b)) = (a, b)
            && same(a, b)
        {
            continue;
        }
        a.into_iter().chain(b).for_each(&mut tell);
    }
}
