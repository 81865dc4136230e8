//! Equations that are solved again and again.

/// A dense matrix taken apart by elimination with the largest pivot of each column.
#[derive(Clone, Debug)]
pub(super) struct Factors {
    size: usize,
    /// What is left above and on the diagonal; below it what each line was multiplied by.
    lines: Vec<f64>,
    /// With which line each was exchanged.
    pivots: Vec<usize>,
}

impl Factors {
    /// `None` when a column has no pivot.
    pub(super) fn of(mut a: Vec<f64>, n: usize) -> Option<Self> {
        let largest = a.iter().fold(0.0f64, |m, x| m.max(x.abs()));
        let mut pivots = Vec::with_capacity(n);
        for c in 0..n {
            let pivot = (c..n).max_by(|i, j| a[i * n + c].abs().total_cmp(&a[j * n + c].abs()))?;
            let value = a[pivot * n + c];
            if value.abs() < 1e-13 * largest.min(1.0) || !value.is_finite() {
                return None;
            }
            if pivot != c {
                let (upper, lower) = a.split_at_mut(pivot * n);
                upper[c * n..(c + 1) * n].swap_with_slice(&mut lower[..n]);
            }
            pivots.push(pivot);
            let (upper, lower) = a.split_at_mut((c + 1) * n);
            let row = &upper[c * n..];
            for line in lower.chunks_exact_mut(n) {
                let factor = line[c] / value;
                line[c] = factor;
                if factor != 0.0 {
                    for (x, y) in line[c + 1..].iter_mut().zip(&row[c + 1..]) {
                        *x -= factor * y;
                    }
                }
            }
        }
        Some(Self { size: n, lines: a, pivots })
    }

    /// The solution for a right side; `None` when it is not finite.
    pub(super) fn solve(&self, mut b: Vec<f64>) -> Option<Vec<f64>> {
        let n = self.size;
        for (c, pivot) in self.pivots.iter().enumerate() {
            b.swap(c, *pivot);
        }
        let line = |r: usize| &self.lines[r * n..(r + 1) * n];
        for r in 1..n {
            for (c, factor) in line(r)[..r].iter().enumerate() {
                b[r] -= factor * b[c];
            }
        }
        for r in (0..n).rev() {
            let rest: f64 = line(r)[r + 1..].iter().zip(&b[r + 1..]).map(|(x, y)| x * y).sum();
            b[r] = (b[r] - rest) / line(r)[r];
        }
        b.iter().all(|x| x.is_finite()).then_some(b)
    }
}
