//! Ways from a consumer back to the source that feeds it, over wires, contacts, fuses and closed
//! switches.

use crate::circuit::Circuit;
use crate::netlist::{Device, Netlist};
use crate::operate::elements;
use loomdeck_model::element::ElementKind;
use loomdeck_model::{PartId, Robot};
use std::collections::{BTreeMap, VecDeque};

/// Something that holds up a rail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// The part.
    pub part: PartId,
    /// Its positive node.
    pub plus: usize,
    /// Its negative node.
    pub minus: usize,
    /// A battery (whose negative may be that of another in series).
    pub battery: bool,
}

/// Batteries, converters and powered chargers that are active, in order.
pub fn sources(circuit: &Circuit, robot: &Robot, netlist: &Netlist) -> Vec<Source> {
    elements(circuit)
        .filter_map(|(part, e, item)| {
            let at = |n| circuit.local(part, n);
            let (plus, minus, battery) = match &robot.type_of(part).elements[e].kind {
                ElementKind::Battery(b) => (at(b.plus), at(b.minus), true),
                ElementKind::Converter(c) => (at(c.out_plus), at(c.out_minus), false),
                ElementKind::Charger(c) => (at(c.plus), at(c.minus), false),
                _ => return None,
            };
            netlist.items[item].active.then_some(Source { part, plus, minus, battery })
        })
        .collect()
}

/// A tree of shortest ways from a set of roots.
#[derive(Clone, Debug)]
pub struct Tree {
    /// Item and node towards the root.
    towards: Vec<Option<(usize, usize)>>,
    /// Which root.
    root: Vec<Option<usize>>,
}

impl Tree {
    /// Root from which a node is reached.
    pub fn root(&self, node: usize) -> Option<usize> {
        self.root[node]
    }

    /// Items on the way from a node to its root.
    pub fn way(&self, node: usize) -> Vec<usize> {
        let mut items = Vec::new();
        let mut at = node;
        while let Some((item, next)) = self.towards[at] {
            items.push(item);
            at = next;
        }
        items
    }
}

/// Which items conduct, and between which nodes, as a walkable graph.
#[derive(Clone, Debug)]
pub struct Ways {
    start: Vec<usize>,
    around: Vec<(usize, usize)>,
}

impl Ways {
    /// Of the items for which `take` holds: branches without electromotive force below an ohm, and
    /// diodes.
    pub fn of(netlist: &Netlist, take: impl Fn(usize) -> bool) -> Self {
        let n = netlist.nodes.len();
        let edges: Vec<(usize, usize, usize)> = netlist
            .items
            .iter()
            .enumerate()
            .filter(|&(index, _)| take(index))
            .filter_map(|(index, item)| match item.device {
                Device::Branch { a, b, emf_v, resistance_ohm }
                    if emf_v == 0.0 && resistance_ohm < 1.0 =>
                {
                    Some((index, a, b))
                }
                Device::Diode { a, b, .. } => Some((index, a, b)),
                _ => None,
            })
            .collect();
        let mut start = vec![0; n + 1];
        for &(_, a, b) in &edges {
            start[a + 1] += 1;
            start[b + 1] += 1;
        }
        for v in 0..n {
            start[v + 1] += start[v];
        }
        let mut next = start.clone();
        let mut around = vec![(0, 0); edges.len() * 2];
        for (item, a, b) in edges {
            around[next[a]] = (item, b);
            next[a] += 1;
            around[next[b]] = (item, a);
            next[b] += 1;
        }
        Self { start, around }
    }

    /// Neighbours of a node: item and node.
    pub fn from(&self, node: usize) -> &[(usize, usize)] {
        &self.around[self.start[node]..self.start[node + 1]]
    }

    /// Which piece each node belongs to, by number.
    pub fn pieces(&self) -> Vec<usize> {
        let n = self.start.len() - 1;
        let mut piece = vec![usize::MAX; n];
        let mut stack = Vec::new();
        for first in 0..n {
            if piece[first] != usize::MAX {
                continue;
            }
            piece[first] = first;
            stack.push(first);
            while let Some(node) = stack.pop() {
                for &(_, other) in self.from(node) {
                    if piece[other] == usize::MAX {
                        piece[other] = first;
                        stack.push(other);
                    }
                }
            }
        }
        piece
    }

    /// Shortest ways (by number of items) to the nearest of the roots.
    pub fn tree(&self, roots: impl IntoIterator<Item = usize>) -> Tree {
        let n = self.start.len() - 1;
        let mut tree = Tree { towards: vec![None; n], root: vec![None; n] };
        let mut queue = VecDeque::new();
        for root in roots {
            if tree.root[root].is_none() {
                tree.root[root] = Some(root);
                queue.push_back(root);
            }
        }
        while let Some(node) = queue.pop_front() {
            for &(item, other) in self.from(node) {
                if tree.root[other].is_none() {
                    tree.root[other] = tree.root[node];
                    tree.towards[other] = Some((item, node));
                    queue.push_back(other);
                }
            }
        }
        tree
    }
}

/// A consumer's source with the items of the way there and back.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// The source.
    pub source: Source,
    /// Node of the source's negative that the return leads to.
    pub minus: usize,
    /// Items of the positive side.
    pub there: Vec<usize>,
    /// Items of the return.
    pub back: Vec<usize>,
}

/// Finds feeds in one state of the network.
#[derive(Debug)]
pub struct Finder {
    sources: Vec<Source>,
    ways: Ways,
    plus: Tree,
    minus: BTreeMap<usize, Tree>,
}

impl Finder {
    /// Prepares for one state of the network; only items for which `take` holds are walked.
    pub fn of(
        circuit: &Circuit,
        robot: &Robot,
        netlist: &Netlist,
        take: impl Fn(usize) -> bool,
    ) -> Self {
        let sources = sources(circuit, robot, netlist);
        let ways = Ways::of(netlist, take);
        let plus = ways.tree(sources.iter().map(|s| s.plus));
        Self { sources, ways, plus, minus: BTreeMap::new() }
    }

    /// The feed of a consumer by its two nodes.
    pub fn feed(&mut self, plus: usize, minus: usize) -> Option<Feed> {
        let root = self.plus.root(plus)?;
        let source = *self.sources.iter().find(|s| s.plus == root)?;
        let key = if source.battery { usize::MAX } else { source.minus };
        let (ways, sources) = (&self.ways, &self.sources);
        let tree = self.minus.entry(key).or_insert_with(|| {
            if source.battery {
                ways.tree(sources.iter().filter(|s| s.battery).map(|s| s.minus))
            } else {
                ways.tree([source.minus])
            }
        });
        let end = tree.root(minus)?;
        Some(Feed { source, minus: end, there: self.plus.way(plus), back: tree.way(minus) })
    }
}
