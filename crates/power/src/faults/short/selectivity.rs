//! Which of two fuses in series goes first.

use super::bases::{Bases, Solved};
use super::judge::{CARRIES, Judge, Way};
use super::types::Pair;
use crate::fuse::curve::{fastest, slowest, surely_opens};
use loomdeck_model::element::Fuse;
use std::collections::BTreeMap;

/// Currents at which pairs of fuses were met: least and largest, by index of the upper and the lower.
pub type Met = BTreeMap<(usize, usize), (f64, f64)>;

/// Adds the pairs that carry a short, in the order from the source.
pub fn meet(judge: &Judge<'_>, bases: &Bases<'_>, solved: &Solved, back: usize, met: &mut Met) {
    let x = &solved.short.point.x;
    let total = solved.short.current.abs();
    let mut line: Vec<(f64, usize, f64)> = judge
        .ways
        .iter()
        .enumerate()
        .filter_map(|(index, way)| {
            let current = bases.current(solved, way.item).abs();
            let high = x[way.nodes.0].max(x[way.nodes.1]) - x[back];
            (bases.change(solved, way.item) >= CARRIES * total).then_some((high, index, current))
        })
        .collect();
    // The one nearer to the source stands higher.
    line.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    for pair in line.windows(2) {
        let (current, lower) = (pair[1].2, judge.ways[pair[1].1].fuse);
        // What opens neither has no order.
        if current < lower.rating.0 * surely_opens(&lower.curve) {
            continue;
        }
        let seen = met.entry((pair[0].1, pair[1].1)).or_insert((current, current));
        *seen = (seen.0.min(current), seen.1.max(current));
    }
}

/// Adds the pairs that others met.
pub fn join(met: &mut Met, others: Met) {
    for (pair, (least, most)) in others {
        let seen = met.entry(pair).or_insert((least, most));
        *seen = (seen.0.min(least), seen.1.max(most));
    }
}

/// The table of all pairs that were met.
pub fn table(judge: &Judge<'_>, met: &Met) -> Vec<Pair> {
    met.iter()
        .map(|(&(upper, lower), &(least_a, most_a))| {
            let (u, l) = (&judge.ways[upper], &judge.ways[lower]);
            let name = |w: &Way<'_>| (w.part, w.name.to_owned());
            Pair {
                upper: name(u),
                upper_a: u.fuse.rating.0,
                lower: name(l),
                lower_a: l.fuse.rating.0,
                least_a,
                most_a,
                sure_to_a: sure_to(u.fuse, l.fuse, most_a),
                times: middle(u.fuse, most_a) / middle(l.fuse, most_a),
            }
        })
        .collect()
}

/// Time of a specimen in the middle of the band, s; infinite where it need not open.
fn middle(fuse: &Fuse, current: f64) -> f64 {
    let m = current / fuse.rating.0;
    // Both infinite must not give a number that is none.
    match (fastest(&fuse.curve, m), slowest(&fuse.curve, m)) {
        (f, s) if f.is_finite() && s.is_finite() => (f * s).sqrt(),
        _ => 1e9,
    }
}

/// Up to which current the slowest specimen of the lower fuse opens before the fastest of the upper one.
pub fn sure_to(upper: &Fuse, lower: &Fuse, most: f64) -> Option<f64> {
    let surely =
        |i: f64| slowest(&lower.curve, i / lower.rating.0) < fastest(&upper.curve, i / upper.rating.0);
    let first = lower.rating.0 * surely_opens(&lower.curve) * (1.0 + 1e-9);
    if !surely(first) {
        return None;
    }
    let mut sure = first;
    while sure < most {
        let next = (sure * 1.01).min(most);
        if !surely(next) {
            return Some(sure);
        }
        sure = next;
    }
    Some(sure)
}
