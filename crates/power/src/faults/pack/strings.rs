//! Which batteries hang in series and which side by side.

use super::types::Series;
use crate::circuit::{Circuit, open_circuit};
use crate::faults::Ground;
use crate::netlist::Device;
use crate::operate::elements;
use loomdeck_model::element::{Battery, ElementKind};
use loomdeck_model::units::Volts;
use loomdeck_model::{PartId, Robot};

/// Pieces of metal: nodes that wires, contacts, fuses and closed switches join, every switch taken as
/// closed and every plug as mated.
#[derive(Clone, Debug)]
pub struct Metal {
    of: Vec<usize>,
}

impl Metal {
    /// Of a network, without some items.
    pub fn of(circuit: &Circuit, robot: &Robot, without: &[usize]) -> Self {
        let n = circuit.template.items.len();
        let mut skip = vec![false; n];
        without.iter().for_each(|&i| skip[i] = true);
        for (part, e, item) in elements(circuit) {
            let ends = circuit.element_item[part.0][e + 1];
            match &robot.type_of(part).elements[e].kind {
                ElementKind::Contactor(_) | ElementKind::Resistor(_) => skip[item] = true,
                ElementKind::Battery(_) | ElementKind::Driver(_) => skip[item..ends].fill(true),
                _ => {}
            }
        }
        let mut of: Vec<usize> = (0..circuit.template.nodes.len()).collect();
        for (item, _) in circuit.template.items.iter().zip(&skip).filter(|(_, skip)| !**skip) {
            if let Device::Branch { a, b, .. } = item.device {
                let (a, b) = (find(&mut of, a), find(&mut of, b));
                of[a.max(b)] = a.min(b);
            }
        }
        for node in 0..of.len() {
            of[node] = find(&mut of, node);
        }
        Self { of }
    }

    /// The piece a node belongs to.
    pub fn piece(&self, node: usize) -> usize {
        self.of[node]
    }
}

fn find(of: &mut [usize], mut at: usize) -> usize {
    while of[at] != at {
        of[at] = of[of[at]];
        at = of[at];
    }
    at
}

/// A battery with its element and poles.
#[derive(Clone, Copy, Debug)]
pub struct Pole<'a> {
    /// The part.
    pub part: PartId,
    /// Index of the element.
    pub element: usize,
    /// Its data.
    pub battery: &'a Battery,
    /// Positive node.
    pub plus: usize,
    /// Negative node.
    pub minus: usize,
}

/// All batteries, in the robot's order.
pub fn poles<'a>(ground: &Ground<'a>) -> Vec<Pole<'a>> {
    elements(&ground.circuit)
        .filter_map(|(part, element, _)| match &ground.robot.type_of(part).elements[element].kind {
            ElementKind::Battery(battery) => Some(Pole {
                part,
                element,
                battery,
                plus: ground.circuit.local(part, battery.plus),
                minus: ground.circuit.local(part, battery.minus),
            }),
            _ => None,
        })
        .collect()
}

/// The strings, each from its positive end down, as indices into the batteries.
pub fn strings(poles: &[Pole<'_>], metal: &Metal) -> Vec<Vec<usize>> {
    let plus = |i: usize| metal.piece(poles[i].plus);
    let minus = |i: usize| metal.piece(poles[i].minus);
    let is_top = |i: usize| (0..poles.len()).all(|j| j == i || minus(j) != plus(i));
    let mut used = vec![false; poles.len()];
    let mut all = Vec::new();
    for top in (0..poles.len()).filter(|&i| is_top(i)) {
        let mut string = vec![top];
        used[top] = true;
        let mut at = top;
        while let Some(next) = (0..poles.len()).find(|&j| !used[j] && plus(j) == minus(at)) {
            used[next] = true;
            string.push(next);
            at = next;
        }
        all.push(string);
    }
    all
}

/// A string as a result.
pub fn series(robot: &Robot, poles: &[Pole<'_>], string: &[usize]) -> Series {
    Series {
        batteries: string.iter().map(|&i| poles[i].part).collect(),
        names: string.iter().map(|&i| robot.parts[poles[i].part.0].name.clone()).collect(),
        full: Volts(string.iter().map(|&i| open_circuit(poles[i].battery, 1.0)).sum()),
    }
}
