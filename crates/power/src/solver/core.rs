//! What has to be solved of a network: wires, contacts and fuses in one line count as one.
//!
//! A joint is a node with two branches and nothing else; the branches on either side of it carry the same
//! current, so that a line of them is one branch whose resistances add up. The unknowns left out follow
//! from the others by Ohm's law.

use super::assembly::{Entries, Pattern};
use super::lu::Order;
use crate::netlist::{Device, Item, Netlist};

/// The smaller network with the way back. It depends on the structure alone and serves any numbers.
#[derive(Clone, Debug, Default)]
pub struct Core {
    /// The elements that are left, without names.
    pub(super) netlist: Netlist,
    /// Its unknowns.
    pub(super) pattern: Pattern,
    /// Its matrix.
    pub(super) entries: Entries,
    /// The order in which it is eliminated.
    pub(super) order: Order,
    /// The node that each of its nodes is.
    node: Vec<usize>,
    /// Its node for each node; a joint has that at which its line begins.
    place: Vec<usize>,
    /// What each of its elements is.
    origin: Vec<Origin>,
    /// Number of unknowns of the whole network, and the first further unknown of its elements.
    whole: usize,
    extra: Vec<usize>,
}

/// What an element of the core stands for.
#[derive(Clone, Debug)]
enum Origin {
    /// An element of the network.
    One(usize),
    /// A line of branches: item, whether it points along the line, and the node it leads to.
    Line(Vec<(usize, bool, usize)>),
}

/// Nodes of an element.
fn nodes(device: &Device) -> impl Iterator<Item = usize> {
    let (four, count) = match *device {
        Device::Branch { a, b, .. }
        | Device::Diode { a, b, .. }
        | Device::Load { a, b, .. }
        | Device::Motor { a, b, .. } => ([a, b, 0, 0], 2),
        Device::Charger { plus, minus, .. } => ([plus, minus, 0, 0], 2),
        Device::Converter { in_plus, in_minus, out_plus, out_minus, .. } => {
            ([in_plus, in_minus, out_plus, out_minus], 4)
        }
        Device::Channel { plus, minus, a, b, .. } => ([plus, minus, a, b], 4),
    };
    four.into_iter().take(count)
}

/// How the branches that always conduct hang together.
struct Joints<'a> {
    netlist: &'a Netlist,
    /// Items that may be part of a line.
    plain: Vec<bool>,
    /// Two of them at each node.
    branches: Vec<[usize; 2]>,
    joint: Vec<bool>,
}

impl<'a> Joints<'a> {
    fn of(netlist: &'a Netlist, steady: &[bool]) -> Self {
        let n = netlist.nodes.len();
        let mut count = vec![0usize; n];
        let mut branches = vec![[usize::MAX; 2]; n];
        let mut other = vec![false; n];
        let mut plain = vec![false; netlist.items.len()];
        for (index, item) in netlist.items.iter().enumerate() {
            match item.device {
                // A battery's pole may be where zero volts are.
                Device::Branch { a, b, emf_v: 0.0, .. } if steady[index] => {
                    plain[index] = true;
                    for v in [a, b] {
                        if count[v] < 2 {
                            branches[v][count[v]] = index;
                        }
                        count[v] += 1;
                    }
                }
                _ => nodes(&item.device).for_each(|v| other[v] = true),
            }
        }
        let joint =
            (0..n).map(|v| !other[v] && count[v] == 2 && branches[v][0] != branches[v][1]).collect();
        Self { netlist, plain, branches, joint }
    }

    /// The line of branches that begins with an item at a node.
    fn line(&self, first: usize, from: usize) -> Vec<(usize, bool, usize)> {
        let (mut line, mut item, mut at) = (Vec::new(), first, from);
        while let Device::Branch { a, b, .. } = self.netlist.items[item].device {
            let along = a == at;
            at = if along { b } else { a };
            line.push((item, along, at));
            if !self.joint[at] {
                break;
            }
            let [p, q] = self.branches[at];
            item = if p == item { q } else { p };
        }
        line
    }
}

