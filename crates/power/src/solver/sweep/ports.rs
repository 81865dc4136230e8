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
use super::newton::{FINE, Start};
use crate::netlist::{Device, LoadKind, MotorKind};
use crate::solver::law;
use crate::solver::lu::BLOCK;

/// Most loads for which the small space is cheaper.
const MOST: usize = 256;
/// Most rounds; one that takes more is left to Newton's method.
const ROUNDS: usize = 40;
/// A change that falls to more than this share from one round to the next contracts too slowly.
const SLOWLY: f64 = 0.5;
/// Change of a voltage that counts as rest, V, and the one from which on it is asked whether what the loads
/// take still differs by more than the whole network's residual may.
const STILL: f64 = 1e-12;
const NEARLY: f64 = 1e-6;

/// The loads as ports of the linear rest.
#[derive(Debug)]
pub(super) struct Ports {
    /// J⁻¹eₗ of each load, row by row.
    rows: Vec<f64>,
    /// Voltage of each load from a unit of current at each, column by column.
    transfer: Vec<f64>,
    tangents: Vec<Tangent>,
}

/// What one short is worked out in; every list has one place for each load.
#[derive(Clone, Debug, Default)]
pub(super) struct Work {
    /// Loads that are taken as off.
    pub(super) off: Vec<bool>,
    /// By how much a unit of the short's current lowers each load's voltage.
    pub(super) lowers: Vec<f64>,
    /// What each takes beyond its tangent.
    pub(super) beyond: Vec<f64>,
    /// What a unit of each load's current takes from the voltage across the short.
    from_load: Vec<f64>,
    v: Vec<f64>,
    /// Voltages if every element kept its slope, and those of the next round.
    linear: Vec<f64>,
    next: Vec<f64>,
    /// What the last round asked for, and how far from it that round began.
    asked: Vec<f64>,
    gap: Vec<f64>,
}

impl Work {
    pub(super) fn of(loads: usize) -> Self {
        let zeros = || vec![0.0; loads];
        Self {
            off: vec![false; loads],
            lowers: zeros(),
            beyond: zeros(),
            from_load: zeros(),
            v: zeros(),
            linear: zeros(),
            next: zeros(),
            asked: zeros(),
            gap: zeros(),
        }
    }
}

/// A load at the operating point.
#[derive(Clone, Copy, Debug)]
struct Tangent {
    kind: LoadKind,
    current: f64,
    nominal: f64,
    /// Current if it kept its slope: at no voltage, and its slope.
    amperes: f64,
    slope: f64,
}

impl Tangent {
    /// Current beyond the tangent.
    #[inline]
    fn beyond(&self, v: f64, off: bool) -> f64 {
        let takes = if off { 0.0 } else { law::load(self.kind, self.current, self.nominal, v).0 };
        takes - self.amperes - self.slope * v
    }
}

impl Ports {
    /// What a unit of each load's current does to the sum of some unknowns.
    pub(super) fn sum(&self, some: &[(usize, f64)], out: &mut [f64]) {
        out.fill(0.0);
        let m = out.len();
        for &(at, w) in some {
            out.iter_mut().zip(&self.rows[at * m..]).for_each(|(out, z)| *out += w * z);
        }
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

    /// Works the ports out unless they are known, or known not to serve.
    pub(super) fn ready_ports(&mut self) {
        if self.ports.is_none() {
            self.ports = Some(self.ports());
        }
    }

    fn ports(&self) -> Option<Ports> {
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
            tangents.push(Tangent { kind, current, nominal, amperes: amperes - slope * volts, slope });
        }
        let mut transfer = Vec::with_capacity(m * m);
        for l in 0..m {
            transfer
                .extend(self.loads.iter().map(|k| rows[k.nodes.0 * m + l] - rows[k.nodes.1 * m + l]));
        }
        Some(Ports { rows, transfer, tangents })
    }

