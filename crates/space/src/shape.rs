//! Plane geometry by convex pieces.
//!
//! Every outline is cut into convex pieces once. On convex pieces the questions of this crate have
//! exact answers by half-planes and separating axes: how deep do two shapes overlap, how far must one
//! move along a direction to be clear, what part of a segment lies inside. Lengths are mm; two things
//! closer than [`TOUCH`] touch and do not overlap.

use loomdeck_model::{Outline, Point};

/// Less than this is rounding, not overlap, mm.
pub const TOUCH: f64 = 1e-6;

/// `b - a`.
pub fn minus(b: Point, a: Point) -> Point {
    Point::new(b.x - a.x, b.y - a.y)
}
/// `a + d · t`.
pub fn along(a: Point, d: Point, t: f64) -> Point {
    Point::new(a.x + d.x * t, a.y + d.y * t)
}
/// Scalar product.
pub fn dot(a: Point, b: Point) -> f64 {
    a.x * b.x + a.y * b.y
}
/// Twice the signed area of the triangle of two vectors.
pub fn cross(a: Point, b: Point) -> f64 {
    a.x * b.y - a.y * b.x
}
/// Length of a vector.
pub fn norm(a: Point) -> f64 {
    // Millimetres neither overflow nor vanish when squared, and the root is much faster than `hypot`.
    (a.x * a.x + a.y * a.y).sqrt()
}
/// Distance of two points.
pub fn apart(a: Point, b: Point) -> f64 {
    norm(minus(a, b))
}
/// The vector at length one, or `None` when it has no direction.
pub fn unit(a: Point) -> Option<Point> {
    let n = norm(a);
    (n > 1e-12).then(|| Point::new(a.x / n, a.y / n))
}
/// The unit vector at an angle in degrees, exact at right angles.
pub fn direction(degrees: f64) -> Point {
    match degrees.rem_euclid(360.0) {
        0.0 => Point::new(1.0, 0.0),
        90.0 => Point::new(0.0, 1.0),
        180.0 => Point::new(-1.0, 0.0),
        270.0 => Point::new(0.0, -1.0),
        d => Point::new(d.to_radians().cos(), d.to_radians().sin()),
    }
}

/// Nearest point of a segment.
pub fn nearest_on_segment(p: Point, a: Point, b: Point) -> Point {
    let d = minus(b, a);
    let length2 = dot(d, d);
    if length2 <= 0.0 {
        return a;
    }
    along(a, d, (dot(minus(p, a), d) / length2).clamp(0.0, 1.0))
}

/// Distance between two segments (zero when they cross).
pub fn segment_distance(a: Point, b: Point, c: Point, d: Point) -> f64 {
    let side = |p, q, r| cross(minus(q, p), minus(r, p));
    if side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0 {
        return 0.0;
    }
    [(a, c, d), (b, c, d), (c, a, b), (d, a, b)]
        .into_iter()
        .map(|(p, q, r)| p.distance(nearest_on_segment(p, q, r)))
        .fold(f64::INFINITY, f64::min)
}

/// A half-plane: points with `n · p <= c`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Half {
    /// Outward unit normal.
    pub n: Point,
    /// Offset.
    pub c: f64,
}

/// A convex polygon, counter-clockwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Convex {
    /// Corners.
    pub corners: Vec<Point>,
    /// One per edge, edge `i` from corner `i`.
    pub halves: Vec<Half>,
    /// Lower left of its box.
    pub low: Point,
    /// Upper right of its box.
    pub high: Point,
}

impl Convex {
    /// From counter-clockwise corners; edges without length are dropped.
    pub fn new(corners: Vec<Point>) -> Self {
        let n = corners.len();
        let mut kept = Vec::with_capacity(n);
        let mut halves = Vec::with_capacity(n);
        for i in 0..n {
            let (a, b) = (corners[i], corners[(i + 1) % n]);
            if let Some(d) = unit(minus(b, a)) {
                let normal = Point::new(d.y, -d.x);
                kept.push(a);
                halves.push(Half { n: normal, c: dot(normal, a) });
            }
        }
        let (low, high) = Outline(kept.clone()).bounds();
        Self { corners: kept, halves, low, high }
    }

