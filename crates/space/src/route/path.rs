//! A lane as a line with rounded corners: what it is made of, and how long it is.
//!
//! At a corner with turn φ a bend of radius R begins R·tan(φ/2) before the corner, ends as far behind
//! it, and is R·φ long.

use crate::shape::{along, cross, dot, minus, norm, unit};
use loomdeck_model::Point;
use loomdeck_model::units::Millimetres;

/// A piece of a rounded line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Piece {
    /// Straight.
    Line {
        /// From.
        from: Point,
        /// To.
        to: Point,
    },
    /// Part of a circle, shorter than half of it.
    Arc {
        /// From.
        from: Point,
        /// To.
        to: Point,
        /// Middle of the circle.
        centre: Point,
        /// Its radius.
        radius: f64,
        /// Angle run through, radians; positive: counter-clockwise as seen from the front.
        turn: f64,
    },
}

impl Piece {
    /// How long it is, mm.
    pub fn length(&self) -> f64 {
        match self {
            Self::Line { from, to } => norm(minus(*to, *from)),
            Self::Arc { radius, turn, .. } => radius * turn.abs(),
        }
    }

    /// The point this far along it, and the direction there.
    pub fn at(&self, t: f64) -> (Point, Point) {
        match *self {
            Self::Line { from, to } => {
                let d = unit(minus(to, from)).unwrap_or(Point::new(1.0, 0.0));
                (along(from, d, t), d)
            }
            Self::Arc { from, centre, radius, turn, .. } => {
                let (s, c) = (turn.signum() * t / radius.max(1e-9)).sin_cos();
                let r = minus(from, centre);
                let r = Point::new(r.x * c - r.y * s, r.x * s + r.y * c);
                let side = unit(Point::new(-r.y, r.x)).unwrap_or(Point::new(1.0, 0.0));
                let d = Point::new(side.x * turn.signum(), side.y * turn.signum());
                (along(centre, r, 1.0), d)
            }
        }
    }
}

/// Turn at a corner, radians, positive counter-clockwise.
pub fn turn(before: Point, corner: Point, after: Point) -> f64 {
    let (a, b) = (minus(corner, before), minus(after, corner));
    cross(a, b).atan2(dot(a, b))
}

/// The line through these corners with bends of these radii (zero or missing: sharp). Radii are taken
/// as they are: whoever made them saw to it that the bends fit between the corners.
pub fn pieces(points: &[Point], radii: &[Millimetres]) -> Vec<Piece> {
    let mut out = Vec::new();
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return out };
    let mut here = *first;
    for i in 1..points.len().saturating_sub(1) {
        let radius = radii.get(i).map_or(0.0, |r| r.0);
        let (before, corner, after) = (points[i - 1], points[i], points[i + 1]);
        let angle = turn(before, corner, after);
        let (Some(come), Some(go)) = (unit(minus(corner, before)), unit(minus(after, corner))) else {
            continue;
        };
        if radius <= 0.0 || angle.abs() < 1e-9 || angle.abs() > 3.1 {
            line(&mut out, here, corner);
            here = corner;
            continue;
        }
        let reach = radius * (angle.abs() / 2.0).tan();
        let (from, to) = (along(corner, come, -reach), along(corner, go, reach));
        line(&mut out, here, from);
        let side = Point::new(-come.y * angle.signum(), come.x * angle.signum());
        let centre = along(from, side, radius);
        out.push(Piece::Arc { from, to, centre, radius, turn: angle });
        here = to;
    }
    line(&mut out, here, *last);
    out
}

fn line(out: &mut Vec<Piece>, from: Point, to: Point) {
    if norm(minus(to, from)) > 1e-9 {
        out.push(Piece::Line { from, to });
    }
}

/// Length of a rounded line, mm.
pub fn length(points: &[Point], radii: &[Millimetres]) -> f64 {
    pieces(points, radii).iter().map(Piece::length).sum()
}