impl Core {
    /// Of a network whose unknowns are those of `pattern`. `steady` marks the elements that are active
    /// whatever the situation.
    pub fn of(netlist: &Netlist, pattern: &Pattern, steady: &[bool]) -> Self {
        let joints = Joints::of(netlist, steady);
        let n = netlist.nodes.len();
        let node: Vec<usize> = (0..n).filter(|&v| !joints.joint[v]).collect();
        let mut place = vec![usize::MAX; n];
        for (core, &v) in node.iter().enumerate() {
            place[v] = core;
        }
        let mut origin = Vec::new();
        let mut items = Vec::new();
        let mut in_line = vec![false; netlist.items.len()];
        let mut item_place = vec![usize::MAX; netlist.items.len()];
        let mut push = |device: Device, from: Origin| {
            items.push(Item { name: String::new(), active: true, device });
            origin.push(from);
            items.len() - 1
        };
        for (index, item) in netlist.items.iter().enumerate() {
            let Device::Branch { a, b, .. } = item.device else {
                item_place[index] = push(item.device.clone(), Origin::One(index));
                continue;
            };
            if !joints.plain[index] {
                item_place[index] = push(item.device.clone(), Origin::One(index));
                continue;
            }
            let start = if joints.joint[a] { b } else { a };
            // A line is found from its ends; a ring of nothing but joints has none and carries nothing.
            if in_line[index] || joints.joint[start] {
                continue;
            }
            let line = joints.line(index, start);
            for &(item, _, to) in &line {
                in_line[item] = true;
                if joints.joint[to] {
                    place[to] = place[start];
                }
            }
            let end = line.last().map_or(start, |l| l.2);
            let resistance_ohm = line.iter().map(|l| ohms(netlist, l.0)).sum();
            push(Device::Branch { a: start, b: end, resistance_ohm, emf_v: 0.0 }, Origin::Line(line));
        }
        for item in &mut items {
            move_to(&mut item.device, &place, &item_place);
        }
        let netlist_of_core = Netlist { nodes: vec![String::new(); node.len()], items };
        let core_pattern = Pattern::of(&netlist_of_core);
        let entries = Entries::of(&netlist_of_core, &core_pattern);
        let order = Order::of(&entries.layout);
        let (whole, extra) = (pattern.size, pattern.extra.clone());
        Self {
            netlist: netlist_of_core,
            pattern: core_pattern,
            entries,
            order,
            node,
            place,
            origin,
            whole,
            extra,
        }
    }

    /// Copies the numbers of a network of this structure to the core's elements, and to its nodes which
    /// of them are held at zero.
    pub(super) fn take(
        &self,
        netlist: &Netlist,
        references: &[bool],
        core: &mut Netlist,
        held: &mut Vec<bool>,
    ) {
        for (item, origin) in core.items.iter_mut().zip(&self.origin) {
            match origin {
                Origin::One(index) => {
                    let from = &netlist.items[*index];
                    item.active = from.active;
                    take(&mut item.device, &from.device);
                }
                Origin::Line(line) => {
                    if let Device::Branch { resistance_ohm, .. } = &mut item.device {
                        *resistance_ohm = line.iter().map(|l| ohms(netlist, l.0)).sum();
                    }
                }
            }
        }
        held.clear();
        held.resize(self.node.len(), false);
        for (_, &place) in references.iter().zip(&self.place).filter(|(r, _)| **r) {
            // A joint is held only where nothing is fed; there all is zero, and the end of its line
            // may be held as well.
            if let Some(held) = held.get_mut(place) {
                *held = true;
            }
        }
    }

    /// The unknown of the whole network that an unknown of the core is.
    pub(super) fn unknown(&self, unknown: usize) -> usize {
        if let Some(&node) = self.node.get(unknown) {
            return node;
        }
        let item = self.pattern.extra.partition_point(|&k| k <= unknown).saturating_sub(1);
        let within = unknown - self.pattern.extra.get(item).copied().unwrap_or(unknown);
        match self.origin.get(item) {
            Some(Origin::One(index)) => self.extra[*index] + within,
            Some(Origin::Line(line)) => line.first().map_or(0, |l| self.extra[l.0]),
            None => 0,
        }
    }

    /// The unknowns that an element of the core has besides its nodes.
    fn extras(&self, item: usize) -> std::ops::Range<usize> {
        let next = self.pattern.extra.get(item + 1).copied().unwrap_or(self.pattern.size);
        self.pattern.extra[item]..next
    }

