//! How close two parts may stand that send wires towards each other.

use super::Bend;
use crate::geometry::{Body, FaceView, Owner};
use crate::shape::{self, cross, direction, dot, minus};
use loomdeck_model::part_type::Exit;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Outline, Point};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use serde::Serialize;
use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;
use std::sync::LazyLock;

/// How two wires that meet head on share the room between their parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lane {
    /// They do not meet: the terminals are not opposite each other, or not at the same height.
    Apart,
    /// They meet and share one lane: each turns away to its own right, and they leave one after the
    /// other.
    Shared,
    /// They meet, and each keeps its bend to itself.
    Own,
}

/// Least distance between the terminals of two parts that face each other, for these wires and plugs.
///
/// Each wire needs the room of its own bend before the other part. Where they meet head on, the stiff ends
/// must also clear each other: with a lane of their own by both bends; sharing one, by as much as the two
/// bends, turning apart, need to keep one thickness between their middle lines.
pub fn least_distance(a: &Bend, b: &Bend, lane: Lane) -> Millimetres {
    let alone = a.need().max(b.need());
    match lane {
        Lane::Apart => alone,
        Lane::Own => a.need() + b.need(),
        Lane::Shared => alone.max(a.stiff() + b.stiff() + shared(a, b)),
    }
}

/// Sines and cosines of a quarter turn, by degrees.
static QUARTER: LazyLock<Vec<(f64, f64)>> =
    LazyLock::new(|| (0..=90).map(|k| (f64::from(k) * FRAC_PI_2 / 90.0).sin_cos()).collect());

/// Room between two stiff ends, head on, so that wires which bend to opposite sides do not touch.
fn shared(a: &Bend, b: &Bend) -> Millimetres {
    let clear = (a.diameter.0 + b.diameter.0) / 2.0;
    let (ra, rb) = (a.radius.0 + a.diameter.0 / 2.0, b.radius.0 + b.diameter.0 / 2.0);
    let mut gap = clear;
    for (sa, ca) in &*QUARTER {
        for (sb, cb) in &*QUARTER {
            // Across, they are apart by the sum of what both have turned away.
            let across = ra * (1.0 - ca) + rb * (1.0 - cb);
            if across >= clear {
                break;
            }
            let along = (clear * clear - across * across).sqrt();
            gap = gap.max(ra * sa + rb * sb + along);
        }
    }
    Millimetres(gap)
}

/// Two parts that face each other with wires between them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Facing {
    /// Index into the bends.
    pub one: usize,
    /// Index into the bends; `None`: the other part has no wire on this side.
    pub other: Option<usize>,
    /// Whose wire it is.
    pub owner: Owner,
    /// The part it faces.
    pub to: Owner,
    /// Distance from the terminal to the other part, or to its terminal where that is what counts.
    pub distance: Millimetres,
    /// Least distance.
    pub least: Millimetres,
    /// The same with every boot trimmed that can be.
    pub trimmed: Millimetres,
    /// How the wires share the room.
    pub lane: Lane,
}

/// Furthest that parts are taken to face each other, in the need of the wire.
const NEAR: f64 = 2.0;

/// Every wire end that leaves along the face towards another part within twice its need, with the least
/// distance to it: in the order of the bends.
pub fn facing(views: &[FaceView], bends: &[Bend]) -> Vec<Facing> {
    let boxes: Vec<RTree<Box2>> = views.iter().map(boxes).collect();
    let by_owner = by_owner(bends);
    let mut out = Vec::new();
    for (i, bend) in bends.iter().enumerate() {
        let Exit::Along(angle) = bend.exit else { continue };
        let way = direction(angle.0);
        let Some(f) = views.iter().position(|v| v.face == bend.face) else { continue };
        let (z, half) = (bend.height.0, bend.diameter.0 / 2.0);
        let reach = NEAR * bend.need().0;
        let mut near: Vec<usize> = boxes[f]
            .locate_in_envelope_intersecting(strip(bend.at, way, half, reach))
            .map(|b| b.data)
            .collect();
        near.sort_unstable();
        let nearest = near
            .into_iter()
            .map(|k| &views[f].bodies[k])
            .filter(|b| b.owner != bend.owner && b.base.0 < z + half && b.top.0 > z - half)
            .filter_map(|b| Some((first_ahead(&b.outline, bend.at, way, half, reach)?, b.owner)))
            .reduce(|a, b| if b.0 < a.0 { b } else { a });
        let Some((free, to)) = nearest else { continue };
        let there = by_owner.get(&to).map_or(&[][..], Vec::as_slice);
        out.push(pair(bends, there, i, to, free));
    }
    out
}

