//! From found ways to the runs of wires: legs, lengths, bundles.

use super::jobs::{End, Group, Job, Off, group_of};
use super::lanes::Laid;
use super::looms;
use super::path;
use super::strands::{LaidRun, Plan};
use super::view::View;
use super::{CLEARANCES, Found, Routes, class_of};
use crate::geometry::{Blocked, Leg, LengthBasis, WireRun};
use crate::lengths::{self, Bounds};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, PassId, Robot, WireId};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Rule for a wire that finds no way over the board: between the straight line and twice it and a
/// hand's breadth (common practice, no source).
const DETOUR: (f64, f64) = (2.0, 100.0);

/// Puts the runs of all wires together.
pub(crate) fn assemble(
    robot: &Robot,
    jobs: &[Job],
    ways: &BTreeMap<WireId, Arc<Found>>,
    plan: &Plan,
    laid: &[Vec<Laid>; 2],
    view: &View,
) -> Routes {
    let mut wires = Vec::with_capacity(jobs.len());
    let mut blocked = Vec::new();
    for job in jobs {
        let found = ways.get(&job.wire).map(Arc::as_ref);
        let lanes = plan.run(robot, job.wire, laid);
        let (mut legs, bounds) = run(robot, job, lanes, view);
        if job.turned {
            legs = turned(legs);
        }
        if let Some(Found::Stuck { by, face, at }) = found {
            let needs = Millimetres(2.0 * CLEARANCES[class_of(job.thickness)]);
            blocked.push(Blocked { wire: job.wire, by: by.clone(), face: *face, at: *at, needs });
        }
        let wire = &robot.wires[job.wire.0];
        let slack = lengths::slack(robot, wire);
        let bounds = bounds.plus(Bounds::exactly(lengths::moving_loop(wire, slack).0));
        let (length, basis) = match wire.length {
            Some(measured) => (measured, LengthBasis::Measured),
            None => (Millimetres(bounds.most), bounds.basis()),
        };
        let cut = lengths::cut(robot, wire, length);
        wires.push(WireRun {
            wire: job.wire,
            length,
            cut,
            basis,
            alone: None,
            slack,
            legs,
            bundles: Vec::new(),
        });
    }
    let looms = looms::bundles(robot, jobs, plan, laid, &mut wires, &view.passes);
    Routes { wires, looms, gaps: Vec::new(), blocked }
}

/// Legs in the job's direction and the bounds of the length.
fn run(robot: &Robot, job: &Job, lanes: Option<Vec<LaidRun>>, view: &View) -> (Vec<Leg>, Bounds) {
    let mut legs = Vec::new();
    let mut bounds = Bounds::default();
    match (lanes, &job.from, &job.to) {
        (Some(lanes), Some(from), Some(to)) => {
            legs = over_board(robot, from, to, lanes, view);
            bounds = Bounds::exactly(lengths::of_legs(&legs).0);
        }
        (None, Some(from), Some(to)) => {
            legs.extend(rise(from));
            let points = vec![from.at(), to.at()];
            legs.push(Leg::Along {
                face: Face::BOTH[from.face()],
                points,
                radii: vec![Millimetres::ZERO; 2],
            });
            legs.extend(rise(to));
            let least = lengths::of_legs(&legs).0;
            bounds = Bounds { least, most: DETOUR.0 * least + DETOUR.1 };
        }
        (_, Some(from), None) | (_, None, Some(from)) => legs.extend(rise(from)),
        (_, None, None) => {}
    }
    if job.off.is_empty() && job.from.is_none() {
        // A part on a board that is not described: somewhere on it.
        let d = lengths::diagonal(robot);
        return (legs, Bounds { least: 0.1 * d, most: 2.0 * d });
    }
    let off = off_board(robot, job, &mut legs, view);
    (legs, bounds.plus(off))
}

fn rise(end: &End) -> Option<Leg> {
    match end {
        End::Terminal { spot, height, .. } if *height > 0.0 => {
            Some(Leg::Rise { face: Face::BOTH[spot.face], at: spot.at, height: Millimetres(*height) })
        }
        _ => None,
    }
}

fn over_board(robot: &Robot, from: &End, to: &End, lanes: Vec<LaidRun>, view: &View) -> Vec<Leg> {
    let mut legs: Vec<Leg> = rise(from).into_iter().collect();
    let mut face = from.face();
    let mut end = None;
    let thickness = robot.board.as_ref().map_or(Millimetres::ZERO, |b| b.thickness);
    for lane in lanes {
        match lane {
            LaidRun::Along(on, Laid { points, radii }) => {
                face = on;
                end = points.last().copied().or(end);
                if path::length(&points, &radii) > 0.0 {
                    legs.push(Leg::Along { face: Face::BOTH[face], points, radii });
                }
            }
            LaidRun::Through(pass, at) => {
                if let Some(o) = pass.or_else(|| view.passes.iter().position(|p| *p == at)) {
                    legs.push(Leg::Through { pass: PassId(o), at, depth: thickness });
                }
            }
        }
    }
    if let End::Edge { faces, .. } = to {
        // Over the edge to the face where it was to leave.
        if faces.first().is_some_and(|f| *f != face) {
            legs.push(Leg::Tail { at: end.unwrap_or(to.at()), length: thickness });
        }
    }
    legs.extend(rise(to));
    legs
}

