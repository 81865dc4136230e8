//! Mass and centre of mass of the loaded board.

use super::Spot;
use super::material::sheet;
use crate::faces::{self, thread_of};
use crate::geometry::{FaceView, Leg, Owner, WireRun};
use crate::{hardware, held};
use loomdeck_model::part_type::{Fixing, PartType};
use loomdeck_model::units::{Kilograms, Millimetres};
use loomdeck_model::wire::{COPPER_DENSITY, Insulation};
use loomdeck_model::{Board, Face, Outline, Place, Placement, PlugPlace, Point, Robot, Subject};
use serde::Serialize;

/// What the loaded board weighs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoardMass {
    /// All together.
    pub total: Kilograms,
    /// Centre of mass.
    pub centre: Spot,
    /// What it is made of: the sheet, what stands on it in the robot's order, wires, hardware.
    pub shares: Vec<MassShare>,
    /// Parts and plugs on it whose type states no mass: the board is heavier than `total`.
    pub not_stated: Vec<Owner>,
}

/// One share of the mass.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MassShare {
    /// Of what.
    pub of: MassOf,
    /// How much.
    pub mass: Kilograms,
    /// Its centre.
    pub centre: Spot,
}

/// Whose mass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MassOf {
    /// The sheet, by its published density, less its holes and openings.
    Sheet,
    /// A part or a fixed plug, as its type states, in the middle of its height and footprint.
    Owner(Owner),
    /// Wires on the board, estimated from copper and insulation.
    Wires,
    /// Screws, nuts and washers, estimated as plain cylinders of steel.
    Hardware,
}

/// Density of steel, kg/mm³ (from memory; handbooks give 7.85 g/cm³).
const STEEL: f64 = 7.85e-6;

/// Adds up masses.
#[derive(Default)]
struct Sum {
    mass: f64,
    moment: Spot,
}

impl Sum {
    fn add(&mut self, mass: f64, at: Spot) {
        self.mass += mass;
        self.moment.x += mass * at.x;
        self.moment.y += mass * at.y;
        self.moment.z += mass * at.z;
    }
    fn centre(&self) -> Spot {
        if self.mass.abs() < 1e-12 {
            return Spot::default();
        }
        let m = self.mass;
        Spot { x: self.moment.x / m, y: self.moment.y / m, z: self.moment.z / m }
    }
    fn share(&self, of: MassOf) -> MassShare {
        MassShare { of, mass: Kilograms(self.mass), centre: self.centre() }
    }
}

/// Mass of the loaded board: what is fixed to it, plugs with both halves.
pub fn mass(robot: &Robot, board: &Board, faces: &[FaceView], wires: &[WireRun]) -> BoardMass {
    let mut shares = vec![sheet_share(robot, board)];
    let mut not_stated = Vec::new();
    let bodies = faces.iter().flat_map(|v| v.bodies.iter().map(move |b| (v.face, b)));
    for (face, body) in bodies {
        let kind = match body.owner {
            Owner::Part(p) => robot.type_of(p),
            Owner::Plug(p) => &robot.types[robot.plugs[p.0].family.0],
        };
        if kind.mass.0 <= 0.0 {
            not_stated.push(body.owner);
            continue;
        }
        let middle = centroid(&body.outline);
        let z = height(face, (body.base.0 + body.top.0) / 2.0, board);
        let centre = Spot { x: middle.x, y: middle.y, z };
        shares.push(MassShare { of: MassOf::Owner(body.owner), mass: kind.mass, centre });
    }
    shares.extend(
        [wire_share(robot, board, wires), hardware_share(robot, board)]
            .into_iter()
            .filter(|s| s.mass.0 > 0.0),
    );
    let mut all = Sum::default();
    shares.iter().for_each(|s| all.add(s.mass.0, s.centre));
    BoardMass { total: Kilograms(all.mass), centre: all.centre(), shares, not_stated }
}

/// The z of something this far off a face.
pub fn height(face: Face, off: f64, board: &Board) -> f64 {
    match face {
        Face::Front => off,
        Face::Back => -board.thickness.0 - off,
    }
}

/// Centroid of an outline.
pub fn centroid(outline: &Outline) -> Point {
    let p = &outline.0;
    // About the first corner, so that a far origin costs no digits.
    let o = p.first().copied().unwrap_or_default();
    let (mut area, mut sx, mut sy) = (0.0, 0.0, 0.0);
    for i in 0..p.len() {
        let (a, b) = (p[i], p[(i + 1) % p.len()]);
        let (ax, ay, bx, by) = (a.x - o.x, a.y - o.y, b.x - o.x, b.y - o.y);
        let c = ax * by - bx * ay;
        area += c;
        sx += c * (ax + bx);
        sy += c * (ay + by);
    }
    if area.abs() < 1e-12 {
        return o;
    }
    Point::new(o.x + sx / (3.0 * area), o.y + sy / (3.0 * area))
}

