//! Which plugs to pull, in which order, and what is tied to the body without one.

use super::silhouette::{plugs_on, pull};
use crate::geometry::{FaceView, Owner};
use crate::shape::{Convex, pieces};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Half, Landing, Place, PlugId, Robot, WireId};

/// Plugs in the order to pull them: those that bring a battery's current first, then the others in the
/// robot's order; but never one whose body half would have to come off through another that is still in.
pub fn order(robot: &Robot, faces: &[FaceView]) -> Vec<PlugId> {
    let n = robot.plugs.len();
    let blocked_by = blockers(robot, faces);
    let live: Vec<bool> = (0..n).map(|p| feeds(robot, PlugId(p))).collect();
    let mut order = Vec::with_capacity(n);
    let mut out = vec![false; n];
    while order.len() < n {
        let free =
            |p: &usize| !out[*p] && blocked_by.iter().all(|(a, b)| *a != *p || out[*b] || *b == *p);
        let left = || (0..n).filter(|p| !out[*p]);
        // Plugs that block one another in a ring come off together, somehow: the first of them.
        let next = left().filter(|p| free(p)).min_by_key(|p| (!live[*p], *p)).or_else(|| left().next());
        let Some(next) = next else { break };
        out[next] = true;
        order.push(PlugId(next));
    }
    order
}

/// Pairs (a, b): the body half of a comes off through b.
fn blockers(robot: &Robot, faces: &[FaceView]) -> Vec<(usize, usize)> {
    let plugs: Vec<_> = plugs_on(faces).collect();
    let mut out = Vec::new();
    for (face, body) in &plugs {
        let (Owner::Plug(a), Some(d)) = (body.owner, pull(robot, body)) else { continue };
        let Some(family) = robot.family_of(a) else { continue };
        let way = pieces(&body.outline);
        for (other_face, other) in &plugs {
            let Owner::Plug(b) = other.owner else { continue };
            if b == a || other_face != face || other.base >= body.top || body.base >= other.top {
                continue;
            }
            // It has to come off by half its length.
            let hits = |q: &Convex| {
                way.iter()
                    .filter_map(|p| p.overlap_along(q, d))
                    .any(|(t0, t1)| t1 > 0.0 && t0 < family.length.0 / 2.0)
            };
            if pieces(&other.outline).iter().any(hits) {
                out.push((a.0, b.0));
            }
        }
    }
    out
}

/// A battery in the body feeds the board through this plug: a wire of its body half ends at one.
fn feeds(robot: &Robot, plug: PlugId) -> bool {
    robot.wires.iter().any(|w| {
        let at_plug =
            |l: &Landing| matches!(l, Landing::Plug { plug: p, half: Half::Body, .. } if *p == plug);
        let at_battery = |l: &Landing| match l {
            Landing::Part { part, .. } => {
                robot.type_of(*part).elements.iter().any(|e| matches!(e.kind, ElementKind::Battery(_)))
            }
            Landing::Plug { .. } => false,
        };
        (at_plug(&w.from) && at_battery(&w.to)) || (at_plug(&w.to) && at_battery(&w.from))
    })
}

/// On the board, in the body, or in between.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    Board,
    Body,
}

fn side(robot: &Robot, landing: &Landing) -> Side {
    match landing {
        Landing::Part { part, .. } => match robot.parts[part.0].place {
            Place::Board(_) => Side::Board,
            Place::Zone { .. } => Side::Body,
        },
        Landing::Plug { half: Half::Board, .. } => Side::Board,
        Landing::Plug { half: Half::Body, .. } => Side::Body,
    }
}

/// Wires with one end on the board and the other in the body.
pub fn tied(robot: &Robot) -> Vec<WireId> {
    let crosses = |w: &loomdeck_model::Wire| side(robot, &w.from) != side(robot, &w.to);
    robot.wires.iter().enumerate().filter(|(_, w)| crosses(w)).map(|(i, _)| WireId(i)).collect()
}
