//! LU factorisation of a sparse matrix that is factored again and again with other numbers.
//!
//! The order of pivots is found once, and after that only the arithmetic is repeated, row by row, on
//! places known beforehand. A network is nearly a tree, so that this costs a few operations for each
//! unknown. Two orders are known: [`Factors::along_diagonal`] looks at the places alone and eliminates
//! what has fewest neighbours first (minimum degree); should a pivot turn out small, [`Factors::of`]
//! chooses by the numbers too, by Markowitz' rule (H. M. Markowitz, "The elimination form of the inverse",
//! Management Science 3 (1957) 255): the entry that can fill fewest others goes next, as long as it is not
//! small in its row.

/// Where the entries of a square matrix lie, row by row.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Layout {
    /// First entry of each row, and the number of entries.
    pub start: Vec<usize>,
    /// Column of each entry.
    pub column: Vec<usize>,
}

impl Layout {
    /// Number of rows.
    pub fn size(&self) -> usize {
        self.start.len().saturating_sub(1)
    }

    fn row(&self, row: usize) -> std::ops::Range<usize> {
        self.start[row]..self.start[row + 1]
    }
}

/// Share of the largest entry of its row that a pivot must have when it is chosen.
const CHOSEN: f64 = 0.1;
/// The same when it is used again with other numbers. A wire's resistance stands against the ones of its
/// voltages, and may be a millionth of them; what rounding that costs, the next step of Newton's method
/// takes back, since residuals are worked out from the equations themselves.
const KEPT: f64 = 1e-10;
/// Rows or columns with a possible pivot that are looked at before the best of them is taken.
const LOOKED_AT: usize = 4;
/// Room kept in each row and column for what is filled in.
const SPARE: usize = 4;

/// The factors of a matrix.
#[derive(Clone, Debug, Default)]
pub(super) struct Factors {
    /// Row and column of each step.
    rows: Vec<usize>,
    columns: Vec<usize>,
    /// Step at which each column is eliminated.
    step: Vec<usize>,
    lower: Triangle,
    upper: Triangle,
    /// Reciprocals of the pivots.
    inverse: Vec<f64>,
    work: Vec<f64>,
}

/// Entries of one side of the diagonal by step.
#[derive(Clone, Debug, Default)]
struct Triangle {
    start: Vec<usize>,
    at: Vec<usize>,
    value: Vec<f64>,
}

impl Triangle {
    /// From rows in order of steps.
    fn of<R: IntoIterator<Item = usize>>(rows: impl Iterator<Item = R>) -> Self {
        let (mut start, mut at) = (vec![0], Vec::new());
        for row in rows {
            at.extend(row);
            start.push(at.len());
        }
        let value = vec![0.0; at.len()];
        Self { start, at, value }
    }

    fn row(&self, step: usize) -> std::ops::Range<usize> {
        self.start[step]..self.start[step + 1]
    }
}

