//! One picture of the board, however the files hold it.
//!
//! A board turned, moved or seen in a mirror is the same board, and its wires should be as long. Yet where
//! two ways are equally good something has to choose, and what chooses (the order of corners, the last bit
//! of a coordinate) differs from view to view. So all wires are laid in one picture that does not depend on
//! the view: a longest side of the board lies below, its lower left corner is the origin, and of those that
//! are left, turned or mirrored, the one is taken in which the first thing that is not in the middle lies
//! furthest to the right, then up. Coordinates in it are whole millionths of a millimetre, so that what was
//! equal is equal to the last bit. What is laid is then carried back.

use super::Routes;
use crate::geometry::{FaceView, Leg};
use crate::shape::{direction, dot, minus, nearest_on_segment, norm, unit};
use loomdeck_model::units::Degrees;
use loomdeck_model::{Board, Outline, Point};
use std::collections::BTreeMap;

/// Steps to a millimetre.
const GRID: f64 = 1e6;

/// Steps to a degree.
const ANGLES: f64 = 1e7;

/// Less than this is rounding, mm.
const EXACT: f64 = 1e-9;

/// Less than this is no difference, mm: more than rounding, and less than anyone states.
const ALIKE: f64 = 1e-6;

/// A way to look at the plane.
#[derive(Clone, Copy, Debug)]
struct Frame {
    mirrored: bool,
    /// Which way, after the mirror, the new x axis runs.
    x: Point,
    /// Origin, in the new axes.
    low: Point,
}

impl Frame {
    const PLAIN: Self = Self { mirrored: false, x: Point::new(1.0, 0.0), low: Point::new(0.0, 0.0) };

    fn turned(&self, p: Point) -> Point {
        let p = if self.mirrored { Point::new(-p.x, p.y) } else { p };
        Point::new(dot(self.x, p), self.x.x * p.y - self.x.y * p.x)
    }

    fn carry(&self, p: Point) -> Point {
        minus(self.turned(p), self.low)
    }

    fn back(&self, p: Point) -> Point {
        let p = Point::new(p.x + self.low.x, p.y + self.low.y);
        let p = Point::new(self.x.x * p.x - self.x.y * p.y, self.x.x * p.y + self.x.y * p.x);
        if self.mirrored { Point::new(-p.x, p.y) } else { p }
    }

    /// How far the new x axis is turned, degrees.
    fn turn(&self) -> f64 {
        self.x.y.atan2(self.x.x).to_degrees()
    }
}

/// The picture, and the way back from it.
#[derive(Clone, Debug)]
pub struct View {
    frame: Frame,
    /// The board's outline in it.
    pub outline: Outline,
    /// The middles of its openings.
    pub passes: Vec<Point>,
    /// Points that are named in the files, as they stand there.
    named: BTreeMap<(u64, u64), Point>,
}

impl View {
    /// Without a board: as it stands in the files.
    pub fn plain() -> Self {
        Self {
            frame: Frame::PLAIN,
            outline: Outline(Vec::new()),
            passes: Vec::new(),
            named: BTreeMap::new(),
        }
    }

    /// Of a board with what stands on it.
    pub fn new(board: &Board, faces: &[FaceView]) -> Self {
        let mut view = Self { frame: frame(board, faces), ..Self::plain() };
        view.outline = view.outline(&board.outline);
        view.passes = board.passes.iter().map(|p| view.named(p.at)).collect();
        view
    }

    /// A point in the picture.
    pub fn point(&self, p: Point) -> Point {
        let p = self.frame.carry(p);
        Point::new(stepped(p.x, GRID), stepped(p.y, GRID))
    }

    /// A point that the files name: the way back gives it to the last bit, unless it lies between two steps.
    pub fn named(&mut self, p: Point) -> Point {
        let there = self.point(p);
        if self.frame.back(there).distance(p) < EXACT {
            self.named.entry(bits(there)).or_insert(p);
        }
        there
    }

    /// A direction in the picture.
    pub fn direction(&self, d: Degrees) -> Point {
        let d = if self.frame.mirrored { 180.0 - d.0 } else { d.0 };
        direction(stepped(d - self.frame.turn(), ANGLES).rem_euclid(360.0))
    }

    /// An outline in the picture, counter-clockwise, from its leftmost corner on (the lowest of several),
    /// without corners that turn nothing.
    pub fn outline(&self, outline: &Outline) -> Outline {
        let p = &outline.0;
        let n = p.len();
        let turns = |i: &usize| {
            let (before, after) = (p[(i + n - 1) % n], p[(i + 1) % n]);
            norm(minus(p[*i], nearest_on_segment(p[*i], before, after))) > ALIKE
        };
        let mut kept: Vec<Point> = (0..n).filter(turns).map(|i| self.point(p[i])).collect();
        if kept.len() < 3 {
            kept = p.iter().map(|p| self.point(*p)).collect();
        }
        if self.frame.mirrored {
            kept.reverse();
        }
        let first = (0..kept.len())
            .min_by(|i, j| kept[*i].x.total_cmp(&kept[*j].x).then(kept[*i].y.total_cmp(&kept[*j].y)));
        kept.rotate_left(first.unwrap_or(0));
        Outline(kept)
    }

