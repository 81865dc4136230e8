//! Which strand lies nearer to a post when several pass it.
//!
//! Where two strands come apart decides which is left and which right: wires lie in the order in which
//! they leave, so that they cross as little as can be. When their ends disagree they must cross once;
//! they do so where the earlier strand begins.

use super::{Strand, Via};
use crate::shape::{cross, dot, minus, norm};
use loomdeck_model::Point;
use std::cmp::Ordering;

/// How far two strands of one corridor may lie apart for their different clearances, beside their
/// difference itself, mm.
const SAME: f64 = 0.6;

/// One strand at a post, walked in a direction.
#[derive(Clone, Copy)]
struct Walk<'a> {
    strand: &'a Strand,
    /// Next node ahead, and the step from node to node.
    next: isize,
    step: isize,
}

impl Walk<'_> {
    fn node(&self, ahead: isize) -> Option<(Point, Option<u32>)> {
        let i = usize::try_from(self.next + ahead * self.step).ok()?;
        self.strand.nodes.get(i).map(|n| (n.at, n.post))
    }
}

/// `Less`: the first lies nearer to the post than the second.
pub fn nearer(strands: &[Strand], a: (usize, &Via), b: (usize, &Via)) -> Ordering {
    if a.0 > b.0 {
        return nearer(strands, b, a).reverse();
    }
    let (s, t) = (&strands[a.0], &strands[b.0]);
    let (va, vb) = (a.1, b.1);
    let tolerance = tolerance(s.clearance, t.clearance);
    if (va.slack - vb.slack).abs() > tolerance {
        return va.slack.total_cmp(&vb.slack);
    }
    // Both walked the way the first goes; the post is then on the same side of both.
    let along = if va.side == vb.side { 1 } else { -1 };
    let left_ahead = apart(walk(s, va, 1), walk(t, vb, along), va.at, tolerance);
    // Seen backwards, left and right change places.
    let left = left_ahead
        .or_else(|| apart(walk(s, va, -1), walk(t, vb, -along), va.at, tolerance).map(|l| !l))
        .unwrap_or(va.side > 0.0);
    if left == (va.side > 0.0) { Ordering::Less } else { Ordering::Greater }
}

/// Slacks of strands with these clearances that differ by no more may be those of one corridor.
fn tolerance(a: f64, b: f64) -> f64 {
    SAME + 1.5 * (a - b).abs()
}

fn walk<'a>(strand: &'a Strand, via: &Via, step: isize) -> Walk<'a> {
    // A via at a node lies on it; one within a stretch lies between two.
    let (behind, ahead) = match via.node {
        Some(n) => (n as isize - 1, n as isize + 1),
        None => (via.place.floor() as isize, via.place.floor() as isize + 1),
    };
    Walk { strand, next: if step > 0 { ahead } else { behind }, step }
}

/// Whether the first strand goes to the left of the second where they come apart; `None` when they never do.
fn apart(mut a: Walk, mut b: Walk, mut from: Point, tolerance: f64) -> Option<bool> {
    for _ in 0..64 {
        let ((p, x), (q, y)) = (a.node(0)?, b.node(0)?);
        if (x.is_some() && x == y) || norm(minus(p, q)) < 1e-6 {
            from = p;
            a.next += a.step;
            b.next += b.step;
            continue;
        }
        let (d, e) = (minus(p, from), minus(q, from));
        let (near, far) = (norm(d).min(norm(e)), norm(d).max(norm(e)));
        if far < 1e-9 {
            return None;
        }
        // Distance of the nearer one from the way to the further one.
        let off = cross(d, e) / far;
        let plain = off.abs() > tolerance || dot(d, e) < 0.0 || near < 1e-9;
        if plain && off != 0.0 {
            return Some(off < 0.0);
        }
        let first_is_near = norm(d) <= norm(e);
        let (walk, at) = if first_is_near { (&a, p) } else { (&b, q) };
        let turn = cross(minus(at, from), minus(walk.node(1)?.0, at));
        if turn.abs() < 1e-9 {
            return None;
        }
        // The nearer one turns off: to the left means it is the left one.
        return Some((turn > 0.0) == first_is_near);
    }
    None
}

/// Puts the strands at a post in order, nearest first: by how many of the others each is nearer than,
/// so that one odd pair cannot upset the rest.
pub fn sort<'a>(strands: &[Strand], at: &mut [(usize, usize)], via: impl Fn(usize, usize) -> &'a Via) {
    let n = at.len();
    if n < 2 {
        return;
    }
    at.sort_unstable_by(|a, b| via(a.0, a.1).slack.total_cmp(&via(b.0, b.1).slack).then(a.cmp(b)));
    let vias: Vec<&Via> = at.iter().map(|(s, v)| via(*s, *v)).collect();
    // Those whose slacks differ by more than this are told apart by them alone.
    let clear = at.iter().map(|(s, _)| strands[*s].clearance);
    let (least, most) = clear.fold((f64::INFINITY, 0.0f64), |(low, high), c| (low.min(c), high.max(c)));
    let beyond = tolerance(most, least);
    let mut further = vec![0usize; n];
    // How many find all from here on further off than themselves.
    let mut from = vec![0usize; n + 1];
    for i in 0..n {
        let end = i + vias[i..].partition_point(|v| v.slack - vias[i].slack <= beyond);
        from[end] += 1;
        for j in i + 1..end {
            match nearer(strands, (at[i].0, vias[i]), (at[j].0, vias[j])) {
                Ordering::Less => further[j] += 1,
                _ => further[i] += 1,
            }
        }
    }
    let mut before = 0;
    for (further, from) in further.iter_mut().zip(from) {
        before += from;
        *further += before;
    }
    let mut order: Vec<(usize, (usize, usize))> = further.into_iter().zip(at.iter().copied()).collect();
    order.sort_unstable();
    for (slot, (_, entry)) in at.iter_mut().zip(order) {
        *slot = entry;
    }
}