impl Factors {
    /// Pivots on the diagonal, those with fewest neighbours first. `after` names pairs of which the first
    /// must wait for the second, because it is zero until then. Nothing is factored yet.
    pub fn along_diagonal(layout: &Layout, after: &[(usize, usize)]) -> Self {
        let n = layout.size();
        let mut around: Vec<Vec<usize>> = vec![Vec::new(); n];
        for row in 0..n {
            for p in layout.row(row).filter(|&p| layout.column[p] != row) {
                around[row].push(layout.column[p]);
                around[layout.column[p]].push(row);
            }
        }
        for line in &mut around {
            line.sort_unstable();
            line.dedup();
        }
        let mut waits = vec![0usize; n];
        let mut frees: Vec<Vec<usize>> = vec![Vec::new(); n];
        for &(later, sooner) in after {
            waits[later] += 1;
            frees[sooner].push(later);
        }
        let mut by_degree: Vec<Vec<usize>> = vec![Vec::new(); n + 1];
        for v in (0..n).rev().filter(|&v| waits[v] == 0) {
            by_degree[around[v].len()].push(v);
        }
        let (mut order, mut step) = (Vec::with_capacity(n), vec![usize::MAX; n]);
        let (mut least, mut met) = (0, vec![usize::MAX; n]);
        while least <= n {
            let Some(v) = by_degree[least].pop() else {
                least += 1;
                continue;
            };
            if step[v] != usize::MAX || around[v].len() != least {
                continue;
            }
            step[v] = order.len();
            order.push(v);
            let own = std::mem::take(&mut around[v]);
            let mut touched = |u: usize, degree: usize| {
                by_degree[degree].push(u);
                least = least.min(degree);
            };
            for &u in &own {
                let line = &mut around[u];
                line.retain(|&w| w != v);
                line.iter().for_each(|&w| met[w] = u);
                line.extend(own.iter().copied().filter(|&w| w != u && met[w] != u));
                if waits[u] == 0 {
                    touched(u, line.len());
                }
            }
            for u in std::mem::take(&mut frees[v]) {
                waits[u] -= 1;
                if waits[u] == 0 && step[u] == usize::MAX {
                    touched(u, around[u].len());
                }
            }
            around[v] = own;
        }
        let upper = Triangle::of(order.iter().map(|&v| around[v].iter().map(|&w| step[w])));
        let mut start = vec![0; n + 1];
        upper.at.iter().for_each(|&k| start[k + 1] += 1);
        for k in 0..n {
            start[k + 1] += start[k];
        }
        let mut next = start.clone();
        let mut at = vec![0; upper.at.len()];
        for k in 0..n {
            for &other in &upper.at[upper.row(k)] {
                at[next[other]] = k;
                next[other] += 1;
            }
        }
        let lower = Triangle { start, value: vec![0.0; at.len()], at };
        let (rows, columns) = (order.clone(), order);
        Self { rows, columns, step, lower, upper, inverse: vec![0.0; n], work: vec![0.0; n] }
    }

    /// Chooses pivots for these values and factors them.
    ///
    /// # Errors
    /// A column for which nothing is left, when the matrix is singular.
    pub fn of(layout: &Layout, values: &[f64]) -> Result<Self, usize> {
        let choice = Choice::of(layout, values).run()?;
        let n = layout.size();
        let mut step = vec![0; n];
        for (k, &column) in choice.columns.iter().enumerate() {
            step[column] = k;
        }
        let upper =
            Triangle::of(choice.rows.iter().map(|&r| choice.left[r].iter().map(|&(c, _)| step[c])));
        // By row, each in order of steps.
        let mut start = vec![0; n + 1];
        choice.taken.iter().for_each(|&(r, _)| start[r + 1] += 1);
        for r in 0..n {
            start[r + 1] += start[r];
        }
        let mut next = start.clone();
        let mut taken = vec![0; choice.taken.len()];
        for &(r, step) in &choice.taken {
            taken[next[r]] = step;
            next[r] += 1;
        }
        let lower =
            Triangle::of(choice.rows.iter().map(|&r| taken[start[r]..start[r + 1]].iter().copied()));
        let mut factors = Self {
            rows: choice.rows,
            columns: choice.columns,
            step,
            lower,
            upper,
            inverse: vec![0.0; n],
            work: vec![0.0; n],
        };
        if factors.refactor(layout, values) { Ok(factors) } else { Err(0) }
    }

    /// Factors other values with the same pivots. `false` when one of them is too small.
    pub fn refactor(&mut self, layout: &Layout, values: &[f64]) -> bool {
        let Self { rows, step, lower, upper, inverse, work, .. } = self;
        let mut fine = true;
        for (k, &row) in rows.iter().enumerate() {
            for p in layout.row(row) {
                work[step[layout.column[p]]] = values[p];
            }
            for p in lower.row(k) {
                let s = lower.at[p];
                let factor = std::mem::take(&mut work[s]) * inverse[s];
                lower.value[p] = factor;
                if factor != 0.0 {
                    let range = upper.row(s);
                    for (&at, &u) in upper.at[range.clone()].iter().zip(&upper.value[range]) {
                        work[at] -= factor * u;
                    }
                }
            }
            let pivot = std::mem::take(&mut work[k]);
            let mut most = pivot.abs();
            let range = upper.row(k);
            for (&at, u) in upper.at[range.clone()].iter().zip(&mut upper.value[range]) {
                *u = std::mem::take(&mut work[at]);
                most = most.max(u.abs());
            }
            inverse[k] = 1.0 / pivot;
            fine &= pivot.abs() > KEPT * most && most.is_finite();
        }
        fine
    }

