//! Which nodes and elements are fed, found from the structure before anything is solved.
//!
//! An element can carry a direct current only when it lies on a closed loop; one that lies on a
//! bridge of the graph (a wire that ends nowhere, a load whose return is missing) cannot. A loop is
//! fed when it holds a source: a battery, a powered charger, a motor that is turned from outside, or
//! the output of a converter whose own input is fed.

use crate::netlist::{Device, MotorKind, Netlist};

/// What the structure says.
#[derive(Clone, Debug, PartialEq)]
pub struct Fed {
    /// Nodes with a definite voltage: joined to a source that is alive.
    pub nodes: Vec<bool>,
    /// Elements that may carry current.
    pub carries: Vec<bool>,
    /// The node held at zero in each connected part, as flags.
    pub references: Vec<bool>,
    /// Connected part of each node.
    pub part: Vec<usize>,
}

struct Edge {
    item: usize,
    a: usize,
    b: usize,
    source: bool,
    /// Output of a converter or bridge: a source only while its input is fed.
    given: bool,
}

fn edges(netlist: &Netlist, alive: &[bool]) -> Vec<Edge> {
    let mut all = Vec::with_capacity(netlist.items.len() + 8);
    for (item, it) in netlist.items.iter().enumerate() {
        if !it.active || !alive[item] {
            continue;
        }
        let mut push = |a, b, source, given| all.push(Edge { item, a, b, source, given });
        match it.device {
            Device::Branch { a, b, emf_v, .. } => push(a, b, emf_v != 0.0, false),
            Device::Diode { a, b, .. } | Device::Load { a, b, .. } => push(a, b, false, false),
            Device::Motor { a, b, kind, .. } => {
                push(a, b, matches!(kind, MotorKind::Turned { emf_v } if emf_v != 0.0), false);
            }
            Device::Charger { plus, minus, .. } => push(plus, minus, true, false),
            Device::Converter { in_plus, in_minus, out_plus, out_minus, .. } => {
                push(in_plus, in_minus, false, false);
                push(out_plus, out_minus, true, true);
            }
            Device::Channel { plus, minus, a, b, .. } => {
                push(plus, minus, false, false);
                push(a, minus, true, true);
                push(b, minus, true, true);
            }
        }
    }
    all
}

/// Analyses a network.
pub fn analyse(netlist: &Netlist) -> Fed {
    let n = netlist.nodes.len();
    let mut alive = vec![true; netlist.items.len()];
    loop {
        let edges = edges(netlist, &alive);
        let on_loop = loops(n, &edges);
        let block = components(n, &edges, |e| on_loop[e]);
        let mut live_block = vec![false; n];
        // Sources proper first, then outputs of converters and bridges that hang on live inputs,
        // until nothing changes.
        loop {
            let mut changed = false;
            for (e, edge) in edges.iter().enumerate() {
                let own = edge.source && !edge.given;
                let handed = edge.given
                    && edges.iter().enumerate().skip(e.saturating_sub(2)).take(3).any(|(o, other)| {
                        other.item == edge.item
                            && !other.given
                            && on_loop[o]
                            && live_block[block[other.a]]
                    });
                if (own || handed) && on_loop[e] && !live_block[block[edge.a]] {
                    live_block[block[edge.a]] = true;
                    changed = true;
                }
            }
            if !changed {
                break;
            }
        }
        // Consumers off a live loop, and givers whose input is dead, take no part.
        let mut next = alive.clone();
        for (e, edge) in edges.iter().enumerate() {
            let fed = on_loop[e] && live_block[block[edge.a]];
            let must_be_fed = match netlist.items[edge.item].device {
                Device::Load { .. } | Device::Charger { .. } => true,
                Device::Motor { kind, .. } => !matches!(kind, MotorKind::Turned { .. }),
                Device::Converter { .. } | Device::Channel { .. } => !edge.given,
                Device::Branch { .. } | Device::Diode { .. } => false,
            };
            if must_be_fed && !fed {
                next[edge.item] = false;
            }
        }
        if next == alive {
            return conclude(netlist, edges, alive);
        }
        alive = next;
    }
}

