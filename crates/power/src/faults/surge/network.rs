//! The network of a surge: resistance, inductance and voltage in paths between few nodes, and its equations.
//!
//! Elements in a row become one path, dead ends go; both are exact. Of what is left the currents in
//! independent loops and the voltages of the capacitors are the unknowns: Kirchhoff's current law holds by
//! construction, and with some inductance in every path the equations are an ordinary system,
//! (B·L·Bᵀ)·j' = −B·(R·i + v(i) − e), C·v' = i, with the loops B and the currents i = Bᵀ·j of the paths.

use super::rodas::{Factors, System};
use serde::Serialize;
use std::collections::BTreeMap;

/// Resistance of a diode against its direction, ohms: a milliampere of leakage at 20 V, as warm Schottky
/// diodes have.
pub const BLOCKS: f64 = 2e4;

/// What a path holds besides resistance, inductance and voltage.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Special {
    /// A capacitor.
    Capacitor {
        /// Its number among those that were handed over.
        index: usize,
        /// Value.
        farads: f64,
        /// Own resistance.
        esr_ohm: f64,
        /// Voltage at first.
        start_v: f64,
    },
    /// A diode: v = slope·ln(1 + i/Is), and [`BLOCKS`] the other way.
    Diode {
        /// Is.
        saturation_a: f64,
        /// Volts per factor e.
        slope_v: f64,
    },
}

/// v(a) − v(b) + e = R·i + L·i' + what the special one takes, with the current i from `a` to `b`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Path {
    /// From.
    pub a: usize,
    /// To.
    pub b: usize,
    /// R, without the capacitor's own.
    pub ohms: f64,
    /// L.
    pub henries: f64,
    /// e.
    pub emf_v: f64,
    /// Capacitor or diode.
    pub special: Option<Special>,
    /// 1: the special one points from `a` to `b`, −1: the other way.
    pub sense: f64,
    /// Items of the circuit in it, each with its direction.
    pub items: Vec<(usize, f64)>,
}

impl Path {
    /// All resistance in it.
    pub fn all_ohms(&self) -> f64 {
        match self.special {
            Some(Special::Capacitor { esr_ohm, .. }) => self.ohms + esr_ohm,
            _ => self.ohms,
        }
    }

    fn turned(mut self) -> Self {
        std::mem::swap(&mut self.a, &mut self.b);
        self.emf_v = -self.emf_v;
        self.sense = -self.sense;
        self.items.iter_mut().for_each(|i| i.1 = -i.1);
        self
    }

    /// This one, then the other, which begins where this one ends.
    fn then(mut self, next: Self) -> Self {
        self.b = next.b;
        self.ohms += next.ohms;
        self.henries += next.henries;
        self.emf_v += next.emf_v;
        if next.special.is_some() {
            (self.special, self.sense) = (next.special, next.sense);
        }
        self.items.extend(next.items);
        self
    }
}

/// Takes dead ends off and joins what lies in a row.
pub fn reduced(paths: Vec<Path>) -> Vec<Path> {
    let mut all: Vec<Option<Path>> = paths.into_iter().map(Some).collect();
    let mut at: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, path) in all.iter_mut().enumerate() {
        if let Some(p) = path {
            if p.a == p.b {
                *path = None;
                continue;
            }
            at.entry(p.a).or_default().push(i);
            at.entry(p.b).or_default().push(i);
        }
    }
    let mut queue: Vec<usize> = at.keys().copied().collect();
    while let Some(node) = queue.pop() {
        let Some(here) = at.get(&node).cloned() else { continue };
        match here[..] {
            [] => {
                at.remove(&node);
            }
            [only] => {
                if let Some(p) = all[only].take() {
                    let far = if p.a == node { p.b } else { p.a };
                    if let Some(list) = at.get_mut(&far) {
                        list.retain(|&i| i != only);
                    }
                    queue.push(far);
                }
                at.remove(&node);
            }
            [x, y] => {
                let both = |i: usize| all[i].as_ref().is_some_and(|p| p.special.is_some());
                if both(x) && both(y) {
                    continue;
                }
                // Two paths side by side are a loop, and stay one.
                let ends = |i: usize| all[i].as_ref().map(|p| (p.a.min(p.b), p.a.max(p.b)));
                if ends(x) == ends(y) {
                    continue;
                }
                let (Some(p), Some(q)) = (all[x].take(), all[y].take()) else { continue };
                let p = if p.b == node { p } else { p.turned() };
                let q = if q.a == node { q } else { q.turned() };
                let joined = p.then(q);
                at.remove(&node);
                if let Some(list) = at.get_mut(&joined.b) {
                    list.iter_mut().filter(|i| **i == y).for_each(|i| *i = x);
                }
                queue.extend([joined.a, joined.b]);
                all[x] = Some(joined);
            }
            _ => {}
        }
    }
    all.into_iter().flatten().collect()
}

