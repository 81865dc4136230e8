//! LU factorisation of a sparse matrix that is factored again and again with other numbers.
//!
//! The order of the columns is found once from the structure. The rows are chosen by the numbers of the
//! first matrix, column by column with partial pivoting (J. R. Gilbert, T. Peierls, "Sparse partial
//! pivoting in time proportional to arithmetic operations", SIAM J. Sci. Stat. Comput. 9 (1988) 862), and
//! kept for the matrices after it while they bear it: then all places are known, and only numbers are
//! worked out. So what is found depends on which matrices came before, in the last bits; everything that
//! must be equal bit by bit begins with new factors.

use faer::Mat;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::linalg::colamd;
use faer::sparse::{SparseColMatRef, SymbolicSparseColMat};

/// The order in which the columns of a matrix are eliminated, for any numbers.
#[derive(Clone, Debug, Default)]
pub(super) struct Order {
    columns: Vec<usize>,
    /// Entries in each row.
    counts: Vec<usize>,
}

impl Order {
    /// For a matrix with entries in these places.
    pub fn of(layout: &SymbolicSparseColMat<usize>) -> Self {
        let n = layout.ncols();
        let (mut columns, mut inverse) = (vec![0; n], vec![0; n]);
        let room = colamd::order_scratch::<usize>(n, n, layout.row_idx().len());
        let mut memory = MemBuffer::new(room);
        let found = colamd::order(
            &mut columns,
            &mut inverse,
            layout.as_ref(),
            Default::default(),
            MemStack::new(&mut memory),
        );
        if found.is_err() {
            // Any order will do.
            columns = (0..n).collect();
        }
        let mut counts = vec![0; n];
        for &row in layout.row_idx() {
            counts[row] += 1;
        }
        Self { columns, counts }
    }
}

/// A row counts as a pivot when its entry is at least this share of the largest of its column; of several
/// the one with the fewest entries, which fills least.
const LARGE: f64 = 0.1;
/// Rows that were chosen for other numbers are kept while their entries are at least this share.
const KEPT: f64 = 1e-3;
/// No place.
const NONE: usize = usize::MAX;

/// The factors of a matrix: P·A·Q = L·U, L with ones in its diagonal. Rows are named as in A, columns by
/// their place in the order.
#[derive(Clone, Debug, Default)]
pub(super) struct Factors {
    /// Row of each pivot; empty before the first factorisation.
    pivot: Vec<usize>,
    /// Below the diagonal, column by column: where each begins, its rows and numbers.
    lower_start: Vec<usize>,
    lower_row: Vec<usize>,
    lower: Vec<f64>,
    /// Above the diagonal, each column in an order in which it can be worked out.
    upper_start: Vec<usize>,
    upper_place: Vec<usize>,
    upper: Vec<f64>,
    diagonal: Vec<f64>,
    /// One column at work, zero otherwise; then a right side.
    column: Vec<f64>,
    search: Search,
}

/// What finding the places of a column takes.
#[derive(Clone, Debug, Default)]
struct Search {
    /// Place in the order of the pivot in each row, or [`NONE`].
    place: Vec<usize>,
    /// Last column for which a row was met.
    met: Vec<usize>,
    /// Pivots on the way: row, and how far its column was looked through.
    stack: Vec<(usize, usize)>,
    /// Places above the diagonal in the order in which they were left.
    left: Vec<usize>,
    /// Rows that have no pivot yet.
    free: Vec<usize>,
}

impl Factors {
    /// Factors a matrix.
    ///
    /// # Errors
    /// A column without a row left for it, whatever the numbers; numbers that make the matrix singular show
    /// in what [`Factors::solve`] finds.
    pub fn factor(
        &mut self,
        order: &Order,
        layout: &SymbolicSparseColMat<usize>,
        values: &[f64],
    ) -> Result<(), usize> {
        let n = order.columns.len();
        if self.pivot.len() != n {
            self.begin(n);
        } else if let Some(first) = self.again(order, layout, values) {
            self.forget(first);
        }
        self.go_on(order, layout, values)
    }

