//! What a deed does to the network, and which deeds are alike.

use super::types::Deed;
use crate::circuit::{Alteration, Circuit};
use loomdeck_model::element::ElementKind;
use loomdeck_model::wire::Gauge;
use loomdeck_model::{Half, Landing, PartId, PlugId, Robot};
use std::collections::BTreeMap;

/// Contacts of a plug that have a wire on either half.
fn contacts(circuit: &Circuit, plug: PlugId) -> impl Iterator<Item = u32> + '_ {
    circuit.contact_item.range((plug, 0)..=(plug, u32::MAX)).map(|(&(_, c), _)| c)
}

/// The changes of the network.
pub fn alterations(robot: &Robot, circuit: &Circuit, deed: Deed) -> Vec<Alteration> {
    let mut changes = Vec::new();
    match deed {
        Deed::Wrong { body, board, reversed } => {
            mated(robot, circuit, body, board, reversed, &mut changes);
            open(circuit, body, &mut changes);
        }
        Deed::Swapped { one, other } => {
            mated(robot, circuit, one, other, false, &mut changes);
            mated(robot, circuit, other, one, false, &mut changes);
        }
        Deed::Reversed { plug } => mated(robot, circuit, plug, plug, true, &mut changes),
        Deed::Out { plug } => open(circuit, plug, &mut changes),
    }
    changes
}

/// The contacts of a board half lead to another body half.
fn mated(
    robot: &Robot,
    circuit: &Circuit,
    body: PlugId,
    board: PlugId,
    reversed: bool,
    changes: &mut Vec<Alteration>,
) {
    let count = robot.family_of(board).map_or(0, |f| f.contacts);
    for contact in contacts(circuit, board) {
        let item = circuit.contact_item[&(board, contact)];
        let facing = if reversed { count + 1 - contact } else { contact };
        changes.push(match circuit.contact_node.get(&(body, facing)) {
            Some(&(_, b)) => Alteration::Lead { item, a: circuit.contact_node[&(board, contact)].0, b },
            None => Alteration::Cut { item },
        });
    }
}

fn open(circuit: &Circuit, plug: PlugId, changes: &mut Vec<Alteration>) {
    changes.extend(
        contacts(circuit, plug).map(|c| Alteration::Cut { item: circuit.contact_item[&(plug, c)] }),
    );
}

/// Pieces of metal, as roots per node.
pub struct Metal(Vec<usize>);

impl Metal {
    /// Joined by these pairs.
    pub fn of(nodes: usize, pairs: impl IntoIterator<Item = (usize, usize)>) -> Self {
        let mut parent: Vec<usize> = (0..nodes).collect();
        fn root(parent: &mut [usize], mut v: usize) -> usize {
            while parent[v] != v {
                parent[v] = parent[parent[v]];
                v = parent[v];
            }
            v
        }
        for (a, b) in pairs {
            let (ra, rb) = (root(&mut parent, a), root(&mut parent, b));
            parent[ra.max(rb)] = ra.min(rb);
        }
        Self((0..nodes).map(|v| root(&mut parent, v)).collect())
    }

    /// The piece a node belongs to.
    pub fn piece(&self, node: usize) -> usize {
        self.0[node]
    }

    /// Whether two nodes are one piece.
    pub fn joined(&self, a: usize, b: usize) -> bool {
        self.0[a] == self.0[b]
    }
}

/// A piece of metal with more ends of wires than this is a rail: it is itself, whatever hangs on it.
const RAIL: usize = 8;

/// What hangs on the halves of the plugs, as numbers that are equal where the contents are.
///
/// The contents of a contact are the terminals that its piece of metal leads to: type, terminal, size of
/// the wires, and what the part does in every situation; behind a fuse also the fuse and the piece beyond. A
/// rail is only like itself, and so is a part that hangs on something else as well.
pub struct Contents {
    board: Vec<usize>,
    body: Vec<usize>,
}

impl Contents {
    /// Of all plugs.
    pub fn of(robot: &Robot, circuit: &Circuit) -> Self {
        let describer = Describer::of(robot, circuit);
        let mut known: BTreeMap<String, usize> = BTreeMap::new();
        let mut number = |text: String| {
            let next = known.len();
            *known.entry(text).or_insert(next)
        };
        let plugs = || (0..robot.plugs.len()).map(PlugId);
        Self {
            board: plugs().map(|p| number(describer.half(p, Half::Board))).collect(),
            body: plugs().map(|p| number(describer.half(p, Half::Body))).collect(),
        }
    }

    /// Equal for deeds with equal contents.
    pub fn key(&self, deed: Deed) -> (u8, [usize; 4]) {
        let both =
            |a: PlugId, b: PlugId| [self.body[a.0], self.board[a.0], self.body[b.0], self.board[b.0]];
        match deed {
            Deed::Wrong { body, board, reversed } => (u8::from(reversed), both(body, board)),
            Deed::Swapped { one, other } => (2, both(one, other).min(both(other, one))),
            Deed::Reversed { plug } => (3, both(plug, plug)),
            Deed::Out { plug } => (4, both(plug, plug)),
        }
    }
}

