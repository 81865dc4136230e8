//! The spaces of a wire's end: a box for what is stiff, a quarter ring for the bend.
//!
//! A quarter ring is faceted into [`FACETS`] pieces that hold the true one; the outermost corner reaches
//! 0.9 % of the outer radius beyond it.

use super::{Bend, Turn};
use crate::access::Solid;
use crate::access::sweep::{prism, strip};
use crate::shape::{along, direction};
use loomdeck_model::Point;
use loomdeck_model::part_type::Exit;
use loomdeck_model::units::Degrees;

/// Pieces of a quarter ring.
pub const FACETS: u32 = 6;

/// Every way to bend with its space, the plainest first.
pub fn turns(bend: &Bend) -> impl Iterator<Item = (Turn, Vec<Solid>)> + '_ {
    let choices: Vec<Turn> = match bend.exit {
        Exit::Along(d) => {
            let aside = [90.0, -90.0].map(|a| Turn::To(Degrees((d.0 + a).rem_euclid(360.0))));
            let mut all = vec![Turn::On];
            all.extend(aside);
            // Down to the face and away over it are two bends, one above the other.
            if bend.height.0 - bend.diameter.0 / 2.0 >= 2.0 * bend.radius.0 + bend.diameter.0 {
                all.push(Turn::Down);
            }
            all
        }
        // Off the face it goes on straight only until it meets the body.
        Exit::Up => (0..8).map(|k| Turn::To(Degrees(45.0 * f64::from(k)))).collect(),
    };
    choices.into_iter().map(|turn| (turn, solids(bend, turn)))
}

/// The space of one way to bend.
fn solids(bend: &Bend, turn: Turn) -> Vec<Solid> {
    let mut out = vec![stiff(bend)];
    match (bend.exit, turn) {
        (Exit::Along(d), Turn::On) => out.push(ahead(bend, direction(d.0))),
        (Exit::Along(d), Turn::To(to)) => aside(bend, direction(d.0), direction(to.0), &mut out),
        (Exit::Along(d), Turn::Down) => upright(bend, direction(d.0), &mut out),
        (Exit::Up, Turn::To(to)) => over(bend, direction(to.0), &mut out),
        (Exit::Up, _) => {}
    }
    out
}

/// The stiff end and the straight behind it.
fn stiff(bend: &Bend) -> Solid {
    let (wide, long, z) = (bend.end_width.0, bend.stiff().0, bend.height.0);
    match bend.exit {
        Exit::Along(d) => {
            let low = (z - wide / 2.0).max(0.0);
            prism(strip(bend.at, direction(d.0), 0.0, long, wide), low, z + wide / 2.0)
        }
        Exit::Up => {
            let x = Point::new(1.0, 0.0);
            prism(strip(bend.at, x, -wide / 2.0, wide / 2.0, wide), z, z + long)
        }
    }
}

fn ahead(bend: &Bend, way: Point) -> Solid {
    let d = bend.diameter.0;
    let corners = strip(bend.at, way, bend.stiff().0, bend.need().0, d);
    prism(corners, (bend.height.0 - d / 2.0).max(0.0), bend.height.0 + d / 2.0)
}

/// Angles of the facets of a quarter turn, radians.
fn facets() -> impl Iterator<Item = (f64, f64)> {
    let step = std::f64::consts::FRAC_PI_2 / f64::from(FACETS);
    (0..FACETS).map(move |k| (step * f64::from(k), step * f64::from(k + 1)))
}

/// A quarter ring lying over the face.
fn aside(bend: &Bend, way: Point, to: Point, out: &mut Vec<Solid>) {
    let (inner, d, z) = (bend.radius.0, bend.diameter.0, bend.height.0);
    let half = std::f64::consts::FRAC_PI_4 / f64::from(FACETS);
    let outer = (inner + d) / half.cos();
    let start = along(bend.at, way, bend.stiff().0);
    // Centre of the bend: to the side, by radius and half a diameter.
    let centre = along(start, to, inner + d / 2.0);
    let on = |a: f64, r: f64| {
        let (s, c) = a.sin_cos();
        along(along(centre, way, r * s), to, -r * c)
    };
    let left = crate::shape::cross(way, to) > 0.0;
    for (a, b) in facets() {
        let mid = (a + b) / 2.0;
        let mut corners =
            vec![on(a, inner), on(a, inner + d), on(mid, outer), on(b, inner + d), on(b, inner)];
        if !left {
            corners.reverse();
        }
        out.push(prism(corners, (z - d / 2.0).max(0.0), z + d / 2.0));
    }
}

/// A quarter ring standing on its terminal, from the exit down to the face.
fn upright(bend: &Bend, way: Point, out: &mut Vec<Solid>) {
    let (inner, d, z) = (bend.radius.0, bend.diameter.0, bend.height.0);
    let (start, centre) = (bend.stiff().0, z - inner - d / 2.0);
    for (a, b) in facets() {
        let from = start + inner * a.sin();
        let to = start + (inner + d) * b.sin();
        let low = centre + inner * b.cos();
        let high = centre + (inner + d) * a.cos();
        out.push(prism(strip(bend.at, way, from, to, d), low.max(0.0), high));
    }
}

/// A quarter ring from straight off the face to a direction over it.
fn over(bend: &Bend, to: Point, out: &mut Vec<Solid>) {
    let (inner, d) = (bend.radius.0, bend.diameter.0);
    let start = bend.height.0 + bend.stiff().0;
    let centre = inner + d / 2.0;
    for (a, b) in facets() {
        let from = centre - (inner + d) * a.cos();
        let end = centre - inner * b.cos();
        let low = start + inner * a.sin();
        let high = start + (inner + d) * b.sin();
        out.push(prism(strip(bend.at, to, from, end, d), low, high));
    }
}
