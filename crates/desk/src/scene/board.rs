//! The sheet, and the parts on it and off it.

use super::{corners, milli, pt, word};
use crate::talk::*;
use loomdeck_model::part_type::Exit;
use loomdeck_model::{
    Outline, PartId, PassShape, Place, Placement, Point, Robot, Subject, units::Degrees,
};
use loomdeck_space::{Body, Owner};
use loomdeck_study::Study;

/// Steps of a quarter circle in the outline of an opening: within 0.5 % of its radius.
const STEPS: usize = 8;

/// The board; `None` without one.
pub fn sheet(study: &Study) -> Option<Sheet> {
    let board = study.robot.board.as_ref()?;
    let holes = &study.geometry.holes;
    let hole_of = |s: &Subject| holes.iter().find(|h| h.subject == *s);
    let passes = board.passes.iter().enumerate().map(|(i, p)| {
        let (length, width, turn) = match p.shape {
            PassShape::Round(d) => (d, d, Degrees(0.0)),
            PassShape::Slot { length, width, turn } | PassShape::Rect { length, width, turn, .. } => {
                (length, width, turn)
            }
        };
        PassOn {
            name: p.name.clone(),
            outline: opening(p.at, p.shape),
            at_mm: pt(p.at),
            fill: study.geometry.fills.get(i).map_or(0.0, |f| milli(f.fill)),
            length_mm: milli(length.0),
            width_mm: milli(width.0),
            turn_deg: milli(turn.0),
            round: matches!(p.shape, PassShape::Round(_)),
        }
    });
    let mounts = board.mounts.iter().map(|m| MountOn {
        name: m.name.clone(),
        at_mm: pt(m.at),
        diameter_mm: hole_of(&Subject::BoardMount(m.name.clone())).map_or(0.0, |h| milli(h.diameter.0)),
        movable: study.robot.places.contains_key(&Subject::BoardMount(m.name.clone())),
    });
    let keep_outs = board.keep_outs.iter().map(|k| KeepOutOn {
        name: k.name.clone(),
        face: match k.face {
            None => Sides::Both,
            Some(loomdeck_model::Face::Front) => Sides::Front,
            Some(loomdeck_model::Face::Back) => Sides::Back,
        },
        outline: corners(&k.outline),
        at_mm: k
            .at
            .filter(|_| study.robot.places.contains_key(&Subject::KeepOut(k.name.clone())))
            .map(pt),
    });
    Some(Sheet {
        outline: corners(&board.outline),
        thickness_mm: milli(board.thickness.0),
        material: board.material.word().to_owned(),
        depth_front_mm: milli(board.depth_front.0),
        depth_back_mm: milli(board.depth_back.0),
        passes: passes.collect(),
        mounts: mounts.collect(),
        keep_outs: keep_outs.collect(),
        holes: holes
            .iter()
            .map(|h| HoleOn {
                of: h.subject.name().to_owned(),
                from_mm: pt(h.from),
                to_mm: pt(h.to),
                diameter_mm: milli(h.diameter.0),
            })
            .collect(),
    })
}

/// The outline of an opening, its arcs as corners.
fn opening(at: Point, shape: PassShape) -> Vec<Pt> {
    let (half_x, half_y, corner, turn) = match shape {
        PassShape::Round(d) => (d.0 / 2.0, d.0 / 2.0, d.0 / 2.0, Degrees(0.0)),
        PassShape::Slot { length, width, turn } => {
            (length.0 / 2.0, width.0 / 2.0, width.0.min(length.0) / 2.0, turn)
        }
        PassShape::Rect { length, width, turn, corner } => {
            (length.0 / 2.0, width.0 / 2.0, corner.0.clamp(0.0, length.0.min(width.0) / 2.0), turn)
        }
    };
    let (x, y) = (half_x - corner, half_y - corner);
    let middles = [(x, y), (-x, y), (-x, -y), (x, -y)];
    let steps = if corner > 0.0 { STEPS } else { 0 };
    let outline = middles.into_iter().enumerate().flat_map(|(quarter, (x, y))| {
        (0..=steps).map(move |i| {
            let share = if steps == 0 { 0.0 } else { i as f64 / steps as f64 };
            let a = std::f64::consts::FRAC_PI_2 * (quarter as f64 + share);
            Point::new(x + corner * a.cos(), y + corner * a.sin())
        })
    });
    let placed = Placement { face: loomdeck_model::Face::Front, at, turn };
    corners(&placed.outline_to_board(&Outline(outline.collect())))
}

/// What stands on the board for an owner.
pub fn body(study: &Study, owner: Owner) -> Option<&Body> {
    study.geometry.faces.iter().flat_map(|f| &f.bodies).find(|b| b.owner == owner)
}

/// Parts on the board, in the robot's order.
pub fn parts(study: &Study) -> Vec<PartOn> {
    let robot = &study.robot;
    let on_board = robot.parts.iter().enumerate().filter_map(|(i, p)| match p.place {
        Place::Board(at) => Some((i, p, at)),
        Place::Zone { .. } => None,
    });
    on_board
        .map(|(i, p, at)| {
            let kind = &robot.types[p.kind.0];
            let body = body(study, Owner::Part(PartId(i)));
            let spots = body.map(|b| b.terminals.as_slice()).unwrap_or_default();
            PartOn {
                name: p.name.clone(),
                kind: kind.name.clone(),
                title: kind.title.clone(),
                face: at.face.into(),
                at_mm: pt(at.at),
                turn_deg: milli(at.turn.0),
                outline: body.map(|b| corners(&b.outline)).unwrap_or_default(),
                height_mm: body.map_or(0.0, |b| milli(b.top.0)),
                movable: robot.places.contains_key(&Subject::Part(p.name.clone())),
                terminals: spots
                    .iter()
                    .map(|s| Terminal {
                        name: kind.terminals[s.terminal].name.clone(),
                        at_mm: pt(s.at),
                        direction_deg: match s.exit {
                            Exit::Along(d) => Some(milli(d.0)),
                            Exit::Up => None,
                        },
                        role: word(&kind.terminals[s.terminal].role),
                    })
                    .collect(),
            }
        })
        .collect()
}

fn in_zones(robot: &Robot) -> impl Iterator<Item = (usize, &loomdeck_model::Part)> {
    robot.parts.iter().filter_map(|p| match p.place {
        Place::Zone { zone, .. } => Some((zone.0, p)),
        Place::Board(_) => None,
    })
}

/// Places off the board with the parts in them.
pub fn zones(robot: &Robot) -> Vec<ZoneOn> {
    let all = robot.zones.iter().enumerate();
    all.map(|(i, z)| ZoneOn {
        name: z.name.clone(),
        parts: in_zones(robot).filter(|(zone, _)| *zone == i).map(|(_, p)| p.name.clone()).collect(),
    })
    .collect()
}

/// Parts off the board, in the robot's order.
pub fn off_board(robot: &Robot) -> Vec<OffBoard> {
    in_zones(robot)
        .map(|(zone, p)| {
            let kind = &robot.types[p.kind.0];
            OffBoard {
                name: p.name.clone(),
                kind: kind.name.clone(),
                title: kind.title.clone(),
                zone: robot.zones[zone].name.clone(),
                terminals: kind.terminals.iter().map(|t| t.name.clone()).collect(),
            }
        })
        .collect()
}
