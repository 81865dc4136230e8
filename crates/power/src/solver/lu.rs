//! LU factorisation of a sparse matrix that is factored again and again with other numbers. The order of
//! the columns is found once; rows are chosen each time by the numbers.

use faer::dyn_stack::{MemBuffer, MemStack, StackReq};
use faer::linalg::lu::partial_pivoting::factor::PartialPivLuParams;
use faer::sparse::linalg::LuError;
use faer::sparse::linalg::lu::{LuRef, NumericLu, SymbolicLu, factorize_symbolic_lu};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMat};
use faer::{Conj, Mat, MatMut, Par, Spec};
use std::fmt;
use std::sync::Arc;

/// The order in which the columns of a matrix are eliminated, for any numbers.
#[derive(Clone, Debug, Default)]
pub(super) struct Order {
    /// `None` only when memory runs out.
    symbolic: Option<Arc<SymbolicLu<usize>>>,
    /// Memory for a factorisation or a solution.
    room: Option<StackReq>,
}

impl Order {
    /// For a matrix with entries in these places.
    pub fn of(layout: &SymbolicSparseColMat<usize>) -> Self {
        let symbolic = factorize_symbolic_lu(layout.as_ref(), Default::default()).ok().map(Arc::new);
        let room = symbolic.as_ref().map(|s| {
            s.factorize_numeric_lu_scratch::<f64>(Par::Seq, params())
                .or(s.solve_in_place_scratch::<f64>(1, Par::Seq))
        });
        Self { symbolic, room }
    }
}

fn params() -> Spec<PartialPivLuParams, f64> {
    Spec::default()
}

/// The factors of a matrix.
#[derive(Default)]
pub(super) struct Factors {
    numeric: NumericLu<usize, f64>,
    /// What the library works in.
    room: Option<MemBuffer>,
}

impl fmt::Debug for Factors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Factors").field("numeric", &self.numeric).finish_non_exhaustive()
    }
}

impl Clone for Factors {
    fn clone(&self) -> Self {
        Self { numeric: self.numeric.clone(), room: None }
    }
}

impl Factors {
    /// Factors a matrix.
    ///
    /// # Errors
    /// A column that depends on others, where the library names one; numbers that make the matrix
    /// singular show in what [`Factors::solve`] finds.
    pub fn factor(
        &mut self,
        order: &Order,
        layout: &SymbolicSparseColMat<usize>,
        values: &[f64],
    ) -> Result<(), usize> {
        let symbolic = order.symbolic.as_ref().ok_or(0usize)?;
        let room =
            self.room.get_or_insert_with(|| MemBuffer::new(order.room.unwrap_or(StackReq::EMPTY)));
        let matrix = SparseColMatRef::new(layout.as_ref(), values);
        match symbolic.factorize_numeric_lu(
            &mut self.numeric,
            matrix,
            Par::Seq,
            MemStack::new(room),
            params(),
        ) {
            Ok(_) => Ok(()),
            Err(LuError::SymbolicSingular { index }) => Err(symbolic.col_perm().arrays().0[index]),
            Err(LuError::Generic(_)) => Err(0),
        }
    }

    /// Replaces `b` by the solution of A·x = b, which is not finite where A is singular.
    pub fn solve(&mut self, order: &Order, b: &mut [f64]) {
        let Some(symbolic) = &order.symbolic else { return b.fill(f64::NAN) };
        let room =
            self.room.get_or_insert_with(|| MemBuffer::new(order.room.unwrap_or(StackReq::EMPTY)));
        let n = b.len();
        LuRef::new_unchecked(symbolic, &self.numeric).solve_in_place_with_conj(
            Conj::No,
            MatMut::from_column_major_slice_mut(b, n, 1),
            Par::Seq,
            MemStack::new(room),
        );
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