struct Describer<'a> {
    robot: &'a Robot,
    circuit: &'a Circuit,
    /// Joined by wires and switches.
    metal: Metal,
    /// Ends of wires by piece, with the wire's size.
    ends: BTreeMap<usize, Vec<(Landing, Gauge)>>,
}

impl<'a> Describer<'a> {
    fn of(robot: &'a Robot, circuit: &'a Circuit) -> Self {
        let node = |landing| circuit.node(robot, landing);
        let wires = robot.wires.iter().map(|w| (node(w.from), node(w.to)));
        let metal = Metal::of(circuit.template.nodes.len(), wires.chain(switched(robot, circuit)));
        let mut ends: BTreeMap<usize, Vec<(Landing, Gauge)>> = BTreeMap::new();
        for wire in &robot.wires {
            for end in [wire.from, wire.to] {
                ends.entry(metal.piece(node(end))).or_default().push((end, wire.gauge));
            }
        }
        Self { robot, circuit, metal, ends }
    }

    fn piece(&self, landing: Landing) -> usize {
        self.metal.piece(self.circuit.node(self.robot, landing))
    }

    /// The contents of a half in words that are equal where the contents are.
    fn half(&self, plug: PlugId, half: Half) -> String {
        let pieces: Vec<(u32, usize)> = contacts(self.circuit, plug)
            .map(|contact| (contact, self.piece(Landing::Plug { plug, half, contact })))
            .collect();
        let mut text = format!("{}", self.robot.plugs[plug.0].family.0);
        let mut met: Vec<PartId> = Vec::new();
        for &(contact, piece) in &pieces {
            text += &format!("|{contact}");
            let ends = self.ends.get(&piece).map_or(&[][..], |e| &e[..]);
            if ends.len() > RAIL {
                text += &format!(" rail {piece}");
                continue;
            }
            let mut words: Vec<(String, PartId)> = Vec::new();
            for (end, gauge) in ends {
                match *end {
                    Landing::Part { part, terminal } => {
                        let kind = self.robot.parts[part.0].kind.0;
                        words.push((format!("{kind}.{terminal} {gauge}"), part));
                    }
                    Landing::Plug { plug: p, half: h, .. } if (p, h) != (plug, half) => {
                        text += &format!(" plug {} {h:?}", p.0);
                    }
                    Landing::Plug { .. } => text += &format!(" {gauge}"),
                }
            }
            words.sort();
            for (word, part) in words {
                let index = met.iter().position(|p| *p == part).unwrap_or(met.len());
                if index == met.len() {
                    met.push(part);
                }
                text += &format!(" {word} #{index}");
            }
        }
        let own: Vec<usize> = pieces.iter().map(|p| p.1).collect();
        for part in met {
            text += &format!(";{}", self.part(part, &own));
        }
        text
    }

    /// What a part holds, does, and where it leads to besides.
    fn part(&self, part: PartId, own: &[usize]) -> String {
        let robot = self.robot;
        let does: Vec<String> = robot
            .situations
            .iter()
            .map(|s| {
                let (load, motor) = (s.activity.get(&part), s.motors.get(&part));
                format!("{load:?} {motor:?} {} {}", s.closed.contains(&part), s.powered.contains(&part))
            })
            .collect();
        let mut text = format!("{:?} {does:?}", robot.parts[part.0].fuses);
        for element in &robot.type_of(part).elements {
            if let ElementKind::FuseWay(e) = &element.kind {
                for node in [e.a, e.b] {
                    let piece = self.metal.piece(self.circuit.local(part, node));
                    match own.iter().position(|p| *p == piece) {
                        Some(index) => text += &format!(" own {index}"),
                        None => text += &format!(" to {piece}"),
                    }
                }
            }
        }
        let fuses =
            robot.type_of(part).elements.iter().all(|e| matches!(e.kind, ElementKind::FuseWay(_)));
        let elsewhere = robot.wires.iter().flat_map(|w| [w.from, w.to]).any(|end| {
            matches!(end, Landing::Part { part: p, .. } if p == part) && !own.contains(&self.piece(end))
        });
        if elsewhere && !fuses {
            text += &format!(" only {}", part.0);
        }
        text
    }
}

/// Nodes joined by switches.
fn switched(robot: &Robot, circuit: &Circuit) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for part in (0..robot.parts.len()).map(PartId) {
        for element in &robot.type_of(part).elements {
            let at = |n| circuit.local(part, n);
            match &element.kind {
                ElementKind::Switch(e) => pairs.push((at(e.a), at(e.b))),
                ElementKind::Contactor(e) => pairs.push((at(e.a), at(e.b))),
                ElementKind::Protection(e) => pairs.push((at(e.a), at(e.b))),
                _ => {}
            }
        }
    }
    pairs
}