    /// Replaces `b` by the solution of A·x = b.
    pub fn solve(&mut self, b: &mut [f64]) {
        let Self { rows, columns, lower, upper, inverse, work: y, .. } = self;
        for (k, &row) in rows.iter().enumerate() {
            let range = lower.row(k);
            let known: f64 = lower.at[range.clone()]
                .iter()
                .zip(&lower.value[range])
                .fold(0.0, |sum, (&s, l)| sum + l * y[s]);
            y[k] = b[row] - known;
        }
        for (k, &column) in columns.iter().enumerate().rev() {
            let range = upper.row(k);
            let known: f64 = upper.at[range.clone()]
                .iter()
                .zip(&upper.value[range])
                .fold(0.0, |sum, (&s, u)| sum + u * y[s]);
            y[k] = (y[k] - known) * inverse[k];
            b[column] = y[k];
        }
        y.fill(0.0);
    }

    /// Entries besides the diagonal.
    #[cfg(test)]
    pub fn filled(&self) -> usize {
        self.lower.at.len() + self.upper.at.len()
    }
}

/// The elimination during which pivots are chosen.
struct Choice {
    /// What is left of each row; of a row that is done, its entries above the diagonal.
    left: Vec<Vec<(usize, f64)>>,
    /// Rows from which something was taken, with the step that did.
    taken: Vec<(usize, usize)>,
    /// Rows with an entry in each column; those that are done count no more.
    of_column: Vec<Vec<usize>>,
    in_column: Vec<usize>,
    row_done: Vec<bool>,
    column_done: Vec<bool>,
    /// Rows and columns by number of entries; may hold what has changed since.
    by_row: Vec<Vec<usize>>,
    by_column: Vec<Vec<usize>>,
    rows: Vec<usize>,
    columns: Vec<usize>,
    /// Place of each column's entry in the pivot's row, plus one.
    place: Vec<usize>,
    /// Whether the row at hand has the entry of the pivot's row at this place.
    met: Vec<bool>,
}

/// A possible pivot: cost, row, column.
type Pivot = (usize, usize, usize);

impl Choice {
    fn of(layout: &Layout, values: &[f64]) -> Self {
        let n = layout.size();
        let mut in_column = vec![0usize; n];
        layout.column.iter().for_each(|&c| in_column[c] += 1);
        let mut of_column: Vec<Vec<usize>> =
            in_column.iter().map(|&count| Vec::with_capacity(count + SPARE)).collect();
        let left: Vec<Vec<(usize, f64)>> = (0..n)
            .map(|r| {
                let entries = layout.row(r);
                let mut row = Vec::with_capacity(entries.len() + SPARE);
                for p in entries {
                    row.push((layout.column[p], values[p]));
                    of_column[layout.column[p]].push(r);
                }
                row
            })
            .collect();
        let mut by_row = vec![Vec::new(); n + 1];
        let mut by_column = vec![Vec::new(); n + 1];
        for i in (0..n).rev() {
            by_row[left[i].len()].push(i);
            by_column[in_column[i]].push(i);
        }
        Self {
            left,
            taken: Vec::with_capacity(layout.column.len()),
            of_column,
            in_column,
            row_done: vec![false; n],
            column_done: vec![false; n],
            by_row,
            by_column,
            rows: Vec::with_capacity(n),
            columns: Vec::with_capacity(n),
            place: vec![0; n],
            met: Vec::new(),
        }
    }

    fn run(mut self) -> Result<Self, usize> {
        for _ in 0..self.left.len() {
            let Some((_, row, column)) = self.next() else {
                return Err(self.column_done.iter().position(|done| !done).unwrap_or(0));
            };
            self.eliminate(row, column);
        }
        Ok(self)
    }