/// Where along a rounded line the point nearest to `p` lies: length from its beginning.
pub fn nearest(points: &[Point], radii: &[Millimetres], p: Point) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    let mut before = 0.0;
    for piece in pieces(points, radii) {
        let long = piece.length();
        let t = match piece {
            Piece::Line { from, to } => match unit(minus(to, from)) {
                Some(d) => dot(minus(p, from), d).clamp(0.0, long),
                None => 0.0,
            },
            Piece::Arc { from, centre, radius, turn, .. } => {
                let (a, b) = (minus(from, centre), minus(p, centre));
                let angle = cross(a, b).atan2(dot(a, b)) * turn.signum();
                (angle * radius).clamp(0.0, long)
            }
        };
        let d = norm(minus(piece.at(t).0, p));
        if d < best.0 - 1e-9 {
            best = (d, before + t);
        }
        before += long;
    }
    best.1
}

/// The part of a rounded line between two lengths from its beginning, turned round when `to` comes
/// before `from`.
pub fn part(
    points: &[Point],
    radii: &[Millimetres],
    from: f64,
    to: f64,
) -> (Vec<Point>, Vec<Millimetres>) {
    if to < from {
        let (mut p, mut r) = part(points, radii, to, from);
        p.reverse();
        r.reverse();
        return (p, r);
    }
    let (mut out, mut bends): (Vec<Point>, Vec<Millimetres>) = (Vec::new(), Vec::new());
    let mut before = 0.0;
    let mut end = None;
    let mut after_line = false;
    for piece in pieces(points, radii) {
        let long = piece.length();
        let (a, b) = ((from - before).max(0.0), (to - before).min(long));
        before += long;
        if b - a < 1e-9 {
            continue;
        }
        let (start, d) = piece.at(a);
        let is_line = matches!(piece, Piece::Line { .. });
        if out.is_empty() || (after_line && is_line) {
            out.push(start);
            bends.push(Millimetres::ZERO);
        }
        if let Piece::Arc { radius, .. } = piece {
            out.push(along(start, d, radius * ((b - a) / radius / 2.0).tan()));
            bends.push(Millimetres(radius));
        }
        after_line = is_line;
        end = Some(piece.at(b).0);
    }
    out.extend(end);
    bends.resize(out.len(), Millimetres::ZERO);
    (out, bends)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_as_long_as_they_are_cut() {
        let (p, radii) = corner(8.0);
        let all = length(&p, &radii);
        for (a, b) in [(0.0, all), (3.0, 9.0), (5.0, 17.0), (14.0, 20.0), (18.0, all), (20.0, 6.0)] {
            let (q, r) = part(&p, &radii, a, b);
            assert!((length(&q, &r) - (b - a).abs()).abs() < 1e-6, "{a} to {b}");
        }
        let (q, _) = part(&p, &radii, 15.0, 20.0);
        let at = nearest(&p, &radii, q[0]);
        assert!((at - 15.0).abs() < 1e-6, "{at}");
    }

    fn corner(r: f64) -> (Vec<Point>, Vec<Millimetres>) {
        let p = vec![Point::new(0., 0.), Point::new(20., 0.), Point::new(20., 20.)];
        (p, vec![Millimetres(0.0), Millimetres(r), Millimetres(0.0)])
    }

    #[test]
    fn a_rounded_right_angle_is_shorter_by_its_corner() {
        for r in [0.0, 1.0, 8.0, 20.0] {
            let (p, radii) = corner(r);
            let expected = 40.0 - (2.0 - std::f64::consts::FRAC_PI_2) * r;
            assert!((length(&p, &radii) - expected).abs() < 1e-9, "{r}");
        }
    }

    #[test]
    fn pieces_join_and_keep_their_direction() {
        let (p, radii) = corner(8.0);
        let all = pieces(&p, &radii);
        assert_eq!(all.len(), 3);
        for pair in all.windows(2) {
            let (end, d) = pair[0].at(pair[0].length());
            let (start, e) = pair[1].at(0.0);
            assert!(end.distance(start) < 1e-9 && d.distance(e) < 1e-9);
        }
        let (middle, d) = all[1].at(all[1].length() / 2.0);
        assert!((middle.distance(Point::new(12.0, 8.0)) - 8.0).abs() < 1e-9);
        assert!((d.x - d.y).abs() < 1e-9 && d.x > 0.0);
    }
}