    /// Works out the numbers in the places that are known. The first column whose row does not bear it, if
    /// any: the numbers of those before it are worked out.
    fn again(
        &mut self,
        order: &Order,
        layout: &SymbolicSparseColMat<usize>,
        values: &[f64],
    ) -> Option<usize> {
        let (start, rows) = (layout.col_ptr(), layout.row_idx());
        let work = self.column.as_mut_slice();
        for (k, &column) in order.columns.iter().enumerate() {
            let range = start[column]..start[column + 1];
            for (&row, &value) in rows[range.clone()].iter().zip(&values[range]) {
                work[row] = value;
            }
            let above = self.upper_start[k]..self.upper_start[k + 1];
            for (&j, upper) in self.upper_place[above.clone()].iter().zip(&mut self.upper[above]) {
                let factor = std::mem::take(&mut work[self.pivot[j]]);
                *upper = factor;
                if factor != 0.0 {
                    let below = self.lower_start[j]..self.lower_start[j + 1];
                    for (&row, &l) in self.lower_row[below.clone()].iter().zip(&self.lower[below]) {
                        work[row] -= l * factor;
                    }
                }
            }
            let pivot = std::mem::take(&mut work[self.pivot[k]]);
            let below = self.lower_start[k]..self.lower_start[k + 1];
            let mut most: f64 = 0.0;
            for (&row, lower) in self.lower_row[below.clone()].iter().zip(&mut self.lower[below]) {
                let value = std::mem::take(&mut work[row]);
                most = most.max(value.abs());
                *lower = value / pivot;
            }
            self.diagonal[k] = pivot;
            // What is not a number is no pivot either.
            if pivot.abs().partial_cmp(&(KEPT * most)) != Some(std::cmp::Ordering::Greater) {
                return Some(k);
            }
        }
        None
    }

    /// Forgets the rows chosen from a column on.
    fn forget(&mut self, first: usize) {
        for row in self.pivot.drain(first..) {
            self.search.place[row] = NONE;
        }
        self.diagonal.truncate(first);
        for (start, places, numbers) in [
            (&mut self.lower_start, &mut self.lower_row, &mut self.lower),
            (&mut self.upper_start, &mut self.upper_place, &mut self.upper),
        ] {
            start.truncate(first + 1);
            let end = start[first];
            places.truncate(end);
            numbers.truncate(end);
        }
        self.search.met.fill(NONE);
    }

    /// Factors the columns that have no row yet, with rows chosen by the numbers.
    fn go_on(
        &mut self,
        order: &Order,
        layout: &SymbolicSparseColMat<usize>,
        values: &[f64],
    ) -> Result<(), usize> {
        let (start, rows) = (layout.col_ptr(), layout.row_idx());
        for (k, &column) in order.columns.iter().enumerate().skip(self.pivot.len()) {
            let range = start[column]..start[column + 1];
            self.reach(k, &rows[range.clone()]);
            for (&row, &value) in rows[range.clone()].iter().zip(&values[range]) {
                self.column[row] = value;
            }
            for at in (0..self.search.left.len()).rev() {
                let j = self.search.left[at];
                let factor = std::mem::take(&mut self.column[self.pivot[j]]);
                self.upper_place.push(j);
                self.upper.push(factor);
                for l in self.lower_start[j]..self.lower_start[j + 1] {
                    self.column[self.lower_row[l]] -= self.lower[l] * factor;
                }
            }
            let Some(chosen) = self.choose(order) else {
                self.pivot.clear();
                return Err(column);
            };
            let pivot = std::mem::take(&mut self.column[chosen]);
            self.search.place[chosen] = k;
            self.pivot.push(chosen);
            self.diagonal.push(pivot);
            for &row in self.search.free.iter().filter(|&&row| row != chosen) {
                self.lower_row.push(row);
                self.lower.push(std::mem::take(&mut self.column[row]) / pivot);
            }
            self.lower_start.push(self.lower_row.len());
            self.upper_start.push(self.upper_place.len());
        }
        Ok(())
    }

    fn begin(&mut self, n: usize) {
        for list in [&mut self.pivot, &mut self.lower_row, &mut self.upper_place] {
            list.clear();
        }
        for list in [&mut self.lower, &mut self.upper, &mut self.diagonal, &mut self.column] {
            list.clear();
        }
        for list in [&mut self.lower_start, &mut self.upper_start] {
            list.clear();
            list.push(0);
        }
        self.column.resize(n, 0.0);
        for list in [&mut self.search.place, &mut self.search.met] {
            list.clear();
            list.resize(n, NONE);
        }
    }

    /// Finds which places of a column will be filled, from the rows of its entries.
    fn reach(&mut self, k: usize, entries: &[usize]) {
        let Search { place, met, stack, left, free } = &mut self.search;
        left.clear();
        free.clear();
        for &row in entries {
            if met[row] == k {
                continue;
            }
            met[row] = k;
            let j = place[row];
            if j == NONE {
                free.push(row);
                continue;
            }
            stack.push((j, self.lower_start[j]));
            while let Some((j, next)) = stack.last_mut() {
                if *next == self.lower_start[*j + 1] {
                    left.push(*j);
                    stack.pop();
                    continue;
                }
                let row = self.lower_row[*next];
                *next += 1;
                if met[row] == k {
                    continue;
                }
                met[row] = k;
                let i = place[row];
                if i == NONE {
                    free.push(row);
                } else {
                    stack.push((i, self.lower_start[i]));
                }
            }
        }
    }

