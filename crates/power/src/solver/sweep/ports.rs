//! A short in the small space of the loads: where loads are all that is not linear, a short changes nothing
//! but their currents.
//!
//! With J the matrix factored at the operating point, every solution is x₀ − J⁻¹(u·I + Σ eₗ·rₗ): I the
//! current of the short, rₗ what load l takes beyond its tangent at the operating point. J⁻¹eₗ is worked out
//! once for all shorts; then only the loads' voltages are unknown. They follow from v ← v_lin − K·r(v), which
//! contracts by what loads' slopes change against the resistance that feeds them. What it finds is only a
//! start: the whole network's residual decides, as it does for any other start.

use super::Sweep;
use super::border::{Border, dot};
use super::loads::OFF;
use super::newton::Start;
use crate::netlist::{Device, LoadKind, MotorKind};
use crate::solver::law;
use crate::solver::lu::BLOCK;

/// Most loads for which the small space is cheaper.
const MOST: usize = 256;
/// Most rounds; one that takes more is left to Newton's method.
const ROUNDS: usize = 40;
/// A change that falls to more than this share from one round to the next contracts too slowly.
const SLOWLY: f64 = 0.5;
/// Change of a voltage that counts as rest, V. The last steps are the whole network's.
const STILL: f64 = 1e-12;

/// The loads as ports of the linear rest.
#[derive(Debug)]
pub(super) struct Ports {
    /// J⁻¹eₗ of each load, row by row.
    rows: Vec<f64>,
    /// Voltage of each load from a unit of current at each, column by column.
    transfer: Vec<f64>,
    tangents: Vec<Tangent>,
    /// Voltages, what each takes beyond its tangent, and how the short's voltage and a load's depend on
    /// each other.
    v: Vec<f64>,
    beyond: Vec<f64>,
    to_load: Vec<f64>,
    from_load: Vec<f64>,
    /// Voltages if every element kept its slope, and those of the next round.
    linear: Vec<f64>,
    next: Vec<f64>,
    /// What the last round asked for, and how far from it that round began.
    asked: Vec<f64>,
    gap: Vec<f64>,
}

/// A load at the operating point.
#[derive(Clone, Copy, Debug)]
struct Tangent {
    kind: LoadKind,
    current: f64,
    nominal: f64,
    volts: f64,
    amperes: f64,
    slope: f64,
}

impl Tangent {
    /// Current beyond the tangent.
    fn beyond(&self, v: f64, off: bool) -> f64 {
        let takes = if off { 0.0 } else { law::load(self.kind, self.current, self.nominal, v).0 };
        takes - self.amperes - self.slope * (v - self.volts)
    }
}

