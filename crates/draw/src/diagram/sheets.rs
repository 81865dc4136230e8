//! Cutting a large diagram into sheets where it branches.

use super::graph::{BOX, Graph, Link, Node, Port, SIZE};
use super::order::layers;
use super::symbols::Symbol;
use crate::text;

/// Most rows on a sheet.
const ROWS: usize = 8;
/// Most layers on a sheet, flags included.
const DEPTH: usize = 4;

/// Cuts a graph into graphs that fit a sheet each. A graph that fits stays whole.
pub fn cut(graph: &Graph) -> Vec<Graph> {
    let layer = layers(graph);
    let parent = parents(graph, &layer);
    let unit = units(graph, &layer, &parent);
    let sheets = pack(graph, &unit);
    let count = sheets.iter().max().map_or(0, |m| m + 1);
    if count <= 1 {
        return vec![graph.clone()];
    }
    (0..count).map(|s| part_of(graph, &sheets, s)).collect()
}

/// The link that a node hangs on: from the latest layer before it.
fn parents(graph: &Graph, layer: &[usize]) -> Vec<Option<usize>> {
    let mut parent: Vec<Option<usize>> = vec![None; graph.nodes.len()];
    for link in &graph.links {
        let better = parent[link.to.0].is_none_or(|p| layer[link.from.0] > layer[p]);
        if better {
            parent[link.to.0] = Some(link.from.0);
        }
    }
    parent
}

/// For each node the root of the piece it belongs to.
fn units(graph: &Graph, layer: &[usize], parent: &[Option<usize>]) -> Vec<usize> {
    let n = graph.nodes.len();
    let mut children: Vec<Vec<usize>> = vec![Vec::new(); n];
    for (i, p) in parent.iter().enumerate() {
        if let Some(p) = p {
            children[*p].push(i);
        }
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by_key(|i| (layer[*i], *i));
    let mut cut_off = vec![false; n];
    // Too many rows: the largest branches get a sheet of their own, from the leaves inwards.
    let mut rows = vec![1usize; n];
    for i in order.iter().rev() {
        let mut kids: Vec<usize> = children[*i].clone();
        kids.sort_by_key(|k| (std::cmp::Reverse(rows[*k]), *k));
        let mut sum: usize = kids.iter().map(|k| rows[*k]).sum();
        for k in kids {
            if sum > ROWS && rows[k] > 1 {
                cut_off[k] = true;
                sum -= rows[k] - 1;
            }
        }
        rows[*i] = sum.max(1);
    }
    // Too deep: what lies beyond the last layer of a sheet starts a new one.
    let mut depth = vec![0usize; n];
    let mut unit: Vec<usize> = (0..n).collect();
    for i in order {
        let Some(p) = parent[i] else { continue };
        depth[i] = depth[p] + 1;
        let last = depth[i] + 1 >= DEPTH && !children[i].is_empty();
        if cut_off[i] || last || depth[i] >= DEPTH {
            // A flag stands before it on its sheet.
            depth[i] = 1;
            unit[i] = i;
        } else {
            unit[i] = unit[p];
        }
    }
    unit
}

/// Puts pieces onto sheets, in the order of their first node, as long as there is room.
fn pack(graph: &Graph, unit: &[usize]) -> Vec<usize> {
    let n = unit.len();
    let has_parent: Vec<bool> = (0..n).map(|i| graph.links.iter().any(|l| l.to.0 == i)).collect();
    let layer = layers(graph);
    let mut roots: Vec<usize> = (0..n).filter(|i| unit[*i] == *i).collect();
    roots.sort_by_key(|r| (has_parent[*r], layer[*r], *r));
    let rows = |root: usize| {
        let inside = |i: usize| unit[i] == root;
        let ends = (0..n).filter(|i| inside(*i)).map(|i| {
            let kids = graph.links.iter().filter(|l| l.from.0 == i);
            let (mut own, mut away) = (0, 0);
            for l in kids {
                if inside(l.to.0) { own += 1 } else { away += 1 }
            }
            away + usize::from(own == 0 && away == 0)
        });
        ends.sum::<usize>().max(1)
    };
    let mut sheet_of_root = vec![0usize; n];
    let mut load: Vec<usize> = Vec::new();
    for root in roots {
        let r = rows(root);
        let fits = load.iter().enumerate().rposition(|(_, l)| l + r <= ROWS + 1);
        // Sources share the first sheet; later pieces go onto the last sheet with room.
        let at = match fits {
            Some(at) if has_parent[root] == (at > 0) || load.len() == 1 && !has_parent[root] => at,
            _ => {
                load.push(0);
                load.len() - 1
            }
        };
        load[at] += r;
        sheet_of_root[root] = at;
    }
    unit.iter().map(|u| sheet_of_root[*u]).collect()
}

/// The nodes of one sheet, with flags where links leave or arrive.
fn part_of(graph: &Graph, sheets: &[usize], sheet: usize) -> Graph {
    let mut part = Graph::default();
    let mut index = vec![usize::MAX; graph.nodes.len()];
    for (i, node) in graph.nodes.iter().enumerate().filter(|(i, _)| sheets[*i] == sheet) {
        index[i] = part.nodes.len();
        part.nodes.push(node.clone());
    }
    let title = |node: &Node| node.name.concat();
    for link in &graph.links {
        let (from, to) = (sheets[link.from.0] == sheet, sheets[link.to.0] == sheet);
        let (source, target) = (&graph.nodes[link.from.0], &graph.nodes[link.to.0]);
        let new = match (from, to) {
            (true, true) => Link {
                from: (index[link.from.0], link.from.1),
                to: (index[link.to.0], link.to.1),
                ..link.clone()
            },
            (true, false) => {
                let words = format!("to {}", title(target));
                let at = flag(&mut part, &words, sheets[link.to.0], false);
                Link { from: (index[link.from.0], link.from.1), to: (at, 0), ..link.clone() }
            }
            (false, true) => {
                let port = source.right.get(link.from.1).map(|p| p.name.as_str()).unwrap_or_default();
                let words = if port.is_empty() {
                    format!("from {}", title(source))
                } else {
                    format!("from {} {port}", title(source))
                };
                let at = flag(&mut part, &words, sheets[link.from.0], true);
                Link { from: (at, 0), to: (index[link.to.0], link.to.1), ..link.clone() }
            }
            (false, false) => continue,
        };
        part.links.push(new);
    }
    part
}

fn flag(part: &mut Graph, words: &str, sheet: usize, out: bool) -> usize {
    let port = vec![Port { name: String::new(), fuse: None }];
    let name = text::wrap_or_cut(words, SIZE, BOX - 12.0, 3);
    let facts = vec![format!("sheet {}", sheet + 1)];
    if out
        && let Some(same) = part.nodes.iter().position(|n| n.symbol == Symbol::Flag && n.name == name && n.facts == facts)
    {
        return same;
    }
    part.nodes.push(Node {
        name,
        facts,
        symbol: Symbol::Flag,
        returns: false,
        left: if out { Vec::new() } else { port.clone() },
        right: if out { port } else { Vec::new() },
        source: false,
    });
    part.nodes.len() - 1
}