/// A network ready to be integrated.
#[derive(Clone, Debug)]
pub struct Network {
    /// Its paths.
    pub paths: Vec<Path>,
    /// Loops: for each the paths with the direction in which it runs through them.
    pub loops: Vec<Vec<(usize, f64)>>,
    /// For each path its loops.
    in_loops: Vec<Vec<(usize, f64)>>,
    /// Paths with a capacitor, in order.
    pub capacitors: Vec<usize>,
    /// (B·L·Bᵀ)⁻¹ by rows.
    inverse: Vec<f64>,
    has_diodes: bool,
}

impl Network {
    /// Of paths; they are reduced first. `None` when there is no loop, or a loop without inductance.
    pub fn of(paths: Vec<Path>) -> Option<Self> {
        let mut paths = reduced(paths);
        // Diodes last: they close the loops, and a loop's current is then a diode's own. As a difference of
        // large currents its leakage would drown in their error.
        paths.sort_by_key(|p| match p.special {
            None => 0,
            Some(Special::Capacitor { .. }) => 1,
            Some(Special::Diode { .. }) => 2,
        });
        let loops = loops(&paths);
        if loops.is_empty() {
            return None;
        }
        let mut in_loops = vec![Vec::new(); paths.len()];
        for (k, ring) in loops.iter().enumerate() {
            for &(p, sign) in ring {
                in_loops[p].push((k, sign));
            }
        }
        let n = loops.len();
        let mut matrix = vec![0.0; n * n];
        for (path, rings) in paths.iter().zip(&in_loops) {
            for &(k, s) in rings {
                for &(m, t) in rings {
                    matrix[k * n + m] += s * t * path.henries;
                }
            }
        }
        let factors = Factors::of(n, matrix)?;
        let mut inverse = vec![0.0; n * n];
        let (mut unit, mut column) = (vec![0.0; n], vec![0.0; n]);
        for k in 0..n {
            unit.fill(0.0);
            unit[k] = 1.0;
            factors.solve(&unit, &mut column);
            for (m, x) in column.iter().enumerate() {
                inverse[m * n + k] = *x;
            }
        }
        let capacitors: Vec<usize> = (0..paths.len())
            .filter(|&p| matches!(paths[p].special, Some(Special::Capacitor { .. })))
            .collect();
        let has_diodes = paths.iter().any(|p| matches!(p.special, Some(Special::Diode { .. })));
        Some(Self { paths, loops, in_loops, capacitors, inverse, has_diodes })
    }

    /// At rest: no current, the capacitors as charged as they are.
    pub fn start(&self) -> Vec<f64> {
        let volts = self.capacitors.iter().map(|&p| match self.paths[p].special {
            Some(Special::Capacitor { start_v, .. }) => start_v,
            _ => 0.0,
        });
        vec![0.0; self.loops.len()].into_iter().chain(volts).collect()
    }

    /// Current of a path at a state, or its slope when given slopes.
    pub fn current(&self, path: usize, y: &[f64]) -> f64 {
        self.in_loops[path].iter().map(|&(k, sign)| sign * y[k]).sum()
    }

    /// The path that holds an item, with the item's direction in it.
    pub fn path_of(&self, item: usize) -> Option<(usize, f64)> {
        self.paths.iter().enumerate().find_map(|(p, path)| {
            path.items.iter().find(|i| i.0 == item).map(|&(_, direction)| (p, direction))
        })
    }

    /// Number of each capacitor among those that were handed over.
    pub fn capacitor_numbers(&self) -> Vec<usize> {
        let number = |&p: &usize| match self.paths[p].special {
            Some(Special::Capacitor { index, .. }) => index,
            _ => usize::MAX,
        };
        self.capacitors.iter().map(number).collect()
    }

    /// Voltage at the terminals of the n-th capacitor, its own resistance included.
    pub fn terminal_voltage(&self, n: usize, y: &[f64]) -> f64 {
        let p = self.capacitors[n];
        let path = &self.paths[p];
        let Some(Special::Capacitor { esr_ohm, .. }) = path.special else { return 0.0 };
        y[self.loops.len() + n] + esr_ohm * path.sense * self.current(p, y)
    }

    /// Voltage of a diode in its direction and its slope.
    fn diode(saturation: f64, slope: f64, i: f64) -> (f64, f64) {
        if i >= 0.0 {
            (slope * (i / saturation).ln_1p(), slope / (saturation + i))
        } else {
            (BLOCKS * i, BLOCKS)
        }
    }

    /// What a path takes at a current and its slope, capacitors' voltage left out.
    pub fn takes(path: &Path, i: f64) -> (f64, f64) {
        let ohms = path.all_ohms();
        match path.special {
            Some(Special::Diode { saturation_a, slope_v }) => {
                let (v, dv) = Self::diode(saturation_a, slope_v, path.sense * i);
                (ohms * i + path.sense * v, ohms + dv)
            }
            _ => (ohms * i, ohms),
        }
    }
}

