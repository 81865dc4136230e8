//! The spaces that tools sweep, as upright prisms.
//!
//! Round footprints are drawn around the true circle and reach at most [`BOUND`] beyond it, so that a
//! space is never flattered.

use super::Solid;
use crate::shape::{along, direction, hull};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Outline, Point};
use std::sync::LazyLock;

/// How far a faceted space may reach beyond the true one, mm.
pub const BOUND: f64 = 0.25;

/// Corners of regular polygons around a circle of radius one.
static ROUND: LazyLock<[Vec<Point>; 3]> = LazyLock::new(|| {
    [16, 32, 64].map(|n: u32| {
        let outer = 1.0 / (std::f64::consts::PI / f64::from(n)).cos();
        let corner = |i: u32| {
            let a = std::f64::consts::TAU * f64::from(i) / f64::from(n);
            Point::new(outer * a.cos(), outer * a.sin())
        };
        (0..n).map(corner).collect()
    })
});

/// A polygon around a circle, within [`BOUND`] of it up to a radius of 200 mm.
pub fn disc(centre: Point, radius: f64) -> Vec<Point> {
    // A polygon of n sides reaches r·(1/cos(π/n) − 1) beyond its circle: 1.96 % at 16, 0.48 % at 32.
    let which = match radius {
        r if r <= 12.5 => 0,
        r if r <= 50.0 => 1,
        _ => 2,
    };
    ROUND[which].iter().map(|p| along(centre, *p, radius)).collect()
}

/// An upright prism.
pub fn prism(corners: Vec<Point>, from: f64, to: f64) -> Solid {
    Solid { outline: Outline(corners), from: Millimetres(from), to: Millimetres(to) }
}

/// An upright cylinder.
pub fn cylinder(centre: Point, diameter: f64, from: f64, to: f64) -> Solid {
    prism(disc(centre, diameter / 2.0), from, to)
}

/// A strip of some width from one distance to another along a unit direction.
pub fn strip(at: Point, way: Point, from: f64, to: f64, width: f64) -> Vec<Point> {
    let (a, b) = (along(at, way, from), along(at, way, to));
    let side = Point::new(way.y * width / 2.0, -way.x * width / 2.0);
    vec![along(a, side, 1.0), along(b, side, 1.0), along(b, side, -1.0), along(a, side, -1.0)]
}

/// A bar of some width that turns about a point through an angle from a start, both in degrees: a convex
/// shape that holds it in every position. `from` and `to` are distances from the point.
pub fn sector(centre: Point, start: f64, angle: f64, (from, to): (f64, f64), width: f64) -> Vec<Point> {
    // Each corner of the bar moves on a circle. Its arc is held by its ends and by the corners of tangents
    // between them.
    const STEPS: u32 = 4;
    let step = angle / f64::from(STEPS);
    let outside = 1.0 / (step / 2.0).to_radians().cos();
    let mut corners = Vec::with_capacity(4 * (2 * STEPS as usize + 1));
    for k in 0..=STEPS {
        corners.extend(strip(centre, direction(start + step * f64::from(k)), from, to, width));
    }
    for k in 0..STEPS {
        let middle = strip(centre, direction(start + step * (f64::from(k) + 0.5)), from, to, width);
        let out = |p: Point| along(centre, crate::shape::minus(p, centre), outside);
        corners.extend(middle.into_iter().map(out));
    }
    hull(&corners)
}

/// An oblique bar with round section, as a stack of upright prisms: from a point at a height it runs in
/// a direction over the face and rises at `tilt` degrees above it. Each prism holds the part of the bar
/// within its heights, and reaches at most `slack` further along the way.
pub fn oblique(
    (at, height): (Point, f64),
    way: Point,
    tilt: f64,
    (length, width): (f64, f64),
    slack: f64,
) -> Vec<Solid> {
    let (s, c) = tilt.to_radians().sin_cos();
    let half = width / 2.0;
    let (rise, run) = (length * s, length * c);
    // Over a rise h the bar's middle line moves h / tan(tilt) along the way.
    let layers = ((run / slack.max(1e-3)).ceil() as usize).clamp(1, 60);
    let step = rise / layers as f64;
    let mut out = Vec::with_capacity(layers);
    for k in 0..layers {
        let (low, high) = (step * k as f64, step * (k + 1) as f64);
        let (a, b) = (low / s.max(1e-9) * c, high / s.max(1e-9) * c);
        // A section square to the bar's axis leans: its rim reaches half·sin along the way and half·cos up.
        let corners = strip(at, way, a - half * s, b + half * s, width);
        out.push(prism(corners, (height + low - half * c).max(0.0), height + high + half * c));
    }
    out
}

/// An outline's convex piece swept along a vector.
pub fn swept(piece: &[Point], by: Point) -> Vec<Point> {
    let moved = piece.iter().map(|p| along(*p, by, 1.0));
    hull(&piece.iter().copied().chain(moved).collect::<Vec<_>>())
}
