//! One solved network in one situation, and what can be read off it.

use super::network::Metal;
use crate::circuit::Circuit;
use crate::netlist::Device;
use crate::operate::{Solution, across, item_current, wire_currents};
use loomdeck_model::element::{Driver, ElementKind};
use loomdeck_model::part_type::TerminalRole;
use loomdeck_model::{PartId, Robot, Situation, SituationId};

/// Below this a supply counts as none, V: leakage lifts what hangs in the air by less.
pub const NOTHING: f64 = 0.5;

/// A network with its solution in a situation.
pub struct Scene<'a> {
    /// The robot.
    pub robot: &'a Robot,
    /// Its network, altered or not.
    pub circuit: &'a Circuit,
    /// Which situation.
    pub id: SituationId,
    /// The situation, with what was mated for it.
    pub situation: &'a Situation,
    /// The solution.
    pub solution: &'a Solution,
    /// Currents of the wires.
    pub currents: Vec<f64>,
    /// What is one piece of metal, dead ends as well.
    pub metal: Metal,
}

impl<'a> Scene<'a> {
    /// Prepares it.
    pub fn of(
        robot: &'a Robot,
        circuit: &'a Circuit,
        id: SituationId,
        situation: &'a Situation,
        solution: &'a Solution,
    ) -> Self {
        let metal = metal(robot, circuit, situation, solution);
        let currents = wire_currents(circuit, solution);
        Self { robot, circuit, id, situation, solution, currents, metal }
    }

    /// Voltage between two nodes; `None` where nothing holds one of them.
    pub fn across(&self, plus: usize, minus: usize) -> Option<f64> {
        across(self.solution, plus, minus)
    }

    /// Current of an item.
    pub fn current(&self, item: usize) -> f64 {
        item_current(self.circuit, self.solution, item)
    }

    /// The node that a part calls its ground.
    pub fn ground(&self, part: PartId) -> Option<usize> {
        let kind = self.robot.type_of(part);
        [TerminalRole::Return, TerminalRole::SignalReturn].into_iter().find_map(|role| {
            let t = kind.terminals.iter().find(|t| t.role == role)?;
            Some(self.circuit.local(part, t.node))
        })
    }

    /// Drivers with their part.
    pub fn drivers(&self) -> impl Iterator<Item = (PartId, &'a Driver)> + 'a {
        let robot = self.robot;
        (0..robot.parts.len()).map(PartId).flat_map(move |part| {
            robot.type_of(part).elements.iter().filter_map(move |e| match &e.kind {
                ElementKind::Driver(d) => Some((part, d)),
                _ => None,
            })
        })
    }
}

/// Metal by wires, mated contacts, closed switches and fuses that are in.
fn metal(robot: &Robot, circuit: &Circuit, situation: &Situation, solution: &Solution) -> Metal {
    let uncut = |item: usize| !circuit.cut.get(item).copied().unwrap_or(false);
    let ends = |item: usize| match circuit.template.items[item].device {
        Device::Branch { a, b, .. } => Some((a, b)),
        _ => None,
    };
    let wires = circuit.wire_item.iter().copied();
    let contacts = circuit
        .contact_item
        .iter()
        .filter(|((plug, _), _)| !situation.unplugged.contains(plug))
        .map(|(_, &item)| item);
    let mut items: Vec<usize> = wires.chain(contacts).collect();
    for (index, part) in robot.parts.iter().enumerate() {
        for (e, element) in robot.type_of(PartId(index)).elements.iter().enumerate() {
            let first = circuit.element_item[index][e];
            match &element.kind {
                ElementKind::Switch(_) if situation.closed.contains(&PartId(index)) => items.push(first),
                ElementKind::FuseWay(_) if part.fuses.contains_key(&element.name) => items.push(first),
                ElementKind::Protection(_) => items.push(first),
                ElementKind::Contactor(c) if solution.states.pulled[first] != c.normally_closed => {
                    items.push(first + 1);
                }
                _ => {}
            }
        }
    }
    let pairs = items.into_iter().filter(|&i| uncut(i)).filter_map(ends);
    Metal::of(circuit.template.nodes.len(), pairs)
}
