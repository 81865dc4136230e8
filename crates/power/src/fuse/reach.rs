//! What lies behind a fuse, what lies before the first one, and what could flow there.

use crate::circuit::{Circuit, open_circuit};
use crate::netlist::Device;
use crate::operate::elements;
use crate::paths::{Tree, Ways};
use loomdeck_model::element::{Battery, ElementKind};
use loomdeck_model::{PartId, PlugId, Robot, WireId};
use std::collections::{BTreeMap, BTreeSet};

/// The metal of the robot with every switch closed and every plug mated, cut at the fuses.
#[derive(Debug)]
pub struct Metal {
    ways: Ways,
    through: Ways,
    /// Nodes joined to a positive pole of a battery without a fuse between.
    pub bare: Vec<bool>,
    /// Shortest ways from there to the battery, fuses not crossed.
    pub to_battery: Tree,
    /// Shortest ways to a negative pole, fuses crossed.
    pub to_minus: Tree,
    /// Batteries: part, plus node, minus node.
    pub batteries: Vec<(PartId, usize, usize)>,
    wire_of: Vec<Option<WireId>>,
    contact_of: Vec<Option<(PlugId, u32)>>,
    /// Which piece of metal each node belongs to, cut at the fuses.
    piece: Vec<usize>,
    /// Consumers by the node of their positive side, with that of their negative.
    consumers: BTreeMap<usize, Vec<Consumer>>,
}

/// A consumer, part and element, with the node of its negative side.
type Consumer = ((PartId, usize), usize);

/// What a fuse way has behind it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Behind {
    /// Wires of its positive side.
    pub wires: BTreeSet<WireId>,
    /// Return wires of what it feeds.
    pub returns: BTreeSet<WireId>,
    /// Contacts.
    pub contacts: BTreeSet<(PlugId, u32)>,
    /// Switches, slip rings and other elements with a rating: part and element.
    pub elements: BTreeSet<(PartId, usize)>,
    /// Consumers fed: part and element.
    pub consumers: BTreeSet<(PartId, usize)>,
    /// Wires between the source and a first fuse, and the return that all it feeds has in common: they
    /// carry its current too. Their contacts and elements are among the others.
    pub before: BTreeSet<WireId>,
}

impl Metal {
    /// Of a robot.
    pub fn of(circuit: &Circuit, robot: &Robot) -> Self {
        let n = circuit.template.items.len();
        let mut cut = vec![false; n];
        let mut coil = vec![false; n];
        let mut batteries = Vec::new();
        for (part, e, item) in elements(circuit) {
            match &robot.type_of(part).elements[e].kind {
                ElementKind::FuseWay(_) => cut[item] = true,
                ElementKind::Contactor(_) => coil[item] = true,
                ElementKind::Resistor(_) => coil[item] = true,
                ElementKind::Battery(b) => {
                    batteries.push((part, circuit.local(part, b.plus), circuit.local(part, b.minus)));
                }
                _ => {}
            }
            if let ElementKind::Driver(_) = &robot.type_of(part).elements[e].kind {
                let end = circuit.element_item[part.0][e + 1];
                // Body diodes lead from motor wires into the bus, not the other way round.
                coil[item..end].fill(true);
            }
        }
        let ways = Ways::of(&circuit.template, |i| !cut[i] && !coil[i]);
        let all = Ways::of(&circuit.template, |i| !coil[i]);
        let to_battery = ways.tree(batteries.iter().map(|b| b.1));
        let to_minus = all.tree(batteries.iter().map(|b| b.2));
        let through = all;
        let bare = (0..circuit.pattern.nodes).map(|v| to_battery.root(v).is_some()).collect();
        let mut wire_of = vec![None; n];
        for (w, &item) in circuit.wire_item.iter().enumerate() {
            wire_of[item] = Some(WireId(w));
        }
        let mut contact_of = vec![None; n];
        for (&contact, &item) in &circuit.contact_item {
            contact_of[item] = Some(contact);
        }
        let piece = ways.pieces();
        let consumers = consumers(circuit, robot);
        Self {
            ways,
            through,
            bare,
            to_battery,
            to_minus,
            batteries,
            wire_of,
            contact_of,
            piece,
            consumers,
        }
    }