/// The stretches off the board: adds their legs and gives their bounds.
fn off_board(robot: &Robot, job: &Job, legs: &mut Vec<Leg>, view: &View) -> Bounds {
    let mut bounds = Bounds::default();
    if let [Off::Zone(y, p, l), Off::Zone(z, q, m)] = job.off[..] {
        return between_zones(robot, (y, p, l), (z, q, m), legs);
    }
    for (i, off) in job.off.iter().enumerate() {
        match *off {
            Off::Tail(plug, length) => {
                let at = match robot.plugs[plug.0].place {
                    loomdeck_model::PlugPlace::Tail { at, .. } => at,
                    loomdeck_model::PlugPlace::Fixed(p) => p.at,
                };
                let leg = Leg::Tail { at: view.point(at), length };
                // With a tail at both ends the first belongs before the way over the board.
                if i == 0 && job.off.len() == 2 {
                    legs.insert(0, leg)
                } else {
                    legs.push(leg)
                }
                bounds = bounds.plus(Bounds::exactly(length.0));
            }
            Off::Zone(zone, plug, lead) => {
                let run = lengths::zone_run(robot, zone, plug);
                let run = run.plus(Bounds::exactly(lead.map_or(0.0, |l| l.0)));
                legs.push(Leg::Body { zone, length: Millimetres(run.most) });
                bounds = bounds.plus(run);
            }
        }
    }
    bounds
}

type ZoneEnd = (loomdeck_model::ZoneId, Option<loomdeck_model::PlugId>, Option<Millimetres>);

/// Between two places in the body. A plug's body half is where the path of its zone begins; two
/// places in one zone are joined within it: at least the difference, at most the sum of their leads.
/// Two zones likewise: at least the difference, at most the sum of their paths from the board.
fn between_zones(robot: &Robot, a: ZoneEnd, b: ZoneEnd, legs: &mut Vec<Leg>) -> Bounds {
    let lead = |l: Option<Millimetres>| l.map_or(0.0, |l| l.0);
    let (run, zone) = match ((a.0, a.1), (b.0, b.1)) {
        ((y, Some(p)), (z, None)) if y == z => {
            (lengths::zone_run(robot, y, Some(p)).plus(Bounds::exactly(lead(b.2))), y)
        }
        ((y, None), (z, Some(p))) if y == z => {
            (lengths::zone_run(robot, y, Some(p)).plus(Bounds::exactly(lead(a.2))), y)
        }
        ((y, None), (z, None)) if y == z => {
            let (l, m) = (lead(a.2), lead(b.2));
            (Bounds { least: (l - m).abs(), most: l + m }, y)
        }
        ((y, p), (z, q)) => {
            let first = lengths::zone_run(robot, y, p).plus(Bounds::exactly(lead(a.2)));
            let second = lengths::zone_run(robot, z, q).plus(Bounds::exactly(lead(b.2)));
            legs.push(Leg::Body { zone: y, length: Millimetres(first.most) });
            // Back past the board at most; one zone may lie on the way to the other.
            let apart = (first.least - second.most).max(second.least - first.most).max(0.0);
            (Bounds { least: apart, most: first.most + second.most }, z)
        }
    };
    let before = lengths::of_legs(legs).0;
    legs.push(Leg::Body { zone, length: Millimetres((run.most - before).max(0.0)) });
    run
}

/// The same legs from the other end.
fn turned(mut legs: Vec<Leg>) -> Vec<Leg> {
    legs.reverse();
    for leg in &mut legs {
        if let Leg::Along { points, radii, .. } = leg {
            points.reverse();
            radii.reverse();
        }
    }
    legs
}

/// Off-board stretches in which two wires run tied together: the same key, the same stretch.
pub(crate) fn off_keys(robot: &Robot, job: &Job) -> Vec<(Off, Group, f64)> {
    let group = group_of(robot, job.wire);
    job.off
        .iter()
        .map(|off| match *off {
            Off::Tail(_, length) => (*off, group, length.0),
            Off::Zone(zone, plug, _) => {
                let run = lengths::zone_run(robot, zone, plug);
                (Off::Zone(zone, plug, None), group, run.most)
            }
        })
        .collect()
}