    /// How deep a point lies inside (negative: outside, then a lower bound of the distance).
    pub fn depth(&self, p: Point) -> f64 {
        self.halves.iter().map(|h| h.c - dot(h.n, p)).fold(f64::INFINITY, f64::min)
    }

    /// The stretch of a segment that lies inside by more than [`TOUCH`], as parameters 0 to 1.
    pub fn clip(&self, a: Point, b: Point) -> Option<(f64, f64)> {
        let d = minus(b, a);
        let (mut t0, mut t1) = (0.0f64, 1.0f64);
        for h in &self.halves {
            let (slope, room) = (dot(h.n, d), h.c - TOUCH - dot(h.n, a));
            if slope.abs() < 1e-12 {
                if room <= 0.0 {
                    return None;
                }
            } else if slope > 0.0 {
                t1 = t1.min(room / slope);
            } else {
                t0 = t0.max(room / slope);
            }
            if t0 >= t1 {
                return None;
            }
        }
        Some((t0, t1))
    }

    /// Smallest and largest `n · p`.
    fn span(&self, n: Point) -> (f64, f64) {
        self.corners.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), p| {
            let v = dot(n, *p);
            (lo.min(v), hi.max(v))
        })
    }

    /// For which `t` this shape, moved by `t · d`, overlaps the other.
    pub fn overlap_along(&self, other: &Self, d: Point) -> Option<(f64, f64)> {
        overlap_over(self.gaps(other), d)
    }

    /// Square to every edge of either shape: how far this one must move to touch the other, and to be
    /// clear of it on its far side.
    fn gaps<'a>(&'a self, other: &'a Self) -> impl Iterator<Item = Gap> + 'a {
        self.halves.iter().chain(&other.halves).map(|h| {
            let ((a0, a1), (b0, b1)) = (self.span(h.n), other.span(h.n));
            Gap { n: h.n, near: b0 - a1, far: b1 - a0 }
        })
    }

    /// They overlap by more than [`TOUCH`].
    pub fn overlaps(&self, other: &Self) -> bool {
        self.halves.iter().chain(&other.halves).all(|h| {
            let ((a0, a1), (b0, b1)) = (self.span(h.n), other.span(h.n));
            a1 - b0 > TOUCH && b1 - a0 > TOUCH
        })
    }

    /// The shape with `by` added all round: corners mitred, and cut off square at distance `by` from
    /// the corner where a mitre would reach further than 1.5 `by`. It always contains the true
    /// (rounded) offset.
    #[must_use]
    pub fn inflate(&self, by: f64) -> Self {
        let n = self.corners.len();
        let mut out = Vec::with_capacity(n + 4);
        for i in 0..n {
            let (before, after) = (self.halves[(i + n - 1) % n].n, self.halves[i].n);
            let p = self.corners[i];
            let sum = Point::new(before.x + after.x, before.y + after.y);
            // |sum| = 2 cos(half the turn); the mitre reaches by / cos(half the turn).
            let half_cos = norm(sum) / 2.0;
            match unit(sum) {
                Some(m) if half_cos > 1.0 / 1.5 => out.push(along(p, m, by / half_cos)),
                Some(m) => {
                    let side = Point::new(-m.y, m.x);
                    let half_sin = (1.0 - half_cos * half_cos).max(0.0).sqrt();
                    let w = by * (1.0 - half_cos) / half_sin.max(1e-9);
                    let tip = along(p, m, by);
                    out.push(along(tip, side, -w));
                    out.push(along(tip, side, w));
                }
                None => out.push(p),
            }
        }
        Self::new(out)
    }

    /// A simpler shape around this one with at most 12 sides, their normals at multiples of 30°.
    #[must_use]
    pub fn simplified(self) -> Self {
        if self.corners.len() <= 12 {
            return self;
        }
        let normals: Vec<Point> = (0..12).map(|k| direction(30.0 * f64::from(k))).collect();
        around(&normals, |n| self.span(n).1)
    }

    /// Moved.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        Self::new(self.corners.iter().map(|p| along(*p, by, 1.0)).collect())
    }
}

