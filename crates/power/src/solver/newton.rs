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
pub(super) const PATIENT: usize = 80;
/// Steps from a solution near by.
pub(super) const BRISK: usize = 20;
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
    solve_within(netlist, pattern, references, start, fraction, PATIENT)
}

/// [`solve`] with a bound on the steps.
pub(super) fn solve_within(
    netlist: &Netlist,
    pattern: &Pattern,
    references: &[bool],
    start: &Point,
    fraction: f64,
    steps: usize,
) -> Result<Point, Failure> {
    let mut work = Workspace::new(pattern);
    work.newton(netlist, pattern, references, start, fraction, steps)
}

/// How the solution moves with the fraction of load, dx/dλ, at a solution.
pub(super) fn tangent(
    netlist: &Netlist,
    pattern: &Pattern,
    references: &[bool],
    at: &Point,
) -> Result<Vec<f64>, Failure> {
    let mut work = Workspace::new(pattern);
    let step = 1e-6;
    let mut ahead = vec![0.0; pattern.size];
    pattern.residual(netlist, &at.x, at.fraction + step, references, &mut ahead);
    pattern.fill(netlist, &at.x, at.fraction, references, &mut work.f, &mut work.values);
    for (f, a) in work.f.iter_mut().zip(&ahead) {
        *f = (a - *f) / step;
    }
    work.step(pattern)?;
    Ok(work.f.iter().map(|d| -d).collect())
}

struct Workspace {
    f: Vec<f64>,
    values: Vec<f64>,
}

impl Workspace {
    fn new(pattern: &Pattern) -> Self {
        Self { f: vec![0.0; pattern.size], values: vec![0.0; pattern.entries()] }
    }

    /// Replaces `f` by the solution of J·d = f.
    fn step(&mut self, pattern: &Pattern) -> Result<(), Failure> {
        let astray = Failure::Singular { unknown: 0 };
        let symbolic = pattern.symbolic.clone().ok_or(astray.clone())?;
        let lu =
            Lu::try_new_with_symbolic(symbolic, pattern.matrix(&self.values)).map_err(|_| astray)?;
        let n = pattern.size;
        lu.solve_in_place_with_conj(Conj::No, MatMut::from_column_major_slice_mut(&mut self.f, n, 1));
        match self.f.iter().position(|d| !d.is_finite()) {
            Some(unknown) => Err(Failure::Singular { unknown }),
            None => Ok(()),
        }
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
            self.step(pattern)?;
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
