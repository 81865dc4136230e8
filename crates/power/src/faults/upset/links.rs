//! Which output drives which input, over wires, mated plugs and slip rings.

use super::part_of;
use super::types::{Clash, Kind, Link};
use crate::faults::Ground;
use crate::faults::exchange::network::Metal;
use crate::netlist::Device;
use loomdeck_model::element::ElementKind;
use loomdeck_model::part_type::{Signal, SignalDirection, TerminalRole};
use loomdeck_model::{Landing, PartId};

/// A signal terminal.
struct End {
    part: PartId,
    landing: Landing,
    node: usize,
    kind: Kind,
    signal: Signal,
}

/// All links, and outputs that meet.
pub fn all(ground: &Ground<'_>) -> (Vec<Link>, Vec<Clash>) {
    let robot = ground.robot;
    let metal = metal(ground);
    let wired = |landing: Landing| robot.wires.iter().any(|w| w.from == landing || w.to == landing);
    let mut ends = Vec::new();
    for part in (0..robot.parts.len()).map(PartId) {
        for (terminal, t) in robot.type_of(part).terminals.iter().enumerate() {
            let Some(signal) = t.signal else { continue };
            let landing = Landing::Part { part, terminal };
            if wired(landing) {
                let kind = if t.role == TerminalRole::Audio { Kind::Audio } else { Kind::Logic };
                ends.push(End {
                    part,
                    landing,
                    node: ground.circuit.node(robot, landing),
                    kind,
                    signal,
                });
            }
        }
    }
    let (mut links, mut clashes) = (Vec::new(), Vec::new());
    for (i, a) in ends.iter().enumerate() {
        for (j, b) in ends.iter().enumerate() {
            if a.part == b.part || !metal.joined(a.node, b.node) {
                continue;
            }
            match (a.signal.direction, b.signal.direction) {
                (SignalDirection::Output, SignalDirection::Output) if i < j => clashes.push(Clash {
                    parts: [a.part, b.part],
                    names: [a, b].map(|e| robot.landing_word(e.landing)),
                }),
                (SignalDirection::Output, SignalDirection::Input | SignalDirection::Both) => {
                    links.push(link(ground, &metal, a, b));
                }
                (SignalDirection::Both, SignalDirection::Input) => {
                    links.push(link(ground, &metal, a, b));
                }
                (SignalDirection::Both, SignalDirection::Both) if i < j => {
                    links.push(link(ground, &metal, a, b));
                }
                _ => {}
            }
        }
    }
    (links, clashes)
}

fn link(ground: &Ground<'_>, metal: &Metal, from: &End, to: &End) -> Link {
    let robot = ground.robot;
    let grounds = ground_of(ground, from.part).zip(ground_of(ground, to.part));
    Link {
        from: from.landing,
        from_name: robot.landing_word(from.landing),
        to: to.landing,
        to_name: robot.landing_word(to.landing),
        kind: to.kind,
        sends_v: from.signal.level.0,
        wants_v: to.signal.level.0,
        bears_v: to.signal.damage.map(|d| d.0),
        isolated: from.signal.isolated || to.signal.isolated,
        // A part without a ground of its own has nothing to be joined.
        common: grounds.is_none_or(|(a, b)| metal.joined(a, b)),
        shifts: Vec::new(),
        cause: None,
    }
}

/// The node a part measures its signals against: the return of its signals, else of its supply.
pub fn ground_of(ground: &Ground<'_>, part: PartId) -> Option<usize> {
    let terminals = &ground.robot.type_of(part).terminals;
    [TerminalRole::SignalReturn, TerminalRole::Return].into_iter().find_map(|role| {
        let t = terminals.iter().find(|t| t.role == role)?;
        Some(ground.circuit.local(part, t.node))
    })
}

/// Grounds of output and input of a link.
pub fn grounds(ground: &Ground<'_>, link: &Link) -> Option<(usize, usize)> {
    let of = |landing| ground_of(ground, part_of(landing)?);
    of(link.from).zip(of(link.to))
}

/// What is joined by wires, plugs, slip rings, fuses and switches when all are closed.
fn metal(ground: &Ground<'_>) -> Metal {
    let (robot, circuit) = (ground.robot, &ground.circuit);
    let mut items: Vec<usize> = circuit.wire_item.clone();
    items.extend(circuit.contact_item.values());
    for (index, _) in robot.parts.iter().enumerate() {
        for (e, element) in robot.type_of(PartId(index)).elements.iter().enumerate() {
            let span = circuit.element_item[index][e]..circuit.element_item[index][e + 1];
            match &element.kind {
                ElementKind::Switch(_)
                | ElementKind::FuseWay(_)
                | ElementKind::Protection(_)
                | ElementKind::SlipRing(_) => items.extend(span),
                ElementKind::Contactor(_) => items.extend(span.skip(1)),
                _ => {}
            }
        }
    }
    let ends = |item: usize| match circuit.template.items[item].device {
        Device::Branch { a, b, .. } => Some((a, b)),
        _ => None,
    };
    Metal::of(circuit.template.nodes.len(), items.into_iter().filter_map(ends))
}
