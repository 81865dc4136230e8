//! Many shorts on one network: it is factored once at its operating point, and every short is a change of
//! low rank.
//!
//! A short adds one unknown, its current J, and one equation, Ohm's law of what joins the two places. The
//! bordered system is solved by Newton's method with the factors of the operating point (Sherman-Morrison-
//! Woodbury). Rows of the matrix whose numbers changed much (a load below its knee, a converter at its
//! limit) join the border; where that gets too wide, the matrix is factored again.

mod batch;
mod border;
mod dense;
mod lines;
mod loads;
mod newton;
mod ports;
mod residual;
mod spread;
#[cfg(test)]
mod tests;
mod wide;

use super::assembly::{Pattern, Point};
use super::core::Core;
use super::islands::Fed;
use super::lu::Factors;
use super::newton::Failure;
use crate::netlist::{Device, Netlist};
pub use batch::Current;
use border::{Border, dot};
use lines::Lines;
use loads::{LoadPlace, loads};
use newton::{Solved, Start};
use ports::Ports;
use spread::Runs;
use std::collections::BTreeMap;

/// Where a short touches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Place {
    /// A node.
    Node(usize),
    /// Along a wire: its item, and the share of its length from `a`.
    Along(usize, f64),
}

/// A solved short.
#[derive(Clone, Debug, PartialEq)]
pub struct Shorted {
    /// Current from the first place to the second.
    pub current: f64,
    /// All unknowns of the whole network. An item that the short splits has the larger of its currents.
    pub point: Point,
    /// Steps it took.
    pub steps: usize,
    /// The matrix had to be factored again.
    pub factored: bool,
    /// Loads that were taken as off: items whose voltage fell below half of their nominal one.
    pub shed: Vec<usize>,
}

/// A network factored at its operating point.
#[derive(Debug)]
pub struct Sweep<'a> {
    core: &'a Core,
    netlist: Netlist,
    held: Vec<bool>,
    /// Connected part of each node of the whole network, and which are fed.
    fed: Fed,
    whole: Lines,
    runs: Runs,
    x: Vec<f64>,
    fraction: f64,
    loads: Vec<LoadPlace>,
    /// There are diodes in it that are not known to block.
    diodes: bool,
    values: Vec<f64>,
    factors: Factors,
    again: Factors,
    /// J⁻¹ times the unit vector of a row.
    unit: BTreeMap<usize, Vec<f64>>,
    /// The loads as ports, once they were asked for; `Some(None)`: more than loads is not linear.
    ports: Option<Option<Ports>>,
}

/// Where a short that is closed step by step begins, ohms, and the factor of each step.
const FIRST_OHMS: f64 = 30.0;
const CLOSER: f64 = 3.0;

impl<'a> Sweep<'a> {
    /// Of a network whose unknowns are those of `pattern`, at its solution.
    ///
    /// # Errors
    /// [`Failure::Singular`] when the matrix at the solution cannot be factored.
    pub fn of(
        core: &'a Core,
        pattern: &Pattern,
        netlist: &Netlist,
        fed: &Fed,
        at: &Point,
    ) -> Result<Self, Failure> {
        let mut small = core.netlist.clone();
        let mut held = Vec::new();
        core.take(netlist, &fed.references, &mut small, &mut held);
        let x = core.gather(&at.x);
        let (mut f, mut values) = (vec![0.0; x.len()], vec![0.0; core.entries.count()]);
        core.pattern.fill(&small, (&x, at.fraction), &held, &core.entries, &mut f, &mut values);
        let mut factors = Factors::default();
        factors
            .factor(&core.order, &core.entries.layout, &values)
            .map_err(|unknown| Failure::Singular { unknown: core.unknown(unknown) })?;
        let whole = Lines::of(core, netlist, pattern);
        let runs = Runs::of(&whole, &small, &core.pattern.extra);
        let loads = loads(&small, netlist);
        let diodes = small.items.iter().any(|i| i.active && matches!(i.device, Device::Diode { .. }));
        Ok(Self {
            loads,
            diodes,
            core,
            netlist: small,
            held,
            fed: fed.clone(),
            whole,
            runs,
            x,
            fraction: at.fraction,
            values,
            factors,
            again: Factors::default(),
            unit: BTreeMap::new(),
            ports: None,
        })
    }

