//! What one routing leaves for the next: the scenes with what was seen in them.
//!
//! After an edit most of what stands on a face is where it was. A sight between two corners that are
//! still there changes only when something that is gone lay across it, or something new does; all other
//! sights are taken over as they were found. Nothing is guessed: a sight that may have changed is looked at
//! again, so that a routing with what was kept equals one without, bit for bit.

use super::jobs::Group;
use super::recall::Memory;
use super::scene::{Hiders, LOOK, Look, Obstacle, Scene, Seen};
use crate::shape::Convex;
use loomdeck_model::{Outline, Point};
use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Arc, OnceLock, PoisonError};

/// What one routing leaves for the next.
#[derive(Clone, Default)]
pub struct Kept(Option<Arc<Left>>);

impl fmt::Debug for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Kept").field("scenes", &self.0.as_ref().map(|l| l.scenes.len())).finish()
    }
}

struct Left {
    sheet: Sheet,
    obstacles: [Vec<Obstacle>; 2],
    /// By clearance.
    scenes: Vec<Option<[Arc<Scene>; 2]>>,
    /// First searches.
    memories: BTreeMap<Group, Arc<Memory>>,
}

/// The bare board.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sheet {
    pub outline: Outline,
    pub passes: Vec<Point>,
    pub thickness: f64,
}

/// What was kept, as far as it is of use for a face as it is now.
pub(super) struct Old<'a> {
    left: &'a Left,
    same: [Option<Same>; 2],
}

impl Kept {
    /// Keeps scenes, without those that they themselves took over from.
    pub(super) fn new(
        sheet: Sheet,
        obstacles: [Vec<Obstacle>; 2],
        scenes: impl Iterator<Item = Option<[Scene; 2]>>,
        memories: BTreeMap<Group, Arc<Memory>>,
    ) -> Self {
        let alone = |mut scene: Scene| {
            scene.before = None;
            Arc::new(scene)
        };
        let scenes = scenes.map(|s| s.map(|s| s.map(alone))).collect();
        Self(Some(Arc::new(Left { sheet, obstacles, scenes, memories })))
    }

    /// What is of use for these obstacles.
    pub(super) fn old(&self, sheet: &Sheet, obstacles: [&[Obstacle]; 2]) -> Option<Old<'_>> {
        let left = self.0.as_deref().filter(|l| l.sheet == *sheet)?;
        Some(Old { left, same: [0, 1].map(|f| Same::of(&left.obstacles[f], obstacles[f])) })
    }
}

impl Old<'_> {
    /// First searches; none where things on a face have other numbers than they had.
    pub fn memories(&self) -> Option<&BTreeMap<Group, Arc<Memory>>> {
        let in_place = self.same.iter().all(|s| s.as_ref().is_some_and(|s| s.in_place));
        in_place.then_some(&self.left.memories)
    }

    /// Tells a scene what was seen before the edit.
    pub fn give(&self, scene: &mut Scene, class: usize, face: usize) {
        let old = self.left.scenes.get(class).and_then(Option::as_ref).map(|s| &s[face]);
        if let (Some(old), Some(same)) = (old, &self.same[face]) {
            scene.before = Some(Before::new(old.clone(), same, scene));
        }
    }
}

/// Which pieces of a face are the same as before.
struct Same {
    /// For every piece now: its number before.
    old_of: Vec<Option<usize>>,
    /// Pieces before that are not there now.
    gone: Vec<usize>,
    /// Every thing has the number that it had.
    in_place: bool,
}

/// Where more pieces than this have changed, looking again is as quick as comparing.
const MOST_CHANGED: usize = 32;

impl Same {
    fn of(old: &[Obstacle], new: &[Obstacle]) -> Option<Self> {
        let flat = |all: &'_ [Obstacle]| -> Vec<usize> { all.iter().map(|o| o.pieces.len()).collect() };
        let (a, b): (Vec<&Convex>, Vec<&Convex>) =
            (old.iter().flat_map(|o| &o.pieces).collect(), new.iter().flat_map(|o| &o.pieces).collect());
        let mut old_of = vec![None; b.len()];
        let in_place = flat(old) == flat(new);
        if in_place {
            for i in 0..b.len() {
                old_of[i] = (order(a[i], b[i]) == Ordering::Equal).then_some(i);
            }
        } else {
            pair(&a, &b, &mut old_of);
        }
        let mut there = vec![false; a.len()];
        old_of.iter().flatten().for_each(|o| there[*o] = true);
        let gone: Vec<usize> = (0..a.len()).filter(|o| !there[*o]).collect();
        let new = old_of.iter().filter(|o| o.is_none()).count();
        (gone.len() + new <= MOST_CHANGED).then_some(Self { old_of, gone, in_place })
    }
}

