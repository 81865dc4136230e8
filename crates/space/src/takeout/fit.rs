//! The turn and place at which a shadow passes an opening with most air.
//!
//! The air of a pose is the least distance between shadow and rim while the shadow lies within; when it
//! does not, it is less than zero by how far the worst corner is over the rim (or the worst corner of the
//! rim within the shadow). A shift changes it by no more than its length, a turn by no more than the arc
//! of the farthest corner. So a region of poses has no more air than its middle and its size together,
//! and the search can leave out whole regions with certainty: the best pose found is measured by itself,
//! and [`Fit::at_most`] holds for all others.
//!
//! With a convex rim only the sides count, and the best place for a turn is a linear programme; only turns
//! are searched. With any other rim turns and places are.

use super::silhouette::Shadow;
use crate::rest::facet::{Tip, facet_under, plane_of};
use crate::shape::{
    along, apart, direction, dot, hull, minus, nearest_on_segment, segment_distance, unit,
};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Outline, Point};
use serde::Serialize;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// How well a shadow passes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Fit {
    /// Air at the best pose found, measured there; below zero: how far it is over the rim.
    pub air: Millimetres,
    /// No pose whatever has more.
    pub at_most: Millimetres,
    /// The best pose found.
    pub pose: Pose,
}

/// How a shadow lies in the opening: turned about its own origin, then shifted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pose {
    /// Counter-clockwise.
    pub turn: Degrees,
    /// Where its origin lies in the opening's own frame.
    pub shift: Point,
}

impl Pose {
    /// A point of the shadow in the opening's frame.
    pub fn place(&self, p: Point) -> Point {
        let d = direction(self.turn.0);
        Point::new(d.x * p.x - d.y * p.y + self.shift.x, d.y * p.x + d.x * p.y + self.shift.y)
    }
}

impl Fit {
    /// The same fit of the mirrored shadow in a rim that is its own mirror image.
    #[must_use]
    pub fn mirrored(self, rim: &Rim) -> Self {
        let pose = Pose {
            turn: Degrees((-self.pose.turn.0).rem_euclid(360.0)),
            shift: Point::new(2.0 * rim.middle.x - self.pose.shift.x, self.pose.shift.y),
        };
        Self { pose, ..self }
    }
}

/// The search stops when no pose can have this much more air than the best found, mm.
pub const CLOSE: f64 = 0.25;
/// It also stops after looking at this many regions; `at_most` then says what is left open.
const LOOKS: usize = 3_000;
/// Where places are searched too and a pose with all the air wanted is found, this many are enough.
const LOOKS_ONCE_IT_GOES: usize = 200;

/// The rim of an opening.
#[derive(Clone, Debug)]
pub struct Rim {
    outline: Outline,
    /// Outward normals and offsets of its sides, when it is convex.
    sides: Option<Vec<(Point, f64)>>,
    hull_sides: Vec<(Point, f64)>,
    middle: Point,
    half: f64,
}

impl Rim {
    /// From its outline.
    pub fn new(outline: &Outline) -> Self {
        let around = hull(&outline.0);
        let hull_sides = sides(&around);
        let convex = (Outline(around).signed_area() - outline.signed_area()).abs()
            <= 1e-9 * outline.signed_area().abs();
        let (low, high) = outline.bounds();
        let middle = Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
        Self {
            outline: outline.clone(),
            sides: convex.then(|| hull_sides.clone()),
            hull_sides,
            middle,
            half: apart(high, low) / 2.0,
        }
    }

    /// It is its own mirror image about an upright axis.
    pub fn mirrors_itself(&self) -> bool {
        self.same_as(|p| Point::new(2.0 * self.middle.x - p.x, p.y))
    }

    /// Half a turn brings it onto itself.
    fn turns_onto_itself(&self) -> bool {
        self.same_as(|p| Point::new(2.0 * self.middle.x - p.x, 2.0 * self.middle.y - p.y))
    }

    fn same_as(&self, moved: impl Fn(Point) -> Point) -> bool {
        let corners = &self.outline.0;
        corners.iter().all(|p| corners.iter().any(|q| apart(moved(*p), *q) < 1e-6))
    }