    /// The best pivot among the shortest rows and columns.
    fn next(&mut self) -> Option<Pivot> {
        let mut best: Option<Pivot> = None;
        let mut looked = 0;
        for count in 1..self.by_row.len() {
            for columns in [true, false] {
                let lines = if columns { &mut self.by_column } else { &mut self.by_row };
                let mut lines_here = std::mem::take(&mut lines[count]);
                let mut i = lines_here.len();
                while i > 0 && looked < LOOKED_AT {
                    i -= 1;
                    let line = lines_here[i];
                    let stale = if columns {
                        self.column_done[line] || self.in_column[line] != count
                    } else {
                        self.row_done[line] || self.left[line].len() != count
                    };
                    if stale {
                        lines_here.swap_remove(i);
                        continue;
                    }
                    let found = if columns { self.in_this_column(line) } else { self.in_this_row(line) };
                    if let Some(found) = found {
                        looked += 1;
                        best = Some(best.map_or(found, |b| b.min(found)));
                    }
                }
                let lines = if columns { &mut self.by_column } else { &mut self.by_row };
                lines[count] = lines_here;
                if looked >= LOOKED_AT || best.is_some_and(|b| b.0 <= (count - 1) * (count - 1)) {
                    return best;
                }
            }
        }
        best
    }

    /// What a pivot of this row must reach.
    fn least(&self, row: usize) -> f64 {
        CHOSEN * self.left[row].iter().fold(0.0, |most: f64, &(_, v)| most.max(v.abs()))
    }

    fn in_this_row(&self, row: usize) -> Option<Pivot> {
        let least = self.least(row);
        let others = self.left[row].len() - 1;
        self.left[row]
            .iter()
            .filter(|&&(_, v)| v != 0.0 && v.abs() >= least)
            .map(|&(c, _)| (others * (self.in_column[c] - 1), row, c))
            .min()
    }

    fn in_this_column(&self, column: usize) -> Option<Pivot> {
        let others = self.in_column[column] - 1;
        self.of_column[column]
            .iter()
            .filter(|&&r| !self.row_done[r])
            .filter_map(|&r| {
                let &(_, v) = self.left[r].iter().find(|e| e.0 == column)?;
                let cost = (self.left[r].len() - 1) * others;
                (v != 0.0 && v.abs() >= self.least(r)).then_some((cost, r, column))
            })
            .min()
    }

    fn eliminate(&mut self, row: usize, column: usize) {
        let step = self.rows.len();
        self.rows.push(row);
        self.columns.push(column);
        self.row_done[row] = true;
        self.column_done[column] = true;
        let mut own = std::mem::take(&mut self.left[row]);
        let at = own.iter().position(|e| e.0 == column).unwrap_or_default();
        let (_, pivot) = own.swap_remove(at);
        for &(c, _) in &own {
            self.count(c, -1);
        }
        for (i, &(c, _)) in own.iter().enumerate() {
            self.place[c] = i + 1;
        }
        for other in std::mem::take(&mut self.of_column[column]) {
            if self.row_done[other] {
                continue;
            }
            let Some(at) = self.left[other].iter().position(|e| e.0 == column) else { continue };
            let (_, value) = self.left[other].swap_remove(at);
            self.taken.push((other, step));
            if !own.is_empty() {
                self.subtract(other, value / pivot, &own);
            }
            self.by_row[self.left[other].len()].push(other);
        }
        for &(c, _) in &own {
            self.place[c] = 0;
        }
        self.left[row] = own;
    }

    /// Takes `factor` times the pivot's row from a row.
    fn subtract(&mut self, row: usize, factor: f64, own: &[(usize, f64)]) {
        self.met.clear();
        self.met.resize(own.len(), false);
        for (c, v) in &mut self.left[row] {
            if let Some(i) = self.place[*c].checked_sub(1) {
                *v -= factor * own[i].1;
                self.met[i] = true;
            }
        }
        for (i, &(c, v)) in own.iter().enumerate() {
            if !self.met[i] {
                self.left[row].push((c, -factor * v));
                self.of_column[c].push(row);
                self.count(c, 1);
            }
        }
    }

