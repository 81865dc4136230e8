//! Many shorts on one network: it is factored once at its operating point, and every short is a change of
//! low rank.
//!
//! A short adds one unknown, its current J, and one equation, Ohm's law of what joins the two places. The
//! bordered system is solved by Newton's method with the factors of the operating point (Sherman-Morrison-
//! Woodbury). Rows of the matrix whose numbers changed much (a load below its knee, a converter at its
//! limit) join the border; where that gets too wide, the matrix is factored again.

use super::assembly::{Pattern, Point};
use super::core::Core;
use super::islands::Fed;
use super::lu::Factors;
use super::newton::Failure;
use crate::netlist::{Device, Netlist};
pub use ports::Current;
use ports::Ports;
use std::collections::BTreeMap;

#[path = "sweep_ports.rs"]
mod ports;

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

/// A load: its item in the core and in the whole network, its nodes in the core, its voltage and current.
#[derive(Clone, Copy, Debug)]
struct LoadPlace {
    core: usize,
    whole: usize,
    nodes: (usize, usize),
    nominal: f64,
    current: f64,
}

/// How the whole network's branches lie on the core's.
#[derive(Debug, Default)]
struct Lines {
    /// The core's node of each node that it keeps.
    node: Vec<Option<usize>>,
    /// Core item and place in its line of each node that it does not keep: behind that many branches.
    joint: Vec<Option<(usize, usize)>>,
    /// Core item and place in its line of each branch.
    item: Vec<Option<(usize, usize)>>,
    /// Branches of each core item: item, whether it points along, node it leads to, resistance.
    branches: Vec<Vec<(usize, bool, usize, f64)>>,
    /// First further unknown of each item.
    extra: Vec<usize>,
    /// The whole network's unknown that each of the core's is, with its sign.
    unknown: Vec<(usize, f64)>,
    size: usize,
}

/// Rows that a unit of current drawn at a place changes, and what tells its voltage.
#[derive(Clone, Debug, Default)]
struct Port {
    draw: Vec<(usize, f64)>,
    sense: Vec<(usize, f64)>,
    /// Core item and resistance up to the place.
    along: Option<(usize, f64)>,
}

/// Share of its nominal voltage below which a load no longer works.
const OFF: f64 = 0.5;
/// Most steps.
const STEPS: usize = 40;
/// Steps after which a residual above this one does not come to rest any more.
const LOST: usize = 24;
const FAR: f64 = 1e-2;
/// Relative residual at which a short counts as solved.
const FINE: f64 = 1e-13;
/// Relative residual that is accepted once it no longer falls.
const GOOD: f64 = 1e-10;
/// A residual that falls to more than this share asks for better slopes.
const SLOW: f64 = 0.15;
/// Where a short that is closed step by step begins, ohms, and the factor of each step.
const FIRST_OHMS: f64 = 30.0;
const CLOSER: f64 = 3.0;
/// Steps at the end where diodes are about, the movement of voltages with which they may begin, V, and the
/// one that counts as rest.
const POLISH: usize = 6;
const NEAR: f64 = 0.1;
const REST: f64 = 1e-9;
/// Most rows in the border.
const WIDEST: usize = 10;

impl Lines {
    fn of(core: &Core, netlist: &Netlist, pattern: &Pattern) -> Self {
        // The core's unknowns of numbered ones tell which is which, and which way a line points.
        let numbered: Vec<f64> = (0..pattern.size).map(|i| i as f64 + 1.0).collect();
        let found = core.gather(&numbered);
        let mut lines = Self {
            node: vec![None; pattern.nodes],
            joint: vec![None; pattern.nodes],
            item: vec![None; netlist.items.len()],
            branches: vec![Vec::new(); core.netlist.items.len()],
            extra: pattern.extra.clone(),
            unknown: found.iter().map(|n| (n.abs() as usize - 1, n.signum())).collect(),
            size: pattern.size,
        };
        for (place, &number) in found[..core.pattern.nodes].iter().enumerate() {
            lines.node[number as usize - 1] = Some(place);
        }
        let mut around: Vec<Vec<usize>> = vec![Vec::new(); pattern.nodes];
        for (index, item) in netlist.items.iter().enumerate() {
            if let Device::Branch { a, b, .. } = item.device {
                for v in [a, b] {
                    if lines.node[v].is_none() {
                        around[v].push(index);
                    }
                }
            }
        }
        for (place, item) in core.netlist.items.iter().enumerate() {
            let Device::Branch { .. } = item.device else { continue };
            let number = found[core.pattern.extra[place]];
            let unknown = number.abs() as usize - 1;
            let index = pattern.extra.partition_point(|&k| k <= unknown).saturating_sub(1);
            lines.walk(place, netlist, &around, index, number > 0.0);
        }
        lines
    }

