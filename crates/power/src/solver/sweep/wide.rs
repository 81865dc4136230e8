//! Steps with more than the short in the border: the rows whose numbers are no longer those that were
//! factored.

use super::Sweep;
use super::border::{Border, dot};
use super::dense::solve_dense;
use std::collections::BTreeMap;

/// Most rows in the border.
const WIDEST: usize = 10;

impl Sweep<'_> {
    /// A step with the rows in the border whose numbers changed. Replaces `f` by what to take from the
    /// unknowns, and gives what to add to the current; `None` when there are too many.
    pub(super) fn wider(
        &mut self,
        border: &Border,
        z_u: &[f64],
        f: &mut [f64],
        gap: f64,
        values: &[f64],
    ) -> Option<f64> {
        let changed = self.changed(values);
        if changed.len() > WIDEST {
            return None;
        }
        for &row in changed.keys() {
            if !self.unit.contains_key(&row) {
                let mut z = vec![0.0; self.x.len()];
                z[row] = 1.0;
                self.factors.solve(&self.core.order, &mut z);
                self.unit.insert(row, z);
            }
        }
        self.factors.solve(&self.core.order, f);
        let columns: Vec<&[f64]> = std::iter::once(z_u)
            .chain(changed.keys().filter_map(|row| self.unit.get(row)).map(Vec::as_slice))
            .collect();
        let m = columns.len();
        let mut matrix = vec![0.0; m * m];
        let mut right = vec![0.0; m];
        right[0] = gap - dot(&border.w, f);
        for (c, column) in columns.iter().enumerate() {
            matrix[c] = dot(&border.w, column);
        }
        matrix[0] += border.ohms;
        for (r, delta) in changed.values().enumerate() {
            right[r + 1] = -dot(delta, f);
            for (c, column) in columns.iter().enumerate() {
                matrix[(r + 1) * m + c] = dot(delta, column);
            }
            matrix[(r + 1) * m + r + 1] += 1.0;
        }
        solve_dense(&mut matrix, &mut right)?;
        for (column, &by) in columns.iter().zip(&right) {
            f.iter_mut().zip(*column).for_each(|(f, z)| *f += z * by);
        }
        Some(right[0])
    }

    /// Rows whose numbers are no longer those that were factored, with the differences.
    fn changed(&self, values: &[f64]) -> BTreeMap<usize, Vec<(usize, f64)>> {
        let mut rows: BTreeMap<usize, Vec<(usize, f64)>> = BTreeMap::new();
        let layout = self.core.entries.layout.as_ref();
        for column in 0..self.x.len() {
            for at in layout.col_range(column) {
                let by = values[at] - self.values[at];
                if by != 0.0 {
                    rows.entry(layout.row_idx()[at]).or_default().push((column, by));
                }
            }
        }
        rows
    }
}