    /// Air of one polygon at a pose, as defined for the module.
    pub fn air_of(&self, corners: &[Point], pose: &Pose) -> f64 {
        let d = direction(pose.turn.0);
        let place = |p: &Point| {
            Point::new(d.x * p.x - d.y * p.y + pose.shift.x, d.y * p.x + d.x * p.y + pose.shift.y)
        };
        let polygon = Outline(corners.iter().map(place).collect());
        let within = polygon.0.iter().map(|p| inside(&self.outline, *p)).fold(f64::INFINITY, f64::min);
        let around = self.outline.0.iter().map(|w| -inside(&polygon, *w)).fold(f64::INFINITY, f64::min);
        let air = within.min(around);
        // A spike of the rim may go right through without any corner lying inside the other.
        if air > 0.0 && cross(&self.outline.0, &polygon.0) { -1e-3 } else { air }
    }

    fn air(&self, shadow: &Shadow, pose: &Pose) -> f64 {
        shadow.outlines.iter().map(|o| self.air_of(o, pose)).fold(f64::INFINITY, f64::min)
    }
}

/// How far a point lies inside an outline; below zero how far outside. Both at one go round.
fn inside(outline: &Outline, p: Point) -> f64 {
    let corners = &outline.0;
    let mut nearest = f64::INFINITY;
    let mut within = false;
    let mut a = corners.last().copied().unwrap_or_default();
    for &b in corners {
        let q = minus(p, nearest_on_segment(p, a, b));
        nearest = nearest.min(dot(q, q));
        if (a.y > p.y) != (b.y > p.y) && (turns(a, b, p) > 0.0) == (b.y > a.y) {
            within = !within;
        }
        a = b;
    }
    if within { nearest.sqrt() } else { -nearest.sqrt() }
}

/// Above zero when the way from a to b to p turns left.
fn turns(a: Point, b: Point, p: Point) -> f64 {
    (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)
}

fn sides(corners: &[Point]) -> Vec<(Point, f64)> {
    let n = corners.len();
    let side = |i: usize| {
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        unit(minus(b, a)).map(|d| {
            let normal = Point::new(d.y, -d.x);
            (normal, dot(normal, a))
        })
    };
    (0..n).filter_map(side).collect()
}

/// Any edge of one polygon meets any edge of the other.
pub fn cross(a: &[Point], b: &[Point]) -> bool {
    let edge = |p: &[Point], i: usize| (p[i], p[(i + 1) % p.len()]);
    (0..a.len()).any(|i| {
        (0..b.len()).any(|j| {
            let ((p, q), (r, s)) = (edge(a, i), edge(b, j));
            segment_distance(p, q, r, s) <= 0.0
        })
    })
}

/// A region of poses by its middle, and no pose in it has more air than `bound`.
struct Region {
    bound: f64,
    turn: f64,
    half_turn: f64,
    shift: Point,
    half_shift: f64,
}

impl PartialEq for Region {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Region {}
impl PartialOrd for Region {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Region {
    /// Most promising first; equal ones in a fixed order.
    fn cmp(&self, other: &Self) -> Ordering {
        self.bound
            .total_cmp(&other.bound)
            .then(other.turn.total_cmp(&self.turn))
            .then(other.shift.x.total_cmp(&self.shift.x))
            .then(other.shift.y.total_cmp(&self.shift.y))
    }
}

/// The pose with most air. With a rim that is not convex the search rests once `gap` is there;
/// [`Fit::at_most`] says what more there may be.
pub fn best(shadow: &Shadow, rim: &Rim, gap: f64) -> Fit {
    let all: Vec<Point> = shadow.pieces.iter().flat_map(|p| p.corners.iter().copied()).collect();
    let around = hull(&all);
    let (low, high) = Outline(around.clone()).bounds();
    let middle = Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
    let centred: Vec<Point> = around.iter().map(|p| minus(*p, middle)).collect();
    let reach = centred.iter().map(|p| dot(*p, *p).sqrt()).fold(0.0, f64::max);
    let search = Search { shadow, rim, middle, centred, reach };
    match &rim.sides {
        Some(sides) => search.by_turn(sides),
        None => search.by_turn_and_place(gap),
    }
}

struct Search<'a> {
    shadow: &'a Shadow,
    rim: &'a Rim,
    middle: Point,
    /// Hull of the shadow about the middle of its box.
    centred: Vec<Point>,
    reach: f64,
}

/// Half a turn in degrees as an arc of the farthest corner.
fn arc(reach: f64, degrees: f64) -> f64 {
    reach * degrees.to_radians()
}

impl Search<'_> {
    /// The pose whose turn is about the middle of the shadow's box, told about its origin.
    fn pose(&self, turn: f64, shift: Point) -> Pose {
        let d = direction(turn);
        let m = self.middle;
        let moved = Point::new(d.x * m.x - d.y * m.y, d.y * m.x + d.x * m.y);
        Pose { turn: Degrees(turn.rem_euclid(360.0)), shift: minus(shift, moved) }
    }

