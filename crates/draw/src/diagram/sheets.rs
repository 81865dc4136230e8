//! Cutting a large diagram into strips where it branches; flags tell where a line goes on.

use super::graph::{BOX, Graph, Link, Node, Port, SIZE};
use super::lay;
use super::order::layers;
use super::symbols::Symbol;
use crate::text;

/// Cuts a graph into graphs of which each is at most this wide and high when laid out, mm. A graph
/// that fits stays whole; one that no cut makes fit is cut as small as it goes.
pub fn cut(graph: &Graph, room: (f64, f64)) -> Vec<Graph> {
    let over = |g: &Graph| {
        let size = lay(g).size;
        (size.0 / room.0).max(size.1 / room.1)
    };
    if over(graph) <= 1.0 {
        return vec![graph.clone()];
    }
    let mut best: Option<(f64, Vec<Graph>)> = None;
    for (depth, rows) in (2..=6).rev().flat_map(|d| [12, 9, 7, 5].map(|r| (d, r))) {
        let sheets = cut_at(graph, depth, rows, &over);
        let sizes: Vec<(f64, f64)> = sheets.iter().map(|g| lay(g).size).collect();
        let worst = sizes.iter().map(|s| (s.0 / room.0).max(s.1 / room.1)).fold(0.0, f64::max);
        let drawn: Vec<(f64, f64)> = sizes.iter().map(|s| (s.0 + MARGIN.0, s.1 + MARGIN.1)).collect();
        let pages = shelves(&drawn, (room.0 + MARGIN.0, room.1 + MARGIN.1)).len();
        // Fewest pages of paper, then fewest strips.
        let score =
            if worst <= 1.0 { pages as f64 + 0.01 * sheets.len() as f64 } else { 1000.0 * worst };
        if best.as_ref().is_none_or(|(b, _)| score < *b) {
            best = Some((score, sheets));
        }
    }
    best.map_or_else(|| vec![graph.clone()], |(_, sheets)| sheets)
}

/// What a strip's margins and number add to its layout, mm.
const MARGIN: (f64, f64) = (8.0, 21.0);

/// Puts drawings of these sizes onto sheets: in rows, side by side, each where the first sheet has
/// room for it, nearly in their order. Gives the rows of each sheet.
pub fn shelves(sizes: &[(f64, f64)], room: (f64, f64)) -> Vec<Vec<Vec<usize>>> {
    struct Row {
        width: f64,
        height: f64,
        members: Vec<usize>,
    }
    let mut sheets: Vec<Vec<Row>> = Vec::new();
    for (i, (w, h)) in sizes.iter().enumerate() {
        let fits = |rows: &[Row], row: usize| {
            let used: f64 = rows.iter().map(|r| r.height).sum();
            rows[row].width + w <= room.0 && used + (h - rows[row].height).max(0.0) <= room.1
        };
        let beside = sheets
            .iter()
            .enumerate()
            .find_map(|(s, rows)| (0..rows.len()).find(|r| fits(rows, *r)).map(|r| (s, r)));
        let under =
            sheets.iter().position(|rows| rows.iter().map(|r| r.height).sum::<f64>() + h <= room.1);
        match (beside, under) {
            (Some((s, r)), u) if u.is_none_or(|u| s <= u) => {
                let row = &mut sheets[s][r];
                row.width += w;
                row.height = row.height.max(*h);
                row.members.push(i);
            }
            (_, Some(s)) => sheets[s].push(Row { width: *w, height: *h, members: vec![i] }),
            _ => sheets.push(vec![Row { width: *w, height: *h, members: vec![i] }]),
        }
    }
    let rows = |rows: Vec<Row>| rows.into_iter().map(|r| r.members).collect();
    sheets.into_iter().map(rows).collect()
}

fn cut_at(graph: &Graph, depth: usize, rows: usize, over: &dyn Fn(&Graph) -> f64) -> Vec<Graph> {
    let layer = layers(graph);
    let parent = parents(graph, &layer);
    let unit = units(graph, &layer, &parent, depth, rows);
    let sheets = pack(graph, &unit, over);
    let count = sheets.iter().max().map_or(0, |m| m + 1);
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
fn units(
    graph: &Graph,
    layer: &[usize],
    parent: &[Option<usize>],
    most: usize,
    rows_most: usize,
) -> Vec<usize> {
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
            if sum > rows_most && rows[k] > 1 {
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
        let last = depth[i] + 1 >= most && !children[i].is_empty();
        if cut_off[i] || last || depth[i] >= most {
            // A flag stands before it on its sheet.
            depth[i] = 1;
            unit[i] = i;
        } else {
            unit[i] = unit[p];
        }
    }
    unit
}

/// Puts pieces onto sheets, from the battery on: a piece joins the sheet before it as long as the
/// sheet still fits, so that what belongs together stays near.
fn pack(graph: &Graph, unit: &[usize], over: &dyn Fn(&Graph) -> f64) -> Vec<usize> {
    let n = unit.len();
    let layer = layers(graph);
    let mut roots: Vec<usize> = (0..n).filter(|i| unit[*i] == *i).collect();
    roots.sort_by_key(|r| (layer[*r], *r));
    const NOT_YET: usize = usize::MAX;
    let mut sheets = vec![NOT_YET; n];
    let mut current = 0;
    let mut started = false;
    for root in roots {
        let members: Vec<usize> = (0..n).filter(|i| unit[*i] == root).collect();
        for m in &members {
            sheets[*m] = current;
        }
        if started && over(&part_of(graph, &sheets, current)) > 1.0 {
            current += 1;
            for m in &members {
                sheets[*m] = current;
            }
        }
        started = true;
    }
    sheets
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
    let facts = vec![format!("see {}", sheet.wrapping_add(1))];
    if out
        && let Some(same) = part
            .nodes
            .iter()
            .position(|n| n.symbol == Symbol::Flag && n.name == name && n.facts == facts)
    {
        return same;
    }
    part.nodes.push(Node {
        thing: name.concat(),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drawings_share_a_sheet_without_leaving_it() {
        let sizes = [(60.0, 20.0), (30.0, 50.0), (90.0, 40.0), (100.0, 80.0), (10.0, 10.0)];
        let sheets = shelves(&sizes, (100.0, 100.0));
        let mut seen: Vec<usize> = sheets.iter().flatten().flatten().copied().collect();
        for rows in &sheets {
            let high = |row: &Vec<usize>| row.iter().map(|i| sizes[*i].1).fold(0.0, f64::max);
            assert!(rows.iter().map(high).sum::<f64>() <= 100.0);
            for row in rows {
                assert!(row.iter().map(|i| sizes[*i].0).sum::<f64>() <= 100.0);
            }
        }
        seen.sort_unstable();
        assert_eq!(seen, [0, 1, 2, 3, 4]);
        assert_eq!(sheets.len(), 2);
    }
}
