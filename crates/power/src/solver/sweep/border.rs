//! What a short adds to the network: the rows its current changes, and what tells its voltage.

use super::{Place, Sweep};
use crate::netlist::Device;

/// Rows that a unit of current drawn at a place changes, and what tells its voltage.
#[derive(Clone, Debug, Default)]
pub(super) struct Port {
    pub(super) draw: Vec<(usize, f64)>,
    pub(super) sense: Vec<(usize, f64)>,
    /// Core item and resistance up to the place.
    pub(super) along: Option<(usize, f64)>,
}

/// What a short adds to the network.
#[derive(Clone, Debug, Default)]
pub(super) struct Border {
    /// Rows its current changes.
    pub(super) u: Vec<(usize, f64)>,
    /// What tells the voltage across it.
    pub(super) w: Vec<(usize, f64)>,
    pub(super) ohms: f64,
}

pub(super) fn dot(sparse: &[(usize, f64)], x: &[f64]) -> f64 {
    sparse.iter().map(|&(at, value)| value * x[at]).sum()
}

impl Sweep<'_> {
    /// Whether a current that leaves one place can come back at the other.
    pub(super) fn joined(&self, a: Place, b: Place) -> bool {
        let node = |place: Place| match place {
            Place::Node(v) => Some(v),
            Place::Along(item, _) => {
                let (line, at) = self.whole.item.get(item).copied().flatten()?;
                self.whole.branches[line].get(at).map(|b| b.2)
            }
        };
        match (node(a), node(b)) {
            (Some(a), Some(b)) => {
                self.fed.nodes[a] && self.fed.nodes[b] && self.fed.part[a] == self.fed.part[b]
            }
            _ => false,
        }
    }

    pub(super) fn port(&self, place: Place) -> Option<Port> {
        let (line, before) = match place {
            Place::Node(v) => match (self.whole.node[v], self.whole.joint[v]) {
                (Some(node), _) => {
                    let draw = if self.held[node] { Vec::new() } else { vec![(node, 1.0)] };
                    return Some(Port { draw, sense: vec![(node, 1.0)], along: None });
                }
                (None, Some((line, count))) => {
                    (line, self.whole.branches[line][..count].iter().map(|b| b.3).sum())
                }
                (None, None) => return None,
            },
            Place::Along(item, share) => {
                let (line, at) = self.whole.item.get(item).copied().flatten()?;
                let branches = &self.whole.branches[line];
                let &(_, along, _, ohms) = branches.get(at)?;
                let first: f64 = branches[..at].iter().map(|b| b.3).sum();
                (line, first + ohms * if along { share } else { 1.0 - share })
            }
        };
        let Device::Branch { a, b, resistance_ohm, .. } = self.netlist.items[line].device else {
            return None;
        };
        let k = self.core.pattern.extra[line];
        let mut draw = vec![(k, resistance_ohm - before)];
        if !self.held[b] {
            draw.push((b, 1.0));
        }
        Some(Port { draw, sense: vec![(a, 1.0), (k, -before)], along: Some((line, before)) })
    }

    /// What a short adds; `None` when nothing else joins the places.
    pub(super) fn border(&self, a: Place, b: Place, ohms: f64) -> Option<Border> {
        let (p, q) = (self.port(a)?, self.port(b)?);
        if !self.joined(a, b) {
            return None;
        }
        let mut border = Border::default();
        border.u.extend(p.draw.iter().copied());
        border.u.extend(q.draw.iter().map(|&(row, value)| (row, -value)));
        border.w.extend(p.sense.iter().copied());
        border.w.extend(q.sense.iter().map(|&(column, value)| (column, -value)));
        border.ohms = ohms;
        if let (Some((one, from)), Some((other, to))) = (p.along, q.along)
            && one == other
        {
            border.ohms += (from - to).abs();
        }
        Some(border)
    }
}
