//! One situation with everything that shorts need: its operating point factored once, and once more for
//! every set of parts that drops out.

use crate::circuit::Circuit;
use crate::circuit::values::{Level, Ready, window};
use crate::netlist::Device;
use crate::operate::{Solution, elements, from_nothing, item_current};
use crate::solver::sweep::{Place, Shorted, Sweep};
use crate::solver::{Point, Solver, guess, solve, solve_close};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{PartId, Robot, Situation, SituationId};
use std::collections::{BTreeMap, BTreeSet};

/// Resistance of the short itself: bolted metal. Anything more only makes the current smaller.
pub const JOINT_OHMS: f64 = 1e-3;
/// A diode that blocked conducts when it stands this much forward.
const CONDUCTS: f64 = 0.1;
/// Most changes of state that are followed.
const ROUNDS: usize = 8;

/// What was switched off or freed by a short: items.
type Key = (BTreeSet<usize>, BTreeSet<usize>);

/// One situation at one state of charge.
pub struct Bases<'c> {
    circuit: &'c Circuit,
    robot: &'c Robot,
    /// The situation.
    pub id: SituationId,
    situation: Situation,
    ohms: Vec<f64>,
    /// Before any short.
    pub solution: Solution,
    factored: BTreeMap<Key, Option<Base<'c>>>,
}

struct Base<'c> {
    ready: Ready,
    sweep: Sweep<'c>,
}

/// A short with the states it leaves.
pub struct Solved {
    /// Current and unknowns.
    pub short: Shorted,
    /// Which items are active.
    pub active: Vec<bool>,
    /// What dropped out and what was freed.
    key: Key,
}

impl<'c> Bases<'c> {
    /// Solves the situation.
    pub fn of(
        circuit: &'c Circuit,
        robot: &'c Robot,
        id: SituationId,
        situation: Situation,
        ohms: Vec<f64>,
    ) -> Self {
        let solution = from_nothing(circuit, robot, &situation, Level::Mean, &ohms);
        Self { circuit, robot, id, situation, ohms, solution, factored: BTreeMap::new() }
    }

    /// Voltage between two places before the short; `None` when nothing joins them.
    pub fn before(&mut self, a: Place, b: Place) -> Option<f64> {
        self.base(&Key::default())?.sweep.across(a, b)
    }

    /// Solves a short. `None` when no current can flow, or nothing was found.
    pub fn short(&mut self, a: Place, b: Place) -> Option<Solved> {
        // What falls far below its window drops out before anything is solved in earnest. A converter whose
        // own output is shorted only seems to fall: without it its supply stands, and it is taken back.
        let none = Key::default();
        let estimate = self.base(&none)?.sweep.first_step(a, b, JOINT_OHMS)?;
        let off = self.dropped(&none, &estimate, 0.6);
        if !off.is_empty()
            && let Some(solved) = self.settled(a, b, (off.clone(), BTreeSet::new()))
            && self.dropped(&none, &solved.short.point, 1.0).is_superset(&off)
        {
            return Some(solved);
        }
        if let Some(solved) = self.settled(a, b, none.clone()) {
            return Some(solved);
        }
        // Some find no rest: they drop out, their supply recovers, they start again. They count as off.
        [0.6, 0.9, 1.2].into_iter().find_map(|share| {
            let off = self.dropped(&none, &estimate, share);
            self.settled(a, b, (off, BTreeSet::new()))
        })
    }

    /// Solves until no part changes its state any more.
    fn settled(&mut self, a: Place, b: Place, mut key: Key) -> Option<Solved> {
        for _ in 0..ROUNDS {
            let base = self.base(&key)?;
            let short = base.sweep.short(a, b, JOINT_OHMS)?.ok()?;
            let off = self.dropped(&key, &short.point, 1.0);
            let free = self.freed(&key, &short.point);
            if off.is_subset(&key.0) && free.is_subset(&key.1) {
                let active = self.base(&key)?.ready.netlist.items.iter().map(|i| i.active).collect();
                return Some(Solved { short, active, key });
            }
            key.0.extend(off);
            key.1.extend(free);
        }
        None
    }