/// How two shapes lie to each other square to one edge.
#[derive(Clone, Copy)]
struct Gap {
    n: Point,
    near: f64,
    far: f64,
}

/// For which `t` a shape, moved by `t · d`, overlaps another.
fn overlap_over(gaps: impl Iterator<Item = Gap>, d: Point) -> Option<(f64, f64)> {
    let (mut t0, mut t1) = (f64::NEG_INFINITY, f64::INFINITY);
    for Gap { n, near, far } in gaps {
        let speed = dot(n, d);
        // Overlap needs t·speed > near and t·speed < far.
        if speed.abs() < 1e-12 {
            if -near <= TOUCH || far <= TOUCH {
                return None;
            }
            continue;
        }
        let (p, q) = ((near + TOUCH) / speed, (far - TOUCH) / speed);
        t0 = t0.max(p.min(q));
        t1 = t1.min(p.max(q));
        if t0 >= t1 {
            return None;
        }
    }
    Some((t0, t1))
}

/// The polygon whose edges have these normals (counter-clockwise) and supports.
fn around(normals: &[Point], support: impl Fn(Point) -> f64) -> Convex {
    let n = normals.len();
    let corners = (0..n).map(|i| {
        let (a, b) = (normals[(i + n - 1) % n], normals[i]);
        let (ca, cb) = (support(a), support(b));
        let det = cross(a, b);
        Point::new((ca * b.y - cb * a.y) / det, (a.x * cb - b.x * ca) / det)
    });
    Convex::new(corners.collect())
}

/// An octagon around a circle.
pub fn octagon(centre: Point, radius: f64) -> Convex {
    let normals: Vec<Point> = (0..8).map(|k| direction(45.0 * f64::from(k))).collect();
    around(&normals, |n| dot(n, centre) + radius)
}

/// Cuts an outline into convex pieces; a convex outline is one piece.
pub fn pieces(outline: &Outline) -> Vec<Convex> {
    let p = &outline.0;
    let n = p.len();
    let convex = (0..n).all(|i| {
        let (a, b, c) = (p[i], p[(i + 1) % n], p[(i + 2) % n]);
        cross(minus(b, a), minus(c, b)) >= -1e-9 * (1.0 + norm(minus(b, a)) * norm(minus(c, b)))
    });
    if convex {
        return vec![Convex::new(p.clone())];
    }
    clip_ears(p).into_iter().map(Convex::new).collect()
}

/// Triangles of a simple polygon by cutting ears. When rounding leaves no ear, the rest is given as
/// its last triangle fan, which covers it.
fn clip_ears(p: &[Point]) -> Vec<Vec<Point>> {
    let mut left: Vec<Point> = p.to_vec();
    let mut out = Vec::new();
    while left.len() > 3 {
        let n = left.len();
        let ear = (0..n).find(|&i| is_ear(&left, i)).unwrap_or(0);
        let (a, b, c) = (left[(ear + n - 1) % n], left[ear], left[(ear + 1) % n]);
        if cross(minus(b, a), minus(c, b)) > 1e-12 {
            out.push(vec![a, b, c]);
        }
        left.remove(ear);
    }
    if cross(minus(left[1], left[0]), minus(left[2], left[1])) > 1e-12 {
        out.push(left);
    }
    out
}

/// Corner `i` can be cut off: it is convex and no other corner lies in its triangle.
fn is_ear(p: &[Point], i: usize) -> bool {
    let n = p.len();
    let (a, b, c) = (p[(i + n - 1) % n], p[i], p[(i + 1) % n]);
    if cross(minus(b, a), minus(c, b)) <= 1e-12 {
        return false;
    }
    p.iter().all(|q| {
        let corner = *q == a || *q == b || *q == c;
        corner
            || cross(minus(b, a), minus(*q, a)) < 0.0
            || cross(minus(c, b), minus(*q, b)) < 0.0
            || cross(minus(a, c), minus(*q, c)) < 0.0
    })
}

