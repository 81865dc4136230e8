//! A stiff integrator for small dense systems: RODAS, a Rosenbrock method of order 4 with an embedded one
//! of order 3, L-stable and stiffly accurate.
//!
//! Source of the method and its coefficients: E. Hairer and G. Wanner, Solving Ordinary Differential
//! Equations II, 2nd edition (1996), section IV.7 and their program RODAS.
//!
//! Why not a library: the networks here have ten to forty unknowns, their Jacobian is known exactly and is
//! constant but for diodes, so that a factorisation serves many steps; a general library for such systems
//! brings a tree of some hundred packages with it, for what are a page of coefficients and a loop. A
//! Rosenbrock method needs no Newton iteration, which the corner in a diode's law would upset; a wrong step
//! shows in the error estimate and is taken again.

/// A system y' = f(y) with its Jacobian.
pub trait System {
    /// Number of unknowns.
    fn count(&self) -> usize;
    /// f(y).
    fn slope(&self, y: &[f64], out: &mut [f64]);
    /// ∂f/∂y by rows.
    fn jacobian(&self, y: &[f64], out: &mut [f64]);
    /// The Jacobian is the same everywhere.
    fn linear(&self) -> bool;
    /// Error of each unknown that is allowed besides [`RELATIVE`] of its size.
    fn tolerance(&self, y: &[f64], out: &mut [f64]);
}

/// One accepted step, for whoever watches.
#[derive(Clone, Copy, Debug)]
pub struct Step<'a> {
    /// Start.
    pub from: f64,
    /// Length.
    pub h: f64,
    /// Unknowns at the start.
    pub y0: &'a [f64],
    /// Their slopes there.
    pub f0: &'a [f64],
    /// Unknowns at the end.
    pub y1: &'a [f64],
    /// Their slopes there.
    pub f1: &'a [f64],
}

/// The integration did not get to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stuck;

/// Error of each step allowed in proportion to an unknown.
pub const RELATIVE: f64 = 2e-6;
/// Most steps, rejected ones included.
const MOST_STEPS: usize = 20_000;
const GAMMA: f64 = 0.25;
const STAGES: usize = 6;
/// Weights of earlier stages in the argument of each.
const A: [[f64; 5]; STAGES] = [
    [0.0; 5],
    [1.544, 0.0, 0.0, 0.0, 0.0],
    [0.946_678_528_081_582_6, 0.255_701_169_898_328_4, 0.0, 0.0, 0.0],
    [3.314_825_187_068_521, 2.896_124_015_972_201, 0.998_641_913_997_781_7, 0.0, 0.0],
    [1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895, 0.0],
    [1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895, 1.0],
];
/// Weights of earlier stages, over the step, on the right side of each.
const C: [[f64; 5]; STAGES] = [
    [0.0; 5],
    [-5.6688, 0.0, 0.0, 0.0, 0.0],
    [-2.430_093_356_833_875, -0.206_359_915_709_191_5, 0.0, 0.0, 0.0],
    [-0.107_352_905_815_137_5, -9.594_562_251_023_355, -20.470_286_148_096_16, 0.0, 0.0],
    [7.496_443_313_967_647, -10.246_804_314_643_52, -33.999_903_528_199_05, 11.708_908_932_061_6, 0.0],
    [
        8.083_246_795_921_522,
        -7.981_132_988_064_893,
        -31.521_594_328_743_71,
        16.319_305_431_231_36,
        -6.058_818_238_834_054,
    ],
];

/// A square matrix in factors, by rows, with its row exchanges.
#[derive(Clone, Debug, Default)]
pub struct Factors {
    n: usize,
    lu: Vec<f64>,
    rows: Vec<usize>,
}

impl Factors {
    /// Factors a matrix given by rows; `None` when it is singular.
    pub fn of(n: usize, matrix: Vec<f64>) -> Option<Self> {
        let (mut lu, mut rows) = (matrix, (0..n).collect::<Vec<_>>());
        for k in 0..n {
            let p = (k..n).max_by(|&i, &j| lu[i * n + k].abs().total_cmp(&lu[j * n + k].abs()))?;
            if lu[p * n + k] == 0.0 || !lu[p * n + k].is_finite() {
                return None;
            }
            if p != k {
                rows.swap(p, k);
                for c in 0..n {
                    lu.swap(p * n + c, k * n + c);
                }
            }
            let (top, below) = lu.split_at_mut((k + 1) * n);
            let pivot = &top[k * n..];
            for row in below.chunks_exact_mut(n) {
                let factor = row[k] / pivot[k];
                row[k] = factor;
                if factor != 0.0 {
                    for (x, p) in row[k + 1..].iter_mut().zip(&pivot[k + 1..]) {
                        *x -= factor * p;
                    }
                }
            }
        }
        Some(Self { n, lu, rows })
    }

