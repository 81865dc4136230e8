//! What a deed does to the network, and which deeds are alike.

use super::types::Deed;
use crate::circuit::{Alteration, Circuit};
use loomdeck_model::element::ElementKind;
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

/// What hangs on the halves of the plugs, as numbers that are equal where the contents are.
///
/// The contents of a contact are the terminals its wires lead to: type, terminal, fuses, size of the
/// wires, and what the part does in every situation. On the board half it is also the piece of metal with
/// all switches closed and all fuses in. A part that also hangs on something else is only like itself.
pub struct Contents {
    board: Vec<usize>,
    body: Vec<usize>,
}

impl Contents {
    /// Of all plugs.
    pub fn of(robot: &Robot, circuit: &Circuit) -> Self {
        let wires = |w: usize| {
            (circuit.node(robot, robot.wires[w].from), circuit.node(robot, robot.wires[w].to))
        };
        let local = Metal::of(circuit.template.nodes.len(), (0..robot.wires.len()).map(wires));
        let wide = Metal::of(
            circuit.template.nodes.len(),
            (0..robot.wires.len()).map(wires).chain(closed(robot, circuit)),
        );
        let mut known: BTreeMap<String, usize> = BTreeMap::new();
        let mut number = |text: String| {
            let next = known.len();
            *known.entry(text).or_insert(next)
        };
        let plugs = || (0..robot.plugs.len()).map(PlugId);
        let half = |plug: PlugId, half: Half| describe(robot, circuit, &local, &wide, plug, half);
        Self {
            board: plugs().map(|p| number(half(p, Half::Board))).collect(),
            body: plugs().map(|p| number(half(p, Half::Body))).collect(),
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

/// Nodes joined by closed switches and fuses.
fn closed(robot: &Robot, circuit: &Circuit) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for part in (0..robot.parts.len()).map(PartId) {
        for element in &robot.type_of(part).elements {
            let at = |n| circuit.local(part, n);
            match &element.kind {
                ElementKind::Switch(e) => pairs.push((at(e.a), at(e.b))),
                ElementKind::FuseWay(e) => pairs.push((at(e.a), at(e.b))),
                ElementKind::Contactor(e) => pairs.push((at(e.a), at(e.b))),
                ElementKind::Protection(e) => pairs.push((at(e.a), at(e.b))),
                _ => {}
            }
        }
    }
    pairs
}

/// The contents of a half in words that are equal where the contents are.
fn describe(
    robot: &Robot,
    circuit: &Circuit,
    local: &Metal,
    wide: &Metal,
    plug: PlugId,
    half: Half,
) -> String {
    let mut met: Vec<PartId> = Vec::new();
    let pieces: Vec<(u32, usize)> = contacts(circuit, plug)
        .map(|c| (c, circuit.node(robot, Landing::Plug { plug, half, contact: c })))
        .collect();
    let mine: Vec<usize> = pieces.iter().map(|(_, n)| local.piece(*n)).collect();
    let mut text = format!("{}", robot.plugs[plug.0].family.0);
    for (contact, node) in &pieces {
        text += &format!("|{contact}");
        if half == Half::Board {
            text += &format!(" net {}", wide.piece(*node));
        }
        let mut ends: Vec<(String, PartId, usize)> = Vec::new();
        for wire in &robot.wires {
            for end in [wire.from, wire.to] {
                if !local.joined(circuit.node(robot, end), *node) {
                    continue;
                }
                match end {
                    Landing::Part { part, terminal } => {
                        let kind = robot.parts[part.0].kind.0;
                        ends.push((format!("{kind}.{terminal} {}", wire.gauge), part, terminal));
                    }
                    Landing::Plug { plug: p, half: h, .. } if (p, h) != (plug, half) => {
                        text += &format!(" plug {} {h:?}", p.0);
                    }
                    Landing::Plug { .. } => {}
                }
            }
        }
        ends.sort();
        for (word, part, _) in ends {
            let known = met.iter().position(|p| *p == part);
            let index = known.unwrap_or(met.len());
            if known.is_none() {
                met.push(part);
            }
            text += &format!(" {word} #{index}");
        }
    }
    for part in met {
        text += &format!(";{}", doing(robot, part));
        if half == Half::Body && hangs_elsewhere(robot, circuit, local, &mine, part) {
            text += &format!(" only {}", part.0);
        }
    }
    text
}

/// What a part holds and does.
fn doing(robot: &Robot, part: PartId) -> String {
    let fuses = &robot.parts[part.0].fuses;
    let does: Vec<String> = robot
        .situations
        .iter()
        .map(|s| {
            let (load, motor) = (s.activity.get(&part), s.motors.get(&part));
            format!("{load:?} {motor:?} {} {}", s.closed.contains(&part), s.powered.contains(&part))
        })
        .collect();
    format!("{fuses:?} {does:?}")
}

/// Whether a part has a wire that does not lead to these pieces of metal.
fn hangs_elsewhere(
    robot: &Robot,
    circuit: &Circuit,
    local: &Metal,
    pieces: &[usize],
    part: PartId,
) -> bool {
    robot.wires.iter().flat_map(|w| [w.from, w.to]).any(|end| {
        matches!(end, Landing::Part { part: p, .. } if p == part)
            && !pieces.contains(&local.piece(circuit.node(robot, end)))
    })
}
