//! Shapes for drawing: what two convex shapes have in common, what of one lies beyond a line, where two
//! come nearest, and several as few outlines.

use crate::shape::{Convex, Half, TOUCH, apart, dot, hull, minus, nearest_on_segment};
use loomdeck_model::{Outline, Point};

/// Two shapes are drawn as one when their hull is larger than they are by no more than this share:
/// facets of round things lie a little off each other.
const SLACK: f64 = 0.01;

/// What of a polygon lies on the side of a line that `side` is negative on (Sutherland and Hodgman).
fn on_side(corners: &[Point], side: impl Fn(Point) -> f64) -> Vec<Point> {
    let mut out = Vec::with_capacity(corners.len() + 2);
    for (i, a) in corners.iter().enumerate() {
        let b = corners[(i + 1) % corners.len()];
        let (at_a, at_b) = (side(*a), side(b));
        if at_a <= 0.0 {
            out.push(*a);
        }
        if (at_a < 0.0 && at_b > 0.0) || (at_a > 0.0 && at_b < 0.0) {
            let t = at_a / (at_a - at_b);
            let d = minus(b, *a);
            out.push(Point::new(a.x + d.x * t, a.y + d.y * t));
        }
    }
    out
}

fn area(corners: &[Point]) -> f64 {
    Outline(corners.to_vec()).signed_area()
}

/// An area worth drawing.
fn shown(corners: Vec<Point>) -> Option<Convex> {
    (corners.len() >= 3 && area(&corners) > TOUCH).then(|| Convex::new(corners))
}

/// What two shapes have in common.
pub fn common(a: &Convex, b: &Convex) -> Option<Convex> {
    let cut = |left: Vec<Point>, h: &Half| on_side(&left, |p| dot(h.n, p) - h.c);
    shown(b.halves.iter().fold(a.corners.clone(), cut))
}

/// What of a shape lies more than `margin` mm beyond a line.
pub fn beyond(a: &Convex, line: &Half, margin: f64) -> Option<Convex> {
    shown(on_side(&a.corners, |p| line.c + margin - dot(line.n, p)))
}

/// Where two shapes that do not overlap come nearest: a point of each. Of edges that run beside each
/// other, the middle of what they have in common.
pub fn nearest(a: &[Convex], b: &[Convex]) -> Option<(Point, Point)> {
    let mut all: Vec<(f64, Point, Point)> = Vec::new();
    let mut look = |from: &[Convex], to: &[Convex], turned: bool| {
        for p in from.iter().flat_map(|c| &c.corners) {
            for c in to {
                for (i, q) in c.corners.iter().enumerate() {
                    let on = nearest_on_segment(*p, *q, c.corners[(i + 1) % c.corners.len()]);
                    let (x, y) = if turned { (on, *p) } else { (*p, on) };
                    all.push((apart(x, y), x, y));
                }
            }
        }
    };
    look(a, b, false);
    look(b, a, true);
    let least = all.iter().map(|x| x.0).fold(f64::INFINITY, f64::min);
    let near: Vec<&(f64, Point, Point)> = all.iter().filter(|x| x.0 <= least + TOUCH).collect();
    let (_, first, _) = near.first()?;
    let far = near.iter().max_by(|x, y| apart(x.1, *first).total_cmp(&apart(y.1, *first)))?;
    let middle = |p: Point, q: Point| Point::new((p.x + q.x) / 2.0, (p.y + q.y) / 2.0);
    Some((middle(near[0].1, far.1), middle(near[0].2, far.2)))
}

/// Several shapes as few outlines: those that are one convex shape together become one.
pub fn joined(all: impl IntoIterator<Item = Convex>) -> Vec<Outline> {
    let mut out: Vec<Convex> = Vec::new();
    for shape in all {
        let mut shape = shape;
        while let Some((i, both)) = out.iter().enumerate().find_map(|(i, o)| Some((i, one(o, &shape)?)))
        {
            out.swap_remove(i);
            shape = both;
        }
        out.push(shape);
    }
    out.into_iter().map(|c| Outline(c.corners)).collect()
}

fn one(a: &Convex, b: &Convex) -> Option<Convex> {
    let both = hull(&[a.corners.as_slice(), &b.corners].concat());
    let shared = common(a, b).map_or(0.0, |c| area(&c.corners));
    let whole = area(&both);
    let covered = area(&a.corners) + area(&b.corners) - shared;
    (whole - covered <= SLACK * whole).then(|| Convex::new(both))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::shape::octagon;
    use geo::{Area, BooleanOps, LineString, Polygon};
    use proptest::prelude::*;

    fn rect(x: f64, y: f64, w: f64, h: f64) -> Convex {
        Convex::new(Outline::rectangle(Point::new(x, y), w, h).0)
    }

    fn polygon(c: &Convex) -> Polygon {
        let line: Vec<(f64, f64)> = c.corners.iter().map(|p| (p.x, p.y)).collect();
        Polygon::new(LineString::from(line), Vec::new())
    }

    proptest! {
        /// Against the polygon clipper of the `geo` crate.
        #[test]
        fn what_is_common_has_the_area_of_the_true_one(
            x in -30.0..30.0f64, y in -30.0..30.0f64, r in 2.0..20.0f64, w in 1.0..40.0f64,
        ) {
            let (a, b) = (octagon(Point::new(x, y), r), rect(-5.0, -5.0, w, 12.0));
            let ours = common(&a, &b).map_or(0.0, |c| area(&c.corners));
            let theirs = polygon(&a).intersection(&polygon(&b)).unsigned_area();
            prop_assert!((ours - theirs).abs() < 1e-6, "{} for {}", ours, theirs);
        }

        #[test]
        fn what_lies_beyond_a_line_and_the_rest_are_the_whole(x in -30.0..30.0f64, m in 0.0..9.0f64) {
            let a = octagon(Point::new(x, 3.0), 12.0);
            let line = Half { n: Point::new(0.6, 0.8), c: 4.0 };
            let out = beyond(&a, &line, m).map_or(0.0, |c| area(&c.corners));
            let back = Half { n: Point::new(-0.6, -0.8), c: -4.0 - m };
            let within = beyond(&a, &back, 0.0).map_or(0.0, |c| area(&c.corners));
            prop_assert!((out + within - area(&a.corners)).abs() < 1e-4);
        }
    }

    #[test]
    fn sides_that_run_beside_each_other_are_nearest_in_the_middle_of_both() {
        let (p, q) = nearest(&[rect(0.0, 0.0, 10.0, 10.0)], &[rect(13.0, 4.0, 5.0, 20.0)]).unwrap();
        assert_eq!((p, q), (Point::new(10.0, 7.0), Point::new(13.0, 7.0)));
        let (p, q) = nearest(&[rect(0.0, 0.0, 10.0, 10.0)], &[rect(13.0, 14.0, 5.0, 5.0)]).unwrap();
        assert_eq!((p, q), (Point::new(10.0, 10.0), Point::new(13.0, 14.0)));
    }

    #[test]
    fn what_is_one_shape_is_drawn_as_one() {
        let stack = [rect(0.0, 0.0, 10.0, 4.0), rect(6.0, 0.0, 10.0, 4.0), rect(2.0, 1.0, 3.0, 2.0)];
        let all = joined(stack);
        assert_eq!(all.len(), 1);
        assert!((all[0].signed_area() - 64.0).abs() < 1e-9);
        // A shaft and a wide handle are not.
        assert_eq!(joined([rect(0.0, 0.0, 40.0, 4.0), rect(30.0, -8.0, 10.0, 20.0)]).len(), 2);
    }
}
