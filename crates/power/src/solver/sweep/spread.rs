//! All unknowns of the whole network from the core's.

use super::{Device, Point, Sweep};

impl Sweep<'_> {
    /// The whole network's unknowns, with the current drawn along its lines.
    pub(super) fn spread(&self, x: &[f64], drawn: &[(Option<(usize, f64)>, f64)]) -> Point {
        let mut whole = vec![0.0; self.whole.size];
        for (&(unknown, sign), value) in self.whole.unknown.iter().zip(x) {
            whole[unknown] = sign * value;
        }
        for (line, branches) in self.whole.branches.iter().enumerate() {
            let Device::Branch { a, .. } = self.netlist.items[line].device else { continue };
            if branches.len() < 2 && drawn.iter().all(|d| d.0.is_none_or(|(at, _)| at != line)) {
                continue;
            }
            let (mut v, mut before) = (x[a], 0.0);
            let first = x[self.core.pattern.extra[line]];
            // What was drawn up to a place on the line no longer flows behind it.
            let at = |place: f64, last: bool| {
                let up_to = |p: f64| p < place || (last && p == place);
                let gone = drawn.iter().filter(|d| d.0.is_some_and(|(l, p)| l == line && up_to(p)));
                first - gone.map(|d| d.1).sum::<f64>()
            };
            for &(index, along, to, ohms) in branches {
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
        Point { x: whole, fraction: self.fraction }
    }
}
