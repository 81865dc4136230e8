//! Newton's method on one network at one fraction of load.

use super::assembly::{Pattern, Point};
use super::core::Core;
use super::lu::{Factors, dependent};
use crate::netlist::{Device, Netlist};
use std::cell::RefCell;

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

/// Solves networks of one structure again and again.
#[derive(Clone, Debug)]
pub struct Solver<'a> {
    core: &'a Core,
    /// The core's elements with the numbers of the network at hand.
    netlist: Netlist,
    /// Nodes of the core held at zero.
    held: Vec<bool>,
    work: RefCell<Work>,
}

/// What a solution is worked out in.
#[derive(Clone, Debug)]
struct Work {
    f: Vec<f64>,
    values: Vec<f64>,
    factors: Factors,
    /// The matrix has been factored since the last start.
    factored: bool,
}

impl<'a> Solver<'a> {
    /// For a network of this structure. `references` marks the nodes held at zero.
    pub fn of(core: &'a Core, netlist: &Netlist, references: &[bool]) -> Self {
        let (f, values) = (vec![0.0; core.pattern.size], vec![0.0; core.entries.count()]);
        let work = Work { f, values, factors: Factors::default(), factored: false };
        let mut solver =
            Self { core, netlist: core.netlist.clone(), held: Vec::new(), work: RefCell::new(work) };
        solver.take(netlist, references);
        solver
    }

    /// Turns to another network of the same structure.
    pub fn take(&mut self, netlist: &Netlist, references: &[bool]) {
        self.core.take(netlist, references, &mut self.netlist, &mut self.held);
    }

    /// Solves from a starting point in at most this many steps.
    fn newton(
        &self,
        netlist: &Netlist,
        start: &Point,
        fraction: f64,
        steps: usize,
    ) -> Result<Point, Failure> {
        let x = self.work.borrow_mut().newton(self, &start.x, fraction, steps)?;
        Ok(Point { x: self.core.spread(netlist, &x), fraction })
    }
}

/// Solves from a starting point.
///
/// # Errors
/// [`Failure`] when the matrix is singular or the method does not settle.
pub fn solve(
    solver: &Solver<'_>,
    netlist: &Netlist,
    start: &Point,
    fraction: f64,
) -> Result<Point, Failure> {
    solver.newton(netlist, start, fraction, PATIENT)
}

/// How the solution moves with the fraction of load, dx/dλ, at a solution.
pub(super) fn tangent(solver: &Solver<'_>, netlist: &Netlist, at: &Point) -> Result<Vec<f64>, Failure> {
    let x = solver.core.gather(&at.x);
    let mut work = solver.work.borrow_mut();
    work.fill(solver, &x, at.fraction);
    work.factor(solver.core)?;
    let slope = work.tangent(solver, &x, at.fraction)?;
    Ok(solver.core.spread(netlist, &slope))
}

/// [`solve`] from a solution near by.
///
/// # Errors
/// [`Failure`] when the method has not settled after a dozen steps.
pub fn solve_close(
    solver: &Solver<'_>,
    netlist: &Netlist,
    near: &Point,
    fraction: f64,
) -> Result<Point, Failure> {
    solver.newton(netlist, near, fraction, CLOSE)
}

/// [`solve`] from a solution near by, in few steps, with the tangent at what was found.
pub(super) fn solve_near(
    solver: &Solver<'_>,
    netlist: &Netlist,
    start: &Point,
    fraction: f64,
    steps: usize,
) -> Result<(Point, Vec<f64>), Failure> {
    let core = solver.core;
    let mut work = solver.work.borrow_mut();
    let x = work.newton(solver, &start.x, fraction, steps)?;
    if !work.factored {
        work.fill(solver, &x, fraction);
        work.factor(core)?;
    }
    let slope = work.tangent(solver, &x, fraction)?;
    Ok((Point { x: core.spread(netlist, &x), fraction }, core.spread(netlist, &slope)))
}

impl Work {
    /// Fills residual and matrix.
    fn fill(&mut self, solver: &Solver<'_>, x: &[f64], fraction: f64) {
        let (Self { f, values, .. }, Solver { core, netlist, held, .. }) = (self, solver);
        core.pattern.fill(netlist, (x, fraction), held, &core.entries, f, values);
    }

    /// Factors the matrix whose values were filled in.
    fn factor(&mut self, core: &Core) -> Result<(), Failure> {
        self.factored = true;
        self.factors
            .factor(&core.order, &core.entries.layout, &self.values)
            .map_err(|unknown| Failure::Singular { unknown: core.unknown(unknown) })
    }

    /// Replaces `f` by the solution of J·d = f.
    fn back_substitute(&mut self, core: &Core) -> Result<(), Failure> {
        self.factors.solve(&core.order, &mut self.f);
        match self.f.iter().position(|d| !d.is_finite()) {
            Some(first) => {
                let unknown = dependent(&core.entries.layout, &self.values).unwrap_or(first);
                Err(Failure::Singular { unknown: core.unknown(unknown) })
            }
            None => Ok(()),
        }
    }

    /// The tangent at a solution, with the matrix as last factored: at the solution itself or at the
    /// step before it, which is as near as a prediction needs.
    fn tangent(&mut self, solver: &Solver<'_>, x: &[f64], fraction: f64) -> Result<Vec<f64>, Failure> {
        let step = 1e-6;
        let mut ahead = vec![0.0; solver.core.pattern.size];
        let Solver { core, netlist, held, .. } = solver;
        core.pattern.residual(netlist, (x, fraction + step), held, &mut ahead);
        core.pattern.residual(netlist, (x, fraction), held, &mut self.f);
        for (f, a) in self.f.iter_mut().zip(&ahead) {
            *f = (*f - a) / step;
        }
        self.back_substitute(core)?;
        Ok(self.f.clone())
    }

    fn newton(
        &mut self,
        solver: &Solver<'_>,
        start: &[f64],
        fraction: f64,
        steps: usize,
    ) -> Result<Vec<f64>, Failure> {
        let core = solver.core;
        let mut x = core.gather(start);
        let mut last = f64::INFINITY;
        self.factored = false;
        for count in 0..steps {
            self.fill(solver, &x, fraction);
            let norm = relative(&core.pattern, &x, &self.f);
            if norm < FINE || (norm < GOOD && norm > 0.5 * last && count > 1) {
                return Ok(x);
            }
            let damping = match count {
                0..15 => 1.0,
                _ if norm < 0.5 * last => 1.0,
                15..30 => 0.5,
                _ => 0.2,
            };
            last = norm;
            self.factor(core)?;
            self.back_substitute(core)?;
            for d in &mut self.f {
                *d *= damping;
            }
            limit_junctions(&solver.netlist, &core.pattern, &x, &mut self.f);
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