/// Area and centre of the sheet, less holes and openings (each counted by itself, as drawn), mm².
pub fn sheet_area(robot: &Robot, board: &Board) -> (f64, Point) {
    let area = board.outline.signed_area().abs();
    let middle = centroid(&board.outline);
    let mut sum = (area, area * middle.x, area * middle.y);
    let mut take = |a: f64, at: Point| {
        sum.0 -= a;
        sum.1 -= a * at.x;
        sum.2 -= a * at.y;
    };
    for h in faces::holes(robot) {
        if !matches!(h.subject, Subject::Pass(_)) {
            let d = h.diameter.0;
            let round = std::f64::consts::PI / 4.0 * d * d;
            let at = Point::new((h.from.x + h.to.x) / 2.0, (h.from.y + h.to.y) / 2.0);
            take(round + h.from.distance(h.to) * d, at);
        }
    }
    for pass in &board.passes {
        take(faces::opening(pass.shape).0, pass.at);
    }
    // Openings larger than the sheet are a finding of their own; the mass stays positive.
    if sum.0 <= 0.0 { (0.0, middle) } else { (sum.0, Point::new(sum.1 / sum.0, sum.2 / sum.0)) }
}

fn sheet_share(robot: &Robot, board: &Board) -> MassShare {
    let (area, at) = sheet_area(robot, board);
    let mass = area * board.thickness.0 * 1e-9 * sheet(board.material).density;
    let centre = Spot { x: at.x, y: at.y, z: -board.thickness.0 / 2.0 };
    MassShare { of: MassOf::Sheet, mass: Kilograms(mass), centre }
}

/// Density of insulation, kg/m³ (from memory; compounds differ by a tenth).
const fn insulation_density(insulation: Insulation) -> f64 {
    match insulation {
        Insulation::Pvc70 | Insulation::Pvc105 => 1400.0,
        Insulation::Silicone => 1200.0,
        Insulation::Xlpe => 930.0,
        Insulation::Ptfe => 2170.0,
    }
}

fn wire_share(robot: &Robot, board: &Board, wires: &[WireRun]) -> MassShare {
    let mut sum = Sum::default();
    for run in wires {
        let w = &robot.wires[run.wire.0];
        let copper = w.gauge.area().0;
        let (outer, inner) = (w.insulation.outside_diameter(w.gauge).0, w.gauge.conductor_diameter().0);
        let jacket = std::f64::consts::PI / 4.0 * (outer * outer - inner * inner);
        // kg per mm.
        let each = (copper * COPPER_DENSITY + jacket * insulation_density(w.insulation)) * 1e-9;
        for leg in &run.legs {
            match leg {
                Leg::Along { face, points, .. } => {
                    for pair in points.windows(2) {
                        let (a, b) = (pair[0], pair[1]);
                        let z = height(*face, outer / 2.0, board);
                        let at = Spot { x: (a.x + b.x) / 2.0, y: (a.y + b.y) / 2.0, z };
                        sum.add(each * a.distance(b), at);
                    }
                }
                Leg::Rise { face, at, height: up } => {
                    let z = height(*face, up.0 / 2.0, board);
                    sum.add(each * up.0.abs(), Spot { x: at.x, y: at.y, z });
                }
                Leg::Through { at, depth, .. } => {
                    let z = -board.thickness.0 / 2.0;
                    sum.add(each * depth.0, Spot { x: at.x, y: at.y, z });
                }
                // What hangs off the board is held by the body.
                Leg::Tail { .. } | Leg::Body { .. } => {}
            }
        }
    }
    sum.share(MassOf::Wires)
}

/// Everything screwed to the board: its fixing, where it is, its type.
fn fixed(robot: &Robot) -> impl Iterator<Item = (&Fixing, Placement, &PartType)> {
    let parts = robot.parts.iter().filter_map(|p| match p.place {
        Place::Board(at) => Some((&p.fixing, at, &robot.types[p.kind.0])),
        Place::Zone { .. } => None,
    });
    let plugs = robot.plugs.iter().filter_map(|p| match p.place {
        PlugPlace::Fixed(at) => Some((&p.fixing, at, &robot.types[p.family.0])),
        PlugPlace::Tail { .. } => None,
    });
    parts.chain(plugs)
}

fn hardware_share(robot: &Robot, board: &Board) -> MassShare {
    let mut sum = Sum::default();
    for (fixing, place, kind) in fixed(robot) {
        let off = (fixing.standoff.0 + fixing.flange.0 - board.thickness.0) / 2.0;
        let z = height(place.face, off, board);
        for hole in &kind.holes {
            let at = place.to_board(hole.at);
            if let Some(mass) = screws_at(fixing, place.face, hole.diameter, board) {
                sum.add(mass, Spot { x: at.x, y: at.y, z });
            }
        }
    }
    sum.share(MassOf::Hardware)
}

/// Screws, nut and washer at one hole as plain cylinders, kg.
fn screws_at(fixing: &Fixing, face: Face, hole: Millimetres, board: &Board) -> Option<f64> {
    let thread = thread_of(fixing, hole);
    let screws = held::screws(fixing, thread, face, board.thickness);
    let first = screws.first()?;
    let disc = |d: f64, h: f64| std::f64::consts::PI / 4.0 * d * d * h;
    let head = hardware::head(thread, held::head_of(fixing));
    let shank: f64 = screws.iter().map(|s| disc(thread.major().0, s.length.0)).sum();
    let heads = disc(head.diameter.0, head.height.0) * screws.len() as f64;
    let nut = hardware::nut(thread);
    let washer = hardware::washer(thread);
    let nutted = first.length > first.grip && fixing.style.goes_through() && screws.len() == 1;
    let nut = if nutted {
        disc(nut.across_flats.0, nut.height.0) - disc(thread.major().0, nut.height.0)
            + disc(washer.outside.0, washer.thickness.0)
            - disc(washer.inside.0, washer.thickness.0)
    } else {
        0.0
    };
    Some((shank + heads + nut.max(0.0)) * STEEL)
}