    /// The wires among some items.
    pub fn wires<'a>(&'a self, items: &'a [usize]) -> impl Iterator<Item = WireId> + 'a {
        items.iter().filter_map(|&i| self.wire_of[i])
    }

    /// Feed node and load node of a fuse way: the feed is the side joined to a battery without a
    /// fuse, else the side its type calls so.
    pub fn sides(&self, a: usize, b: usize) -> (usize, usize) {
        if self.bare[b] && !self.bare[a] { (b, a) } else { (a, b) }
    }

    /// What lies behind a node.
    pub fn behind(&self, circuit: &Circuit, _robot: &Robot, node: usize) -> Behind {
        let mut behind = Behind::default();
        let mut seen = BTreeSet::from([node]);
        let mut queue = vec![node];
        let mut items = BTreeSet::new();
        while let Some(at) = queue.pop() {
            for &(item, other) in self.ways.from(at) {
                items.insert(item);
                if seen.insert(other) {
                    queue.push(other);
                }
            }
        }
        let own = self.sort(circuit, &items, &mut behind);
        behind.wires = own;
        for &(consumer, minus) in self.consumers_at(&seen) {
            behind.consumers.insert(consumer);
            let way = self.to_minus.way(minus);
            behind.returns.extend(self.wires(&way).filter(|w| !behind.wires.contains(w)));
        }
        behind
    }

    /// Adds what carries the current of a first fuse too: the way from the battery, the links between
    /// batteries in series, and the return that everything it feeds has in common.
    pub fn add_before(
        &self,
        circuit: &Circuit,
        _robot: &Robot,
        (feed, load): (usize, usize),
        behind: &mut Behind,
    ) {
        if !self.bare[feed] || self.bare[load] {
            return;
        }
        let mut items: BTreeSet<usize> = self.to_battery.way(feed).into_iter().collect();
        let mut root = self.to_battery.root(feed);
        for _ in 0..self.batteries.len() {
            let Some(top) = self.batteries.iter().find(|b| Some(b.1) == root) else { break };
            items.extend(self.to_battery.way(top.2));
            root = self.to_battery.root(top.2);
        }
        items.extend(self.common_return(load));
        let wires = self.sort(circuit, &items, behind);
        behind.before = wires.into_iter().filter(|w| !behind.returns.contains(w)).collect();
    }

    /// Items of the return that lie on the way back of every consumer behind a node, further fuses
    /// crossed.
    fn common_return(&self, node: usize) -> Vec<usize> {
        let mut seen = BTreeSet::from([node]);
        let mut queue = vec![node];
        while let Some(at) = queue.pop() {
            for &(_, other) in self.through.from(at) {
                // What hangs on the battery beside this fuse is not fed by it.
                if !self.bare[other] && seen.insert(other) {
                    queue.push(other);
                }
            }
        }
        let mut count = vec![0usize; self.wire_of.len()];
        let mut all = 0;
        for &(_, minus) in self.consumers_at(&seen) {
            all += 1;
            for item in self.to_minus.way(minus) {
                count[item] += 1;
            }
        }
        (0..count.len()).filter(|&item| all > 0 && count[item] == all).collect()
    }

    /// Consumers whose positive side is one of some nodes.
    fn consumers_at<'a>(&'a self, nodes: &'a BTreeSet<usize>) -> impl Iterator<Item = &'a Consumer> {
        nodes.iter().filter_map(|node| self.consumers.get(node)).flatten()
    }

    /// Puts contacts and elements among some items to the others; gives back the wires.
    fn sort(&self, circuit: &Circuit, items: &BTreeSet<usize>, behind: &mut Behind) -> BTreeSet<WireId> {
        let mut wires = BTreeSet::new();
        for &item in items {
            if let Some(wire) = self.wire_of[item] {
                wires.insert(wire);
            } else if let Some(contact) = self.contact_of[item] {
                behind.contacts.insert(contact);
            } else if let Some(element) = circuit.element_of(item) {
                behind.elements.insert(element);
            }
        }
        wires
    }

