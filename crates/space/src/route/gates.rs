//! Where a wire comes free of its own part: a point beside it, reached straight out of the terminal.

use super::scene::Scene;
use super::search::{Gate, Net};
use crate::shape::{TOUCH, along, nearest_on_segment};
use loomdeck_model::Point;

/// Where a wire begins on a face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Face: 0 front, 1 back.
    pub face: usize,
    /// The terminal.
    pub at: Point,
    /// Which way it leaves; `None`: straight off the face.
    pub exit: Option<Point>,
    /// Straight stiff length in front of it.
    pub boot: f64,
    /// Its own part among the face's obstacles.
    pub own: Option<usize>,
}

/// What keeps a wire from coming out: an obstacle, or `None` for the board's edge.
pub type Stuck = Option<usize>;

/// Gates of a terminal. Out along its exit if that is free, else up and over the part to any side.
///
/// # Errors
/// What stands in the way when no side is free.
pub fn gates(net: &Net, spot: &Spot) -> Result<Vec<Gate>, Stuck> {
    let scene = &net.scenes[spot.face];
    if let Some(gate) = spot.exit.and_then(|d| straight_out(scene, spot, d)) {
        return Ok(vec![gate]);
    }
    let over = over_the_part(scene, spot);
    if over.is_empty() { Err(what_holds(scene, spot)) } else { Ok(over) }
}

fn gate(scene: &Scene, spot: &Spot, at: Point) -> Gate {
    let seen = scene.seen_from(at, 0);
    Gate { face: spot.face, at, stub: vec![spot.at, at], cost: spot.at.distance(at), seen }
}

fn free(scene: &Scene, spot: &Spot, at: Point) -> bool {
    scene.holder(at, None).is_none() && scene.clear(spot.at, at, spot.own)
}

/// Past the boot if there is room, else just clear of the part.
fn straight_out(scene: &Scene, spot: &Spot, d: Point) -> Option<Gate> {
    let clear = leaves_own(scene, spot, d);
    [clear.max(spot.boot), clear]
        .into_iter()
        .map(|t| along(spot.at, d, t))
        .find(|p| free(scene, spot, *p))
        .map(|p| gate(scene, spot, p))
}

/// How far along a direction the wire is clear of its own part.
fn leaves_own(scene: &Scene, spot: &Spot, d: Point) -> f64 {
    let Some(own) = spot.own else { return 0.0 };
    let far = along(spot.at, d, 1e5);
    let mut spans: Vec<(f64, f64)> = scene
        .pieces_of(own)
        .filter_map(|p| p.clip(spot.at, far))
        .map(|(a, b)| (a * 1e5, b * 1e5))
        .collect();
    spans.sort_by(|x, y| x.0.total_cmp(&y.0));
    let mut t = 0.0f64;
    for (a, b) in spans {
        if a > t + 2.0 * TOUCH {
            break;
        }
        // `clip` stops just inside; the gate must lie on the outside.
        t = t.max(b + 2.0 * TOUCH);
    }
    t
}

fn over_the_part(scene: &Scene, spot: &Spot) -> Vec<Gate> {
    let Some(own) = spot.own else {
        return if free(scene, spot, spot.at) { vec![gate(scene, spot, spot.at)] } else { Vec::new() };
    };
    let mut places: Vec<Point> = Vec::new();
    for piece in scene.pieces_of(own) {
        let n = piece.corners.len();
        for i in 0..n {
            let p = nearest_on_segment(spot.at, piece.corners[i], piece.corners[(i + 1) % n]);
            let p = along(p, piece.halves[i].n, 2.0 * TOUCH);
            if places.iter().all(|q| q.distance(p) > 1e-3) && free(scene, spot, p) {
                places.push(p);
            }
        }
    }
    places.into_iter().map(|p| gate(scene, spot, p)).collect()
}

/// The obstacle in front of the terminal.
fn what_holds(scene: &Scene, spot: &Spot) -> Stuck {
    let d = spot.exit.unwrap_or(Point::new(1.0, 0.0));
    let p = along(spot.at, d, leaves_own(scene, spot, d).max(0.0));
    match scene.holder(p, spot.own) {
        Some(by) => by,
        None => scene.first_hit(spot.at, along(p, d, 1.0), spot.own).map(|(o, _)| o),
    }
}

/// The gate of a point on the board's edge: drawn in by the clearance.
///
/// # Errors
/// What covers that stretch of the edge.
pub fn edge_gate(net: &Net, face: usize, at: Point, extra: f64) -> Result<Gate, Stuck> {
    let scene = &net.scenes[face];
    let p = scene.drawn_in(at);
    match scene.holder(p, None) {
        Some(by) => Err(by),
        None => Ok(Gate {
            face,
            at: p,
            stub: vec![at, p],
            cost: at.distance(p) + extra,
            seen: scene.seen_from(p, 0),
        }),
    }
}

/// The gate of an opening on one face.
pub fn opening_gate(net: &Net, opening: usize, face: usize) -> Option<Gate> {
    let at = net.openings[opening].at;
    let seen = net.seen_from_opening(opening, face)?.clone();
    Some(Gate { face, at, stub: vec![at], cost: 0.0, seen })
}

/// The gate of a corner that the builder wants.
pub fn corner_gate(net: &Net, face: usize, at: Point) -> Gate {
    let seen = net.scenes[face].seen_from(at, 0);
    Gate { face, at, stub: vec![at], cost: 0.0, seen }
}

/// Length of a polyline.
pub fn length(points: &[Point]) -> f64 {
    points.windows(2).map(|p| p[0].distance(p[1])).sum()
}