    /// Solves into `out`.
    pub fn solve(&self, b: &[f64], out: &mut [f64]) {
        let n = self.n;
        for i in 0..n {
            let row = &self.lu[i * n..i * n + i];
            let sum: f64 = row.iter().zip(&*out).map(|(l, x)| l * x).sum();
            out[i] = b[self.rows[i]] - sum;
        }
        for i in (0..n).rev() {
            let row = &self.lu[i * n + i + 1..(i + 1) * n];
            let sum: f64 = row.iter().zip(&out[i + 1..]).map(|(u, x)| u * x).sum();
            out[i] = (out[i] - sum) / self.lu[i * n + i];
        }
    }
}

/// Integrates from rest at time 0 with a first step, telling of every accepted step; `go_on` says whether
/// to go further and may shorten the next step.
///
/// # Errors
/// [`Stuck`] when the error cannot be kept small, or numbers are not finite.
pub fn integrate(
    system: &dyn System,
    start: &[f64],
    first: f64,
    go_on: &mut dyn FnMut(&Step<'_>) -> bool,
) -> Result<usize, Stuck> {
    let n = system.count();
    if n == 0 {
        return Ok(0);
    }
    let mut work = Work::new(n);
    let (mut y, mut f, mut t, mut h) = (start.to_vec(), vec![0.0; n], 0.0, first);
    system.slope(&y, &mut f);
    let (mut factors, mut factored_for): (Option<Factors>, f64) = (None, 0.0);
    let mut jacobian = vec![0.0; n * n];
    system.jacobian(&y, &mut jacobian);
    let mut f1 = vec![0.0; n];
    for step in 1..=MOST_STEPS {
        if factors.is_none() || factored_for != h {
            factors = Factors::of(n, shifted(n, &jacobian, 1.0 / (GAMMA * h)));
            factored_for = h;
        }
        let error = match &factors {
            Some(factors) => work.attempt(system, factors, &y, &f, h),
            None => f64::INFINITY,
        };
        if error.is_nan() || error > 1.0 {
            h *= if error.is_finite() { (0.9 * error.powf(-0.25)).clamp(0.1, 0.8) } else { 0.1 };
            if h < first * 1e-9 {
                return Err(Stuck);
            }
            continue;
        }
        system.slope(&work.new, &mut f1);
        let more = go_on(&Step { from: t, h, y0: &y, f0: &f, y1: &work.new, f1: &f1 });
        t += h;
        std::mem::swap(&mut y, &mut work.new);
        std::mem::swap(&mut f, &mut f1);
        if !more {
            return Ok(step);
        }
        let grow = (0.9 * error.max(1e-10).powf(-0.25)).min(6.0);
        // A step that would grow only a little keeps its factorisation instead.
        if !(0.95..1.4).contains(&grow) {
            h *= grow;
        }
        if !system.linear() {
            system.jacobian(&y, &mut jacobian);
            factors = None;
        }
    }
    Err(Stuck)
}

fn shifted(n: usize, jacobian: &[f64], shift: f64) -> Vec<f64> {
    let mut matrix: Vec<f64> = jacobian.iter().map(|j| -j).collect();
    for i in 0..n {
        matrix[i * n + i] += shift;
    }
    matrix
}

/// What a step works in.
struct Work {
    stages: Vec<Vec<f64>>,
    at: Vec<f64>,
    slope: Vec<f64>,
    new: Vec<f64>,
    allowed: Vec<f64>,
}

impl Work {
    fn new(n: usize) -> Self {
        let zero = vec![0.0; n];
        Self {
            stages: vec![zero.clone(); STAGES],
            at: zero.clone(),
            slope: zero.clone(),
            new: zero.clone(),
            allowed: zero,
        }
    }

    /// Tries a step into `new`; gives back its error over the one allowed.
    fn attempt(&mut self, system: &dyn System, factors: &Factors, y: &[f64], f: &[f64], h: f64) -> f64 {
        let n = y.len();
        for s in 0..STAGES {
            let (before, rest) = self.stages.split_at_mut(s);
            self.at.copy_from_slice(y);
            for (k, a) in before.iter().zip(A[s]).filter(|(_, a)| *a != 0.0) {
                self.at.iter_mut().zip(k).for_each(|(x, k)| *x += a * k);
            }
            if s == 0 {
                self.slope.copy_from_slice(f);
            } else {
                system.slope(&self.at, &mut self.slope);
            }
            for (k, c) in before.iter().zip(C[s]) {
                self.slope.iter_mut().zip(k).for_each(|(x, k)| *x += c / h * k);
            }
            factors.solve(&self.slope, &mut rest[0]);
        }
        // The last stage starts from the embedded solution, and what it adds is the error.
        for i in 0..n {
            self.new[i] = self.at[i] + self.stages[STAGES - 1][i];
        }
        system.tolerance(&self.new, &mut self.allowed);
        let worst = (0..n).map(|i| {
            let size = y[i].abs().max(self.new[i].abs());
            (self.stages[STAGES - 1][i] / (self.allowed[i] + RELATIVE * size)).abs()
        });
        worst.fold(0.0, |a: f64, b| if b > a || b.is_nan() { b } else { a })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// y' = −a·(y − cos-like partner): a stiff linear pair with a known solution.
    struct Pair;

    impl System for Pair {
        fn count(&self) -> usize {
            2
        }
        fn slope(&self, y: &[f64], out: &mut [f64]) {
            out[0] = 998.0 * y[0] + 1998.0 * y[1];
            out[1] = -999.0 * y[0] - 1999.0 * y[1];
        }
        fn jacobian(&self, _: &[f64], out: &mut [f64]) {
            out.copy_from_slice(&[998.0, 1998.0, -999.0, -1999.0]);
        }
        fn linear(&self) -> bool {
            true
        }
        fn tolerance(&self, _: &[f64], out: &mut [f64]) {
            out.fill(1e-7);
        }
    }

    /// The textbook's stiff pair: u = 2·e^−t − e^−1000t, v = −e^−t + e^−1000t from (1, 0).
    #[test]
    fn the_textbooks_stiff_pair_is_followed_with_few_steps() {
        let mut worst: f64 = 0.0;
        let steps = integrate(&Pair, &[1.0, 0.0], 1e-6, &mut |s| {
            let t = s.from + s.h;
            let (slow, fast) = ((-t).exp(), (-1000.0 * t).exp());
            worst = worst.max((s.y1[0] - (2.0 * slow - fast)).abs());
            worst = worst.max((s.y1[1] - (fast - slow)).abs());
            t < 5.0
        });
        // An explicit method needs some thousand steps for its stability alone.
        assert!(steps.is_ok_and(|n| n < 200), "{steps:?}");
        assert!(worst < 1e-5, "{worst}");
    }

    /// y' = −y²: y = 1/(1 + t), for the order of the method on something that is not linear.
    struct Square;

    impl System for Square {
        fn count(&self) -> usize {
            1
        }
        fn slope(&self, y: &[f64], out: &mut [f64]) {
            out[0] = -y[0] * y[0];
        }
        fn jacobian(&self, y: &[f64], out: &mut [f64]) {
            out[0] = -2.0 * y[0];
        }
        fn linear(&self) -> bool {
            false
        }
        fn tolerance(&self, _: &[f64], out: &mut [f64]) {
            out.fill(1e-9);
        }
    }

    #[test]
    fn one_step_is_of_fourth_order() {
        let error = |h: f64| {
            let (mut f, mut work) = ([0.0], Work::new(1));
            Square.slope(&[1.0], &mut f);
            let factors = Factors::of(1, shifted(1, &[-2.0], 1.0 / (GAMMA * h)));
            let Some(factors) = factors else { return f64::NAN };
            work.attempt(&Square, &factors, &[1.0], &f, h);
            (work.new[0] - 1.0 / (1.0 + h)).abs()
        };
        // The error of one step goes with the fifth power of its length, 32 for each halving, once steps are
        // short enough (between 0.4 and 0.8 it passes through zero).
        for h in [0.1, 0.05, 0.025] {
            let ratio = error(h) / error(h / 2.0);
            assert!((27.0..33.0).contains(&ratio), "{h}: {ratio}");
        }
    }

    #[test]
    fn factors_solve() {
        let matrix = vec![0.0, 2.0, 1.0, 1.0, 1.0, 0.0, 3.0, 0.0, 4.0];
        let mut x = [0.0; 3];
        let factors = Factors::of(3, matrix);
        assert!(factors.is_some());
        if let Some(f) = factors {
            f.solve(&[7.0, 3.0, 15.0], &mut x);
        }
        assert!(x.iter().zip([1.0, 2.0, 3.0]).all(|(a, b)| (a - b).abs() < 1e-12), "{x:?}");
        assert!(Factors::of(2, vec![1.0, 2.0, 2.0, 4.0]).is_none());
    }
}
