//! What is left over of a network's equations, for a block of solutions at once.
//!
//! Where loads are all that is not linear, each row has a few terms with fixed numbers: they are laid out
//! once, row by row, and every row is worked out for all solutions of a block before the next.

use super::Sweep;
use super::ports::Work;
use crate::netlist::{Device, LoadKind};
use crate::solver::assembly::motor;
use crate::solver::law;
use crate::solver::lu::BLOCK;

/// One number of each solution of a block.
pub(super) type Lanes = [f64; BLOCK];

/// The rows of a network.
#[derive(Debug, Default)]
pub(super) struct Rows {
    /// Number of nodes, and of unknowns.
    nodes: usize,
    size: usize,
    /// What is not a branch: its current stands behind the unknowns, in this order.
    through: Vec<Through>,
    /// Where the terms of each node begin; its currents with their signs.
    starts: Vec<usize>,
    terms: Vec<(usize, f64)>,
    /// The rows of the branches.
    branches: Vec<Branch>,
}

/// A current from `a` to `b` that follows from the voltage between them.
#[derive(Debug)]
struct Through {
    a: usize,
    b: usize,
    /// The part in proportion to the voltage, and what flows at none.
    slope: f64,
    at_rest: f64,
    load: Option<Load>,
}

/// A load that works: its place among the loads, and its law.
#[derive(Debug)]
struct Load {
    at: usize,
    kind: LoadKind,
    current: f64,
    nominal: f64,
}

/// A branch: v(a) − v(b) + emf = R·i, or i = 0 with `on` and the resistance changed accordingly.
#[derive(Debug)]
struct Branch {
    k: usize,
    a: usize,
    b: usize,
    on: f64,
    ohms: f64,
    emf: f64,
}

/// Largest numbers of each solution of a block.
#[derive(Clone, Copy, Debug, Default)]
struct Largest(Lanes);

impl Largest {
    fn of(least: Lanes) -> Self {
        Self(least)
    }

    #[inline]
    fn take(&mut self, row: &Lanes) {
        for (most, value) in self.0.iter_mut().zip(row) {
            let value = value.abs();
            *most = if value > *most { value } else { *most };
        }
    }
}

impl Rows {
    /// Of a network in which loads are all that is not linear.
    pub(super) fn of(sweep: &Sweep<'_>) -> Self {
        let (nodes, size) = (sweep.core.pattern.nodes, sweep.x.len());
        let mut rows = Self { nodes, size, ..Self::default() };
        // Node, current, sign.
        let mut at: Vec<(usize, usize, f64)> = Vec::new();
        let mut working = sweep.loads.iter().enumerate().peekable();
        for (index, (item, &k)) in sweep.netlist.items.iter().zip(&sweep.core.pattern.extra).enumerate()
        {
            let mut through = |a: usize, b: usize, slope: f64, at_rest: f64, load| {
                let place = size + rows.through.len();
                rows.through.push(Through { a, b, slope, at_rest, load });
                at.extend([(a, place, 1.0), (b, place, -1.0)]);
            };
            match item.device {
                Device::Branch { a, b, resistance_ohm, emf_v } => {
                    let (on, ohms, emf) =
                        if item.active { (1.0, resistance_ohm, emf_v) } else { (0.0, -1.0, 0.0) };
                    rows.branches.push(Branch { k, a, b, on, ohms, emf });
                    at.extend([(a, k, 1.0), (b, k, -1.0)]);
                }
                Device::Load { a, b, kind, nominal_v, bleed_s, .. } if item.active => {
                    let load = working.next_if(|(_, load)| load.core == index).map(|(at, load)| Load {
                        at,
                        kind,
                        current: sweep.fraction * load.current,
                        nominal: nominal_v,
                    });
                    if load.is_some() || bleed_s != 0.0 {
                        through(a, b, bleed_s, 0.0, load);
                    }
                }
                Device::Motor { a, b, resistance_ohm, kind } if item.active => {
                    let (at_rest, slope) = motor(kind, resistance_ohm, 0.0, sweep.fraction);
                    through(a, b, slope, at_rest, None);
                }
                _ => {}
            }
        }
        at.retain(|t| !sweep.held[t.0]);
        // The row of a node that is held says that its voltage is zero.
        at.extend((0..nodes).filter(|&n| sweep.held[n]).map(|n| (n, n, 1.0)));
        at.sort_unstable_by_key(|t| (t.0, t.1));
        rows.starts = (0..=nodes).map(|n| at.partition_point(|t| t.0 < n)).collect();
        rows.terms = at.into_iter().map(|t| (t.1, t.2)).collect();
        rows
    }

    /// How many numbers a block has: the unknowns and the currents that follow from them.
    pub(super) fn places(&self) -> usize {
        self.size + self.through.len()
    }

    /// Largest residual of each solution as [`Sweep::relative`] takes it, but for the short's own equation.
    /// `x` has [`Self::places`] rows; `drawn` what the shorts draw from the rows, and is zero elsewhere.
    /// Not a number where a solution is not finite.
    pub(super) fn relative(
        &self,
        x: &mut [Lanes],
        works: &[Work; BLOCK],
        currents: &Lanes,
        gaps: &Lanes,
        drawn: &[Lanes],
    ) -> Lanes {
        let (unknowns, after) = x.split_at_mut(self.size);
        for (through, out) in self.through.iter().zip(after) {
            let (p, q) = (&unknowns[through.a], &unknowns[through.b]);
            for ((out, p), q) in out.iter_mut().zip(p).zip(q) {
                *out = through.slope * (p - q) + through.at_rest;
            }
            if let Some(Load { at, kind, current, nominal }) = through.load {
                for (((out, p), q), work) in out.iter_mut().zip(p).zip(q).zip(works) {
                    if !work.off[at] {
                        *out += law::load(kind, current, nominal, p - q).0;
                    }
                }
            }
        }
        let x = &*x;
        let mut volts = Largest::of([1.0; BLOCK]);
        let mut amperes = Largest::of(currents.map(|i| i.abs().max(1e-3)));
        x[..self.nodes].iter().for_each(|row| volts.take(row));
        x[self.nodes..self.size].iter().for_each(|row| amperes.take(row));
        let (mut sums, mut laws) = (Largest::default(), Largest::of(gaps.map(f64::abs)));
        // A comparison passes over what is not a number.
        let mut all = [0.0; BLOCK];
        let mut count = |row: &Lanes| all.iter_mut().zip(row).for_each(|(all, value)| *all += value);
        for (node, ends) in self.starts.windows(2).enumerate() {
            let mut sum = drawn[node];
            for &(place, sign) in &self.terms[ends[0]..ends[1]] {
                sum.iter_mut().zip(&x[place]).for_each(|(sum, i)| *sum += sign * i);
            }
            sums.take(&sum);
            count(&sum);
        }
        for &Branch { k, a, b, on, ohms, emf } in &self.branches {
            let (p, q, i, extra) = (&x[a], &x[b], &x[k], &drawn[k]);
            let law: Lanes = std::array::from_fn(|s| on * (p[s] - q[s]) + emf - ohms * i[s] + extra[s]);
            laws.take(&law);
            count(&law);
        }
        std::array::from_fn(|s| {
            let worst = (sums.0[s] / amperes.0[s]).max(laws.0[s] / volts.0[s]);
            if all[s].is_finite() && gaps[s].is_finite() && currents[s].is_finite() {
                worst
            } else {
                f64::NAN
            }
        })
    }
}