impl Sweep<'_> {
    /// Whether loads are all that is not linear.
    fn only_loads(&self) -> bool {
        self.loads.len() <= MOST
            && self.netlist.items.iter().filter(|i| i.active).all(|i| match i.device {
                Device::Branch { .. } | Device::Load { .. } => true,
                Device::Motor { kind, .. } => matches!(kind, MotorKind::Turned { .. }),
                _ => false,
            })
    }

    pub(super) fn ports(&mut self) -> Option<Ports> {
        if !self.only_loads() {
            return None;
        }
        let m = self.loads.len();
        let n = self.x.len();
        let mut rows = vec![0.0; n * m];
        let (mut block, mut work) = (Vec::new(), Vec::new());
        for first in (0..m).step_by(BLOCK) {
            let some = &self.loads[first..(first + BLOCK).min(m)];
            block.clear();
            block.resize(n, [0.0; BLOCK]);
            for (side, load) in some.iter().enumerate() {
                for (row, value) in [(load.nodes.0, 1.0), (load.nodes.1, -1.0)] {
                    if !self.held[row] {
                        block[row][side] += value;
                    }
                }
            }
            self.factors.solve_block(&self.core.order, &mut block, &mut work);
            for (row, found) in block.iter().enumerate() {
                rows[row * m + first..][..some.len()].copy_from_slice(&found[..some.len()]);
            }
        }
        let mut tangents = Vec::with_capacity(m);
        for load in &self.loads {
            let (a, b) = load.nodes;
            let Device::Load { kind, .. } = self.netlist.items[load.core].device else { return None };
            let (current, nominal, volts) =
                (self.fraction * load.current, load.nominal, self.x[a] - self.x[b]);
            let (amperes, slope) = law::load(kind, current, nominal, volts);
            tangents.push(Tangent { kind, current, nominal, volts, amperes, slope });
        }
        let mut transfer = Vec::with_capacity(m * m);
        for l in 0..m {
            transfer
                .extend(self.loads.iter().map(|k| rows[k.nodes.0 * m + l] - rows[k.nodes.1 * m + l]));
        }
        let zeros = vec![0.0; m];
        let (v, beyond, to_load) = (zeros.clone(), zeros.clone(), zeros.clone());
        let (linear, next, from_load) = (zeros.clone(), zeros.clone(), zeros.clone());
        let (asked, gap) = (zeros.clone(), zeros);
        Some(Ports { rows, transfer, tangents, v, beyond, to_load, from_load, linear, next, asked, gap })
    }

    /// A solution in the space of the loads as a start for the whole network, with the loads that get too
    /// little voltage switched off. `None` where more than loads is not linear, or nothing is found.
    pub(super) fn ported(
        &mut self,
        border: &Border,
        first: &Start,
        shed: &mut Vec<usize>,
    ) -> Option<(Vec<f64>, f64)> {
        if self.ports.is_none() {
            self.ports = Some(self.ports());
        }
        let mut ports = self.ports.take().flatten()?;
        let mut off = vec![false; self.loads.len()];
        shed.iter().for_each(|&at| off[at] = true);
        let found = self.in_ports(&mut ports, border, |at| first.2[at], first.3, &mut off);
        let start = found.map(|current| {
            // One solve for everything that draws.
            let mut x = vec![0.0; self.x.len()];
            border.u.iter().for_each(|&(row, value)| x[row] += value * current);
            for (load, &r) in self.loads.iter().zip(&ports.beyond) {
                let (a, b) = load.nodes;
                for (row, value) in [(a, r), (b, -r)] {
                    if !self.held[row] {
                        x[row] += value;
                    }
                }
            }
            self.factors.solve(&self.core.order, &mut x);
            x.iter_mut().zip(&self.x).for_each(|(x, before)| *x = before - *x);
            (x, current)
        });
        self.ports = Some(Some(ports));
        if start.is_some() {
            for (at, _) in off.iter().enumerate().filter(|(_, off)| **off) {
                if !shed.contains(&at) {
                    shed.push(at);
                    self.set_load(at, 0.0);
                }
            }
        }
        start
    }

    /// Current of the short, with the loads' voltages in `ports`. `unit` tells by how much a unit of its
    /// current lowers an unknown.
    pub(super) fn in_ports(
        &self,
        ports: &mut Ports,
        border: &Border,
        unit: impl Fn(usize) -> f64,
        stiff: f64,
        off: &mut [bool],
    ) -> Option<f64> {
        let Ports { rows, transfer, tangents, v, beyond, to_load, from_load, linear, next, asked, gap } =
            ports;
        let m = self.loads.len();
        let open = dot(&border.w, &self.x) / stiff;
        for (l, load) in self.loads.iter().enumerate() {
            let (a, b) = load.nodes;
            let lowers = unit(a) - unit(b);
            linear[l] = self.x[a] - self.x[b] - lowers * open;
            to_load[l] = lowers / stiff;
            off[l] |= linear[l] < OFF * load.nominal;
        }
        from_load.fill(0.0);
        for &(at, w) in &border.w {
            from_load.iter_mut().zip(&rows[at * m..]).for_each(|(from, z)| *from += w * z);
        }
        v.copy_from_slice(linear);
        let dropped = |from: &[f64], r: &[f64]| from.iter().zip(r).map(|(b, r)| b * r).sum::<f64>();
        loop {
            let (mut last, mut rested) = (f64::INFINITY, false);
            for round in 0..ROUNDS {
                for l in 0..m {
                    beyond[l] = tangents[l].beyond(v[l], off[l]);
                }
                let seen = dropped(from_load, beyond);
                for l in 0..m {
                    next[l] = linear[l] + to_load[l] * seen;
                }
                take_all(next, transfer, beyond);
                let moved = next.iter().zip(&*v).fold(0.0, |most: f64, (n, v)| most.max((n - v).abs()));
                if moved < STILL {
                    rested = true;
                    break;
                }
                if moved >= SLOWLY * last || moved.is_nan() {
                    break;
                }
                last = moved;
                // Loads on one rail fall together: what is left of a round lies nearly along what was left
                // of the last, and is taken away by the line through both (D. G. Anderson, "Iterative
                // procedures for nonlinear integral equations", J. ACM 12 (1965) 547; from memory).
                let (mut along, mut square) = (0.0, 0.0);
                for l in 0..m {
                    let left = next[l] - v[l];
                    let by = left - gap[l];
                    along += left * by;
                    square += by * by;
                    gap[l] = left;
                }
                let share = if round > 0 && square > 0.0 { along / square } else { 0.0 };
                for l in 0..m {
                    v[l] = next[l] - share * (next[l] - asked[l]);
                }
                asked.copy_from_slice(next);
            }
            if !rested {
                return None;
            }
            let mut more = false;
            for (l, load) in self.loads.iter().enumerate() {
                let fallen = !off[l] && v[l] < OFF * load.nominal;
                off[l] |= fallen;
                more |= fallen;
            }
            if !more {
                return Some(open - dropped(from_load, beyond) / stiff);
            }
        }
    }
}

/// Takes from each load's voltage what all of them draw; four columns at a time, so that the voltages are
/// read and written less often.
fn take_all(v: &mut [f64], transfer: &[f64], draw: &[f64]) {
    let m = v.len();
    if m == 0 {
        return;
    }
    for (columns, r) in transfer.chunks(4 * m).zip(draw.chunks(4)) {
        if let &[p, q, r, s] = r {
            let (a, rest) = columns.split_at(m);
            let (b, rest) = rest.split_at(m);
            let (c, d) = rest.split_at(m);
            let d = &d[..m];
            for (l, v) in v.iter_mut().enumerate() {
                *v -= (a[l] * p + b[l] * q) + (c[l] * r + d[l] * s);
            }
            continue;
        }
        for (column, r) in columns.chunks(m).zip(r) {
            v.iter_mut().zip(column).for_each(|(v, z)| *v -= z * r);
        }
    }
}