    /// Converters and drivers whose supply falls below this share of their window.
    fn dropped(&self, key: &Key, point: &Point, share: f64) -> BTreeSet<usize> {
        let fed = &self.solution.ready.fed;
        elements(self.circuit)
            .filter(|&(_, _, item)| self.solution.states.running[item] && !key.0.contains(&item))
            .filter_map(|(part, e, item)| {
                let kind = &self.robot.type_of(part).elements[e].kind;
                let (plus, minus, low, _) = window(self.circuit, part, kind)?;
                let v = point.x[plus] - point.x[minus];
                (fed.nodes[plus] && v < share * low).then_some(item)
            })
            .collect()
    }

    /// Diodes that blocked and now stand forward.
    fn freed(&self, key: &Key, point: &Point) -> BTreeSet<usize> {
        let fed = &self.solution.ready.fed;
        let items = self.solution.ready.netlist.items.iter().enumerate();
        items
            .filter_map(|(index, item)| match item.device {
                Device::Diode { a, b, .. }
                    if self.solution.states.blocking[index]
                        && !key.1.contains(&index)
                        && fed.nodes[a]
                        && fed.part[a] == fed.part[b]
                        && point.x[a] - point.x[b] > CONDUCTS =>
                {
                    Some(index)
                }
                _ => None,
            })
            .collect()
    }

    fn base(&mut self, key: &Key) -> Option<&mut Base<'c>> {
        if !self.factored.contains_key(key) {
            let made = self.made(key);
            self.factored.insert(key.clone(), made);
        }
        self.factored.get_mut(key)?.as_mut()
    }

    /// The operating point with some parts off, factored.
    fn made(&self, key: &Key) -> Option<Base<'c>> {
        let circuit = self.circuit;
        let (ready, point) = if key.0.is_empty() && key.1.is_empty() {
            (self.solution.ready.clone(), self.solution.point.clone())
        } else {
            let mut states = self.solution.states.clone();
            key.0.iter().for_each(|&item| states.running[item] = false);
            for &item in &key.1 {
                (states.blocking[item], states.conducting[item]) = (false, true);
            }
            let ready = circuit.ready(self.robot, &self.situation, Level::Mean, &states, &self.ohms);
            let solver = Solver::of(&circuit.core, &ready.netlist, &ready.fed.references);
            let fraction = self.solution.point.fraction;
            let near = &self.solution.point;
            let point = solve_close(&solver, &ready.netlist, near, fraction).ok().or_else(|| {
                let start = guess(&ready.netlist, &circuit.pattern, &ready.fed);
                solve(&solver, &ready.netlist, &start, fraction).ok()
            })?;
            (ready, point)
        };
        let sweep =
            Sweep::of(&circuit.core, &circuit.pattern, &ready.netlist, &ready.fed, &point).ok()?;
        Some(Base { ready, sweep })
    }

    /// The network in which a short was solved, with its unknowns, but for what joins its places.
    pub fn solution(&mut self, solved: &Solved) -> Option<Solution> {
        let mut ready = self.base(&solved.key)?.ready.clone();
        for &item in &solved.short.shed {
            if let Device::Load { current_a, .. } = &mut ready.netlist.items[item].device {
                *current_a = 0.0;
            }
        }
        let (states, point) = (self.solution.states.clone(), solved.short.point.clone());
        Some(Solution { ready, states, point, end: None })
    }

    /// Contactors whose coil falls below what holds them.
    pub fn lets_go(&self, solved: &Solved) -> Vec<PartId> {
        let x = &solved.short.point.x;
        let pulled = &self.solution.states.pulled;
        elements(self.circuit)
            .filter_map(|(part, e, item)| match &self.robot.type_of(part).elements[e].kind {
                ElementKind::Contactor(c) if pulled[item] => {
                    let at = |n| x[self.circuit.local(part, n)];
                    ((at(c.coil_plus) - at(c.coil_minus)).abs() < c.drop_out.0).then_some(part)
                }
                _ => None,
            })
            .collect()
    }

    /// How much the short changes the current of an item.
    pub fn change(&self, solved: &Solved, item: usize) -> f64 {
        let before = item_current(self.circuit, &self.solution, item);
        (self.current(solved, item) - before).abs()
    }

    /// Current of an item in a short, from `a` to `b`.
    pub fn current(&self, solved: &Solved, item: usize) -> f64 {
        let netlist = &self.solution.ready.netlist;
        if !solved.active[item] {
            return 0.0;
        }
        let at = self.circuit.pattern.extra[item];
        let point = &solved.short.point;
        crate::solver::current(&netlist.items[item].device, at, &point.x, point.fraction)
    }
}