    /// Best place for a turn within straight sides: most air, and where. No place has more.
    fn within_sides(&self, sides: &[(Point, f64)], turn: f64) -> Option<(f64, Point)> {
        let back = direction(-turn);
        let tips: Vec<Tip> = sides
            .iter()
            .map(|(n, c)| {
                // Farthest of the turned hull along the side's normal: turn the normal back instead.
                let m = Point::new(back.x * n.x - back.y * n.y, back.y * n.x + back.x * n.y);
                let far = self.centred.iter().map(|p| dot(*p, m)).fold(f64::NEG_INFINITY, f64::max);
                Tip { x: n.x, y: n.y, h: far - c }
            })
            .collect();
        let facet = facet_under(&tips, Point::default())?;
        let (a, b, c) = plane_of(facet.map(|i| tips[i]))?;
        Some((-a, Point::new(-b, -c)))
    }

    /// Regions of turns to begin with: every ten degrees, so that upright and level are tried themselves.
    fn turns(&self) -> impl Iterator<Item = (f64, f64)> {
        let all = if self.rim.turns_onto_itself() { 18 } else { 36 };
        (0..all).map(|k| (10.0 * f64::from(k), 5.0))
    }

    fn by_turn(&self, sides: &[(Point, f64)]) -> Fit {
        let mut heap = BinaryHeap::new();
        let mut best = (f64::NEG_INFINITY, 0.0, self.rim.middle);
        let look =
            |turn: f64, half: f64, heap: &mut BinaryHeap<Region>, best: &mut (f64, f64, Point)| {
                let Some((air, shift)) = self.within_sides(sides, turn) else { return };
                if air > best.0 {
                    *best = (air, turn, shift);
                }
                let bound = air + arc(self.reach, half);
                heap.push(Region { bound, turn, half_turn: half, shift, half_shift: 0.0 });
            };
        self.turns().for_each(|(turn, half)| look(turn, half, &mut heap, &mut best));
        let mut looks = 0;
        let mut at_most = best.0;
        while let Some(region) = heap.pop() {
            at_most = region.bound.max(best.0);
            looks += 1;
            if region.bound <= best.0 + CLOSE || looks > LOOKS {
                break;
            }
            let half = region.half_turn / 2.0;
            look(region.turn - half, half, &mut heap, &mut best);
            look(region.turn + half, half, &mut heap, &mut best);
        }
        let pose = self.pose(best.1, best.2);
        // What counts is measured on the pose itself.
        let air = self.rim.air(self.shadow, &pose);
        Fit { air: Millimetres(air), at_most: Millimetres(at_most.max(air)), pose }
    }

    fn by_turn_and_place(&self, gap: f64) -> Fit {
        let mut heap = BinaryHeap::new();
        let mut best: (f64, Pose) = (f64::NEG_INFINITY, self.pose(0.0, self.rim.middle));
        let half_shift = self.rim.half / 2f64.sqrt();
        // The hull of the rim bounds every turn before any place is looked at.
        for (turn, half) in self.turns() {
            self.look(turn, half, self.rim.middle, half_shift, &mut heap, &mut best);
        }
        let (mut looks, mut at_most) = (0, f64::INFINITY);
        while let Some(region) = heap.pop() {
            at_most = region.bound.max(best.0);
            looks += 1;
            let enough = if best.0 >= gap { LOOKS_ONCE_IT_GOES } else { LOOKS };
            if region.bound <= best.0 + CLOSE || looks > enough {
                break;
            }
            if arc(self.reach, region.half_turn) > region.half_shift * 2f64.sqrt() {
                let half = region.half_turn / 2.0;
                for turn in [region.turn - half, region.turn + half] {
                    self.look(turn, half, region.shift, region.half_shift, &mut heap, &mut best);
                }
            } else {
                let h = region.half_shift / 2.0;
                for (x, y) in [(-h, -h), (h, -h), (-h, h), (h, h)] {
                    let shift = along(region.shift, Point::new(x, y), 1.0);
                    self.look(region.turn, region.half_turn, shift, h, &mut heap, &mut best);
                }
            }
        }
        Fit { air: Millimetres(best.0), at_most: Millimetres(at_most.max(best.0)), pose: best.1 }
    }

