//! Shorted networks as plain numbers, for an independent solver.

use super::bases::{Bases, JOINT_OHMS};
use crate::faults::Ground;
use crate::netlist::{Device, Exported, Item};
use crate::operate;
use crate::solver::sweep::Place;
use loomdeck_model::SituationId;

/// A situation with the metal of pairs of places joined, each by itself, with the solution found. Pairs
/// between which no current can flow, and shorts for which nothing was found, are left out.
pub fn exported(ground: &Ground<'_>, id: SituationId, pairs: &[(Place, usize)]) -> Vec<Exported> {
    let situation = ground.robot.situations[id.0].clone();
    let name = situation.name.clone();
    let mut bases = Bases::of(&ground.circuit, ground.robot, id, situation, ground.ohms(id));
    let one = |&(place, back): &(Place, usize)| {
        let solved = bases.short(place, Place::Node(back))?;
        let solution = bases.solution(&solved)?;
        let mut out = operate::export(&ground.circuit, &name, &solution);
        // What hangs on nothing carries nothing, not even the rounding of a solution.
        for (item, current) in out.netlist.items.iter().zip(&mut out.currents_a) {
            if let Device::Load { a, b, .. } | Device::Motor { a, b, .. } | Device::Diode { a, b, .. } =
                item.device
                && (out.voltages_v[a].is_none() || out.voltages_v[b].is_none())
            {
                *current = 0.0;
            }
        }
        let current = solved.short.current;
        let from = match place {
            Place::Node(node) => node,
            Place::Along(item, share) => split(&mut out, item, share, back, current),
        };
        let device = Device::Branch { a: from, b: back, resistance_ohm: JOINT_OHMS, emf_v: 0.0 };
        out.netlist.items.push(Item { name: "short".to_owned(), active: true, device });
        out.currents_a.push(current);
        Some(out)
    };
    pairs.iter().filter_map(one).collect()
}

/// Splits a wire where it is shorted; gives the new node.
fn split(out: &mut Exported, item: usize, share: f64, back: usize, current: f64) -> usize {
    let node = out.netlist.nodes.len();
    out.netlist.nodes.push("along the wire".to_owned());
    let volts = out.voltages_v[back].map(|v| v + JOINT_OHMS * current);
    out.voltages_v.push(volts);
    let Device::Branch { a, b, resistance_ohm, .. } = out.netlist.items[item].device else {
        return node;
    };
    let (first, second) = (share * resistance_ohm, (1.0 - share) * resistance_ohm);
    let piece = |a, b, resistance_ohm| Device::Branch { a, b, resistance_ohm, emf_v: 0.0 };
    out.netlist.items[item].device = piece(a, node, first);
    let device = piece(node, b, second);
    out.netlist.items.push(Item { name: "its other half".to_owned(), active: true, device });
    let at = |v: usize| out.voltages_v[v].unwrap_or(0.0);
    let (before, after) = ((at(a) - at(node)) / first, (at(node) - at(b)) / second);
    out.currents_a[item] = before;
    out.currents_a.push(after);
    node
}