    /// Voltage from one place to another before anything is shorted; `None` when nothing joins them.
    pub fn across(&self, a: Place, b: Place) -> Option<f64> {
        let (p, q) = (self.port(a)?, self.port(b)?);
        self.joined(a, b).then(|| dot(&p.sense, &self.x) - dot(&q.sense, &self.x))
    }

    /// Solves the network with two places joined by a resistance. `None` when nothing else joins them,
    /// so that no current flows.
    ///
    /// # Errors
    /// [`Failure`] when Newton's method does not settle.
    pub fn short(&mut self, a: Place, b: Place, ohms: f64) -> Option<Result<Shorted, Failure>> {
        let border = self.border(a, b, ohms)?;
        let first = self.linear(&border);
        let limited = self.passes_limit(&first.0);
        let mut shed = Vec::new();
        self.shed(&first.0, &mut shed);
        let mut ported = self.ported(&border, &first, &mut shed).map(|(x, current)| {
            let start = (x, current, first.2.clone(), first.3);
            self.newton(&border, &start)
        });
        let solved = loop {
            if let Some(Ok(found)) = ported.take()
                && !self.shed(&found.0, &mut shed)
            {
                break Ok(found);
            }
            // Where a converter comes to its limit, its loads decide: they are left to the second step.
            let direct = match limited {
                true => Err(Failure::Astray),
                false => self.newton(&border, &first),
            };
            let solved = direct
                .or_else(|_| self.idle_first(&border, &first, &mut shed))
                .or_else(|_| self.gradually(&border, &first));
            let Ok((x, ..)) = &solved else { break solved };
            if !self.shed(x, &mut shed) {
                break solved;
            }
        };
        // The next short finds every load as it was.
        for &at in &shed {
            self.set_load(at, self.loads[at].current);
        }
        Some(solved.map(|(x, current, steps, factored)| Shorted {
            current,
            point: self.point(&x, &[(border.ends[0], current), (border.ends[1], -current)]),
            steps,
            factored,
            shed: shed.iter().map(|&at| self.loads[at].whole).collect(),
        }))
    }

    /// Whether a converter gives more than it can.
    fn passes_limit(&self, x: &[f64]) -> bool {
        let items = self.netlist.items.iter().zip(&self.core.pattern.extra);
        items.filter(|(item, _)| item.active).any(|(item, &k)| match item.device {
            Device::Converter { limit_a, .. } => x[k] > limit_a,
            _ => false,
        })
    }

    /// Solves without any load, then with those that get enough voltage.
    fn idle_first(&mut self, border: &Border, first: &Start, shed: &mut Vec<usize>) -> Solved {
        (0..self.loads.len()).for_each(|at| self.set_load(at, 0.0));
        let direct = self.newton(border, first);
        let idle = direct.or_else(|_| self.gradually(border, first));
        for at in 0..self.loads.len() {
            if !shed.contains(&at) {
                self.set_load(at, self.loads[at].current);
            }
        }
        let (x, current, steps, _) = idle?;
        self.shed(&x, shed);
        let start = (x, current, first.2.clone(), first.3);
        self.newton(border, &start).map(|(x, current, more, _)| (x, current, steps + more, true))
    }

    /// Closes the short step by step, each time from the last solution: what jumps from one limit to another
    /// at once finds its way so.
    fn gradually(&mut self, border: &Border, first: &Start) -> Solved {
        let (z_u, without) = (&first.2, first.3 - border.ohms);
        let (mut x, mut steps, mut ohms) = (self.x.clone(), 0, FIRST_OHMS.max(border.ohms));
        loop {
            ohms = (ohms / CLOSER).max(border.ohms);
            let step = Border { ohms, ..*border };
            let current = dot(&border.w, &x) / ohms;
            let start = (x, current, z_u.clone(), without + ohms);
            let (found, current, more, _) = self.newton(&step, &start)?;
            steps += more;
            if ohms <= border.ohms {
                return Ok((found, current, steps, true));
            }
            x = found;
        }
    }

    /// What the short would be if every element kept its slope: the first step of [`Self::short`], enough
    /// to see which rails fall.
    pub fn first_step(&mut self, a: Place, b: Place, ohms: f64) -> Option<Point> {
        let border = self.border(a, b, ohms)?;
        let (x, ..) = self.linear(&border);
        Some(self.point(&x, &[]))
    }
}
