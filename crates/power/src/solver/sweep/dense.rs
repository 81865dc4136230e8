//! Small systems with all entries.

/// Gaussian elimination with the largest pivot of each column; `None` where there is none.
pub(super) fn solve_dense(matrix: &mut [f64], right: &mut [f64]) -> Option<()> {
    let n = right.len();
    for k in 0..n {
        let size = |r: &usize| matrix[r * n + k].abs();
        let pivot = (k..n).max_by(|r, s| size(r).total_cmp(&size(s)))?;
        if matrix[pivot * n + k] == 0.0 {
            return None;
        }
        if pivot != k {
            for c in 0..n {
                matrix.swap(k * n + c, pivot * n + c);
            }
            right.swap(k, pivot);
        }
        for r in k + 1..n {
            let by = matrix[r * n + k] / matrix[k * n + k];
            if by != 0.0 {
                for c in k..n {
                    matrix[r * n + c] -= by * matrix[k * n + c];
                }
                right[r] -= by * right[k];
            }
        }
    }
    for k in (0..n).rev() {
        let known: f64 = (k + 1..n).map(|c| matrix[k * n + c] * right[c]).sum();
        right[k] = (right[k] - known) / matrix[k * n + k];
    }
    Some(())
}
