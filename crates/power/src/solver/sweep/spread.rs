//! All unknowns of the whole network from the core's.

use super::lines::Lines;
use super::{Device, Point, Sweep};
use crate::netlist::Netlist;

/// How the unknowns that the core leaves out follow from the core's, for lines from which nothing is drawn.
#[derive(Debug, Default)]
pub(super) struct Runs {
    /// Lines of several branches: the core's node at which each begins, its current, and behind its last
    /// step.
    lines: Vec<(usize, usize, usize)>,
    steps: Vec<Step>,
}

/// A branch of a line.
#[derive(Debug)]
struct Step {
    /// The unknown that is its current, and the sign.
    current: u32,
    /// The node it leads to.
    to: u32,
    sign: f64,
    /// Resistance of the line up to there.
    ohms: f64,
}

impl Runs {
    pub(super) fn of(lines: &Lines, core: &Netlist, extra: &[usize]) -> Self {
        let mut runs = Self::default();
        for ((branches, item), &k) in lines.branches.iter().zip(&core.items).zip(extra) {
            let Device::Branch { a, .. } = item.device else { continue };
            if branches.len() < 2 {
                continue;
            }
            let mut before = 0.0;
            for &(index, along, to, ohms) in branches {
                before += ohms;
                let (current, to) = (lines.extra[index] as u32, to as u32);
                runs.steps.push(Step {
                    current,
                    to,
                    sign: if along { 1.0 } else { -1.0 },
                    ohms: before,
                });
            }
            runs.lines.push((a, k, runs.steps.len()));
        }
        runs
    }
}

/// What is drawn along the lines: core item and resistance up to the place, and the current.
pub(super) type Drawn = [(Option<(usize, f64)>, f64)];

impl Sweep<'_> {
    /// [`Self::spread`] in memory of its own.
    pub(super) fn point(&self, x: &[f64], drawn: &Drawn) -> Point {
        let mut whole = Vec::new();
        self.spread(|at| x[at], drawn, &mut whole);
        Point { x: whole, fraction: self.fraction }
    }

    /// The whole network's unknowns, with the current drawn along its lines. What follows from no unknown of
    /// the core is zero, or what `whole` held there before.
    pub(super) fn spread(&self, x: impl Fn(usize) -> f64, drawn: &Drawn, whole: &mut Vec<f64>) {
        whole.resize(self.whole.size, 0.0);
        let whole = whole.as_mut_slice();
        let mut first = 0;
        for &(a, k, last) in &self.runs.lines {
            let (v, i) = (x(a), x(k));
            for step in &self.runs.steps[first..last] {
                whole[step.current as usize] = step.sign * i;
                // The last one leads to a node that the core keeps: it is set below.
                whole[step.to as usize] = v - step.ohms * i;
            }
            first = last;
        }
        for (at, &(unknown, sign)) in self.whole.unknown.iter().enumerate() {
            whole[unknown] = sign * x(at);
        }
        for line in drawn.iter().filter_map(|d| d.0) {
            self.spread_line(line.0, &x, drawn, whole);
        }
    }

    /// Along a line from which current is drawn.
    fn spread_line(&self, line: usize, x: &impl Fn(usize) -> f64, drawn: &Drawn, whole: &mut [f64]) {
        let Device::Branch { a, .. } = self.netlist.items[line].device else { return };
        let (mut v, mut before) = (x(a), 0.0);
        let first = x(self.core.pattern.extra[line]);
        // What was drawn up to a place on the line no longer flows behind it.
        let at = |place: f64, last: bool| {
            let up_to = |p: f64| p < place || (last && p == place);
            let gone = drawn.iter().filter(|d| d.0.is_some_and(|(l, p)| l == line && up_to(p)));
            first - gone.map(|d| d.1).sum::<f64>()
        };
        for &(index, along, to, ohms) in &self.whole.branches[line] {
            let after = before + ohms;
            let (enters, leaves) = (at(before, true), at(after, false));
            let i = if leaves.abs() > enters.abs() { leaves } else { enters };
            whole[self.whole.extra[index]] = if along { i } else { -i };
            if self.whole.node[to].is_none() {
                let inside = drawn.iter().filter_map(|d| {
                    let (l, p) = d.0.filter(|&(l, p)| l == line && p > before && p < after)?;
                    (l == line).then_some((after - p) * d.1)
                });
                v -= ohms * enters - inside.sum::<f64>();
                whole[to] = v;
            }
            before = after;
        }
    }
}