    /// The row of the next pivot.
    fn choose(&self, order: &Order) -> Option<usize> {
        let size = |row: usize| self.column[row].abs();
        let free = &self.search.free;
        let most = free.iter().fold(0.0f64, |most, &row| most.max(size(row)));
        let large = free.iter().copied().filter(|&row| size(row) >= LARGE * most);
        let best = large.min_by(|&p, &q| {
            order.counts[p].cmp(&order.counts[q]).then(size(q).total_cmp(&size(p))).then(p.cmp(&q))
        });
        best.or(free.first().copied())
    }

    /// Replaces `b` by the solution of A·x = b, which is not finite where A is singular.
    pub fn solve(&mut self, order: &Order, b: &mut [f64]) {
        if self.pivot.len() != b.len() {
            return b.fill(f64::NAN);
        }
        let found = self.column.as_mut_slice();
        for (k, &row) in self.pivot.iter().enumerate() {
            let value = b[row];
            found[k] = value;
            if value != 0.0 {
                let below = self.lower_start[k]..self.lower_start[k + 1];
                for (&row, &l) in self.lower_row[below.clone()].iter().zip(&self.lower[below]) {
                    b[row] -= l * value;
                }
            }
        }
        for (k, &column) in order.columns.iter().enumerate().rev() {
            let value = std::mem::take(&mut found[k]) / self.diagonal[k];
            b[column] = value;
            if value != 0.0 {
                let above = self.upper_start[k]..self.upper_start[k + 1];
                for (&j, &u) in self.upper_place[above.clone()].iter().zip(&self.upper[above]) {
                    found[j] -= u * value;
                }
            }
        }
    }
}

/// How many right sides are solved for at once.
pub(super) const BLOCK: usize = 8;

impl Factors {
    /// [`Factors::solve`] for several right sides that lie row by row.
    pub fn solve_block(&self, order: &Order, b: &mut [[f64; BLOCK]], found: &mut Vec<[f64; BLOCK]>) {
        if self.pivot.len() != b.len() {
            return b.fill([f64::NAN; BLOCK]);
        }
        let less = |from: &mut [f64; BLOCK], by: f64, value: &[f64; BLOCK]| {
            from.iter_mut().zip(value).for_each(|(from, value)| *from -= by * value);
        };
        found.clear();
        for (k, &row) in self.pivot.iter().enumerate() {
            let value = b[row];
            found.push(value);
            if value != [0.0; BLOCK] {
                let below = self.lower_start[k]..self.lower_start[k + 1];
                for (&row, &l) in self.lower_row[below.clone()].iter().zip(&self.lower[below]) {
                    less(&mut b[row], l, &value);
                }
            }
        }
        for (k, &column) in order.columns.iter().enumerate().rev() {
            let value = found[k].map(|v| v / self.diagonal[k]);
            b[column] = value;
            let above = self.upper_start[k]..self.upper_start[k + 1];
            for (&j, &u) in self.upper_place[above.clone()].iter().zip(&self.upper[above]) {
                less(&mut found[j], u, &value);
            }
        }
    }
}

