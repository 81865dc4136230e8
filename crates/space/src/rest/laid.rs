//! The points the loaded board stands on when it is laid down with a face down.
//!
//! Everything that stands off the face is taken as hard: tops of parts and mated plugs, heads and nuts,
//! corners of the sheet. A table touches the hull of these points where the line of gravity through the
//! centre of mass leaves it; the board rolls from facet to facet until that line stays within one.

use super::facet::{Tip, facet_under, fan_three, shares};
use super::{BoardMass, Spot, mass::height};
use crate::faces::subject;
use crate::geometry::{FaceView, FastenerKind, Owner};
use crate::shape::{cross, hull, minus, nearest_on_segment};
use loomdeck_model::part_type::{Exit, FixingStyle};
use loomdeck_model::units::{Degrees, Kilograms, Millimetres};
use loomdeck_model::{Board, Face, Point, Robot, Subject};
use serde::Serialize;

/// The board laid down.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Laid {
    /// The face that is down.
    pub down: Face,
    /// Three points it stands on, with the centre of mass between them.
    pub feet: [Foot; 3],
    /// Corners of everything that touches, as a convex outline in the board's frame.
    pub support: Vec<Point>,
    /// From where the centre of mass weighs to the nearest line it may tip over.
    pub margin: Millimetres,
    /// How far it may be tilted before it tips over that line.
    pub tip: Degrees,
    /// How far the sheet leans from level.
    pub lean: Degrees,
    /// Height of the centre of mass above the table.
    pub centre_height: Millimetres,
    /// What carries it, heaviest load first.
    pub carriers: Vec<Carrier>,
}

/// A point it stands on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Foot {
    /// Where.
    pub at: Spot,
    /// What stands there.
    pub on: Subject,
    /// Which piece of it.
    pub stand: Stand,
    /// Its share of the load.
    pub load: Kilograms,
}

/// Which piece of a thing a point belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stand {
    /// The top of a part or a mated plug.
    Top,
    /// A screw's head or end, or a nut.
    Head,
    /// A corner of the sheet.
    Sheet,
    /// A foot put on for trial.
    Foot,
}

/// What carries the board.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Carrier {
    /// The part, plug or mount; the board for its own sheet.
    pub on: Subject,
    /// Which piece of it.
    pub stand: Stand,
    /// How much of the mass rests on it.
    pub load: Kilograms,
    /// Why it should not be stood on, if so.
    pub delicate: Option<&'static str>,
}

/// Touching within this is touching, mm: screws and prints differ by more.
const LEVEL: f64 = 0.05;

/// Both ways of laying it down. `extra` feet (place, height) are put on the face that is down; with them
/// a remedy is tried.
pub fn laid(
    robot: &Robot,
    board: &Board,
    faces: &[FaceView],
    mass: &BoardMass,
    extra: &[(Point, f64)],
) -> Vec<Laid> {
    faces.iter().filter_map(|view| one(robot, board, view, mass, extra)).collect()
}

fn one(
    robot: &Robot,
    board: &Board,
    view: &FaceView,
    mass: &BoardMass,
    extra: &[(Point, f64)],
) -> Option<Laid> {
    let (tips, whose, owners) = tips(robot, board, view, extra);
    let c = mass.centre;
    // Along the direction that points at the table.
    let towards = |z: f64| match view.face {
        Face::Front => z,
        Face::Back => -board.thickness.0 - z,
    };
    let rest = settle(&tips, [c.x, c.y, towards(c.z)])?;
    let feet = rest.three.map(|(i, share)| {
        let t = tips[i];
        let (on, stand) = owners[whose[i]].clone();
        let at = Spot { x: t.x, y: t.y, z: height(view.face, t.h, board) };
        Foot { at, on, stand, load: mass.total * share }
    });
    Some(Laid {
        down: view.face,
        carriers: carriers(robot, view, &feet),
        feet,
        support: hull(
            &rest.touching.iter().map(|i| Point::new(tips[*i].x, tips[*i].y)).collect::<Vec<_>>(),
        ),
        margin: Millimetres(rest.margin),
        tip: Degrees(rest.margin.atan2(rest.centre_height).to_degrees()),
        lean: Degrees(rest.normal[2].clamp(-1.0, 1.0).acos().to_degrees()),
        centre_height: Millimetres(rest.centre_height),
    })
}

