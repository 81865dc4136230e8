//! Which holes register the other face's template.

use crate::making::{Hole, HoleShape};
use loomdeck_model::Point;

/// Holes wider than this do not hold a pin well enough to register a template.
const PIN: f64 = 8.5;

/// Marks the two holes farthest apart among those that can hold a pin; of equal pairs, the one with
/// the lowest numbers.
pub fn mark_registration(holes: &mut [Hole]) {
    let fit: Vec<usize> = (0..holes.len())
        .filter(|i| {
            let h = &holes[*i];
            // A pocketed hole gets its size only from the pocket's face.
            h.depth.is_none()
                && h.pocket_face().is_none()
                && matches!(h.shape, HoleShape::Round(d) if d.0 <= PIN)
        })
        .collect();
    let hull = hull(&fit, |i| holes[i].at);
    let mut best: Option<(f64, usize, usize)> = None;
    for (n, a) in hull.iter().enumerate() {
        for b in &hull[n + 1..] {
            let d = holes[*a].at.distance(holes[*b].at);
            if best.is_none_or(|(longest, ..)| d > longest + 1e-9) {
                best = Some((d, *a, *b));
            }
        }
    }
    if let Some((_, a, b)) = best {
        holes[a].registration = true;
        holes[b].registration = true;
    }
}

/// Corners of the convex hull, by index, in rising order. Andrew's monotone chain.
fn hull(points: &[usize], at: impl Fn(usize) -> Point) -> Vec<usize> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| {
        let (p, q) = (at(*a), at(*b));
        p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y)).then(a.cmp(b))
    });
    let cross = |o: usize, a: usize, b: usize| {
        let (o, a, b) = (at(o), at(a), at(b));
        (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x)
    };
    let mut corners: Vec<usize> = Vec::new();
    for pass in 0..2 {
        let mut chain: Vec<usize> = Vec::new();
        let mut each = |i: usize| {
            while chain.len() >= 2 && cross(chain[chain.len() - 2], chain[chain.len() - 1], i) <= 0.0 {
                chain.pop();
            }
            chain.push(i);
        };
        if pass == 0 {
            sorted.iter().copied().for_each(&mut each);
        } else {
            sorted.iter().rev().copied().for_each(&mut each);
        }
        corners.extend(chain);
    }
    corners.sort_unstable();
    corners.dedup();
    corners
}