    /// A solution in the space of the loads as a start for the whole network, with the loads that get too
    /// little voltage switched off. `None` where more than loads is not linear, or nothing is found.
    pub(super) fn ported(
        &mut self,
        border: &Border,
        first: &Start,
        shed: &mut Vec<usize>,
    ) -> Option<(Vec<f64>, f64)> {
        self.ready_ports();
        let ports = self.ports.as_ref()?.as_ref()?;
        let mut work = Work::of(self.loads.len());
        shed.iter().for_each(|&at| work.off[at] = true);
        for (lowers, load) in work.lowers.iter_mut().zip(&self.loads) {
            *lowers = first.2[load.nodes.0] - first.2[load.nodes.1];
        }
        let current = self.in_ports(ports, &mut work, border, first.3)?;
        // One solve for everything that draws.
        let mut x = vec![0.0; self.x.len()];
        self.drawn(border, current, &work, |row, value| x[row] += value);
        self.factors.solve(&self.core.order, &mut x);
        x.iter_mut().zip(&self.x).for_each(|(x, before)| *x = before - *x);
        for (at, _) in work.off.iter().enumerate().filter(|(_, off)| **off) {
            if !shed.contains(&at) {
                shed.push(at);
                self.set_load(at, 0.0);
            }
        }
        Some((x, current))
    }

    /// What a short and the loads beyond their tangents draw, row by row.
    pub(super) fn drawn(
        &self,
        border: &Border,
        current: f64,
        work: &Work,
        mut add: impl FnMut(usize, f64),
    ) {
        border.u.iter().for_each(|&(row, value)| add(row, value * current));
        for (load, &r) in self.loads.iter().zip(&work.beyond) {
            let (a, b) = load.nodes;
            for (row, value) in [(a, r), (b, -r)] {
                if !self.held[row] {
                    add(row, value);
                }
            }
        }
    }

    /// Current of the short, with what the loads draw beyond their tangents in `work`, whose `lowers` tells
    /// what the short does to them.
    pub(super) fn in_ports(
        &self,
        ports: &Ports,
        work: &mut Work,
        border: &Border,
        stiff: f64,
    ) -> Option<f64> {
        let Ports { transfer, tangents, .. } = ports;
        let Work { off, lowers, beyond, from_load, v, linear, next, asked, gap } = work;
        let open = dot(&border.w, &self.x) / stiff;
        for (l, load) in self.loads.iter().enumerate() {
            let (a, b) = load.nodes;
            linear[l] = self.x[a] - self.x[b] - lowers[l] * open;
            off[l] |= load.starves(linear[l]);
        }
        ports.sum(&border.w, from_load);
        v.copy_from_slice(linear);
        let dropped = |from: &[f64], r: &[f64]| from.iter().zip(r).map(|(b, r)| b * r).sum::<f64>();
        loop {
            let (mut last, mut rested) = (f64::INFINITY, None);
            for round in 0..ROUNDS {
                let laws = tangents.iter().zip(&*v).zip(&*off);
                beyond.iter_mut().zip(laws).for_each(|(r, ((load, &v), &off))| *r = load.beyond(v, off));
                let seen = dropped(from_load, beyond) / stiff;
                let ahead = linear.iter().zip(&*lowers);
                next.iter_mut().zip(ahead).for_each(|(next, (v, by))| *next = v + by * seen);
                take_all(next, transfer, beyond);
                let moved = next.iter().zip(&*v).fold(0.0, |most: f64, (n, v)| most.max((n - v).abs()));
                // What the whole network has left over is what the loads take at the voltages they get less
                // what they were taken to take.
                let over = || {
                    let laws = tangents.iter().zip(&*next).zip(&*off);
                    laws.zip(&*beyond).fold(0.0, |most: f64, (((load, &v), &off), r)| {
                        most.max((load.beyond(v, off) - r).abs())
                    })
                };
                let current = open - seen;
                if moved < STILL || (moved < NEARLY && over() < 0.1 * FINE * current.abs()) {
                    rested = Some(current);
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
                for ((next, v), gap) in next.iter().zip(&*v).zip(&mut *gap) {
                    let left = next - v;
                    let by = left - *gap;
                    along += left * by;
                    square += by * by;
                    *gap = left;
                }
                let share = if round > 0 && square > 0.0 { along / square } else { 0.0 };
                for ((v, next), asked) in v.iter_mut().zip(&*next).zip(&mut *asked) {
                    *v = next - share * (next - *asked);
                    *asked = *next;
                }
            }
            let current = rested?;
            let mut more = false;
            v.copy_from_slice(next);
            for ((load, off), v) in self.loads.iter().zip(&mut *off).zip(&*v) {
                let fallen = !*off && load.starves(*v);
                *off |= fallen;
                more |= fallen;
            }
            if !more {
                return Some(current);
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
