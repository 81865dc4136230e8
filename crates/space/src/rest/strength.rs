//! How the board is held, and how far its sheet bends between its mounts.

use super::BoardMass;
use super::mass::{MassOf, centroid};
use super::material::{Sheet, sheet};
use super::plate::{Bent, Load, Plate, Prepared};
use crate::geometry::FaceView;
use crate::shape::{contains, cross, minus, nearest_on_edge, pieces};
use loomdeck_model::units::{Kilograms, Millimetres};
use loomdeck_model::{Board, Outline, Point};
use serde::Serialize;
use std::sync::Arc;

/// How the board is held.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Held {
    /// No mounts are stated.
    Nowhere,
    /// Fewer than three mounts, or all on one line: it rocks about that line. How far the centre of
    /// mass is from it.
    LikeAHinge {
        /// Distance of the centre of mass from the line or the point.
        off_line: Millimetres,
    },
    /// Three mounts or more, not on one line.
    Firmly(Strength),
}

/// The sheet under its load, lying flat on its mounts. Standing upright it carries its weight in its own
/// plane and hardly bends; then the figures of one weight are those of a jolt of one weight sideways.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Strength {
    /// What bends it: the whole board.
    pub load: Kilograms,
    /// The deepest point.
    pub at: Point,
    /// Twice the distance from the deepest point to the nearest mount: the free span there.
    pub span: Millimetres,
    /// How deep it sags at once.
    pub sag: Millimetres,
    /// How deep it sags after 1,000 hours.
    pub sag_later: Millimetres,
    /// How many times its weight a bump weighs.
    pub bump: f64,
    /// How deep it bends under the bump.
    pub sag_bump: Millimetres,
    /// Largest stress under the bump, a clear circle away from the mounts, MPa.
    pub stress_mpa: f64,
    /// Stress allowed: half of what the material bears, MPa.
    pub allowed_mpa: f64,
    /// Force on each mount, as mass, in the board's order; negative: it pulls.
    pub mounts: Vec<MountLoad>,
    /// Why the figures are rough, if they are.
    pub rough: Vec<&'static str>,
}

/// What one mount carries.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MountLoad {
    /// Index into the board's mounts.
    pub mount: usize,
    /// How much of the mass rests on it.
    pub load: Kilograms,
}

/// A bump weighs this many times the weight. Common practice, no source: a robot rolled over a kerb.
pub const BUMP: f64 = 3.0;
/// A sheet may sag by its free span over this, for good. Source: EN 1992-1-1, 7.4.1 (from memory), there
/// for floors: what is seen as crooked.
pub const SPAN_OVER: f64 = 250.0;
/// Strength over the stress allowed. Common practice, no source.
const SAFETY: f64 = 2.0;
/// N per kg.
const GRAVITY: f64 = 9.806_65;

impl Strength {
    /// How deep it may sag for good.
    pub fn allowed_sag(&self) -> Millimetres {
        self.span / SPAN_OVER
    }
    /// It sags more than that.
    pub fn sags(&self) -> bool {
        self.sag_later > self.allowed_sag()
    }
    /// It is stressed more than allowed by a bump.
    pub fn weak(&self) -> bool {
        self.stress_mpa > self.allowed_mpa
    }
}

/// How the board is held, with what stands on it; and its sheet on its mounts, which takes long to
/// prepare and is the same whatever stands on it.
pub fn held(
    board: &Board,
    faces: &[FaceView],
    mass: &BoardMass,
    known: Option<&Arc<Prepared>>,
) -> (Held, Option<Arc<Prepared>>) {
    let at: Vec<Point> = board.mounts.iter().map(|m| m.at).collect();
    on_mounts(board, faces, mass, (&at, board.thickness.0), known)
}

/// The same with other mounts or another thickness: with it a remedy is tried.
pub fn with_mounts(
    board: &Board,
    faces: &[FaceView],
    mass: &BoardMass,
    mounts: &[Point],
    thickness: f64,
) -> Held {
    on_mounts(board, faces, mass, (mounts, thickness), None).0
}

fn on_mounts(
    board: &Board,
    faces: &[FaceView],
    mass: &BoardMass,
    (mounts, thickness): (&[Point], f64),
    known: Option<&Arc<Prepared>>,
) -> (Held, Option<Arc<Prepared>>) {
    if mounts.is_empty() {
        return (Held::Nowhere, None);
    }
    let centre = Point::new(mass.centre.x, mass.centre.y);
    if let Some(off) = hinge(mounts, centre) {
        return (Held::LikeAHinge { off_line: Millimetres(off) }, None);
    }
    let figures = sheet(board.material);
    let (loads, pressure, total) = loads(board, faces, mass, thickness);
    let plate = Plate {
        outline: &board.outline,
        stiffness: figures.stiffness(thickness),
        poisson: figures.poisson,
        supports: mounts,
        loads: &loads,
        pressure,
    };
    let known = known.filter(|k| k.is_of(plate.outline, plate.poisson, mounts)).cloned();
    let prepared = known.or_else(|| Prepared::of(plate.outline, plate.poisson, mounts).map(Arc::new));
    let held = match prepared.as_ref().and_then(|p| p.bend(&plate)) {
        Some(bent) => Held::Firmly(strength(board, mounts, thickness, &figures, &bent, total)),
        None => Held::LikeAHinge { off_line: Millimetres::ZERO },
    };
    (held, prepared)
}

