//! The order in which wires are fitted: supplies, returns, motors, logic, audio; inside a stage a
//! loom at a time, the nearest first, so that what lies deepest is laid first.

use crate::making::{Stage, WiringStep};
use loomdeck_model::{LoomId, Robot, WireId};
use loomdeck_space::Geometry;
use std::collections::BTreeMap;

/// The steps, in order. Every wire is in exactly one.
pub fn steps(robot: &Robot, geometry: &Geometry) -> Vec<WiringStep> {
    let length = |w: &WireId| geometry.wires.get(w.0).map_or(0.0, |run| run.length.0);
    let mut groups: BTreeMap<(Stage, Option<LoomId>), Vec<WireId>> = BTreeMap::new();
    for (i, wire) in robot.wires.iter().enumerate() {
        groups.entry((Stage::of(wire.function), wire.loom)).or_default().push(WireId(i));
    }
    let mut steps: Vec<WiringStep> = groups
        .into_iter()
        .map(|((stage, loom), mut wires)| {
            wires.sort_by(|a, b| length(a).total_cmp(&length(b)).then(a.cmp(b)));
            WiringStep { stage, loom, wires }
        })
        .collect();
    let nearest = |s: &WiringStep| s.wires.first().map_or(0.0, length);
    steps.sort_by(|a, b| {
        a.stage.cmp(&b.stage).then(nearest(a).total_cmp(&nearest(b))).then(a.loom.cmp(&b.loom))
    });
    steps
}
