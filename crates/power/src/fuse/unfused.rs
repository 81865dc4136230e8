//! Wires without protection.

use super::reach::Metal;
use crate::circuit::Circuit;
use crate::operate::elements;
use crate::results::UnfusedWire;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::*;
use loomdeck_model::{Robot, WireId};
use std::collections::{BTreeMap, BTreeSet};

/// Wires joined to a battery's positive pole without a fuse between.
pub fn unfused(robot: &Robot, circuit: &Circuit, metal: &Metal) -> Vec<UnfusedWire> {
    let mut towards: BTreeMap<WireId, f64> = BTreeMap::new();
    let mut links = BTreeSet::new();
    for (part, e, _) in elements(circuit) {
        let ElementKind::FuseWay(way) = &robot.type_of(part).elements[e].kind else { continue };
        let (a, b) = (circuit.local(part, way.a), circuit.local(part, way.b));
        let (feed, _) = metal.sides(a, b);
        if metal.bare[feed] {
            let way = metal.to_battery.way(feed);
            let length: f64 = metal.wires(&way).map(|w| circuit.length[w.0]).sum();
            for w in metal.wires(&way) {
                let longest = towards.entry(w).or_insert(0.0);
                *longest = longest.max(length);
            }
        }
    }
    for battery in &metal.batteries {
        if metal.bare[battery.2] {
            links.extend(metal.wires(&metal.to_battery.way(battery.2)));
        }
    }
    let mut all = Vec::new();
    for (w, wire) in robot.wires.iter().enumerate() {
        let id = WireId(w);
        let (a, b) = (circuit.node(robot, wire.from), circuit.node(robot, wire.to));
        if !metal.bare[a] || !metal.bare[b] || links.contains(&id) {
            continue;
        }
        let Some((battery, prospective)) = metal.prospective(circuit, robot, a) else { continue };
        all.push(UnfusedWire {
            wire: id,
            battery,
            prospective: Amperes(prospective),
            length: Millimetres(1000.0 * towards.get(&id).copied().unwrap_or(circuit.length[w])),
            towards_fuse: towards.contains_key(&id),
        });
    }
    all
}