/// Pairs equal pieces.
fn pair(a: &[&Convex], b: &[&Convex], old_of: &mut [Option<usize>]) {
    let sorted = |all: &[&Convex]| -> Vec<usize> {
        let mut by: Vec<usize> = (0..all.len()).collect();
        by.sort_by(|i, j| order(all[*i], all[*j]));
        by
    };
    let (by_a, by_b) = (sorted(a), sorted(b));
    let (mut i, mut j) = (0, 0);
    while i < by_a.len() && j < by_b.len() {
        match order(a[by_a[i]], b[by_b[j]]) {
            Ordering::Less => i += 1,
            Ordering::Greater => j += 1,
            Ordering::Equal => {
                old_of[by_b[j]] = Some(by_a[i]);
                (i, j) = (i + 1, j + 1);
            }
        }
    }
}

/// Pieces by the bits of their corners.
fn order(a: &Convex, b: &Convex) -> Ordering {
    let bits = |p: &Point| (p.x.to_bits(), p.y.to_bits());
    a.corners.iter().map(bits).cmp(b.corners.iter().map(bits))
}

/// No corner.
const NONE: u32 = u32::MAX;

/// The scene before the edit, and what of it is still there.
pub(super) struct Before {
    scene: Arc<Scene>,
    /// Corners then, by corner now, and the other way round.
    old_of: Vec<u32>,
    new_of: Vec<u32>,
    /// Pieces that are the same.
    is_same: Vec<bool>,
    /// Pieces then that are gone, the box around them all, and pieces that are new.
    gone: Vec<usize>,
    gone_within: [f64; 4],
    new: Vec<usize>,
    /// Corners that are new.
    fresh: Vec<u32>,
    /// Which corners of then see what they saw, first and second look, as far as it was asked.
    alike: [Vec<OnceLock<bool>>; 2],
}

impl Before {
    fn new(old: Arc<Scene>, same: &Same, now: &Scene) -> Self {
        let mut old_of = vec![NONE; now.corners.len()];
        let mut new_of = vec![NONE; old.corners.len()];
        for (i, o) in same.old_of.iter().enumerate() {
            let Some(o) = o else { continue };
            let (mut v, end) = now.corners_of[i];
            let (mut w, last) = old.corners_of[*o];
            // Of the same corners, each time those that nothing else covers.
            while v < end && w < last {
                match now.corners[v].number.cmp(&old.corners[w].number) {
                    Ordering::Less => v += 1,
                    Ordering::Greater => w += 1,
                    Ordering::Equal => {
                        (old_of[v], new_of[w]) = (w as u32, v as u32);
                        (v, w) = (v + 1, w + 1);
                    }
                }
            }
        }
        let mut gone_within = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        for g in &same.gone {
            let [left, low, right, high] = old.around[*g];
            let [a, b, c, d] = gone_within;
            gone_within = [a.min(left), b.min(low), c.max(right), d.max(high)];
        }
        let fresh = (0..old_of.len()).filter(|v| old_of[*v] == NONE).map(|v| v as u32).collect();
        let alike = [0, 1].map(|_| new_of.iter().map(|_| OnceLock::new()).collect());
        Self {
            alike,
            scene: old,
            old_of,
            new_of,
            is_same: same.old_of.iter().map(Option::is_some).collect(),
            gone: same.gone.clone(),
            gone_within,
            new: (0..same.old_of.len()).filter(|i| same.old_of[*i].is_none()).collect(),
            fresh,
        }
    }

    /// What a corner sees now, if it was there and was asked before.
    pub fn of_corner(&self, now: &Scene, corner: u32, look: usize) -> Option<Look> {
        let old = self.scene.seen[look].get(self.old_of[corner as usize] as usize)?.get()?;
        self.mended(now, now.corners[corner as usize].at, Some(corner), look, old)
    }

    /// The number that a corner has now.
    pub fn corner_now(&self, then: u32) -> Option<u32> {
        self.new_of.get(then as usize).copied().filter(|v| *v != NONE)
    }

    /// Neither what is gone nor what is new lies across a segment.
    pub fn is_untouched(&self, now: &Scene, a: Point, b: Point) -> bool {
        !self.gone.iter().any(|g| self.scene.lies_across(*g, a, b))
            && !self.new.iter().any(|i| now.lies_across(*i, a, b))
    }

