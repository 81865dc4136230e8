//! Newton's method on one network at one fraction of load.

use super::assembly::{Pattern, Point};
use crate::netlist::{Device, Netlist};
use faer::linalg::solvers::SolveCore;
use faer::sparse::linalg::solvers::Lu;
use faer::{Conj, MatMut};

/// Why no solution was found.
#[derive(Clone, Debug, PartialEq)]
pub enum Failure {
    /// The matrix is singular at this unknown.
    Singular {
        /// Index of the unknown.
        unknown: usize,
    },
    /// Newton's method does not settle.
    Astray,
}

/// Steps from a rough start.
const PATIENT: usize = 80;
/// Steps from a solution near by.
const CLOSE: usize = 12;
/// Relative residual at which a solution is as good as it gets.
const FINE: f64 = 1e-13;
/// Relative residual that is accepted once it no longer falls.
const GOOD: f64 = 1e-10;

/// Solves from a starting point. `references` marks the nodes held at zero.
///
/// # Errors
/// [`Failure`] when the matrix is singular or the method does not settle.
pub fn solve(
    netlist: &Netlist,
    pattern: &Pattern,
    references: &[bool],
    start: &Point,
    fraction: f64,
) -> Result<Point, Failure> {
    Workspace::new(pattern).newton(netlist, pattern, references, start, fraction, PATIENT)
}

/// How the solution moves with the fraction of load, dx/dλ, at a solution.
pub(super) fn tangent(
    netlist: &Netlist,
    pattern: &Pattern,
    references: &[bool],
    at: &Point,
) -> Result<Vec<f64>, Failure> {
    let mut work = Workspace::new(pattern);
    pattern.fill(netlist, &at.x, at.fraction, references, &mut work.f, &mut work.values);
    work.factor(pattern)?;
    work.tangent(netlist, pattern, references, at)
}

/// [`solve`] from a solution near by.
///
/// # Errors
/// [`Failure`] when the method has not settled after a dozen steps.
pub fn solve_close(
    netlist: &Netlist,
    pattern: &Pattern,
    references: &[bool],
    near: &Point,
    fraction: f64,
) -> Result<Point, Failure> {
    Workspace::new(pattern).newton(netlist, pattern, references, near, fraction, CLOSE)
}

/// [`solve`] from a solution near by, in few steps, with the tangent at what was found.
pub(super) fn solve_near(
    netlist: &Netlist,
    pattern: &Pattern,
    references: &[bool],
    start: &Point,
    fraction: f64,
    steps: usize,
) -> Result<(Point, Vec<f64>), Failure> {
    let mut work = Workspace::new(pattern);
    let found = work.newton(netlist, pattern, references, start, fraction, steps)?;
    if work.lu.is_none() {
        pattern.fill(netlist, &found.x, fraction, references, &mut work.f, &mut work.values);
        work.factor(pattern)?;
    }
    let tangent = work.tangent(netlist, pattern, references, &found)?;
    Ok((found, tangent))
}

struct Workspace {
    f: Vec<f64>,
    values: Vec<f64>,
    /// The matrix as last factored.
    lu: Option<Lu<usize, f64>>,
}

impl Workspace {
    fn new(pattern: &Pattern) -> Self {
        Self { f: vec![0.0; pattern.size], values: vec![0.0; pattern.entries()], lu: None }
    }

    /// Factors the matrix whose values were filled in.
    fn factor(&mut self, pattern: &Pattern) -> Result<(), Failure> {
        let astray = Failure::Singular { unknown: 0 };
        let symbolic = pattern.symbolic.clone().ok_or(astray.clone())?;
        self.lu =
            Some(Lu::try_new_with_symbolic(symbolic, pattern.matrix(&self.values)).map_err(|_| astray)?);
        Ok(())
    }

