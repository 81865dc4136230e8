//! Turns the solutions of a situation into its results.

mod landings;
mod parts;
mod warmth;
mod ways;

pub use landings::Landings;
pub use warmth::finish_short;

use crate::circuit::Circuit;
use crate::heat::robot::Wires;
use crate::heat::wire;
use crate::netlist::Device;
use crate::operate::{Operated, Solution, Stop, elements, item_current, wire_currents};
use crate::results::*;
use crate::solver;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::*;
use loomdeck_model::{PartId, Robot, Situation, SituationId, WireId};
use std::collections::BTreeMap;

/// One situation being reported.
struct Report<'a> {
    robot: &'a Robot,
    circuit: &'a Circuit,
    landings: &'a Landings,
    situation: &'a Situation,
    at: &'a Operated,
    /// Voltage to take off each node so that the lowest battery pole of its part is zero.
    zero: Vec<f64>,
}

/// Reports a situation. Temperatures of situations that do not last are completed by
/// [`finish_short`] when all are known.
pub fn report(
    robot: &Robot,
    circuit: &Circuit,
    landings: &Landings,
    wires: &Wires,
    id: SituationId,
    at: &Operated,
) -> SituationResult {
    let situation = &robot.situations[id.0];
    let zero = zero_of(circuit, robot, &at.mean);
    let report = Report { robot, circuit, landings, situation, at, zero };
    let wire_results = report.wires(wires);
    let (balance_w, turnover_w) = balance(circuit, &at.mean);
    SituationResult {
        situation: id,
        outcome: outcome(circuit, robot, &at.mean),
        peak_outcome: outcome(circuit, robot, &at.peak),
        terminals: report.terminals(&wire_results),
        parts: report.parts(),
        contacts: report.contacts(),
        unfed: report.unfed(),
        drops: report.drops(),
        wires: wire_results,
        balance_w,
        turnover_w,
    }
}

fn outcome(circuit: &Circuit, robot: &Robot, solution: &Solution) -> Outcome {
    match &solution.end {
        None => Outcome::Solved,
        Some(Stop::Ends(item, how)) => Outcome::Ends {
            fraction: solution.point.fraction,
            part: item.and_then(|i| circuit.element_of(i)).map(|(part, _)| part),
            how: *how,
        },
        Some(Stop::Chatters(item)) => {
            Outcome::Chatters { part: circuit.element_of(*item).map_or(PartId(0), |(part, _)| part) }
        }
        Some(Stop::Unsolved(unknown)) => {
            let nodes = &circuit.template.nodes;
            let at = nodes.get(*unknown).cloned().unwrap_or_else(|| {
                let item = circuit.pattern.extra.partition_point(|&k| k <= *unknown).saturating_sub(1);
                circuit.template.items.get(item).map_or_else(|| robot.name.clone(), |i| i.name.clone())
            });
            Outcome::Unsolved { at }
        }
    }
}

/// Sum of all powers, and of those that are given.
pub fn balance(circuit: &Circuit, solution: &Solution) -> (f64, f64) {
    let mut sum = 0.0;
    let mut given = 0.0;
    for (index, item) in solution.ready.netlist.items.iter().enumerate().filter(|(_, i)| i.active) {
        let k = circuit.pattern.extra[index];
        let p = solver::power(&item.device, k, &solution.point.x, solution.point.fraction);
        sum += p;
        given += (-p).max(0.0);
    }
    (sum, given)
}

fn zero_of(circuit: &Circuit, robot: &Robot, solution: &Solution) -> Vec<f64> {
    let fed = &solution.ready.fed;
    let mut lowest: BTreeMap<usize, f64> = BTreeMap::new();
    for (part, e, _) in elements(circuit) {
        if let ElementKind::Battery(b) = &robot.type_of(part).elements[e].kind {
            let node = circuit.local(part, b.minus);
            let low = lowest.entry(fed.part[node]).or_insert(f64::INFINITY);
            *low = low.min(solution.point.x[node]);
        }
    }
    (0..circuit.pattern.nodes).map(|v| lowest.get(&fed.part[v]).copied().unwrap_or(0.0)).collect()
}

impl Report<'_> {
    fn v(&self, solution: &Solution, plus: usize, minus: usize) -> Volts {
        Volts(solution.point.x[plus] - solution.point.x[minus])
    }

    fn current(&self, solution: &Solution, item: usize) -> Amperes {
        Amperes(item_current(self.circuit, solution, item))
    }

    fn wires(&self, wires: &Wires) -> Vec<WireResult> {
        let (mean, rms, peak) = (&self.at.mean, &self.at.rms, &self.at.peak);
        let (i, i_rms, i_peak) = (
            wire_currents(self.circuit, mean),
            wire_currents(self.circuit, rms),
            wire_currents(self.circuit, peak),
        );
        (0..self.robot.wires.len())
            .map(|w| {
                let Device::Branch { a, b, .. } =
                    mean.ready.netlist.items[self.circuit.wire_item[w]].device
                else {
                    unreachable!("wires are branches")
                };
                let settled = self.at.settled[w];
                let air = self.at.air[w];
                let conductor = &wires.conductors[w];
                let hot = settled.map_or(wire::HOTTEST, |s| s.inside);
                WireResult {
                    wire: WireId(w),
                    fed: mean.ready.fed.nodes[a],
                    current: Amperes(i[w]),
                    rms: Amperes(i_rms[w].abs()),
                    peak: Amperes(if i_peak[w].abs() > i[w].abs() { i_peak[w] } else { i[w] }),
                    drop: self.v(mean, a, b),
                    resistance: Ohms(self.at.ohms[w]),
                    power: Watts(i_rms[w] * i_rms[w] * self.at.ohms[w]),
                    temperature: settled.map(|s| Celsius(s.inside)),
                    settled: settled.map(|s| Celsius(s.inside)),
                    surface: settled.map(|s| Celsius(s.surface)),
                    ambient: Celsius(air),
                    time_constant: Seconds(wire::time_constant(conductor, i_rms[w], air, hot)),
                    bundled: wires.bundled(WireId(w)),
                }
            })
            .collect()
    }

    fn terminals(&self, wires: &[WireResult]) -> Vec<TerminalResult> {
        let mut on = vec![0.0; self.landings.all.len()];
        for (result, [from, to]) in wires.iter().zip(&self.landings.ends) {
            on[*from] += result.current.0;
            on[*to] -= result.current.0;
        }
        let mean = &self.at.mean;
        let each = self.landings.all.iter().zip(on);
        each.map(|((landing, node, name), current)| TerminalResult {
            landing: *landing,
            name: name.clone(),
            voltage: mean.ready.fed.nodes[*node].then(|| Volts(mean.point.x[*node] - self.zero[*node])),
            current: Amperes(current),
            temperature: None,
        })
        .collect()
    }

    fn contacts(&self) -> Vec<ContactResult> {
        self.circuit
            .contact_item
            .iter()
            .filter(|(_, item)| self.at.mean.ready.netlist.items[**item].active)
            .map(|(&(plug, contact), &item)| ContactResult {
                plug,
                contact,
                current: self.current(&self.at.mean, item),
                rms: self.current(&self.at.rms, item).abs(),
            })
            .collect()
    }
}