/// Any piece of one overlaps any piece of the other.
pub fn overlap(a: &[Convex], b: &[Convex]) -> bool {
    a.iter().any(|p| b.iter().any(|q| p.overlaps(q)))
}

/// Least distance between two shapes; zero when they overlap or touch.
pub fn distance(a: &[Convex], b: &[Convex]) -> f64 {
    if overlap(a, b) {
        return 0.0;
    }
    let edges = |c: &Convex| -> Vec<(Point, Point)> {
        let n = c.corners.len();
        (0..n).map(|i| (c.corners[i], c.corners[(i + 1) % n])).collect()
    };
    let mut least = f64::INFINITY;
    for p in a {
        for q in b {
            for (a0, a1) in edges(p) {
                for (b0, b1) in edges(q) {
                    least = least.min(segment_distance(a0, a1, b0, b1));
                }
            }
        }
    }
    least
}

/// How far the first shape must move along a unit direction until it overlaps the second no more.
pub fn clear_along(a: &[Convex], b: &[Convex], d: Point) -> f64 {
    let pairs = a.iter().flat_map(|p| b.iter().map(move |q| p.overlap_along(q, d)));
    clear_of(pairs.flatten())
}

/// Where moving begins to be free, from what each two pieces overlap.
fn clear_of(spans: impl Iterator<Item = (f64, f64)>) -> f64 {
    let mut spans: Vec<(f64, f64)> = spans.filter(|(_, t1)| *t1 > 0.0).collect();
    spans.sort_by(|x, y| x.0.total_cmp(&y.0));
    let mut t = 0.0;
    for (t0, t1) in spans {
        if t0 < t - 1e-12 || (t == 0.0 && t0 < 0.0) {
            t = t1.max(t);
        } else if t0 > t {
            break;
        }
    }
    t
}

/// The ways out: unit directions square to the edges of either shape with the distance to move the
/// first, shortest first. For convex shapes the first is the true depth of the overlap.
pub fn ways_out(a: &[Convex], b: &[Convex]) -> Vec<(Point, f64)> {
    let pairs = pairs(a, b);
    let across = |n: Point| pairs.iter().filter_map(move |gaps| overlap_over(gaps.iter().copied(), n));
    let mut ways: Vec<(Point, f64)> =
        normals(a, b).into_iter().map(|n| (n, clear_of(across(n)))).collect();
    ways.sort_by(|x, y| x.1.total_cmp(&y.1));
    ways
}

/// Directions square to the edges of either shape, each once.
fn normals(a: &[Convex], b: &[Convex]) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::new();
    let all = a
        .iter()
        .flat_map(|p| p.halves.iter().map(|h| Point::new(-h.n.x, -h.n.y)))
        .chain(b.iter().flat_map(|q| q.halves.iter().map(|h| h.n)));
    for n in all {
        if out.iter().all(|d| (d.x - n.x).abs() + (d.y - n.y).abs() > 1e-9) {
            out.push(n);
        }
    }
    out
}

/// How each two pieces lie to each other, which is the same for every direction.
fn pairs(a: &[Convex], b: &[Convex]) -> Vec<Vec<Gap>> {
    a.iter().flat_map(|p| b.iter().map(move |q| p.gaps(q).collect())).collect()
}

/// Depth of the overlap of two shapes: the least distance to move one of them; zero when apart.
pub fn overlap_depth(a: &[Convex], b: &[Convex]) -> f64 {
    let pairs = pairs(a, b);
    let mut least = f64::INFINITY;
    let mut spans = Vec::with_capacity(pairs.len());
    for n in normals(a, b) {
        spans.clear();
        // What two pieces overlap already must be left in any case.
        let longer = pairs.iter().any(|gaps| {
            let span = overlap_over(gaps.iter().copied(), n);
            spans.extend(span);
            span.is_some_and(|(t0, t1)| t0 < 0.0 && t1 >= least)
        });
        if !longer {
            least = least.min(clear_of(spans.iter().copied()));
        }
    }
    if least.is_finite() { least } else { 0.0 }
}