    /// Replaces `f` by the solution of J·d = f.
    fn back_substitute(&mut self) -> Result<(), Failure> {
        let Some(lu) = &self.lu else { return Err(Failure::Singular { unknown: 0 }) };
        let n = self.f.len();
        lu.solve_in_place_with_conj(Conj::No, MatMut::from_column_major_slice_mut(&mut self.f, n, 1));
        match self.f.iter().position(|d| !d.is_finite()) {
            Some(unknown) => Err(Failure::Singular { unknown }),
            None => Ok(()),
        }
    }

    /// The tangent at a solution, with the matrix as last factored: at the solution itself or at the
    /// step before it, which is as near as a prediction needs.
    fn tangent(
        &mut self,
        netlist: &Netlist,
        pattern: &Pattern,
        references: &[bool],
        at: &Point,
    ) -> Result<Vec<f64>, Failure> {
        let step = 1e-6;
        let mut ahead = vec![0.0; pattern.size];
        pattern.residual(netlist, &at.x, at.fraction + step, references, &mut ahead);
        pattern.residual(netlist, &at.x, at.fraction, references, &mut self.f);
        for (f, a) in self.f.iter_mut().zip(&ahead) {
            *f = (*f - a) / step;
        }
        self.back_substitute()?;
        Ok(self.f.clone())
    }

    fn newton(
        &mut self,
        netlist: &Netlist,
        pattern: &Pattern,
        references: &[bool],
        start: &Point,
        fraction: f64,
        steps: usize,
    ) -> Result<Point, Failure> {
        let mut x = start.x.clone();
        let mut last = f64::INFINITY;
        for count in 0..steps {
            pattern.fill(netlist, &x, fraction, references, &mut self.f, &mut self.values);
            let norm = relative(pattern, &x, &self.f);
            if norm < FINE || (norm < GOOD && norm > 0.5 * last && count > 1) {
                return Ok(Point { x, fraction });
            }
            let damping = match count {
                0..15 => 1.0,
                _ if norm < 0.5 * last => 1.0,
                15..30 => 0.5,
                _ => 0.2,
            };
            last = norm;
            self.factor(pattern)?;
            self.back_substitute()?;
            for d in &mut self.f {
                *d *= damping;
            }
            limit_junctions(netlist, pattern, &x, &mut self.f);
            for (value, d) in x.iter_mut().zip(&self.f) {
                *value -= d;
            }
        }
        Err(Failure::Astray)
    }
}

/// Largest residual, currents against the largest current, voltages against the largest voltage.
fn relative(pattern: &Pattern, x: &[f64], f: &[f64]) -> f64 {
    let size = |values: &[f64], least: f64| values.iter().fold(least, |m: f64, v| m.max(v.abs()));
    let n = pattern.nodes;
    let volts = size(&x[..n], 1.0);
    let amperes = size(&x[n..], 1e-3);
    (size(&f[..n], 0.0) / amperes).max(size(&f[n..], 0.0) / volts)
}

/// Keeps the junction voltages of diodes from running up the exponential: a rise beyond the knee is
/// taken as the logarithm of what the step asks for (the usual limiting of circuit simulation,
/// L. W. Nagel, "SPICE2", memorandum ERL-M520, 1975, section on junction limiting; from memory).
fn limit_junctions(netlist: &Netlist, pattern: &Pattern, x: &[f64], d: &mut [f64]) {
    for (item, &k) in netlist.items.iter().zip(&pattern.extra) {
        let Device::Diode { slope_v, saturation_a, .. } = item.device else { continue };
        let (old, wanted) = (x[k], x[k] - d[k]);
        let knee = slope_v * (slope_v / (saturation_a * std::f64::consts::SQRT_2)).ln();
        if wanted > knee && (wanted - old).abs() > 2.0 * slope_v {
            let taken = if old > 0.0 {
                let rise = 1.0 + (wanted - old) / slope_v;
                if rise > 0.0 { old + slope_v * rise.ln() } else { knee }
            } else {
                slope_v * (wanted / slope_v).ln()
            };
            d[k] = old - taken;
        }
    }
}
