//! What a short adds to the network: the rows its current changes, and what tells its voltage.

use super::{Place, Sweep};
use crate::netlist::Device;
use std::ops::Deref;

/// Places with their numbers: as many as a short touches.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Few {
    count: usize,
    all: [(usize, f64); 4],
}

impl Few {
    /// A short has two ends, and each of them two places: there are never more than fit.
    fn extend(&mut self, by: impl Iterator<Item = (usize, f64)>) {
        for (to, one) in self.all[self.count..].iter_mut().zip(by) {
            *to = one;
            self.count += 1;
        }
    }
}

impl Deref for Few {
    type Target = [(usize, f64)];

    fn deref(&self) -> &Self::Target {
        &self.all[..self.count]
    }
}

/// Rows that a unit of current drawn at a place changes, and what tells its voltage.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Port {
    pub(super) draw: Few,
    pub(super) sense: Few,
    /// Core item and resistance up to the place.
    pub(super) along: Option<(usize, f64)>,
}

/// What a short adds to the network.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Border {
    /// Rows its current changes.
    pub(super) u: Few,
    /// What tells the voltage across it.
    pub(super) w: Few,
    pub(super) ohms: f64,
    /// Where on a line of branches its ends lie.
    pub(super) ends: [Option<(usize, f64)>; 2],
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
        let mut port = Port::default();
        let (line, before) = match place {
            Place::Node(v) => match (self.whole.node[v], self.whole.joint[v]) {
                (Some(node), _) => {
                    port.draw.extend((!self.held[node]).then_some((node, 1.0)).into_iter());
                    port.sense.extend([(node, 1.0)].into_iter());
                    return Some(port);
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
        port.draw.extend([(k, resistance_ohm - before)].into_iter());
        port.draw.extend((!self.held[b]).then_some((b, 1.0)).into_iter());
        port.sense.extend([(a, 1.0), (k, -before)].into_iter());
        port.along = Some((line, before));
        Some(port)
    }

    /// What a short adds; `None` when nothing else joins the places.
    pub(super) fn border(&self, a: Place, b: Place, ohms: f64) -> Option<Border> {
        let (p, q) = (self.port(a)?, self.port(b)?);
        if !self.joined(a, b) {
            return None;
        }
        let mut border = Border { ohms, ends: [p.along, q.along], ..Border::default() };
        border.u.extend(p.draw.iter().copied());
        border.u.extend(q.draw.iter().map(|&(row, value)| (row, -value)));
        border.w.extend(p.sense.iter().copied());
        border.w.extend(q.sense.iter().map(|&(column, value)| (column, -value)));
        if let (Some((one, from)), Some((other, to))) = (p.along, q.along)
            && one == other
        {
            border.ohms += (from - to).abs();
        }
        Some(border)
    }
}
