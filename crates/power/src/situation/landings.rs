//! What every situation tells of: the terminals and contacts, and the wires on them.

use crate::circuit::Circuit;
use loomdeck_model::{Half, Landing, PartId, Robot, WireId};

/// The landings of a robot, in the order in which results list them.
#[derive(Clone, Debug)]
pub struct Landings {
    /// Each with its node and its name.
    pub all: Vec<(Landing, usize, String)>,
    /// Places in `all` of the two ends of every wire.
    pub ends: Vec<[usize; 2]>,
    /// Wires that end in a part at each node, one that begins and ends there twice.
    pub on_node: Vec<Vec<WireId>>,
}

impl Landings {
    /// Of a robot.
    pub fn of(robot: &Robot, circuit: &Circuit) -> Self {
        let mut all: Vec<Landing> = Vec::new();
        let mut first = Vec::with_capacity(robot.parts.len());
        for part in (0..robot.parts.len()).map(PartId) {
            first.push(all.len());
            let terminals = 0..robot.type_of(part).terminals.len();
            all.extend(terminals.map(|terminal| Landing::Part { part, terminal }));
        }
        let contacts = all.len();
        let keys: Vec<_> = circuit.contact_node.keys().copied().collect();
        for &(plug, contact) in &keys {
            all.extend([Half::Board, Half::Body].map(|half| Landing::Plug { plug, half, contact }));
        }
        let place = |landing| match landing {
            Landing::Part { part, terminal } => first[part.0] + terminal,
            Landing::Plug { plug, half, contact } => {
                let at = keys.partition_point(|&key| key < (plug, contact));
                contacts + 2 * at + usize::from(half == Half::Body)
            }
        };
        let ends = robot.wires.iter().map(|w| [place(w.from), place(w.to)]).collect();
        let mut on_node = vec![Vec::new(); circuit.pattern.nodes];
        for (w, wire) in robot.wires.iter().enumerate() {
            for end in [wire.from, wire.to] {
                if matches!(end, Landing::Part { .. }) {
                    on_node[circuit.node(robot, end)].push(WireId(w));
                }
            }
        }
        let named = |l: Landing| (l, circuit.node(robot, l), robot.landing_word(l));
        Self { all: all.into_iter().map(named).collect(), ends, on_node }
    }
}
