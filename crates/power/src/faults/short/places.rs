//! Where shorts are made, and where the return is there.

use super::types::Family;
use crate::circuit::Circuit;
use crate::paths::Ways;
use crate::solver::sweep::Place;
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Function, Landing, PartId, PlugId, Robot, WireId};
use loomdeck_space::Geometry;
use std::collections::{BTreeMap, BTreeSet};

/// A short to make.
#[derive(Clone, Debug)]
pub struct Job {
    /// Kind of place.
    pub family: Family,
    /// In words.
    pub at: String,
    /// Wires that end there, or the one shorted.
    pub wires: Vec<WireId>,
    /// The place.
    pub place: Place,
    /// A node at it.
    pub node: usize,
    /// The return there.
    pub back: usize,
}

/// Whether a wire is on the way back.
pub fn is_return(function: Function) -> bool {
    matches!(function, Function::Return | Function::SignalReturn | Function::Screen | Function::Bond)
}

/// Where the return is met.
pub struct Returns {
    /// The node at which most return wires meet.
    hub: Option<usize>,
    /// Return contacts of each plug: its board half and its body half.
    plugs: BTreeMap<PlugId, (usize, usize)>,
}

impl Returns {
    /// Of a robot.
    pub fn of(circuit: &Circuit, robot: &Robot) -> Self {
        let mut count: BTreeMap<usize, usize> = BTreeMap::new();
        let mut plugs = BTreeMap::new();
        for wire in robot.wires.iter().filter(|w| w.function == Function::Return) {
            for end in [wire.from, wire.to] {
                *count.entry(circuit.node(robot, end)).or_default() += 1;
                if let Landing::Plug { plug, contact, .. } = end
                    && let Some(&pair) = circuit.contact_node.get(&(plug, contact))
                {
                    plugs.entry(plug).or_insert(pair);
                }
            }
        }
        let hub = count.iter().max_by_key(|&(&node, &n)| (n, std::cmp::Reverse(node))).map(|h| *h.0);
        Self { hub, plugs }
    }

    /// The return beside a landing: the other pole of what sits there, a contact of the same plug, or the
    /// place where most returns meet.
    fn beside(&self, circuit: &Circuit, robot: &Robot, end: Landing) -> Option<usize> {
        let node = circuit.node(robot, end);
        match end {
            Landing::Part { part, .. } => {
                poles(circuit, robot, part).into_iter().find(|p| p.0 == node).map(|p| p.1).or(self.hub)
            }
            Landing::Plug { plug, half, .. } => match (self.plugs.get(&plug), half) {
                (Some(pair), loomdeck_model::Half::Board) => Some(pair.0),
                (Some(pair), loomdeck_model::Half::Body) => Some(pair.1),
                (None, _) => self.hub,
            },
        }
        .filter(|&back| back != node)
    }
}

/// Plus and minus of everything in a part that has poles, with the family of shorts across it.
fn poles(circuit: &Circuit, robot: &Robot, part: PartId) -> Vec<(usize, usize, Family)> {
    let at = |n| circuit.local(part, n);
    let mut all = Vec::new();
    for element in &robot.type_of(part).elements {
        match &element.kind {
            ElementKind::Battery(b) => all.push((at(b.plus), at(b.minus), Family::Source)),
            ElementKind::Charger(c) => all.push((at(c.plus), at(c.minus), Family::Source)),
            ElementKind::Converter(c) => {
                all.push((at(c.in_plus), at(c.in_minus), Family::Load));
                all.push((at(c.out_plus), at(c.out_minus), Family::Source));
            }
            ElementKind::Load(l) => all.push((at(l.plus), at(l.minus), Family::Load)),
            ElementKind::Driver(d) => all.push((at(d.plus), at(d.minus), Family::Load)),
            ElementKind::Meter(m) => all.push((at(m.plus), at(m.minus), Family::Load)),
            ElementKind::Motor(m) => all.push((at(m.a), at(m.b), Family::Load)),
            ElementKind::Capacitor(c) => all.push((at(c.plus), at(c.minus), Family::Load)),
            _ => {}
        }
    }
    all
}