    fn back(&self, p: Point) -> Point {
        self.named.get(&bits(p)).copied().unwrap_or_else(|| self.frame.back(p))
    }

    /// Carries everything that was laid back to the files' frame.
    pub fn carry_back(&self, routes: &mut Routes) {
        let to = |p: &mut Point| *p = self.back(*p);
        for leg in routes.wires.iter_mut().flat_map(|w| &mut w.legs) {
            match leg {
                Leg::Rise { at, .. } | Leg::Through { at, .. } | Leg::Tail { at, .. } => to(at),
                Leg::Along { points, .. } => points.iter_mut().for_each(to),
                Leg::Body { .. } => {}
            }
        }
        for loom in &mut routes.looms {
            loom.trunk.iter_mut().flat_map(|t| [&mut t.from, &mut t.to]).for_each(to);
            loom.bodies.iter_mut().flat_map(|b| &mut b.points).for_each(to);
            for tie in &mut loom.ties {
                to(&mut tie.at);
                let d = tie.along.0 + self.frame.turn();
                let d = if self.frame.mirrored { 180.0 - d } else { d };
                tie.along = Degrees(stepped(d, ANGLES).rem_euclid(360.0));
            }
        }
        routes.gaps.iter_mut().flat_map(|g| [&mut g.from, &mut g.to]).for_each(to);
        routes.blocked.iter_mut().for_each(|b| to(&mut b.at));
    }
}

/// Rounded to so many steps to a unit; never -0.
fn stepped(x: f64, steps: f64) -> f64 {
    (x * steps).round() / steps + 0.0
}

fn bits(p: Point) -> (u64, u64) {
    (p.x.to_bits(), p.y.to_bits())
}

/// The frame in which the board is looked at.
fn frame(board: &Board, faces: &[FaceView]) -> Frame {
    let mut left = frames(&board.outline);
    let bodies = || faces.iter().flat_map(|f| &f.bodies);
    let fasteners = faces.iter().flat_map(|f| f.fasteners.iter().chain(&f.fixtures));
    // What moves least comes first, so that the frame stays while parts are moved about.
    let marks = std::iter::once(middle(&board.outline))
        .chain(board.passes.iter().map(|p| p.at))
        .chain(board.mounts.iter().map(|m| m.at))
        .chain(board.keep_outs.iter().map(|k| middle(&k.outline)))
        .chain(bodies().map(|b| middle(&b.outline)))
        .chain(bodies().flat_map(|b| b.terminals.iter().map(|t| t.at)))
        .chain(fasteners.map(|f| f.at));
    for mark in marks {
        if left.len() < 2 {
            break;
        }
        for part in [|p: Point| p.x, |p: Point| p.y] {
            let value = |f: &Frame| part(f.carry(mark));
            let most = left.iter().map(value).fold(f64::NEG_INFINITY, f64::max);
            left.retain(|f| value(f) > most - ALIKE);
        }
    }
    left.first().copied().unwrap_or(Frame::PLAIN)
}

/// Every way to look at an outline so that a longest side of its lies below.
fn frames(outline: &Outline) -> Vec<Frame> {
    let p = &outline.0;
    let n = p.len();
    let side = |i: usize| minus(p[(i + 1) % n], p[i]);
    let longest = (0..n).map(|i| norm(side(i))).fold(0.0, f64::max);
    let long = (0..n).map(side).filter(|d| norm(*d) > longest - ALIKE).filter_map(unit).map(square);
    let both = long.flat_map(|d| [(false, d), (true, Point::new(d.x, -d.y))]);
    both.map(|(mirrored, x)| {
        let frame = Frame { mirrored, x, ..Frame::PLAIN };
        let (low, _) = Outline(p.iter().map(|p| frame.turned(*p)).collect()).bounds();
        Frame { low, ..frame }
    })
    .collect()
}

/// A direction, exact where it is square but for rounding.
fn square(d: Point) -> Point {
    let exact = |x: f64| if x.abs() < 1e-12 { 0.0 } else { x };
    let d = Point::new(exact(d.x), exact(d.y));
    if d.x == 0.0 || d.y == 0.0 { Point::new(d.x.round(), d.y.round()) } else { d }
}

/// The mean of an outline's corners.
fn middle(outline: &Outline) -> Point {
    let n = outline.0.len().max(1) as f64;
    let sum = outline.0.iter().fold(Point::default(), |s, p| Point::new(s.x + p.x, s.y + p.y));
    Point::new(sum.x / n, sum.y / n)
}

#[cfg(test)]
mod tests;