    /// Current into a short circuit at a node that is joined to a battery: the sum over all strings
    /// whose positive pole is joined to it, each through its own internal resistance, and the way from
    /// the nearest. Cold wires; the return is left out. `None` when no battery reaches it.
    pub fn prospective(&self, circuit: &Circuit, robot: &Robot, node: usize) -> Option<(PartId, f64)> {
        let root = self.to_battery.root(node)?;
        let path: f64 = self
            .to_battery
            .way(node)
            .iter()
            .map(|&item| match circuit.template.items[item].device {
                Device::Branch { resistance_ohm, .. } => resistance_ohm,
                _ => 0.0,
            })
            .sum();
        let nearest = self.batteries.iter().find(|b| b.1 == root)?;
        let (emf, ohms) = self.string(robot, *nearest);
        let mut amperes = emf / (ohms + path).max(1e-5);
        for other in &self.batteries {
            if other.1 != root
                && self.piece[other.1] == self.piece[node]
                && !self.is_below(other, nearest)
            {
                let (emf, ohms) = self.string(robot, *other);
                amperes += emf / (ohms + path).max(1e-5);
            }
        }
        Some((nearest.0, amperes))
    }

    /// The batteries in series behind a node, top first, fuses and switches crossed.
    pub fn string_at<'r>(&self, robot: &'r Robot, node: usize) -> Option<Vec<(PartId, &'r Battery)>> {
        let all = self.through.tree(self.batteries.iter().map(|b| b.1));
        let mut string = Vec::new();
        let mut root = all.root(node)?;
        while string.len() <= self.batteries.len() {
            let Some(top) = self.batteries.iter().find(|b| b.1 == root) else { break };
            string.push((top.0, battery(robot, top.0)?));
            match all.root(top.2) {
                Some(next) if next != root => root = next,
                _ => break,
            }
        }
        Some(string)
    }

    fn is_below(&self, low: &(PartId, usize, usize), high: &(PartId, usize, usize)) -> bool {
        self.to_battery.root(high.2) == Some(low.1) || self.to_battery.root(low.2) == Some(high.1)
    }

    /// Voltage and resistance of the string that ends in this battery, full: the batteries below it in
    /// series.
    fn string(&self, robot: &Robot, top: (PartId, usize, usize)) -> (f64, f64) {
        let (mut emf, mut ohms) = (0.0, 0.0);
        let mut at = Some(top);
        let mut left = self.batteries.len();
        while let Some((part, plus, minus)) = at {
            if let Some(b) = battery(robot, part) {
                emf += open_circuit(b, 1.0);
                ohms += b.resistance.0;
            }
            left = left.saturating_sub(1);
            if left == 0 {
                break;
            }
            at = self
                .to_battery
                .root(minus)
                .and_then(|root| self.batteries.iter().find(|b| b.1 == root && b.1 != plus).copied());
        }
        (emf, ohms)
    }
}

/// All consumers by the node of their positive side.
fn consumers(circuit: &Circuit, robot: &Robot) -> BTreeMap<usize, Vec<Consumer>> {
    let mut all: BTreeMap<usize, Vec<Consumer>> = BTreeMap::new();
    for (part, e, _) in elements(circuit) {
        let (plus, minus) = match &robot.type_of(part).elements[e].kind {
            ElementKind::Load(l) => (l.plus, l.minus),
            ElementKind::Converter(c) => (c.in_plus, c.in_minus),
            ElementKind::Driver(d) => (d.plus, d.minus),
            ElementKind::Motor(m) => (m.a, m.b),
            ElementKind::Meter(m) => (m.plus, m.minus),
            _ => continue,
        };
        let consumer = ((part, e), circuit.local(part, minus));
        all.entry(circuit.local(part, plus)).or_default().push(consumer);
    }
    all
}

/// The battery element of a part.
pub fn battery(robot: &Robot, part: PartId) -> Option<&Battery> {
    robot.type_of(part).elements.iter().find_map(|e| match &e.kind {
        ElementKind::Battery(b) => Some(b),
        _ => None,
    })
}