/// All shorts to the return, each pair of nodes once, in the order of the wires.
pub fn jobs(circuit: &Circuit, robot: &Robot) -> Vec<Job> {
    let returns = Returns::of(circuit, robot);
    let mut all: Vec<Job> = Vec::new();
    let mut known: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for (w, wire) in robot.wires.iter().enumerate() {
        if is_return(wire.function) {
            continue;
        }
        for end in [wire.from, wire.to] {
            let node = circuit.node(robot, end);
            let Some(back) = returns.beside(circuit, robot, end) else { continue };
            if let Some(&index) = known.get(&(node, back)) {
                all[index].wires.push(WireId(w));
                continue;
            }
            known.insert((node, back), all.len());
            let family = match end {
                Landing::Plug { .. } => Family::Plug,
                Landing::Part { part, .. } => poles(circuit, robot, part)
                    .into_iter()
                    .find(|p| p.0 == node)
                    .map_or(Family::End, |p| p.2),
            };
            let at = robot.landing_word(end);
            all.push(Job { family, at, wires: vec![WireId(w)], place: Place::Node(node), node, back });
        }
        let end = [wire.to, wire.from].into_iter().find_map(|end| returns.beside(circuit, robot, end));
        if let Some(back) = end {
            all.push(Job {
                family: Family::Middle,
                at: format!("the middle of {}", wire.name),
                wires: vec![WireId(w)],
                place: Place::Along(circuit.wire_item[w], 0.5),
                node: circuit.node(robot, wire.to),
                back,
            });
        }
    }
    all
}

/// Metal pieces: nodes joined by wires and mated contacts, nothing else.
pub fn pieces(circuit: &Circuit) -> Vec<usize> {
    let mut metal = vec![false; circuit.template.items.len()];
    for &item in circuit.wire_item.iter().chain(circuit.contact_item.values()) {
        metal[item] = true;
    }
    let ways = Ways::of(&circuit.template, |i| metal[i]);
    let mut piece = vec![usize::MAX; circuit.pattern.nodes];
    for start in 0..piece.len() {
        if piece[start] != usize::MAX {
            continue;
        }
        let mut queue = vec![start];
        piece[start] = start;
        while let Some(at) = queue.pop() {
            for &(_, other) in ways.from(at) {
                if piece[other] == usize::MAX {
                    piece[other] = start;
                    queue.push(other);
                }
            }
        }
    }
    piece
}

/// Wires that lie side by side, by where: looms, cables, plugs, openings, bundles.
pub fn side_by_side(robot: &Robot, geometry: &Geometry) -> Vec<(String, Vec<WireId>)> {
    let mut groups: BTreeMap<String, BTreeSet<WireId>> = BTreeMap::new();
    for (w, wire) in robot.wires.iter().enumerate() {
        let mut join = |place: String| {
            groups.entry(place).or_default().insert(WireId(w));
        };
        if let Some(loom) = wire.loom {
            join(format!("loom {}", robot.looms[loom.0].name));
        }
        if let Some(cable) = wire.cable {
            join(format!("cable {}", robot.cables[cable.0].name));
        }
        for end in [wire.from, wire.to] {
            if let Landing::Plug { plug, .. } = end {
                join(format!("plug {}", robot.plugs[plug.0].name));
            }
        }
    }
    if let Some(board) = &robot.board {
        for fill in &geometry.fills {
            let name = format!("opening {}", board.passes[fill.pass.0].name);
            groups.entry(name).or_default().extend(fill.wires.iter().copied());
        }
    }
    for run in &geometry.wires {
        for stretch in &run.bundles {
            // Wires without a loom that are tied together all the same.
            if robot.wires.get(run.wire.0).is_some_and(|w| w.loom.is_none()) {
                let first = stretch.with.iter().chain([&run.wire]).min();
                let Some(first) = first.and_then(|f| robot.wires.get(f.0)) else { continue };
                let group = groups.entry(format!("bundle of {}", first.name)).or_default();
                group.insert(run.wire);
                group.extend(stretch.with.iter().copied());
            }
        }
    }
    groups.into_iter().map(|(place, wires)| (place, wires.into_iter().collect())).collect()
}