fn conclude(netlist: &Netlist, edges: Vec<Edge>, alive: Vec<bool>) -> Fed {
    let n = netlist.nodes.len();
    let part = components(n, &edges, |_| true);
    let mut fed = vec![false; n];
    let mut reference: Vec<Option<usize>> = vec![None; n];
    for edge in edges.iter().filter(|e| e.source) {
        fed[part[edge.a]] = true;
        // The negative side of the first source: a branch drives from `a` to `b`, all others
        // have their positive side first.
        let negative = match netlist.items[edge.item].device {
            Device::Branch { a, .. } => a,
            _ => edge.b,
        };
        reference[part[edge.a]].get_or_insert(negative);
    }
    let mut references = vec![false; n];
    for node in 0..n {
        let root = part[node];
        if *reference[root].get_or_insert(node) == node {
            references[node] = true;
        }
    }
    Fed { nodes: (0..n).map(|v| fed[part[v]]).collect(), carries: alive, references, part }
}

/// Root of each node's component under the chosen edges.
fn components(n: usize, edges: &[Edge], take: impl Fn(usize) -> bool) -> Vec<usize> {
    let mut parent: Vec<usize> = (0..n).collect();
    fn root(parent: &mut [usize], mut v: usize) -> usize {
        while parent[v] != v {
            parent[v] = parent[parent[v]];
            v = parent[v];
        }
        v
    }
    for (e, edge) in edges.iter().enumerate() {
        if take(e) {
            let (ra, rb) = (root(&mut parent, edge.a), root(&mut parent, edge.b));
            let (low, high) = (ra.min(rb), ra.max(rb));
            parent[high] = low;
        }
    }
    (0..n).map(|v| root(&mut parent, v)).collect()
}

/// For every edge, whether it lies on a loop (is no bridge). Depth-first search with low points,
/// without recursion; self-loops are loops.
fn loops(n: usize, edges: &[Edge]) -> Vec<bool> {
    let mut starts = vec![0usize; n + 1];
    for e in edges {
        starts[e.a + 1] += 1;
        starts[e.b + 1] += 1;
    }
    for v in 0..n {
        starts[v + 1] += starts[v];
    }
    let mut next = starts.clone();
    let mut around = vec![(0usize, 0usize); edges.len() * 2];
    for (i, e) in edges.iter().enumerate() {
        around[next[e.a]] = (i, e.b);
        next[e.a] += 1;
        around[next[e.b]] = (i, e.a);
        next[e.b] += 1;
    }
    let mut order = vec![usize::MAX; n];
    let mut low = vec![usize::MAX; n];
    let mut bridge = vec![false; edges.len()];
    let mut at: Vec<usize> = starts[..n].to_vec();
    let mut time = 0;
    for start in 0..n {
        if order[start] != usize::MAX {
            continue;
        }
        order[start] = time;
        low[start] = time;
        time += 1;
        let mut stack = vec![(start, usize::MAX)];
        while let Some(&(v, came)) = stack.last() {
            if at[v] < starts[v + 1] {
                let (e, w) = around[at[v]];
                at[v] += 1;
                if e == came {
                    continue;
                }
                if order[w] == usize::MAX {
                    order[w] = time;
                    low[w] = time;
                    time += 1;
                    stack.push((w, e));
                } else {
                    low[v] = low[v].min(order[w]);
                }
            } else {
                stack.pop();
                if let Some(&(parent, _)) = stack.last() {
                    low[parent] = low[parent].min(low[v]);
                    if low[v] > order[parent] {
                        bridge[came] = true;
                    }
                }
            }
        }
    }
    bridge.iter().map(|b| !b).collect()
}
