//! How the whole network lies on its core: which line of branches each item is part of, and where.

use crate::netlist::{Device, Netlist};
use crate::solver::assembly::Pattern;
use crate::solver::core::Core;

/// How the whole network's branches lie on the core's.
#[derive(Debug, Default)]
pub(super) struct Lines {
    /// The core's node of each node that it keeps.
    pub(super) node: Vec<Option<usize>>,
    /// Core item and place in its line of each node that it does not keep: behind that many branches.
    pub(super) joint: Vec<Option<(usize, usize)>>,
    /// Core item and place in its line of each branch.
    pub(super) item: Vec<Option<(usize, usize)>>,
    /// Branches of each core item: item, whether it points along, node it leads to, resistance.
    pub(super) branches: Vec<Vec<(usize, bool, usize, f64)>>,
    /// First further unknown of each item.
    pub(super) extra: Vec<usize>,
    /// The whole network's unknown that each of the core's is, with its sign.
    pub(super) unknown: Vec<(usize, f64)>,
    pub(super) size: usize,
}

impl Lines {
    pub(super) fn of(core: &Core, netlist: &Netlist, pattern: &Pattern) -> Self {
        // The core's unknowns of numbered ones tell which is which, and which way a line points.
        let numbered: Vec<f64> = (0..pattern.size).map(|i| i as f64 + 1.0).collect();
        let found = core.gather(&numbered);
        let mut lines = Self {
            node: vec![None; pattern.nodes],
            joint: vec![None; pattern.nodes],
            item: vec![None; netlist.items.len()],
            branches: vec![Vec::new(); core.netlist.items.len()],
            extra: pattern.extra.clone(),
            unknown: found.iter().map(|n| (n.abs() as usize - 1, n.signum())).collect(),
            size: pattern.size,
        };
        for (place, &number) in found[..core.pattern.nodes].iter().enumerate() {
            lines.node[number as usize - 1] = Some(place);
        }
        let mut around: Vec<Vec<usize>> = vec![Vec::new(); pattern.nodes];
        for (index, item) in netlist.items.iter().enumerate() {
            if let Device::Branch { a, b, .. } = item.device {
                for v in [a, b] {
                    if lines.node[v].is_none() {
                        around[v].push(index);
                    }
                }
            }
        }
        for (place, item) in core.netlist.items.iter().enumerate() {
            let Device::Branch { .. } = item.device else { continue };
            let number = found[core.pattern.extra[place]];
            let unknown = number.abs() as usize - 1;
            let index = pattern.extra.partition_point(|&k| k <= unknown).saturating_sub(1);
            lines.walk(place, netlist, &around, index, number > 0.0);
        }
        lines
    }

    /// Follows the line of a core item from its first branch.
    fn walk(
        &mut self,
        place: usize,
        netlist: &Netlist,
        around: &[Vec<usize>],
        mut index: usize,
        mut along: bool,
    ) {
        while let Device::Branch { a, b, resistance_ohm, .. } = netlist.items[index].device {
            let to = if along { b } else { a };
            let count = self.branches[place].len();
            self.item[index] = Some((place, count));
            self.branches[place].push((index, along, to, resistance_ohm));
            if self.node[to].is_some() {
                break;
            }
            self.joint[to] = Some((place, count + 1));
            let Some(&next) = around[to].iter().find(|&&i| i != index) else { break };
            let Device::Branch { a, .. } = netlist.items[next].device else { break };
            (index, along) = (next, a == to);
            if self.item[index].is_some() {
                break;
            }
        }
    }
}
