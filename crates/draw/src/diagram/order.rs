//! Layers, the order within them, and heights.

use super::graph::{Graph, Node, SIZE};

/// Gap between boxes of a layer, mm.
const GAP: f64 = 7.0;
/// Height a passing line keeps for itself, mm: its label stands above and below.
const LANE: f64 = 11.0;
/// Distance of ports on a side, mm.
pub const PITCH: f64 = 12.5;
/// Height of the names of a box, per line.
pub const LINE: f64 = 1.15 * SIZE;

/// Height of a box, mm.
pub fn height(node: &Node) -> f64 {
    let lines = (node.name.len() + node.facts.len()) as f64;
    let ports = node.left.len().max(node.right.len()) as f64;
    (lines * LINE + 4.5).max(ports * PITCH).max(12.0)
}

/// Height of a port below the upper edge of its box: the ports of a side are spread evenly.
pub fn port_height(node: &Node, right: bool, port: usize) -> f64 {
    let count = if right { node.right.len() } else { node.left.len() };
    height(node) * (port as f64 + 0.5) / count.max(1) as f64
}

/// Layer of each node: the longest way from a source. Links always point to a node that is farther
/// from the battery, so there is no way round in circles.
pub fn layers(graph: &Graph) -> Vec<usize> {
    let mut layer = vec![0usize; graph.nodes.len()];
    for _ in 0..graph.nodes.len() {
        let mut changed = false;
        for link in &graph.links {
            let least = layer[link.from.0] + 1;
            if layer[link.to.0] < least && least <= graph.nodes.len() {
                layer[link.to.0] = least;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    layer
}

/// What stands in a layer: a box, or a line that passes through to a later layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Item {
    /// A box.
    Node(usize),
    /// The line that leaves this box at this port, on its way to later layers.
    Lane(usize, usize),
}

/// The layout so far.
pub struct Plan<'a> {
    graph: &'a Graph,
    /// Items by layer, from top to bottom.
    pub rows: Vec<Vec<Item>>,
    /// Upper edge of each item, as in `rows`.
    pub tops: Vec<Vec<f64>>,
    /// Short links between items of neighbouring layers: layer, item before, port, item after, port.
    pub hops: Vec<Hop>,
}

/// A link, or a stretch of one, between neighbouring layers.
#[derive(Clone, Copy, Debug)]
pub struct Hop {
    /// Layer it starts in.
    pub layer: usize,
    /// Where it starts: the box and port.
    pub from: (Item, usize),
    /// Where it ends.
    pub to: (Item, usize),
    /// The link whose last stretch it is.
    pub ends: Option<usize>,
}

impl<'a> Plan<'a> {
    /// Puts boxes into layers and long links on lanes. Links from one port share their lane.
    pub fn new(graph: &'a Graph, layers: &[usize]) -> Self {
        let count = layers.iter().max().map_or(0, |m| m + 1);
        let mut rows: Vec<Vec<Item>> = vec![Vec::new(); count];
        for (i, layer) in layers.iter().enumerate() {
            rows[*layer].push(Item::Node(i));
        }
        let mut hops: Vec<Hop> = Vec::new();
        for (index, link) in graph.links.iter().enumerate() {
            let (first, last) = (layers[link.from.0], layers[link.to.0]);
            let mut from = (Item::Node(link.from.0), link.from.1);
            for (layer, row) in rows.iter_mut().enumerate().take(last).skip(first + 1) {
                let lane = Item::Lane(link.from.0, link.from.1);
                if !row.contains(&lane) {
                    row.push(lane);
                    hops.push(Hop { layer: layer - 1, from, to: (lane, 0), ends: None });
                }
                from = (lane, 0);
            }
            let to = (Item::Node(link.to.0), link.to.1);
            hops.push(Hop { layer: last.max(1) - 1, from, to, ends: Some(index) });
        }
        let tops = rows.iter().map(|r| vec![0.0; r.len()]).collect();
        Self { graph, rows, tops, hops }
    }

    /// Height of an item.
    pub fn height(&self, item: Item) -> f64 {
        match item {
            Item::Node(i) => height(&self.graph.nodes[i]),
            Item::Lane(..) => LANE,
        }
    }

    /// Height of a port below the upper edge of its item.
    pub fn port(&self, (item, port): (Item, usize), right: bool) -> f64 {
        match item {
            Item::Node(i) => port_height(&self.graph.nodes[i], right, port),
            Item::Lane(..) => LANE / 2.0,
        }
    }

    fn position(&self, layer: usize, item: Item) -> usize {
        self.rows[layer].iter().position(|i| *i == item).unwrap_or(0)
    }

    /// Orders the layers by barycentres, forwards and back, and keeps the order with the fewest
    /// crossings.
    pub fn reduce_crossings(&mut self) {
        let mut best = (self.crossings(), self.rows.clone());
        for round in 0..16 {
            let forwards = round % 2 == 0;
            let layers: Vec<usize> = if forwards {
                (1..self.rows.len()).collect()
            } else {
                (0..self.rows.len().max(1) - 1).rev().collect()
            };
            for layer in layers {
                self.sort_layer(layer, forwards);
            }
            let count = self.crossings();
            if count < best.0 {
                best = (count, self.rows.clone());
            }
        }
        self.rows = best.1;
    }

    fn sort_layer(&mut self, layer: usize, forwards: bool) {
        let centre = |item: Item, now: usize| {
            let mut sum = (0.0, 0.0);
            for hop in &self.hops {
                let (mine, other, at) = if forwards {
                    (hop.to.0, hop.from, layer.wrapping_sub(1))
                } else {
                    (hop.from.0, hop.to, layer + 1)
                };
                let neighbour = if forwards { hop.layer + 1 == layer } else { hop.layer == layer };
                if neighbour && mine == item {
                    let share = self.port(other, forwards) / self.height(other.0).max(1.0);
                    sum.0 += self.position(at, other.0) as f64 + share;
                    sum.1 += 1.0;
                }
            }
            if sum.1 > 0.0 { sum.0 / sum.1 } else { now as f64 }
        };
        let mut keyed: Vec<(f64, usize, Item)> =
            self.rows[layer].iter().enumerate().map(|(i, item)| (centre(*item, i), i, *item)).collect();
        keyed.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        self.rows[layer] = keyed.into_iter().map(|(_, _, item)| item).collect();
    }

    /// How often links cross.
    pub fn crossings(&self) -> usize {
        let mut count = 0;
        for layer in 0..self.rows.len().max(1) - 1 {
            let ends: Vec<(f64, f64)> = self
                .hops
                .iter()
                .filter(|h| h.layer == layer)
                .map(|h| {
                    let share = |e: (Item, usize), right| self.port(e, right) / (self.height(e.0) + 1.0);
                    (
                        self.position(layer, h.from.0) as f64 + share(h.from, true),
                        self.position(layer + 1, h.to.0) as f64 + share(h.to, false),
                    )
                })
                .collect();
            for (i, a) in ends.iter().enumerate() {
                count += ends[i + 1..].iter().filter(|b| (a.0 - b.0) * (a.1 - b.1) < -1e-12).count();
            }
        }
        count
    }

    /// Puts each item as level with its neighbours as the order and the gaps allow.
    pub fn set_heights(&mut self) {
        for layer in 0..self.rows.len() {
            let mut y = 0.0;
            for (i, item) in self.rows[layer].iter().enumerate() {
                self.tops[layer][i] = y;
                y += self.height(*item) + GAP;
            }
        }
        for round in 0..12 {
            let order: Vec<usize> = if round % 2 == 0 {
                (0..self.rows.len()).collect()
            } else {
                (0..self.rows.len()).rev().collect()
            };
            for layer in order {
                let wanted = self.wanted(layer);
                let heights: Vec<f64> = self.rows[layer].iter().map(|i| self.height(*i)).collect();
                self.tops[layer] = settle(&wanted, &heights, GAP);
            }
        }
        let least = self.tops.iter().flatten().copied().fold(f64::INFINITY, f64::min);
        for top in self.tops.iter_mut().flatten() {
            *top -= least;
        }
    }

    /// Where each item of a layer would stand if its links were level; with a weight.
    fn wanted(&self, layer: usize) -> Vec<(f64, f64)> {
        let each = self.rows[layer].iter().enumerate().map(|(i, item)| {
            let mut sum = (0.0, 0.0);
            for hop in &self.hops {
                if hop.layer + 1 == layer && hop.to.0 == *item {
                    let at = self.position(hop.layer, hop.from.0);
                    let y = self.tops[hop.layer][at] + self.port(hop.from, true);
                    sum.0 += y - self.port(hop.to, false);
                    sum.1 += 1.0;
                }
                if hop.layer == layer && hop.from.0 == *item {
                    let at = self.position(layer + 1, hop.to.0);
                    let y = self.tops[layer + 1][at] + self.port(hop.to, false);
                    sum.0 += y - self.port(hop.from, true);
                    sum.1 += 1.0;
                }
            }
            if sum.1 > 0.0 { (sum.0 / sum.1, sum.1) } else { (self.tops[layer][i], 0.1) }
        });
        each.collect()
    }
}

/// Tops in the given order, gaps kept, that are nearest to the wanted ones by weighted least
/// squares: pooling of neighbours that would come out of order (isotonic regression).
fn settle(wanted: &[(f64, f64)], heights: &[f64], gap: f64) -> Vec<f64> {
    let mut offsets = Vec::with_capacity(heights.len());
    let mut sum = 0.0;
    for h in heights {
        offsets.push(sum);
        sum += h + gap;
    }
    let mut pools: Vec<(f64, f64, usize)> = Vec::new();
    for ((want, weight), offset) in wanted.iter().zip(&offsets) {
        pools.push(((want - offset) * weight, *weight, 1));
        while let [.., a, b] = pools[..] {
            if a.0 / a.1 <= b.0 / b.1 {
                break;
            }
            pools.truncate(pools.len() - 2);
            pools.push((a.0 + b.0, a.1 + b.1, a.2 + b.2));
        }
    }
    let levels = pools.iter().flat_map(|(sum, weight, n)| std::iter::repeat_n(sum / weight, *n));
    levels.zip(&offsets).map(|(level, offset)| level + offset).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_settle_where_they_want_to_be_and_never_overlap() {
        let free = settle(&[(0.0, 1.0), (100.0, 1.0)], &[10.0, 10.0], 5.0);
        assert_eq!(free, vec![0.0, 100.0]);
        let tight = settle(&[(50.0, 1.0), (50.0, 1.0)], &[10.0, 10.0], 5.0);
        assert_eq!(tight, vec![42.5, 57.5]);
        let swapped = settle(&[(80.0, 1.0), (20.0, 3.0)], &[10.0, 10.0], 5.0);
        assert!((swapped[1] - swapped[0] - 15.0).abs() < 1e-12, "{swapped:?}");
    }
}