    fn count(&mut self, column: usize, by: isize) {
        self.in_column[column] = self.in_column[column].saturating_add_signed(by);
        self.by_column[self.in_column[column]].push(column);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A matrix from entries by row and column; equal places add up.
    fn matrix(n: usize, entries: &[(usize, usize, f64)]) -> (Layout, Vec<f64>) {
        let mut sorted: Vec<(usize, usize, f64)> = entries.to_vec();
        sorted.sort_by_key(|e| (e.0, e.1));
        let (mut layout, mut values) = (Layout { start: vec![0], column: Vec::new() }, Vec::new());
        for row in 0..n {
            for e in sorted.iter().filter(|e| e.0 == row) {
                if layout.column.len() > layout.start[row] && layout.column.last() == Some(&e.1) {
                    if let Some(v) = values.last_mut() {
                        *v += e.2;
                    }
                } else {
                    layout.column.push(e.1);
                    values.push(e.2);
                }
            }
            layout.start.push(layout.column.len());
        }
        (layout, values)
    }

    /// Largest residual of A·x against b, over what rounding may make of it.
    fn residual(layout: &Layout, values: &[f64], x: &[f64], b: &[f64]) -> f64 {
        (0..layout.size())
            .map(|r| {
                let terms = layout.row(r).map(|p| values[p] * x[layout.column[p]]);
                let (sum, size) = terms.fold((0.0, b[r].abs()), |(s, z), t| (s + t, z + t.abs()));
                (sum - b[r]).abs() / size.max(f64::MIN_POSITIVE)
            })
            .fold(0.0, f64::max)
    }

    prop_compose! {
        /// Sparse matrices with a full diagonal in shuffled columns, some entries zero.
        fn sparse()(n in 1usize..40)
            (shift in 0..n, n in Just(n), off in prop::collection::vec((0..n, 0..n, prop_oneof![Just(0.0), -1.0..1.0f64]), 0..3 * n),
             diagonal in prop::collection::vec(prop_oneof![0.5..2.0f64, -2.0..-0.5f64], n),
             again in prop::collection::vec(0.5..2.0f64, 8 * n),
             b in prop::collection::vec(-1.0..1.0f64, n))
            -> (Layout, Vec<f64>, Vec<f64>, Vec<f64>) {
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
            let Ok(mut factors) = Factors::of(&layout, &values) else { return Ok(()) };
            let mut x = b.clone();
            factors.solve(&mut x);
            prop_assert!(residual(&layout, &values, &x, &b) < 1e-9);
            // Other numbers in the same places, with the same pivots.
            if factors.refactor(&layout, &other) {
                let mut y = b.clone();
                factors.solve(&mut y);
                prop_assert!(residual(&layout, &other, &y, &b) < 1e-7);
            }
            // A refactorisation leaves nothing behind.
            if factors.refactor(&layout, &values) {
                let mut z = b.clone();
                factors.solve(&mut z);
                prop_assert_eq!(x, z);
            }
        }
    }

    #[test]
    fn a_chain_fills_nothing() {
        let n = 50;
        let mut entries = Vec::new();
        for i in 0..n {
            entries.push((i, i, 2.0));
            if i + 1 < n {
                entries.extend([(i, i + 1, -1.0), (i + 1, i, -1.0)]);
            }
        }
        let (layout, values) = matrix(n, &entries);
        assert_eq!(Factors::of(&layout, &values).map(|f| f.filled()), Ok(2 * (n - 1)));
    }

    #[test]
    fn a_column_of_zeros_is_named() {
        let (layout, values) = matrix(2, &[(0, 0, 1.0), (0, 1, 0.0), (1, 0, 1.0), (1, 1, 0.0)]);
        assert_eq!(Factors::of(&layout, &values).map(|f| f.filled()), Err(1));
    }
}