/// Corners of everything that stands off a face, and whose each is.
fn tips(
    robot: &Robot,
    board: &Board,
    view: &FaceView,
    extra: &[(Point, f64)],
) -> (Vec<Tip>, Vec<usize>, Vec<(Subject, Stand)>) {
    let (mut tips, mut whose) = (Vec::new(), Vec::new());
    let mut owners = Vec::new();
    let mut add = |points: &[Point], h: f64, on: Subject, stand: Stand| {
        whose.extend(std::iter::repeat_n(owners.len(), points.len()));
        tips.extend(points.iter().map(|p| Tip { x: p.x, y: p.y, h }));
        owners.push((on, stand));
    };
    add(&hull(&board.outline.0), 0.0, Subject::Board, Stand::Sheet);
    for body in &view.bodies {
        add(&hull(&body.outline.0), body.top.0, subject(robot, body.owner), Stand::Top);
    }
    // The bolts of the mounts are out when the board lies on a table.
    for f in view.fasteners.iter().filter(|f| f.kind != FastenerKind::Mount && f.height.0 > 0.0) {
        let r = f.diameter.0 / 2.0;
        let corners: Vec<Point> = (0..8)
            .map(|k| crate::shape::along(f.at, crate::shape::direction(45.0 * f64::from(k)), r))
            .collect();
        add(&corners, f.height.0, f.subject.clone(), Stand::Head);
    }
    for (at, h) in extra {
        add(&[*at], *h, Subject::Board, Stand::Foot);
    }
    (tips, whose, owners)
}

/// Where a body comes to rest.
struct Settled {
    touching: Vec<usize>,
    three: [(usize, f64); 3],
    margin: f64,
    centre_height: f64,
    normal: [f64; 3],
}

type Vec3 = [f64; 3];

fn dot3(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
fn cross3(a: Vec3, b: Vec3) -> Vec3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}
fn sub3(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}
fn unit3(a: Vec3) -> Option<Vec3> {
    let n = dot3(a, a).sqrt();
    (n > 1e-12).then(|| [a[0] / n, a[1] / n, a[2] / n])
}

/// Rolls from facet to facet, from the one under the centre of mass on. Each roll lowers the centre, so
/// it ends; `None` when the points have no extent or the centre lies outside their hull altogether.
fn settle(tips: &[Tip], centre: Vec3) -> Option<Settled> {
    let points: Vec<Vec3> = tips.iter().map(|t| [t.x, t.y, t.h]).collect();
    let mut normal = [0.0, 0.0, 1.0];
    for _ in 0..64 {
        let (u, v) = across(normal)?;
        // Seen along the direction of gravity: place across it, and depth.
        let seen: Vec<Tip> =
            points.iter().map(|p| Tip { x: dot3(*p, u), y: dot3(*p, v), h: dot3(*p, normal) }).collect();
        let at = Point::new(dot3(centre, u), dot3(centre, v));
        let facet = facet_under(&seen, at)?;
        let next = unit3(cross3(
            sub3(points[facet[1]], points[facet[0]]),
            sub3(points[facet[2]], points[facet[0]]),
        ))?;
        let next = if dot3(next, normal) < 0.0 { [-next[0], -next[1], -next[2]] } else { next };
        let turned = dot3(next, normal) < 1.0 - 1e-14;
        normal = next;
        if !turned {
            break;
        }
    }
    stand(&points, centre, normal)
}

/// Two directions across a third, right-handed.
fn across(n: Vec3) -> Option<(Vec3, Vec3)> {
    let helper = if n[0].abs() < 0.9 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
    let v = unit3(cross3(n, helper))?;
    Some((cross3(v, n), v))
}

