//! Level and upright lines between the layers.

use super::graph::{BOX, Graph, SIZE};
use super::order::{Item, Plan};
use super::{Laid, graph::Node};
use crate::labels::Block;
use crate::svg::Spot;
use crate::text;
use std::collections::BTreeMap;

/// Distance of upright lines, mm.
const TRACK: f64 = 4.0;
/// Level stretch before the first track.
const LEAD: f64 = 4.0;

/// All lines that leave one port, in one channel between two layers.
#[derive(Clone, Debug)]
pub struct Net {
    /// Lines to draw.
    pub lines: Vec<(Spot, Spot)>,
    /// Dots where three lines meet.
    pub dots: Vec<Spot>,
    /// The link that gives it its colour.
    pub link: usize,
    /// Labels: the link and the box for its two lines of text.
    pub labels: Vec<(usize, Block)>,
}

/// Width of a box: its names and its ports' names.
pub fn width(node: &Node) -> f64 {
    let name = |p: &super::graph::Port| {
        let text = port_text(p);
        if text.is_empty() { 0.0 } else { text::width(&text, SIZE) + 3.0 }
    };
    let widest = |side: &[super::graph::Port]| side.iter().map(name).fold(0.0, f64::max);
    let inside = widest(&node.left) + widest(&node.right);
    if inside > 0.0 { BOX + inside } else { BOX }
}

/// What is written at a port.
pub fn port_text(port: &super::graph::Port) -> String {
    match (&port.fuse, port.name.is_empty()) {
        (Some(fuse), true) => fuse.clone(),
        (Some(fuse), false) => format!("{} · {fuse}", port.name),
        (None, _) => port.name.clone(),
    }
}

/// Puts layers side by side with a channel between them, and routes every channel.
pub fn run(graph: &Graph, plan: &Plan<'_>) -> Laid {
    let mut boxes = vec![(0.0, 0.0, 0.0, 0.0); graph.nodes.len()];
    let mut nets = Vec::new();
    let mut x = 0.0;
    let mut bottom: f64 = 0.0;
    for (layer, row) in plan.rows.iter().enumerate() {
        let wide = row
            .iter()
            .map(|i| match i {
                Item::Node(n) => width(&graph.nodes[*n]),
                Item::Lane(..) => 0.0,
            })
            .fold(0.0, f64::max);
        for (item, top) in row.iter().zip(&plan.tops[layer]) {
            bottom = bottom.max(top + plan.height(*item));
            if let Item::Node(n) = item {
                boxes[*n] = (x, *top, wide, plan.height(*item));
            }
        }
        let right = x + wide;
        if layer + 1 < plan.rows.len() {
            // A lane of this layer goes straight on past the boxes.
            for (item, top) in row.iter().zip(&plan.tops[layer]) {
                if let Item::Lane(from, port) = item {
                    let y = top + plan.height(*item) / 2.0;
                    let link = graph.links.iter().position(|l| l.from == (*from, *port)).unwrap_or(0);
                    let lines = vec![(Spot::new(x, y), Spot::new(right, y))];
                    nets.push(Net { lines, dots: Vec::new(), link, labels: Vec::new() });
                }
            }
            let (channel, next) = channel(graph, plan, layer, right);
            nets.extend(channel);
            x = next;
        } else {
            x = right;
        }
    }
    Laid { boxes, nets, size: (x, bottom) }
}

/// Ends of one net in a channel: where it comes from, and where it goes with the link that ends.
struct Wiring {
    from: f64,
    to: Vec<(f64, Option<usize>)>,
    link: usize,
}

fn channel(graph: &Graph, plan: &Plan<'_>, layer: usize, left: f64) -> (Vec<Net>, f64) {
    let top = |layer: usize, item: Item| {
        let at = plan.rows[layer].iter().position(|i| *i == item).unwrap_or(0);
        plan.tops[layer].get(at).copied().unwrap_or(0.0)
    };
    let mut groups: BTreeMap<(usize, usize), Wiring> = BTreeMap::new();
    let mut stub: f64 = 4.0;
    for hop in plan.hops.iter().filter(|h| h.layer == layer) {
        let key = match hop.from.0 {
            Item::Node(n) => (n, hop.from.1),
            Item::Lane(n, p) => (n, p),
        };
        let from = top(layer, hop.from.0) + plan.port(hop.from, true);
        let to = top(layer + 1, hop.to.0) + plan.port(hop.to, false);
        let link =
            hop.ends.unwrap_or_else(|| graph.links.iter().position(|l| l.from == key).unwrap_or(0));
        if let Some(i) = hop.ends {
            let l = &graph.links[i];
            stub = stub.max(text::width(&l.size, SIZE).max(text::width(&l.current, SIZE)) + 4.0);
        }
        groups
            .entry(key)
            .or_insert_with(|| Wiring { from, to: Vec::new(), link })
            .to
            .push((to, hop.ends));
    }
    let wirings: Vec<Wiring> = groups.into_values().collect();
    let (tracks, count) = tracks(&wirings);
    let right = left + LEAD + count as f64 * TRACK + stub;
    let nets = wirings.iter().zip(tracks).map(|(w, track)| {
        let x = left + LEAD + track as f64 * TRACK;
        net(w, left, x, right, stub)
    });
    (nets.collect(), right)
}

