//! Which wires are tied together where, and how thick that is.

use super::jobs::{Group, Job, Off};
use super::lanes::Laid;
use super::legs::off_keys;
use super::strands::Plan;
use crate::geometry::{BundleStretch, LoomRun, TrunkStretch, WireRun};
use crate::packing::bundle_diameter;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{LoomId, Point, Robot, WireId};
use std::collections::{BTreeMap, BTreeSet};

/// Diameter over some wires; cores of a cable whose outside is stated count as that cable.
pub fn diameter(robot: &Robot, wires: &BTreeSet<WireId>) -> Millimetres {
    let mut cables = BTreeSet::new();
    let mut sizes = Vec::new();
    for w in wires {
        let wire = &robot.wires[w.0];
        match wire.cable.and_then(|c| robot.cables[c.0].outside.map(|d| (c, d))) {
            Some((cable, outside)) => {
                if cables.insert(cable) {
                    sizes.push(outside);
                }
            }
            None => sizes.push(wire.insulation.outside_diameter(wire.gauge)),
        }
    }
    bundle_diameter(&sizes)
}

/// Gives every wire its bundles; the looms as drawn.
pub(crate) fn bundles(
    robot: &Robot,
    jobs: &[Job],
    plan: &Plan,
    laid: &[Vec<Laid>; 2],
    wires: &mut [WireRun],
    openings: &[Point],
) -> Vec<LoomRun> {
    let mut stretches: Vec<(BTreeSet<WireId>, f64)> = Vec::new();
    let mut looms: Vec<LoomRun> = (0..robot.looms.len())
        .map(|i| LoomRun {
            loom: LoomId(i),
            trunk: Vec::new(),
            diameter: Millimetres::ZERO,
            bodies: Vec::new(),
            ties: Vec::new(),
        })
        .collect();
    for (group, body) in plan.bodies(robot, laid) {
        let members: BTreeSet<WireId> = body.wires.iter().copied().collect();
        if members.len() > 1 {
            stretches.push((members, super::path::length(&body.points, &body.radii)));
        }
        if let Group::Loom(loom) = group {
            let run = &mut looms[loom.0];
            run.diameter = run.diameter.max(body.diameter);
            run.trunk.extend(body.points.windows(2).map(|pair| TrunkStretch {
                face: body.face,
                from: pair[0],
                to: pair[1],
                wires: body.wires.clone(),
                diameter: body.diameter,
            }));
            run.bodies.push(body);
        }
    }
    for run in &mut looms {
        run.ties = crate::ties::ties(&run.bodies, openings);
    }
    through_board(plan, &mut stretches);
    for ((_, group), (members, length)) in off_board(robot, jobs) {
        if let Group::Loom(loom) = group {
            let run = &mut looms[loom.0];
            run.diameter = run.diameter.max(diameter(robot, &members));
        }
        if members.len() > 1 {
            stretches.push((members, length));
        }
    }
    give(robot, &stretches, wires);
    looms
}

/// Wires of one group through one opening.
fn through_board(plan: &Plan, stretches: &mut Vec<(BTreeSet<WireId>, f64)>) {
    stretches.extend(plan.through().into_iter().map(|wires| (wires, plan.thickness())));
}

type OffKey = (u8, usize, Option<usize>);

/// Wires that leave together, with the length they share.
fn off_board(robot: &Robot, jobs: &[Job]) -> BTreeMap<(OffKey, Group), (BTreeSet<WireId>, f64)> {
    let mut out: BTreeMap<(OffKey, Group), (BTreeSet<WireId>, f64)> = BTreeMap::new();
    for job in jobs {
        for (off, group, length) in off_keys(robot, job) {
            let key: OffKey = match off {
                Off::Tail(plug, _) => (0, plug.0, None),
                Off::Zone(zone, plug, _) => (1, zone.0, plug.map(|p| p.0)),
            };
            // Wires through one plug come out of it as one bundle, loom or not.
            let group = match (key.2.or((key.0 == 0).then_some(key.1)), group) {
                (Some(_), Group::Alone(_)) => Group::Alone(WireId(usize::MAX)),
                (_, g) => g,
            };
            let entry = out.entry((key, group)).or_insert_with(|| (BTreeSet::new(), length));
            entry.0.insert(job.wire);
            entry.1 = entry.1.min(length);
        }
    }
    out
}

/// Sums the stretches of every wire by the company it keeps.
fn give(robot: &Robot, stretches: &[(BTreeSet<WireId>, f64)], wires: &mut [WireRun]) {
    let mut by_company: BTreeMap<&BTreeSet<WireId>, f64> = BTreeMap::new();
    for (members, length) in stretches {
        *by_company.entry(members).or_default() += length;
    }
    for (members, length) in by_company {
        let size = diameter(robot, members);
        for w in members {
            wires[w.0].bundles.push(BundleStretch {
                length: Millimetres(length),
                with: members.iter().copied().filter(|o| o != w).collect(),
                diameter: size,
            });
        }
    }
}