    /// The core's unknowns of those of the whole network.
    pub(super) fn gather(&self, whole: &[f64]) -> Vec<f64> {
        let mut x = vec![0.0; self.pattern.size];
        for (value, &v) in x.iter_mut().zip(&self.node) {
            *value = whole[v];
        }
        for (item, origin) in self.origin.iter().enumerate() {
            match origin {
                Origin::One(index) => {
                    for (i, k) in self.extras(item).enumerate() {
                        x[k] = whole[self.extra[*index] + i];
                    }
                }
                Origin::Line(line) => {
                    if let Some(&(first, along, _)) = line.first() {
                        let i = whole[self.extra[first]];
                        x[self.pattern.extra[item]] = if along { i } else { -i };
                    }
                }
            }
        }
        x
    }

    /// All unknowns of the whole network from the core's.
    pub(super) fn spread(&self, netlist: &Netlist, x: &[f64]) -> Vec<f64> {
        let mut whole = vec![0.0; self.whole];
        for (&value, &v) in x.iter().zip(&self.node) {
            whole[v] = value;
        }
        for (item, origin) in self.origin.iter().enumerate() {
            match origin {
                Origin::One(index) => {
                    for (i, k) in self.extras(item).enumerate() {
                        whole[self.extra[*index] + i] = x[k];
                    }
                }
                Origin::Line(line) => {
                    let i = x[self.pattern.extra[item]];
                    let Device::Branch { a, .. } = self.netlist.items[item].device else { continue };
                    let mut v = x[a];
                    for (count, &(index, along, to)) in line.iter().enumerate() {
                        whole[self.extra[index]] = if along { i } else { -i };
                        if count + 1 < line.len() {
                            v -= ohms(netlist, index) * i;
                            whole[to] = v;
                        }
                    }
                }
            }
        }
        whole
    }
}

fn ohms(netlist: &Netlist, item: usize) -> f64 {
    match netlist.items[item].device {
        Device::Branch { resistance_ohm, .. } => resistance_ohm,
        _ => 0.0,
    }
}

/// Renames the nodes of an element, and the motor of a bridge.
fn move_to(device: &mut Device, place: &[usize], item_place: &[usize]) {
    match device {
        Device::Branch { a, b, .. }
        | Device::Diode { a, b, .. }
        | Device::Load { a, b, .. }
        | Device::Motor { a, b, .. } => (*a, *b) = (place[*a], place[*b]),
        Device::Charger { plus, minus, .. } => (*plus, *minus) = (place[*plus], place[*minus]),
        Device::Converter { in_plus, in_minus, out_plus, out_minus, .. } => {
            for v in [in_plus, in_minus, out_plus, out_minus] {
                *v = place[*v];
            }
        }
        Device::Channel { plus, minus, a, b, motor, .. } => {
            for v in [plus, minus, a, b] {
                *v = place[*v];
            }
            *motor = motor.map(|m| item_place.get(m).copied().unwrap_or(usize::MAX));
        }
    }
}

/// Copies the numbers of an element, not its nodes.
fn take(to: &mut Device, from: &Device) {
    use Device::*;
    match (to, from) {
        (Branch { resistance_ohm, emf_v, .. }, &Branch { resistance_ohm: r, emf_v: e, .. }) => {
            (*resistance_ohm, *emf_v) = (r, e);
        }
        (Load { kind, current_a, nominal_v, .. }, &Load { kind: k, current_a: i, nominal_v: v, .. }) => {
            (*kind, *current_a, *nominal_v) = (k, i, v);
        }
        (Motor { resistance_ohm, kind, .. }, &Motor { resistance_ohm: r, kind: k, .. }) => {
            (*resistance_ohm, *kind) = (r, k);
        }
        (Charger { current_a, voltage_v, .. }, &Charger { current_a: i, voltage_v: v, .. }) => {
            (*current_a, *voltage_v) = (i, v);
        }
        (Channel { duty, .. }, &Channel { duty: d, .. }) => *duty = d,
        // Diodes and converters are the same in every situation.
        _ => {}
    }
}