    fn look(
        &self,
        turn: f64,
        half_turn: f64,
        shift: Point,
        half_shift: f64,
        heap: &mut BinaryHeap<Region>,
        best: &mut (f64, Pose),
    ) {
        let turned = arc(self.reach, half_turn);
        let hull = self.within_sides(&self.rim.hull_sides, turn).map_or(f64::INFINITY, |s| s.0 + turned);
        if hull <= best.0 + CLOSE {
            heap.push(Region { bound: hull, turn, half_turn, shift, half_shift });
            return;
        }
        let pose = self.pose(turn, shift);
        // The corners of the hull alone often settle it.
        let slack = turned + half_shift * 2f64.sqrt();
        let d = direction(turn);
        let outer = self.centred.iter().map(|p| {
            let q = Point::new(d.x * p.x - d.y * p.y + shift.x, d.y * p.x + d.x * p.y + shift.y);
            inside(&self.rim.outline, q)
        });
        let quick = outer.fold(f64::INFINITY, f64::min);
        if quick <= best.0 && quick + slack <= best.0 + CLOSE {
            let bound = (quick + slack).min(hull);
            heap.push(Region { bound, turn, half_turn, shift, half_shift });
            return;
        }
        let air = self.rim.air(self.shadow, &pose);
        if air > best.0 {
            *best = (air, pose);
        }
        let bound = (air + slack).min(hull);
        heap.push(Region { bound, turn, half_turn, shift, half_shift });
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::silhouette::{Piece, Whose};
    use super::*;
    use loomdeck_model::Subject;
    use proptest::prelude::*;

    fn p(x: f64, y: f64) -> Point {
        Point::new(x, y)
    }

    fn shadow(pieces: &[Vec<Point>]) -> Shadow {
        let piece =
            |c: &Vec<Point>| Piece { subject: Subject::Board, whose: Whose::Sheet, corners: c.clone() };
        Shadow { pieces: pieces.iter().map(piece).collect(), outlines: pieces.to_vec() }
    }

    fn boxed(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
        Outline::rectangle(p(x, y), w, h).0
    }

    #[test]
    fn a_rectangle_in_a_rectangle() {
        let rim = Rim::new(&Outline::rectangle(p(10.0, 20.0), 100.0, 60.0));
        let fit = best(&shadow(&[boxed(-7.0, 3.0, 50.0, 90.0)]), &rim, 1.0);
        // Turned by a right angle: (60 − 50) / 2 and (100 − 90) / 2.
        assert!((fit.air.0 - 5.0).abs() < 1e-6, "{fit:?}");
        assert!(fit.at_most.0 <= 5.0 + CLOSE + 1e-9);
        assert!((fit.pose.turn.0 - 90.0).abs() < 1e-9 || (fit.pose.turn.0 - 270.0).abs() < 1e-9);
    }

    /// A strip longer than either side of a square goes in along its diagonal: strip 130 × 4 in a square of
    /// 100 has air a with (130 + 4)/√2 + ... as computed by hand: at 45° its box is 134/√2 = 94.75 wide.
    #[test]
    fn a_long_strip_goes_in_askew() {
        let rim = Rim::new(&Outline::rectangle(p(0.0, 0.0), 100.0, 100.0));
        let fit = best(&shadow(&[boxed(0.0, 0.0, 130.0, 4.0)]), &rim, 1.0);
        let by_hand = (100.0 - 134.0 / 2f64.sqrt()) / 2.0;
        assert!((fit.air.0 - by_hand).abs() < 0.26 && fit.air.0 <= by_hand + 1e-6, "{fit:?}");
        assert!(fit.at_most.0 >= by_hand - 1e-9);
    }

    /// An L passes an L-shaped opening that its hull does not, and a cross does not pass a square that is
    /// narrower than it although its corners would.
    #[test]
    fn concave_shapes_are_neither_flattered_nor_punished() {
        let ell = |s: f64| {
            Outline(vec![
                p(0.0, 0.0),
                p(100.0 * s, 0.0),
                p(100.0 * s, 30.0 * s),
                p(30.0 * s, 30.0 * s),
                p(30.0 * s, 100.0 * s),
                p(0.0, 100.0 * s),
            ])
        };
        let rim = Rim::new(&Outline(ell(1.0).0.iter().map(|q| p(q.x + 40.0, q.y - 9.0)).collect()));
        let small = [boxed(2.0, 2.0, 90.0, 24.0), boxed(2.0, 2.0, 24.0, 90.0)];
        let fit = best(&shadow(&small), &rim, 1.0);
        assert!(fit.air.0 > 1.5, "{fit:?}");
        let large = [boxed(0.0, 0.0, 90.0, 34.0), boxed(0.0, 0.0, 34.0, 90.0)];
        let fit = best(&shadow(&large), &rim, 1.0);
        assert!(fit.at_most.0 < 1.0, "{fit:?}");
    }

    /// A spike of the rim right through a thin sheet is seen, though no corner lies in the other.
    #[test]
    fn a_spike_is_no_way_through() {
        let rim = Rim::new(&Outline(vec![
            p(0.0, 0.0),
            p(49.0, 0.0),
            p(50.0, 40.0),
            p(51.0, 0.0),
            p(100.0, 0.0),
            p(100.0, 50.0),
            p(0.0, 50.0),
        ]));
        let across = Pose { turn: Degrees(0.0), shift: p(0.0, 0.0) };
        assert!(rim.air_of(&boxed(10.0, 20.0, 80.0, 4.0), &across) < 0.0);
        assert!(rim.air_of(&boxed(10.0, 42.0, 80.0, 4.0), &across) > 1.9);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]
        /// What is said to lie within does, as the geometry library sees it, and no random pose has more
        /// air than the bound.
        #[test]
        fn certain_both_ways(
            w in 30.0..120f64, h in 20.0..90f64, notch in 5.0..25f64, a in 20.0..90f64, b in 5.0..60f64,
            c in 5.0..40f64, x in -20.0..60f64, turns in prop::collection::vec(
                (0.0..360f64, -60.0..60f64, -60.0..60f64), 60),
            straight in any::<bool>(),
        ) {
            use geo::{Contains, LineString, Polygon};
            let rim_outline = if straight {
                Outline::rectangle(p(0.0, 0.0), w, h)
            } else {
                Outline(vec![
                    p(0.0, 0.0), p(w, 0.0), p(w, h), p(w * 0.6, h), p(w * 0.6, h - notch.min(h * 0.6)),
                    p(w * 0.4, h - notch.min(h * 0.6)), p(w * 0.4, h), p(0.0, h),
                ])
            };
            let rim = Rim::new(&rim_outline);
            let s = shadow(&[boxed(0.0, 0.0, a, b), boxed(x.min(a - 1.0), 0.0, c, b + 7.0)]);
            let fit = best(&s, &rim, 1.0);
            prop_assert!(fit.at_most >= fit.air);
            let poly = |c: &[Point]| Polygon::new(
                LineString::from(c.iter().map(|q| (q.x, q.y)).collect::<Vec<_>>()), vec![]);
            if fit.air.0 > 1e-6 {
                for piece in &s.pieces {
                    let placed: Vec<Point> = piece.corners.iter().map(|q| fit.pose.place(*q)).collect();
                    prop_assert!(poly(&rim_outline.0).contains(&poly(&placed)));
                }
            }
            for (turn, dx, dy) in turns {
                let d = Point::new(w / 2.0 + dx, h / 2.0 + dy);
                let pose = Pose { turn: Degrees(turn), shift: d };
                let air = rim.air(&s, &pose);
                prop_assert!(air <= fit.at_most.0 + 1e-6, "{} > {}", air, fit.at_most.0);
            }
        }
    }
}