/// A point lies within an outline (its border counts).
pub fn contains(outline: &Outline, p: Point) -> bool {
    if edge_distance(outline, p) <= TOUCH {
        return true;
    }
    let n = outline.0.len();
    let mut inside = false;
    for i in 0..n {
        let (a, b) = (outline.0[i], outline.0[(i + 1) % n]);
        if (a.y > p.y) != (b.y > p.y) && (cross(minus(b, a), minus(p, a)) > 0.0) == (b.y > a.y) {
            inside = !inside;
        }
    }
    inside
}

/// Distance of a point from the border of an outline.
pub fn edge_distance(outline: &Outline, p: Point) -> f64 {
    p.distance(nearest_on_edge(outline, p))
}

/// Nearest point of the border of an outline.
pub fn nearest_on_edge(outline: &Outline, p: Point) -> Point {
    let n = outline.0.len();
    let mut best = (f64::INFINITY, p);
    for i in 0..n {
        let q = nearest_on_segment(p, outline.0[i], outline.0[(i + 1) % n]);
        let d = p.distance(q);
        if d < best.0 - 1e-12 {
            best = (d, q);
        }
    }
    best.1
}

/// Least distance between the borders of two outlines.
pub fn border_distance(a: &Outline, b: &Outline) -> f64 {
    let mut least = f64::INFINITY;
    for i in 0..a.0.len() {
        for j in 0..b.0.len() {
            let (p, q) = (a.0[i], a.0[(i + 1) % a.0.len()]);
            let (r, s) = (b.0[j], b.0[(j + 1) % b.0.len()]);
            least = least.min(segment_distance(p, q, r, s));
        }
    }
    least
}

/// The convex hull, counter-clockwise, without corners on its edges.
pub fn hull(points: &[Point]) -> Vec<Point> {
    let mut p = points.to_vec();
    p.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    p.dedup();
    let mut chain: Vec<Point> = Vec::new();
    for round in 0..2 {
        let start = chain.len();
        let order: Box<dyn Iterator<Item = &Point>> =
            if round == 0 { Box::new(p.iter()) } else { Box::new(p.iter().rev()) };
        for q in order {
            while chain.len() >= start + 2 {
                let (a, b) = (chain[chain.len() - 2], chain[chain.len() - 1]);
                if cross(minus(b, a), minus(*q, b)) > 1e-9 {
                    break;
                }
                chain.pop();
            }
            chain.push(*q);
        }
        chain.pop();
    }
    chain
}