    /// Follows the line of a core item from its first branch.
    fn walk(
        &mut self,
        place: usize,
        netlist: &Netlist,
        around: &[Vec<usize>],
        mut index: usize,
        mut along: bool,
    ) {
        while let Device::Branch { a, b, resistance_ohm, .. } = netlist.items[index].device {
            let to = if along { b } else { a };
            let count = self.branches[place].len();
            self.item[index] = Some((place, count));
            self.branches[place].push((index, along, to, resistance_ohm));
            if self.node[to].is_some() {
                break;
            }
            self.joint[to] = Some((place, count + 1));
            let Some(&next) = around[to].iter().find(|&&i| i != index) else { break };
            let Device::Branch { a, .. } = netlist.items[next].device else { break };
            (index, along) = (next, a == to);
            if self.item[index].is_some() {
                break;
            }
        }
    }
}

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

    /// Whether a current that leaves one place can come back at the other.
    fn joined(&self, a: Place, b: Place) -> bool {
        let node = |place: Place| match place {
            Place::Node(v) => Some(v),
            Place::Along(item, _) => {
                let (line, at) = self.whole.item.get(item).copied().flatten()?;
                self.whole.branches[line].get(at).map(|b| b.2)
            }
        };
        match (node(a), node(b)) {
            (Some(a), Some(b)) => {
                self.fed.nodes[a] && self.fed.nodes[b] && self.fed.part[a] == self.fed.part[b]
            }
            _ => false,
        }
    }

    fn port(&self, place: Place) -> Option<Port> {
        let (line, before) = match place {
            Place::Node(v) => match (self.whole.node[v], self.whole.joint[v]) {
                (Some(node), _) => {
                    let draw = if self.held[node] { Vec::new() } else { vec![(node, 1.0)] };
                    return Some(Port { draw, sense: vec![(node, 1.0)], along: None });
                }
                (None, Some((line, count))) => {
                    (line, self.whole.branches[line][..count].iter().map(|b| b.3).sum())
                }
                (None, None) => return None,
            },
            Place::Along(item, share) => {
                let (line, at) = self.whole.item.get(item).copied().flatten()?;
                let branches = &self.whole.branches[line];
                let &(_, along, _, ohms) = branches.get(at)?;
                let first: f64 = branches[..at].iter().map(|b| b.3).sum();
                (line, first + ohms * if along { share } else { 1.0 - share })
            }
        };
        let Device::Branch { a, b, resistance_ohm, .. } = self.netlist.items[line].device else {
            return None;
        };
        let k = self.core.pattern.extra[line];
        let mut draw = vec![(k, resistance_ohm - before)];
        if !self.held[b] {
            draw.push((b, 1.0));
        }
        Some(Port { draw, sense: vec![(a, 1.0), (k, -before)], along: Some((line, before)) })
    }

    /// Solves the network with two places joined by a resistance. `None` when nothing else joins them,
    /// so that no current flows.
    ///
    /// # Errors
    /// [`Failure`] when Newton's method does not settle.
    pub fn short(&mut self, a: Place, b: Place, ohms: f64) -> Option<Result<Shorted, Failure>> {
        let border = self.border(a, b, ohms)?;
        let (from, to) = (self.port(a)?.along, self.port(b)?.along);
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
            point: self.spread(&x, &[(from, current), (to, -current)]),
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
            let step = Border { ohms, ..border.clone() };
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

    /// Switches off the loads whose voltage is too low for them. Whether there are new ones.
    fn shed(&mut self, x: &[f64], shed: &mut Vec<usize>) -> bool {
        let before = shed.len();
        for (at, load) in self.loads.iter().enumerate() {
            if x[load.nodes.0] - x[load.nodes.1] < OFF * load.nominal && !shed.contains(&at) {
                shed.push(at);
            }
        }
        for &at in &shed[before..] {
            self.set_load(at, 0.0);
        }
        shed.len() > before
    }

    fn set_load(&mut self, at: usize, amperes: f64) {
        if let Device::Load { current_a, .. } = &mut self.netlist.items[self.loads[at].core].device {
            *current_a = amperes;
        }
    }

    /// What a short adds; `None` when nothing else joins the places.
    fn border(&self, a: Place, b: Place, ohms: f64) -> Option<Border> {
        let (p, q) = (self.port(a)?, self.port(b)?);
        if !self.joined(a, b) {
            return None;
        }
        let mut border = Border::default();
        border.u.extend(p.draw.iter().copied());
        border.u.extend(q.draw.iter().map(|&(row, value)| (row, -value)));
        border.w.extend(p.sense.iter().copied());
        border.w.extend(q.sense.iter().map(|&(column, value)| (column, -value)));
        border.ohms = ohms;
        if let (Some((one, from)), Some((other, to))) = (p.along, q.along)
            && one == other
        {
            border.ohms += (from - to).abs();
        }
        Some(border)
    }

    /// What the short would be if every element kept its slope: the first step of [`Self::short`], enough
    /// to see which rails fall.
    pub fn first_step(&mut self, a: Place, b: Place, ohms: f64) -> Option<Point> {
        let border = self.border(a, b, ohms)?;
        let (x, ..) = self.linear(&border);
        Some(self.spread(&x, &[]))
    }

    /// The solution if every element kept its slope, with what a unit of current changes and the stiffness
    /// against it.
    fn linear(&mut self, border: &Border) -> Start {
        let mut z_u = vec![0.0; self.x.len()];
        border.u.iter().for_each(|&(row, value)| z_u[row] += value);
        self.factors.solve(&self.core.order, &mut z_u);
        let stiff = dot(&border.w, &z_u) + border.ohms;
        let current = dot(&border.w, &self.x) / stiff;
        let x = self.x.iter().zip(&z_u).map(|(x, z)| x - z * current).collect();
        (x, current, z_u, stiff)
    }

    fn newton(&mut self, border: &Border, (start, current, z_u, stiff): &Start) -> Solved {
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

    /// Steps with the matrix factored anew each time, until voltages rest.
    fn polish(
        &mut self,
        border: &Border,
        x: &mut [f64],
        current: &mut f64,
        f: &mut [f64],
    ) -> Result<(), Failure> {
        let core = self.core;
        let mut values = vec![0.0; self.values.len()];
        let mut last = NEAR;
        for _ in 0..POLISH {
            let at = (&*x, self.fraction);
            core.pattern.fill(&self.netlist, at, &self.held, &core.entries, f, &mut values);
            border.u.iter().for_each(|&(row, value)| f[row] += value * *current);
            let gap = dot(&border.w, x) - border.ohms * *current;
            let step = self.refactored(border, f, gap, &values)?;
            let moved = f[..core.pattern.nodes].iter().fold(0.0, |m: f64, d| m.max(d.abs()));
            // A step that leads away is not taken.
            if moved > last {
                break;
            }
            x.iter_mut().zip(&*f).for_each(|(x, d)| *x -= d);
            *current += step;
            if moved < REST {
                break;
            }
            last = moved;
        }
        Ok(())
    }

    /// A step with the rows in the border whose numbers changed. Replaces `f` by what to take from the
    /// unknowns, and gives what to add to the current; `None` when there are too many.
    fn wider(
        &mut self,
        border: &Border,
        z_u: &[f64],
        f: &mut [f64],
        gap: f64,
        values: &[f64],
    ) -> Option<f64> {
        let changed = self.changed(values);
        if changed.len() > WIDEST {
            return None;
        }
        for &row in changed.keys() {
            if !self.unit.contains_key(&row) {
                let mut z = vec![0.0; self.x.len()];
                z[row] = 1.0;
                self.factors.solve(&self.core.order, &mut z);
                self.unit.insert(row, z);
            }
        }
        self.factors.solve(&self.core.order, f);
        let columns: Vec<&[f64]> = std::iter::once(z_u)
            .chain(changed.keys().filter_map(|row| self.unit.get(row)).map(Vec::as_slice))
            .collect();
        let m = columns.len();
        let mut matrix = vec![0.0; m * m];
        let mut right = vec![0.0; m];
        right[0] = gap - dot(&border.w, f);
        for (c, column) in columns.iter().enumerate() {
            matrix[c] = dot(&border.w, column);
        }
        matrix[0] += border.ohms;
        for (r, delta) in changed.values().enumerate() {
            right[r + 1] = -dot(delta, f);
            for (c, column) in columns.iter().enumerate() {
                matrix[(r + 1) * m + c] = dot(delta, column);
            }
            matrix[(r + 1) * m + r + 1] += 1.0;
        }
        solve_dense(&mut matrix, &mut right)?;
        for (column, &by) in columns.iter().zip(&right) {
            f.iter_mut().zip(*column).for_each(|(f, z)| *f += z * by);
        }
        Some(right[0])
    }

    /// Rows whose numbers are no longer those that were factored, with the differences.
    fn changed(&self, values: &[f64]) -> BTreeMap<usize, Vec<(usize, f64)>> {
        let mut rows: BTreeMap<usize, Vec<(usize, f64)>> = BTreeMap::new();
        let layout = self.core.entries.layout.as_ref();
        for column in 0..self.x.len() {
            for at in layout.col_range(column) {
                let by = values[at] - self.values[at];
                if by != 0.0 {
                    rows.entry(layout.row_idx()[at]).or_default().push((column, by));
                }
            }
        }
        rows
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

    /// The whole network's unknowns, with the current drawn along its lines.
    fn spread(&self, x: &[f64], drawn: &[(Option<(usize, f64)>, f64)]) -> Point {
        let mut whole = vec![0.0; self.whole.size];
        for (&(unknown, sign), value) in self.whole.unknown.iter().zip(x) {
            whole[unknown] = sign * value;
        }
        for (line, branches) in self.whole.branches.iter().enumerate() {
            let Device::Branch { a, .. } = self.netlist.items[line].device else { continue };
            if branches.len() < 2 && drawn.iter().all(|d| d.0.is_none_or(|(at, _)| at != line)) {
                continue;
            }
            let (mut v, mut before) = (x[a], 0.0);
            let first = x[self.core.pattern.extra[line]];
            // What was drawn up to a place on the line no longer flows behind it.
            let at = |place: f64, last: bool| {
                let up_to = |p: f64| p < place || (last && p == place);
                let gone = drawn.iter().filter(|d| d.0.is_some_and(|(l, p)| l == line && up_to(p)));
                first - gone.map(|d| d.1).sum::<f64>()
            };
            for &(index, along, to, ohms) in branches {
                let after = before + ohms;
                let (enters, leaves) = (at(before, true), at(after, false));
                let i = if leaves.abs() > enters.abs() { leaves } else { enters };
                whole[self.whole.extra[index]] = if along { i } else { -i };
                if self.whole.node[to].is_none() {
                    let inside = drawn.iter().filter_map(|d| {
                        let (l, p) = d.0.filter(|&(l, p)| l == line && p > before && p < after)?;
                        (l == line).then_some((after - p) * d.1)
                    });
                    v -= ohms * enters - inside.sum::<f64>();
                    whole[to] = v;
                }
                before = after;
            }
        }
        Point { x: whole, fraction: self.fraction }
    }
}

/// Unknowns, current, steps, and whether the matrix was factored again.
type Solved = Result<(Vec<f64>, f64, usize, bool), Failure>;

/// Unknowns and current of the linear network, what a unit of current changes, and the stiffness against it.
type Start = (Vec<f64>, f64, Vec<f64>, f64);

/// The loads that take current. Both networks hold them in the same order.
fn loads(core: &Netlist, whole: &Netlist) -> Vec<LoadPlace> {
    let of = |netlist: &Netlist| -> Vec<usize> {
        let items = netlist.items.iter().enumerate();
        items.filter(|(_, i)| matches!(i.device, Device::Load { .. })).map(|(at, _)| at).collect()
    };
    let both = of(core).into_iter().zip(of(whole));
    both.filter_map(|(small, large)| match core.items[small].device {
        Device::Load { a, b, nominal_v, current_a, .. }
            if core.items[small].active && current_a > 0.0 =>
        {
            let nodes = (a, b);
            Some(LoadPlace { core: small, whole: large, nodes, nominal: nominal_v, current: current_a })
        }
        _ => None,
    })
    .collect()
}

/// What a short adds to the network.
#[derive(Clone, Debug, Default)]
struct Border {
    /// Rows its current changes.
    u: Vec<(usize, f64)>,
    /// What tells the voltage across it.
    w: Vec<(usize, f64)>,
    ohms: f64,
}

fn dot(sparse: &[(usize, f64)], x: &[f64]) -> f64 {
    sparse.iter().map(|&(at, value)| value * x[at]).sum()
}

/// Gaussian elimination with the largest pivot of each column; `None` where there is none.
fn solve_dense(matrix: &mut [f64], right: &mut [f64]) -> Option<()> {
    let n = right.len();
    for k in 0..n {
        let size = |r: &usize| matrix[r * n + k].abs();
        let pivot = (k..n).max_by(|r, s| size(r).total_cmp(&size(s)))?;
        if matrix[pivot * n + k] == 0.0 {
            return None;
        }
        if pivot != k {
            for c in 0..n {
                matrix.swap(k * n + c, pivot * n + c);
            }
            right.swap(k, pivot);
        }
        for r in k + 1..n {
            let by = matrix[r * n + k] / matrix[k * n + k];
            if by != 0.0 {
                for c in k..n {
                    matrix[r * n + c] -= by * matrix[k * n + c];
                }
                right[r] -= by * right[k];
            }
        }
    }
    for k in (0..n).rev() {
        let known: f64 = (k + 1..n).map(|c| matrix[k * n + c] * right[c]).sum();
        right[k] = (right[k] - known) / matrix[k * n + k];
    }
    Some(())
}

#[cfg(test)]
#[path = "sweep_tests.rs"]
mod tests;
