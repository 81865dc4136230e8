//! The shortest way over a few holes, by dynamic programming over subsets (Held and Karp, 1962).

use loomdeck_model::Point;

/// The shortest way: for every set of holes and last hole of it, the shortest way that ends there.
pub(super) fn exact(start: Point, points: &[Point]) -> Vec<usize> {
    let n = points.len();
    if n == 0 {
        return Vec::new();
    }
    // Rows of a length that goes by fours; nothing is less than what fills them up.
    let row = n.next_multiple_of(WIDE);
    let mut apart = vec![f64::INFINITY; n * row];
    for (from, a) in points.iter().enumerate() {
        for (to, b) in points.iter().enumerate() {
            apart[from * row + to] = a.distance(*b);
        }
    }
    let to = |i: usize| &apart[i * row..(i + 1) * row];
    let full = (1usize << n) - 1;
    // By set of holes, then by the last of them; infinite for a last hole that is not in the set.
    let mut best = vec![f64::INFINITY; (full + 1) * row];
    for (i, p) in points.iter().enumerate() {
        best[(1 << i) * row + i] = start.distance(*p);
    }
    for set in 1..=full {
        let mut left = set & (set - 1);
        // A set of one hole is reached from the start alone.
        left = if left == 0 { 0 } else { set };
        while left != 0 {
            let last = left.trailing_zeros() as usize;
            left &= left - 1;
            let before = set ^ (1 << last);
            best[set * row + last] = least(&best[before * row..(before + 1) * row], to(last));
        }
    }
    let mut set = full;
    let mut order = Vec::with_capacity(n);
    let mut last = nearest(&best[full * row..], &vec![0.0; row]).0;
    loop {
        order.push(last);
        set ^= 1 << last;
        if set == 0 {
            break;
        }
        last = nearest(&best[set * row..(set + 1) * row], to(last)).0;
    }
    order.reverse();
    order
}

/// How many sums are looked at together.
const WIDE: usize = 4;

/// The least sum of a way and a link, of rows whose length goes by [`WIDE`].
fn least(ways: &[f64], links: &[f64]) -> f64 {
    let mut least = [f64::INFINITY; WIDE];
    for (ways, links) in ways.chunks_exact(WIDE).zip(links.chunks_exact(WIDE)) {
        for ((least, way), link) in least.iter_mut().zip(ways).zip(links) {
            let sum = way + link;
            *least = if sum < *least { sum } else { *least };
        }
    }
    least.into_iter().fold(f64::INFINITY, f64::min)
}

/// The place with the least sum, the first of equal ones, and that sum.
fn nearest(ways: &[f64], links: &[f64]) -> (usize, f64) {
    let mut least = (0, f64::INFINITY);
    for (i, (way, link)) in ways.iter().zip(links).enumerate() {
        let sum = way + link;
        if sum < least.1 {
            least = (i, sum);
        }
    }
    least
}