/// Independent loops: each path outside a spanning tree closes one.
fn loops(paths: &[Path]) -> Vec<Vec<(usize, f64)>> {
    let nodes: BTreeMap<usize, usize> = {
        let mut all: Vec<usize> = paths.iter().flat_map(|p| [p.a, p.b]).collect();
        all.sort_unstable();
        all.dedup();
        all.into_iter().enumerate().map(|(i, n)| (n, i)).collect()
    };
    let mut group: Vec<usize> = (0..nodes.len()).collect();
    fn root(group: &mut [usize], mut v: usize) -> usize {
        while group[v] != v {
            group[v] = group[group[v]];
            v = group[v];
        }
        v
    }
    // Paths of the tree by node.
    let mut tree: Vec<Vec<(usize, usize, f64)>> = vec![Vec::new(); nodes.len()];
    let mut links = Vec::new();
    for (p, path) in paths.iter().enumerate() {
        let (a, b) = (nodes[&path.a], nodes[&path.b]);
        let (ra, rb) = (root(&mut group, a), root(&mut group, b));
        if ra == rb {
            links.push((p, a, b));
        } else {
            group[ra] = rb;
            tree[a].push((p, b, 1.0));
            tree[b].push((p, a, -1.0));
        }
    }
    links
        .into_iter()
        .map(|(link, a, b)| {
            // From the link's end back to its start.
            let mut from: Vec<Option<(usize, usize, f64)>> = vec![None; nodes.len()];
            let mut queue = vec![b];
            while let Some(v) = queue.pop() {
                if v == a {
                    break;
                }
                for &(p, w, sign) in &tree[v] {
                    if w != b && from[w].is_none() {
                        from[w] = Some((p, v, sign));
                        queue.push(w);
                    }
                }
            }
            let mut ring = vec![(link, 1.0)];
            let mut v = a;
            while let Some((p, before, sign)) = from[v] {
                ring.push((p, sign));
                v = before;
            }
            ring
        })
        .collect()
}

impl System for Network {
    fn count(&self) -> usize {
        self.loops.len() + self.capacitors.len()
    }

    fn slope(&self, y: &[f64], out: &mut [f64]) {
        let n = self.loops.len();
        let mut drive = vec![0.0; n];
        let mut next = 0;
        for (p, path) in self.paths.iter().enumerate() {
            let i = self.current(p, y);
            let mut takes = Self::takes(path, i).0 - path.emf_v;
            if let Some(Special::Capacitor { farads, .. }) = path.special {
                takes += path.sense * y[n + next];
                out[n + next] = path.sense * i / farads;
                next += 1;
            }
            for &(k, sign) in &self.in_loops[p] {
                drive[k] -= sign * takes;
            }
        }
        for (row, out) in self.inverse.chunks_exact(n).zip(out.iter_mut()) {
            *out = row.iter().zip(&drive).map(|(m, d)| m * d).sum();
        }
    }

    fn jacobian(&self, y: &[f64], out: &mut [f64]) {
        let (n, all) = (self.loops.len(), self.count());
        out.fill(0.0);
        // −∂(what the loops take)/∂y, before the inductances.
        let mut drive = vec![0.0; n * all];
        let mut next = 0;
        for (p, path) in self.paths.iter().enumerate() {
            let ohms = Self::takes(path, self.current(p, y)).1;
            let volts = matches!(path.special, Some(Special::Capacitor { .. })).then(|| {
                next += 1;
                n + next - 1
            });
            for &(k, sign) in &self.in_loops[p] {
                for &(m, other) in &self.in_loops[p] {
                    drive[k * all + m] -= sign * other * ohms;
                }
                if let (Some(v), Some(Special::Capacitor { farads, .. })) = (volts, path.special) {
                    drive[k * all + v] -= sign * path.sense;
                    out[v * all + k] = path.sense * sign / farads;
                }
            }
        }
        for k in 0..n {
            for m in 0..n {
                let l = self.inverse[k * n + m];
                let (row, from) = (&mut out[k * all..(k + 1) * all], &drive[m * all..(m + 1) * all]);
                row.iter_mut().zip(from).for_each(|(x, d)| *x += l * d);
            }
        }
    }

    fn linear(&self) -> bool {
        !self.has_diodes
    }

    fn tolerance(&self, y: &[f64], out: &mut [f64]) {
        let n = self.loops.len();
        let most = |part: &[f64]| part.iter().fold(0.0, |a: f64, b| a.max(b.abs()));
        let (amperes, volts) = (most(&y[..n]).max(0.1), most(&y[n..]).max(1.0));
        for (out, ring) in out.iter_mut().zip(&self.loops) {
            // The link comes first in its loop. A blocking diode turns an error of current into volts.
            let diode = matches!(self.paths[ring[0].0].special, Some(Special::Diode { .. }));
            *out = if diode { 1e-4 * volts / BLOCKS } else { 2e-6 * amperes };
        }
        out[n..].fill(2e-6 * volts);
    }
}