    /// Two lists, one of then and one of now, hold the same corners.
    pub fn sees_alike(&self, then: &Seen, now: &Seen) -> bool {
        let same = |((v, d), (w, e)): (&(u32, f64), &(u32, f64))| {
            self.corner_now(*v) == Some(*w) && d.to_bits() == e.to_bits()
        };
        then.len() == now.len() && then.iter().zip(now).all(same)
    }

    /// A corner sees what it saw.
    pub fn corner_sees_alike(&self, scene: &Scene, then: u32, now: u32, look: usize) -> bool {
        let look = if scene.has_second_look() { look } else { 0 };
        let alike = || {
            let old = self.scene.seen[look][then as usize].get();
            old.is_some_and(|old| self.sees_alike(&old.seen, scene.seen_from_corner(now, look)))
        };
        *self.alike[look][then as usize].get_or_init(alike)
    }

    /// A point sees what it saw.
    pub fn point_sees_alike(&self, scene: &Scene, p: Point, look: usize) -> bool {
        let place = (look, p.x.to_bits(), p.y.to_bits());
        let points = self.scene.points.lock().unwrap_or_else(PoisonError::into_inner);
        let old = points.get(&place).cloned();
        drop(points);
        old.is_some_and(|old| self.sees_alike(&old.seen, &scene.seen_from(p, look)))
    }

    /// A point is as free, or as covered, as it was.
    pub fn holds_alike(&self, now: &Scene, p: Point) -> bool {
        self.scene.holder(p, None).is_some() == now.holder(p, None).is_some()
    }

    /// What a point sees now, if it was asked before.
    pub fn of_point(&self, now: &Scene, p: Point, place: (usize, u64, u64)) -> Option<Look> {
        let old = self.scene.points.lock().unwrap_or_else(PoisonError::into_inner).get(&place)?.clone();
        self.mended(now, p, None, place.0, &old)
    }

    /// An old look with what the edit changed.
    fn mended(
        &self,
        now: &Scene,
        p: Point,
        corner: Option<u32>,
        look: usize,
        old: &Look,
    ) -> Option<Look> {
        let limited = |scene: &Scene| scene.pieces.len() > LOOK[look];
        if limited(now) != limited(&self.scene) {
            return None;
        }
        // Which pieces are nearest, and how far the look goes, must be as it was.
        let limit = old.limit;
        if limited(now)
            && (self.gone.iter().any(|g| self.scene.box_distance(*g, p) <= limit)
                || self.new.iter().any(|i| now.box_distance(*i, p) <= limit))
        {
            return None;
        }
        let within = |piece: usize| !limited(now) || now.box_distance(piece, p) <= limit;
        let here = corner.map(|c| now.corners[c as usize]);
        let mut seen: Seen = Vec::with_capacity(old.seen.len() + 4);
        for (v, d) in old.seen.iter() {
            let v = self.new_of[*v as usize];
            if v != NONE && !self.new.iter().any(|i| now.lies_across(*i, p, now.corners[v as usize].at))
            {
                seen.push((v, *d));
            }
        }
        let mut hiders = Hiders::default();
        let mut look_at = |v: usize| {
            if let Some(d) = now.taut_to(p, here.as_ref(), v)
                && !hiders.hide(now, p, now.corners[v].at)
            {
                seen.push((v as u32, d));
            }
        };
        for piece in 0..now.pieces.len() {
            if !self.is_same[piece] || !self.may_have_hidden(p, now.around[piece]) || !within(piece) {
                continue;
            }
            let (first, end) = now.corners_of[piece];
            for v in first..end {
                let (o, at) = (self.old_of[v], now.corners[v].at);
                if o != NONE
                    && self.gone.iter().any(|g| self.scene.lies_across(*g, p, at))
                    && old.seen.binary_search_by_key(&o, |(v, _)| *v).is_err()
                {
                    look_at(v);
                }
            }
        }
        for v in &self.fresh {
            if within(now.corners[*v as usize].piece as usize) {
                look_at(*v as usize);
            }
        }
        seen.sort_unstable_by_key(|(v, _)| *v);
        Some(Look { seen: Arc::new(seen), limit })
    }

    /// Something that is gone may have lain between a point and a box.
    fn may_have_hidden(&self, p: Point, [left, low, right, high]: [f64; 4]) -> bool {
        let [a, b, c, d] = self.gone_within;
        a <= right.max(p.x) && c >= left.min(p.x) && b <= high.max(p.y) && d >= low.min(p.y)
    }
}

#[cfg(test)]
mod tests;