/// When all mounts lie within a hundredth of their extent from one line: how far a point is from it.
fn hinge(mounts: &[Point], centre: Point) -> Option<f64> {
    let first = *mounts.first()?;
    let far = mounts.iter().copied().max_by(|a, b| first.distance(*a).total_cmp(&first.distance(*b)))?;
    let long = first.distance(far);
    if long < 1e-6 {
        return Some(first.distance(centre));
    }
    let d = minus(far, first);
    let off = |p: Point| cross(d, minus(p, first)).abs() / long;
    mounts.iter().all(|m| off(*m) <= long / 100.0).then(|| off(centre))
}

/// Forces of one weight, N: parts over their footprint, the sheet, wires and hardware spread evenly.
/// Gives the even load in N/mm² and the whole mass too.
fn loads(board: &Board, faces: &[FaceView], mass: &BoardMass, thickness: f64) -> (Vec<Load>, f64, f64) {
    let bodies: Vec<_> = faces.iter().flat_map(|v| &v.bodies).collect();
    let mut loads = Vec::new();
    let (mut even, mut total) = (0.0, 0.0);
    for share in &mass.shares {
        let kg = match share.of {
            MassOf::Sheet => share.mass.0 * thickness / board.thickness.0,
            _ => share.mass.0,
        };
        total += kg;
        match share.of {
            MassOf::Owner(owner) => {
                let body = bodies.iter().find(|b| b.owner == owner);
                let places = body.map_or_else(Vec::new, |b| spread(&b.outline));
                for (at, part) in places {
                    loads.push(Load { at: on_sheet(board, at), force: kg * GRAVITY * part });
                }
            }
            _ => even += kg,
        }
    }
    let area = board.outline.signed_area().abs().max(1.0);
    (loads, even * GRAVITY / area, total)
}

/// What hangs over the edge weighs on the edge.
fn on_sheet(board: &Board, p: Point) -> Point {
    if contains(&board.outline, p) { p } else { nearest_on_edge(&board.outline, p) }
}

/// A footprint as points with their share of its area: the middles of the sides of the triangles about
/// the middle of each of its pieces, which is exact for polynomials of the second degree.
fn spread(outline: &Outline) -> Vec<(Point, f64)> {
    let mut out = Vec::new();
    for piece in pieces(outline) {
        // Round footprints have very many corners; twelve will do for a load.
        let c = piece.simplified().corners;
        let centre = centroid(&Outline(c.clone()));
        for i in 0..c.len() {
            let t = [centre, c[i], c[(i + 1) % c.len()]];
            let part = cross(minus(t[1], t[0]), minus(t[2], t[0])).abs();
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                out.push((Point::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0), part));
            }
        }
    }
    let sum: f64 = out.iter().map(|o| o.1).sum();
    if sum <= 0.0 {
        return vec![(centroid(outline), 1.0)];
    }
    out.iter_mut().for_each(|o| o.1 /= sum);
    out
}

fn strength(
    board: &Board,
    mounts: &[Point],
    thickness: f64,
    figures: &Sheet,
    bent: &Bent,
    total: f64,
) -> Strength {
    let places: Vec<(Point, f64, f64)> =
        bent.grid(24).places.into_iter().filter(|p| contains(&board.outline, p.0)).collect();
    let nearest = |p: Point| mounts.iter().map(|m| m.distance(p)).fold(f64::INFINITY, f64::min);
    let (at, sag) = places
        .iter()
        .map(|(p, w, _)| (*p, w.abs()))
        .fold((mounts[0], 0.0), |best, next| if next.1 > best.1 { next } else { best });
    // Right at a mount the polynomial cannot follow the stress; there washers spread the force.
    let clear = board.mounts.iter().map(|m| m.clear.0 / 2.0).fold(2.0 * thickness, f64::max);
    let away = places.iter().filter(|(p, ..)| nearest(*p) > clear);
    let moment = away.map(|p| p.2).fold(0.0, f64::max);
    let stress = 6.0 * moment / (thickness * thickness);
    let span = 2.0 * nearest(at);
    Strength {
        load: Kilograms(total),
        at,
        span: Millimetres(span),
        sag: Millimetres(sag),
        sag_later: Millimetres(sag * figures.creep()),
        bump: BUMP,
        sag_bump: Millimetres(sag * BUMP),
        stress_mpa: stress * BUMP,
        allowed_mpa: figures.strength / SAFETY,
        mounts: bent
            .reactions
            .iter()
            .enumerate()
            .map(|(mount, r)| MountLoad { mount, load: Kilograms(r / GRAVITY) })
            .collect(),
        rough: rough(board, thickness, span, sag * BUMP),
    }
}

/// What makes the estimate rough. The bounds of a thin plate (a quarter of the span thick at most, half its
/// thickness deep at most) are those of Roark's Formulas for Stress and Strain, chapter 11.
fn rough(board: &Board, thickness: f64, span: f64, deepest: f64) -> Vec<&'static str> {
    let mut out = Vec::new();
    if span < 4.0 * thickness {
        out.push("the span is short for the thickness: shear counts too");
    }
    if deepest > thickness / 2.0 {
        out.push("it bends by more than half its thickness: the true figure is smaller");
    }
    let holes: f64 = board.passes.iter().map(|p| crate::faces::opening(p.shape).0).sum();
    if holes > 0.1 * board.outline.signed_area().abs() {
        out.push("openings take more than a tenth of the sheet: the true figure is larger");
    }
    out
}