/// The column of a singular matrix that depends most on the others.
pub(super) fn dependent(layout: &SymbolicSparseColMat<usize>, values: &[f64]) -> Option<usize> {
    if values.iter().any(|v| !v.is_finite()) {
        return None;
    }
    let matrix: Mat<f64> = SparseColMatRef::new(layout.as_ref(), values).to_dense();
    matrix.col_piv_qr().P().arrays().0.last().copied()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    /// A matrix from entries by row and column; equal places add up.
    fn matrix(n: usize, entries: &[(usize, usize, f64)]) -> (SymbolicSparseColMat<usize>, Vec<f64>) {
        let mut sums = BTreeMap::new();
        for &(row, column, value) in entries {
            *sums.entry((column, row)).or_insert(0.0) += value;
        }
        let start = (0..=n).map(|c| sums.range(..(c, 0)).count()).collect();
        let rows = sums.keys().map(|k| k.1).collect();
        (SymbolicSparseColMat::new_checked(n, n, start, None, rows), sums.into_values().collect())
    }

    /// Largest residual of A·x against b, over what rounding may make of it.
    fn residual(layout: &SymbolicSparseColMat<usize>, values: &[f64], x: &[f64], b: &[f64]) -> f64 {
        let mut sums: Vec<(f64, f64)> = b.iter().map(|b| (-b, b.abs())).collect();
        for (column, x) in x.iter().enumerate() {
            for p in layout.as_ref().col_range(column) {
                let (sum, size) = &mut sums[layout.row_idx()[p]];
                *sum += values[p] * x;
                *size += (values[p] * x).abs();
            }
        }
        sums.iter().map(|(sum, size)| sum.abs() / size.max(f64::MIN_POSITIVE)).fold(0.0, f64::max)
    }

    fn solved(
        factors: &mut Factors,
        order: &Order,
        layout: &SymbolicSparseColMat<usize>,
        values: &[f64],
        b: &[f64],
    ) -> Vec<f64> {
        factors.factor(order, layout, values).expect("a full diagonal");
        let mut x = b.to_vec();
        factors.solve(order, &mut x);
        x
    }

    prop_compose! {
        /// Sparse matrices with a strong diagonal in shuffled columns, some entries zero.
        fn sparse()(n in 1usize..40)
            (shift in 0..n, n in Just(n),
             off in prop::collection::vec((0..n, 0..n, prop_oneof![Just(0.0), -1.0..1.0f64]), 0..3 * n),
             diagonal in prop::collection::vec(prop_oneof![0.5..2.0f64, -2.0..-0.5f64], n),
             again in prop::collection::vec(0.5..2.0f64, 8 * n),
             b in prop::collection::vec(-1.0..1.0f64, n))
            -> (SymbolicSparseColMat<usize>, Vec<f64>, Vec<f64>, Vec<f64>) {
            let mut entries = off;
            entries.extend((0..n).map(|i| (i, (i + shift) % n, 4.0 * diagonal[i])));
            let (layout, values) = matrix(n, &entries);
            let other = values.iter().zip(&again).map(|(v, a)| v * a).collect();
            (layout, values, other, b)
        }
    }

    proptest! {
        #[test]
        fn the_solution_satisfies_its_equations((layout, values, other, b) in sparse()) {
            let (order, mut factors) = (Order::of(&layout), Factors::default());
            let x = solved(&mut factors, &order, &layout, &values, &b);
            if x.iter().all(|x| x.is_finite()) {
                prop_assert!(residual(&layout, &values, &x, &b) < 1e-9);
            }
            // Other numbers in the same places.
            let y = solved(&mut factors, &order, &layout, &other, &b);
            if y.iter().all(|y| y.is_finite()) {
                prop_assert!(residual(&layout, &other, &y, &b) < 1e-9);
            }
            // They leave nothing behind, and the order is the same each time: bit by bit.
            let bits = |x: &[f64]| x.iter().map(|x| x.to_bits()).collect::<Vec<_>>();
            let z = solved(&mut factors, &order, &layout, &values, &b);
            prop_assert_eq!(bits(&x), bits(&z));
            let fresh = solved(&mut Factors::default(), &Order::of(&layout), &layout, &values, &b);
            prop_assert_eq!(bits(&x), bits(&fresh));
        }
    }

    proptest! {
        #[test]
        fn a_block_gives_what_each_right_side_gives((layout, values, _, b) in sparse()) {
            let (order, mut factors) = (Order::of(&layout), Factors::default());
            let sides: Vec<Vec<f64>> =
                (0..BLOCK).map(|s| b.iter().map(|b| b * (s as f64 - 2.0) + s as f64).collect()).collect();
            let each: Vec<Vec<f64>> =
                sides.iter().map(|b| solved(&mut factors, &order, &layout, &values, b)).collect();
            let mut block: Vec<[f64; BLOCK]> =
                (0..b.len()).map(|row| std::array::from_fn(|s| sides[s][row])).collect();
            factors.solve_block(&order, &mut block, &mut Vec::new());
            for (s, each) in each.iter().enumerate().filter(|(_, x)| x.iter().all(|x| x.is_finite())) {
                for (row, x) in each.iter().enumerate() {
                    prop_assert!((block[row][s] - x).abs() <= 1e-12 * x.abs(), "{} {x}", block[row][s]);
                }
            }
        }
    }

    #[test]
    fn a_column_of_zeros_is_named() {
        let (layout, values) =
            matrix(3, &[(0, 0, 1.0), (0, 1, 0.0), (1, 0, 1.0), (1, 1, 0.0), (1, 2, 1e-6), (2, 2, 1e-6)]);
        let order = Order::of(&layout);
        let x = solved(&mut Factors::default(), &order, &layout, &values, &[1.0, 2.0, 3.0]);
        assert!(x.iter().any(|x| !x.is_finite()), "{x:?}");
        assert_eq!(dependent(&layout, &values), Some(1));
    }
}