/// What touches a table square to `normal`, the three of it that hold the centre, and the margin.
fn stand(points: &[Vec3], centre: Vec3, normal: Vec3) -> Option<Settled> {
    let (u, v) = across(normal)?;
    let deepest = points.iter().map(|p| dot3(*p, normal)).fold(f64::NEG_INFINITY, f64::max);
    let touching: Vec<usize> =
        (0..points.len()).filter(|i| dot3(points[*i], normal) > deepest - LEVEL).collect();
    let flat = |i: usize| Point::new(dot3(points[i], u), dot3(points[i], v));
    let polygon = hull(&touching.iter().map(|i| flat(*i)).collect::<Vec<_>>());
    let at = Point::new(dot3(centre, u), dot3(centre, v));
    if polygon.len() < 3 {
        return None;
    }
    let margin = (0..polygon.len())
        .map(|i| {
            let (a, b) = (polygon[i], polygon[(i + 1) % polygon.len()]);
            let inside = cross(minus(b, a), minus(at, a)) >= 0.0;
            let d = at.distance(nearest_on_segment(at, a, b));
            if inside { d } else { -d }
        })
        .fold(f64::INFINITY, f64::min);
    if margin < -1e-6 {
        return None;
    }
    // The hull's corners as indices, the first of equal points.
    let corners: Vec<usize> =
        polygon.iter().filter_map(|p| touching.iter().copied().find(|i| flat(*i) == *p)).collect();
    let three = best_three(&corners, &flat, at)?;
    let centre_height = deepest - dot3(centre, normal);
    Some(Settled { touching, three, margin: margin.max(0.0), centre_height, normal })
}

/// Of all triangles of the corners that hold a point, the one that holds it most evenly, with the share
/// of the load on each corner. Many corners (a round top) are thinned to 24 first.
fn best_three(
    corners: &[usize],
    flat: &impl Fn(usize) -> Point,
    at: Point,
) -> Option<[(usize, f64); 3]> {
    let step = corners.len().div_ceil(24).max(1);
    let thin: Vec<usize> = corners.iter().copied().step_by(step).collect();
    even_three(&thin, flat, at).or_else(|| fan_three(corners, flat, at))
}

fn even_three(
    corners: &[usize],
    flat: &impl Fn(usize) -> Point,
    at: Point,
) -> Option<[(usize, f64); 3]> {
    let mut best: Option<([(usize, f64); 3], f64)> = None;
    for i in 0..corners.len() {
        for j in i + 1..corners.len() {
            for k in j + 1..corners.len() {
                let three = [corners[i], corners[j], corners[k]];
                let Some(share) = shares(three.map(flat), at) else { continue };
                let least = share.iter().copied().fold(f64::INFINITY, f64::min);
                if least >= -1e-9 && best.is_none_or(|(_, b)| least > b + 1e-9) {
                    best = Some(([0, 1, 2].map(|n| (three[n], share[n].max(0.0))), least));
                }
            }
        }
    }
    best.map(|(three, _)| three)
}

/// The feet gathered by what they belong to.
fn carriers(robot: &Robot, view: &FaceView, feet: &[Foot; 3]) -> Vec<Carrier> {
    let mut out: Vec<Carrier> = Vec::new();
    for foot in feet.iter().filter(|f| f.load.0 > 1e-9) {
        match out.iter_mut().find(|c| c.on == foot.on && c.stand == foot.stand) {
            Some(c) => c.load += foot.load,
            None => out.push(Carrier {
                on: foot.on.clone(),
                stand: foot.stand,
                load: foot.load,
                delicate: delicate(robot, view, foot),
            }),
        }
    }
    out.sort_by(|a, b| b.load.0.total_cmp(&a.load.0).then(a.on.cmp(&b.on)));
    out
}

/// Why a thing should not be stood on. Common practice, no source.
fn delicate(robot: &Robot, view: &FaceView, foot: &Foot) -> Option<&'static str> {
    if foot.stand != Stand::Top {
        return None;
    }
    let owner = view.bodies.iter().map(|b| b.owner).find(|o| subject(robot, *o) == foot.on)?;
    let part = match owner {
        Owner::Plug(_) => return Some("a plug's latch and contacts take no side load"),
        Owner::Part(p) => p,
    };
    let kind = robot.type_of(part);
    if kind.group == "covers" {
        return None;
    }
    if kind.terminals.iter().any(|t| matches!(t.exit, Exit::Up)) {
        return Some("wires stand up out of it");
    }
    if kind.reach.iter().any(|r| matches!(r.towards, Exit::Up)) {
        return Some("it has something on top that is worked by hand");
    }
    let fixing = &robot.parts[part.0].fixing;
    if fixing.style == FixingStyle::Standoff && fixing.standoff.0 > 0.0 && fixing.flange.0 <= 2.5 {
        return Some("it is a circuit board, and its own parts are on top");
    }
    None
}