/// What a concave outline leaves out of its hull, as convex pieces.
pub fn pockets(outline: &Outline) -> Vec<Convex> {
    let hull = hull(&outline.0);
    let p = &outline.0;
    let n = p.len();
    let on_hull = |q: Point| hull.contains(&q);
    let mut out = Vec::new();
    let Some(first) = (0..n).find(|&i| on_hull(p[i])) else { return out };
    let mut i = 0;
    while i < n {
        let start = (first + i) % n;
        let length = (1..=n).find(|k| on_hull(p[(start + k) % n])).unwrap_or(n);
        if length > 1 {
            // The chain runs counter-clockwise around the board, clockwise around its pocket.
            let chain: Vec<Point> = (0..=length).rev().map(|k| p[(start + k) % n]).collect();
            let pocket = Outline(chain);
            if pocket.signed_area() > 1e-6 {
                out.extend(pieces(&pocket));
            }
        }
        i += length;
    }
    out
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use geo::{Area, BooleanOps, Distance, Euclidean, LineString, Polygon};
    use proptest::prelude::*;

    fn polygon(points: &[Point]) -> Polygon {
        Polygon::new(LineString::from(points.iter().map(|p| (p.x, p.y)).collect::<Vec<_>>()), vec![])
    }

    fn square(x: f64, y: f64, side: f64) -> Outline {
        Outline::rectangle(Point::new(x, y), side, side)
    }

    fn ell() -> Outline {
        let p = [(0., 0.), (40., 0.), (40., 10.), (10., 10.), (10., 30.), (0., 30.)];
        Outline(p.iter().map(|(x, y)| Point::new(*x, *y)).collect())
    }

    #[test]
    fn pieces_and_pockets_cover_exactly() {
        let area =
            |c: &[Convex]| -> f64 { c.iter().map(|c| Outline(c.corners.clone()).signed_area()).sum() };
        assert!((area(&pieces(&ell())) - 600.0).abs() < 1e-9);
        let hull = Outline(hull(&ell().0)).signed_area();
        assert!((area(&pockets(&ell())) - (hull - 600.0)).abs() < 1e-9);
        assert!(pockets(&square(0., 0., 10.)).is_empty());
    }

    #[test]
    fn depth_of_two_squares() {
        let (a, b) = (pieces(&square(0., 0., 10.)), pieces(&square(7., 2., 10.)));
        assert!((overlap_depth(&a, &b) - 3.0).abs() < 1e-5);
        let (d, t) = ways_out(&a, &b)[0];
        assert!((d.x + 1.0).abs() < 1e-9 && (t - 3.0).abs() < 1e-5);
        // Touching is not overlapping.
        assert_eq!(overlap_depth(&a, &pieces(&square(10., 0., 5.))), 0.0);
    }

    #[test]
    fn a_shape_in_the_notch_of_an_ell_is_clear_of_it() {
        let notch = pieces(&square(12., 12., 5.));
        assert!(!overlap(&pieces(&ell()), &notch));
        assert!((distance(&pieces(&ell()), &notch) - 2.0).abs() < 1e-9);
        // Moving left it meets the upright after 2 mm and must cross it.
        let left = clear_along(&pieces(&square(8., 12., 5.)), &pieces(&ell()), Point::new(1.0, 0.0));
        assert!((left - 2.0).abs() < 1e-5, "{left}");
    }

    proptest! {
        /// Overlap and distance agree with the geometry library on random turned boxes.
        #[test]
        fn agrees_with_a_geometry_library(
            w in 1.0..50f64, h in 1.0..50f64, x in -60.0..60f64, y in -60.0..60f64, turn in 0.0..360f64,
        ) {
            use loomdeck_model::{Face, Placement, units::Degrees};
            let place = Placement { face: Face::Front, at: Point::new(x, y), turn: Degrees(turn) };
            let b = place.outline_to_board(&Outline::rectangle(Point::new(0., 0.), w, h));
            for a in [square(0., 0., 20.), ell()] {
                let (pa, pb) = (polygon(&a.0), polygon(&b.0));
                let shared = pa.intersection(&pb).unsigned_area();
                let ours = distance(&pieces(&a), &pieces(&b));
                if shared > 1e-3 {
                    prop_assert!(overlap(&pieces(&a), &pieces(&b)), "shared {}", shared);
                    let (d, t) = ways_out(&pieces(&b), &pieces(&a))[0];
                    let away: Vec<Point> = b.0.iter().map(|p| along(*p, d, t)).collect();
                    prop_assert!(pa.intersection(&polygon(&away)).unsigned_area() < 1e-3);
                } else if shared < 1e-9 {
                    prop_assert!((ours - Euclidean.distance(&pa, &pb)).abs() < 1e-6);
                }
            }
        }

        /// An inflated shape contains every point nearer than that, and nothing half as far again.
        #[test]
        fn inflated_contains_the_offset(
            w in 1.0..50f64, h in 1.0..50f64, by in 0.5..8f64, px in -70.0..70f64, py in -70.0..70f64,
            skew in -30.0..30f64,
        ) {
            let shape = Convex::new(vec![
                Point::new(0., 0.), Point::new(w, 0.), Point::new(w + skew, h), Point::new(skew, h),
            ]);
            let big = shape.inflate(by);
            let p = Point::new(px, py);
            let d = if shape.depth(p) >= 0.0 { 0.0 } else { edge_distance(&Outline(shape.corners.clone()), p) };
            if d < by - 1e-9 {
                prop_assert!(big.depth(p) > -1e-9);
            }
            if d > 1.5 * by + 1e-9 {
                prop_assert!(big.depth(p) < 1e-9);
            }
        }
    }
}
