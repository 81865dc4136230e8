//! Newton's method for one short: steps with the factors of the operating point as long as they serve.

use super::border::{Border, dot};
use super::{Failure, Sweep};
use crate::netlist::Device;

/// Most steps.
const STEPS: usize = 40;
/// Steps after which a residual above this one does not come to rest any more.
const LOST: usize = 24;
const FAR: f64 = 1e-2;
/// Relative residual at which a short counts as solved.
pub(super) const FINE: f64 = 1e-13;
/// Relative residual that is accepted once it no longer falls.
pub(super) const GOOD: f64 = 1e-10;
/// A residual that falls to more than this share asks for better slopes.
const SLOW: f64 = 0.15;
/// Steps at the end where diodes are about, the movement of voltages from which they count as come to rest, V,
/// and the one that ends them.
const POLISH: usize = 16;
const NEAR: f64 = 1e-6;
const REST: f64 = 1e-9;

/// Unknowns, current, steps, and whether the matrix was factored again.
pub(super) type Solved = Result<(Vec<f64>, f64, usize, bool), Failure>;

/// Unknowns and current of the linear network, what a unit of current changes, and the stiffness against it.
pub(super) type Start = (Vec<f64>, f64, Vec<f64>, f64);

impl Sweep<'_> {
    /// The solution if every element kept its slope, with what a unit of current changes and the stiffness
    /// against it.
    pub(super) fn linear(&mut self, border: &Border) -> Start {
        let mut z_u = vec![0.0; self.x.len()];
        border.u.iter().for_each(|&(row, value)| z_u[row] += value);
        self.factors.solve(&self.core.order, &mut z_u);
        let stiff = dot(&border.w, &z_u) + border.ohms;
        let current = dot(&border.w, &self.x) / stiff;
        let x = self.x.iter().zip(&z_u).map(|(x, z)| x - z * current).collect();
        (x, current, z_u, stiff)
    }

    pub(super) fn newton(&mut self, border: &Border, (start, current, z_u, stiff): &Start) -> Solved {
        let (mut x, mut current, stiff) = (start.clone(), *current, *stiff);
        let n = x.len();
        let (mut f, mut values) = (vec![0.0; n], Vec::new());
        let (mut last, mut slow, mut factored) = (f64::INFINITY, 0, false);
        for count in 0..STEPS {
            let (core, small) = (self.core, &self.netlist);
            if slow > 0 {
                values.resize(self.values.len(), 0.0);
                let at = (x.as_slice(), self.fraction);
                core.pattern.fill(small, at, &self.held, &core.entries, &mut f, &mut values);
            } else {
                core.pattern.residual(small, (&x, self.fraction), &self.held, &mut f);
            }
            border.u.iter().for_each(|&(row, value)| f[row] += value * current);
            let gap = dot(&border.w, &x) - border.ohms * current;
            let norm = self.relative(&x, current, &f, gap);
            if norm < FINE || (norm < GOOD && norm > 0.5 * last) {
                if self.diodes {
                    // Behind a diode that blocks flow nanoamperes: they are lost in the noise of a change of
                    // low rank, and found by a step with the matrix as it is here.
                    self.polish(border, &mut x, &mut current, &mut f)?;
                }
                return Ok((x, current, count + 1, factored));
            }
            if !norm.is_finite() || (count >= LOST && norm > FAR) {
                return Err(Failure::Astray);
            }
            if norm > SLOW * last || (count == 0 && norm > SLOW) {
                slow += 1;
                if slow == 1 {
                    values.resize(self.values.len(), 0.0);
                    let at = (x.as_slice(), self.fraction);
                    core.pattern.fill(small, at, &self.held, &core.entries, &mut f, &mut values);
                    border.u.iter().for_each(|&(row, value)| f[row] += value * current);
                }
            }
            last = norm;
            let step = match slow {
                0 => {
                    self.factors.solve(&core.order, &mut f);
                    let by = (gap - dot(&border.w, &f)) / stiff;
                    f.iter_mut().zip(z_u).for_each(|(f, z)| *f += z * by);
                    by
                }
                _ => match self.wider(border, z_u, &mut f, gap, &values) {
                    Some(by) => by,
                    None => {
                        factored = true;
                        self.refactored(border, &mut f, gap, &values)?
                    }
                },
            };
            // Some half steps break a circle between two states; then the method may run on.
            let damping = if (15..21).contains(&count) { 0.5 } else { 1.0 };
            self.calm(&x, &mut f);
            x.iter_mut().zip(&f).for_each(|(x, d)| *x -= damping * d);
            current += damping * step;
        }
        Err(Failure::Astray)
    }

    /// Steps with the matrix factored anew each time, until voltages rest. What hangs between diodes that
    /// block may move by volts in the first of them; what comes to no rest is not taken.
    fn polish(
        &mut self,
        border: &Border,
        x: &mut [f64],
        current: &mut f64,
        f: &mut [f64],
    ) -> Result<(), Failure> {
        let core = self.core;
        let mut values = vec![0.0; self.values.len()];
        let (mut y, mut through, mut last) = (x.to_vec(), *current, f64::INFINITY);
        for _ in 0..POLISH {
            let at = (&*y, self.fraction);
            core.pattern.fill(&self.netlist, at, &self.held, &core.entries, f, &mut values);
            border.u.iter().for_each(|&(row, value)| f[row] += value * through);
            let gap = dot(&border.w, &y) - border.ohms * through;
            let step = self.refactored(border, f, gap, &values)?;
            self.calm(&y, f);
            let moved = f[..core.pattern.nodes].iter().fold(0.0, |m: f64, d| m.max(d.abs()));
            // Near the end rounding moves the last digits for ever.
            if moved > last && last < NEAR {
                break;
            }
            y.iter_mut().zip(&*f).for_each(|(y, d)| *y -= d);
            through += step;
            last = moved;
            if moved < REST {
                break;
            }
        }
        if last < NEAR {
            x.copy_from_slice(&y);
            *current = through;
        }
        Ok(())
    }

    /// A step with the matrix factored anew.
    fn refactored(
        &mut self,
        border: &Border,
        f: &mut [f64],
        gap: f64,
        values: &[f64],
    ) -> Result<f64, Failure> {
        let core = self.core;
        self.again
            .factor(&core.order, &core.entries.layout, values)
            .map_err(|unknown| Failure::Singular { unknown: core.unknown(unknown) })?;
        let mut z_u = vec![0.0; f.len()];
        border.u.iter().for_each(|&(row, value)| z_u[row] += value);
        self.again.solve(&core.order, &mut z_u);
        self.again.solve(&core.order, f);
        let by = (gap - dot(&border.w, f)) / (dot(&border.w, &z_u) + border.ohms);
        f.iter_mut().zip(&z_u).for_each(|(f, z)| *f += z * by);
        if by.is_finite() { Ok(by) } else { Err(Failure::Astray) }
    }

    /// Keeps junction voltages from running up the exponential, as the general solver does: beyond the knee
    /// a rise is taken as the logarithm of what the step asks for.
    fn calm(&self, x: &[f64], d: &mut [f64]) {
        for (item, &k) in self.netlist.items.iter().zip(&self.core.pattern.extra) {
            let Device::Diode { slope_v, saturation_a, .. } = item.device else { continue };
            let (old, wanted) = (x[k], x[k] - d[k]);
            let knee = slope_v * (slope_v / (saturation_a * std::f64::consts::SQRT_2)).ln();
            if wanted > knee && (wanted - old).abs() > 2.0 * slope_v {
                let rise = 1.0 + (wanted - old) / slope_v;
                let taken = match old > 0.0 {
                    true if rise > 0.0 => old + slope_v * rise.ln(),
                    true => knee,
                    false => slope_v * (wanted / slope_v).ln(),
                };
                d[k] = old - taken;
            }
        }
    }

    /// Largest residual, currents against the largest current, voltages against the largest voltage.
    fn relative(&self, x: &[f64], current: f64, f: &[f64], gap: f64) -> f64 {
        let size = |values: &[f64], least: f64| values.iter().fold(least, |m: f64, v| m.max(v.abs()));
        let n = self.core.pattern.nodes;
        let volts = size(&x[..n], 1.0);
        let amperes = size(&x[n..], current.abs().max(1e-3));
        let worst = (size(&f[..n], 0.0) / amperes).max(size(&f[n..], gap.abs()) / volts);
        // A comparison passes over what is not a number.
        if f.iter().all(|v| v.is_finite()) { worst } else { f64::NAN }
    }
}
