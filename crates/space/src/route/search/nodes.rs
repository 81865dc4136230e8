//! Nodes of a search: those that are no corners, with their links, and how every node was reached.

use crate::route::scene::Seen;
use crate::route::tree::Step;

/// A node that is no corner.
pub struct Extra {
    pub step: Step,
    /// The last of its links, if it has any.
    pub link: u32,
}

/// A link out of a node.
pub struct Link {
    pub to: u32,
    pub cost: f64,
    /// The link before it out of the same node.
    pub before: u32,
}

/// The nodes of one question that are no corners, and the links into them.
#[derive(Default)]
pub struct Extras {
    pub base: usize,
    pub nodes: Vec<Extra>,
    pub links: Vec<Link>,
    /// From a corner to a node, sorted.
    pub back: Vec<(u32, u32, f64)>,
}

impl Extras {
    /// Nothing is left of the last question but its room.
    pub fn begin(&mut self, base: usize) {
        self.base = base;
        self.nodes.clear();
        self.links.clear();
        self.back.clear();
    }

    /// Enters a node.
    pub fn add(&mut self, step: Step) -> u32 {
        self.nodes.push(Extra { step, link: u32::MAX });
        (self.base + self.nodes.len() - 1) as u32
    }

    /// Links a node to another or to a corner.
    pub fn link(&mut self, a: u32, b: u32, cost: f64) {
        let last = &mut self.nodes[a as usize - self.base].link;
        self.links.push(Link { to: b, cost, before: *last });
        *last = self.links.len() as u32 - 1;
    }

    /// Links two nodes both ways.
    pub fn link_both(&mut self, a: u32, b: u32, cost: f64) {
        self.link(a, b, cost);
        self.link(b, a, cost);
    }

    /// Corners seen by a node: out of it, into it, or both.
    pub fn see(&mut self, node: u32, first: usize, seen: &Seen, out: bool, back: bool) {
        for (v, d) in seen {
            let corner = (first + *v as usize) as u32;
            if out {
                self.link(node, corner, *d);
            }
            if back {
                self.back.push((corner, node, *d));
            }
        }
    }
}

/// How a node was reached, in the search that last came there.
#[derive(Clone, Copy, Default)]
pub struct Reached {
    pub cost: f64,
    pub from: u32,
    pub round: u32,
    pub done: bool,
}

/// All nodes that searches have reached, and prices.
#[derive(Default)]
pub struct Scratch {
    pub nodes: Vec<Reached>,
    pub now: u32,
    /// What every passage costs the one who asks, on either face.
    pub prices: [Vec<f64>; 2],
}

impl Scratch {
    /// A new search; nothing is reached yet.
    pub fn begin(&mut self, size: usize) {
        if self.nodes.len() < size {
            self.nodes.resize(size, Reached::default());
        }
        self.now += 1;
    }

    /// This would be a better way to a node.
    pub fn is_better(&self, id: u32, cost: f64) -> bool {
        let node = &self.nodes[id as usize];
        node.round != self.now || (!node.done && node.cost > cost)
    }

    /// Records a better way to a node.
    pub fn better(&mut self, id: u32, cost: f64, from: u32) -> bool {
        if !self.is_better(id, cost) {
            return false;
        }
        self.nodes[id as usize] = Reached { cost, from, round: self.now, done: false };
        true
    }

    /// Marks a node as settled; true when it was already.
    pub fn close(&mut self, id: u32) -> bool {
        std::mem::replace(&mut self.nodes[id as usize].done, true)
    }

    /// The nodes from the start to the one before `end`.
    pub fn trace(&self, end: u32) -> Vec<u32> {
        let mut out = Vec::new();
        let mut at = self.nodes[end as usize].from;
        while at != u32::MAX {
            out.push(at);
            at = self.nodes[at as usize].from;
        }
        out.reverse();
        out
    }
}