type Box2 = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// The bodies of a face, to be found by place.
fn boxes(view: &FaceView) -> RTree<Box2> {
    let boxed = |(i, body): (usize, &Body)| {
        let (low, high) = body.outline.bounds();
        GeomWithData::new(Rectangle::from_corners([low.x, low.y], [high.x, high.y]), i)
    };
    RTree::bulk_load(view.bodies.iter().enumerate().map(boxed).collect())
}

/// The box around the strip of a wire, a trace larger for rounding.
fn strip(at: Point, way: Point, half: f64, reach: f64) -> AABB<[f64; 2]> {
    let far = shape::along(at, way, reach);
    let more = half + 2.0 * shape::TOUCH;
    let low = [at.x.min(far.x) - more, at.y.min(far.y) - more];
    let high = [at.x.max(far.x) + more, at.y.max(far.y) + more];
    AABB::from_corners(low, high)
}

/// The bends of each thing, in their order.
fn by_owner(bends: &[Bend]) -> BTreeMap<Owner, Vec<usize>> {
    let mut out: BTreeMap<Owner, Vec<usize>> = BTreeMap::new();
    for (i, b) in bends.iter().enumerate() {
        out.entry(b.owner).or_default().push(i);
    }
    out
}

/// How far along a way the strip of a wire first meets an outline.
fn first_ahead(outline: &Outline, at: Point, way: Point, half: f64, reach: f64) -> Option<f64> {
    let n = outline.0.len();
    let local = |p: Point| Point::new(dot(minus(p, at), way), cross(way, minus(p, at)));
    let mut least = f64::INFINITY;
    for i in 0..n {
        let (a, b) = (local(outline.0[i]), local(outline.0[(i + 1) % n]));
        // The stretch of the edge within the strip.
        let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
        if low.y > half || high.y < -half {
            continue;
        }
        let x_at = |y: f64| {
            if high.y - low.y < shape::TOUCH {
                low.x.min(high.x)
            } else {
                low.x + (high.x - low.x) * (y - low.y) / (high.y - low.y)
            }
        };
        least = least.min(x_at(low.y.max(-half))).min(x_at(high.y.min(half)));
    }
    (least > -shape::TOUCH && least < reach).then_some(least.max(0.0))
}

fn pair(bends: &[Bend], there: &[usize], one: usize, to: Owner, free: f64) -> Facing {
    let a = &bends[one];
    let opposite = |b: &Bend| b.face == a.face && head_on(a, b);
    let other = there.iter().copied().find(|j| opposite(&bends[*j]));
    let (lane, distance) = match other {
        Some(j) => (Lane::Shared, between(a, &bends[j])),
        None => (Lane::Apart, free),
    };
    let least = |a: &Bend, b: Option<&Bend>| match b {
        Some(b) => least_distance(a, b, lane),
        None => a.need(),
    };
    let short = |b: &Bend| Bend {
        boot: b.boot - b.trim_saves.unwrap_or(Millimetres::ZERO),
        ways: Vec::new(),
        ..b.clone()
    };
    let trimmed_other = other.map(|j| short(&bends[j]));
    Facing {
        one,
        other,
        owner: a.owner,
        to,
        distance: Millimetres(distance),
        least: least(a, other.map(|j| &bends[j])),
        trimmed: least(&short(a), trimmed_other.as_ref()),
        lane,
    }
}

/// Distance of two terminals along the first's exit.
fn between(a: &Bend, b: &Bend) -> f64 {
    let Exit::Along(angle) = a.exit else { return a.at.distance(b.at) };
    dot(minus(b.at, a.at), direction(angle.0))
}

/// Two ends point at each other and their wires meet, across and in height.
fn head_on(a: &Bend, b: &Bend) -> bool {
    let (Exit::Along(p), Exit::Along(q)) = (a.exit, b.exit) else { return false };
    let (way, back) = (direction(p.0), direction(q.0));
    let room = (a.end_width.0 + b.end_width.0) / 2.0;
    let across = cross(way, minus(b.at, a.at)).abs();
    dot(way, back) < -0.9
        && dot(way, minus(b.at, a.at)) > 0.0
        && across < room
        && (a.height - b.height).abs().0 < room
}