fn net(w: &Wiring, left: f64, x: f64, right: f64, stub: f64) -> Net {
    let mut lines = vec![(Spot::new(left, w.from), Spot::new(x, w.from))];
    let mut ys: Vec<f64> = w.to.iter().map(|(y, _)| *y).collect();
    ys.push(w.from);
    ys.sort_by(f64::total_cmp);
    if let (Some(a), Some(b)) = (ys.first(), ys.last())
        && b - a > 1e-6
    {
        lines.push((Spot::new(x, *a), Spot::new(x, *b)));
    }
    let mut labels = Vec::new();
    for (y, ends) in &w.to {
        lines.push((Spot::new(x, *y), Spot::new(right, *y)));
        if let Some(link) = ends {
            let low = Spot::new(right - stub, y - 0.95 * SIZE);
            labels.push((*link, Block::new(low, Spot::new(right, y + 0.95 * SIZE))));
        }
    }
    // A dot wherever a branch leaves the upright line other than at its ends, or three lines meet.
    let mut dots = Vec::new();
    if w.to.len() > 1 {
        for y in &ys {
            let branches = ys.iter().filter(|o| (*o - y).abs() < 1e-6).count();
            let inner = ys.iter().any(|o| *o < y - 1e-6) && ys.iter().any(|o| *o > y + 1e-6);
            if inner || branches > 1 {
                dots.push(Spot::new(x, *y));
            }
        }
        dots.dedup();
    }
    Net { lines, dots, link: w.link, labels }
}

/// A track for the upright line of every net: no two upright lines share a place, and a line that
/// leaves at some height stays left of one that arrives at the same height.
fn tracks(wirings: &[Wiring]) -> (Vec<usize>, usize) {
    let span = |w: &Wiring| {
        let all = w.to.iter().map(|(y, _)| *y).chain([w.from]);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| (a.min(y), b.max(y)))
    };
    let close = |a: f64, b: f64| (a - b).abs() < 2.0;
    let before = |a: &Wiring, b: &Wiring| b.to.iter().any(|(y, _)| close(a.from, *y));
    let mut order: Vec<usize> = Vec::new();
    let mut open: Vec<usize> = (0..wirings.len()).collect();
    // Lines that must stay left come first; among the free ones those that go up from below take
    // the outer tracks, which saves crossings. A ring of such wishes is broken at its first.
    while !open.is_empty() {
        let free = |i: usize, open: &[usize]| {
            open.iter().all(|j| *j == i || !before(&wirings[*j], &wirings[i]))
        };
        let pick = open.iter().position(|i| free(*i, &open)).unwrap_or(0);
        order.push(open.remove(pick));
    }
    let mut track = vec![0usize; wirings.len()];
    let mut used: Vec<Vec<(f64, f64)>> = Vec::new();
    for (n, i) in order.iter().enumerate() {
        let (a, b) = span(&wirings[*i]);
        let least = order[..n]
            .iter()
            .filter(|j| before(&wirings[**j], &wirings[*i]))
            .map(|j| track[*j] + 1)
            .max()
            .unwrap_or(0);
        let mut t = least;
        loop {
            if used.len() <= t {
                used.resize(t + 1, Vec::new());
            }
            if used[t].iter().all(|(c, d)| b + 1.5 < *c || a - 1.5 > *d) {
                break;
            }
            t += 1;
        }
        used[t].push((a, b));
        track[*i] = t;
    }
    let count = used.len();
    (track, count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn upright_lines_never_share_a_place() {
        let w = |from: f64, to: f64| Wiring { from, to: vec![(to, None)], link: 0 };
        let all = [w(0.0, 50.0), w(10.0, 40.0), w(60.0, 90.0), w(50.0, 0.0)];
        let (tracks, count) = tracks(&all);
        assert_ne!(tracks[0], tracks[1]);
        assert!(tracks[3] < tracks[0] || tracks[0] < tracks[3]);
        assert!(count <= 4);
    }
}
