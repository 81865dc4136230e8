//! Turns the solutions of a situation into its results.

use crate::circuit::motors::Wish;
use crate::circuit::values::{MotorNote, activity};
use crate::circuit::{CHANNEL_ITEMS, Circuit};
use crate::heat::robot::Wires;
use crate::heat::wire;
use crate::netlist::{Device, Duty};
use crate::operate::{Operated, Solution, Stop, elements, item_current, wire_currents};
use crate::paths::Finder;
use crate::results::*;
use crate::solver;
use loomdeck_model::element::{Driver, ElementKind, Motor};
use loomdeck_model::part_type::NoiseClass;
use loomdeck_model::units::*;
use loomdeck_model::{Half, Landing, PartId, Robot, Situation, SituationId, WireId};
use std::collections::BTreeMap;

/// One situation being reported.
struct Report<'a> {
    robot: &'a Robot,
    circuit: &'a Circuit,
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
    wires: &Wires,
    id: SituationId,
    at: &Operated,
) -> SituationResult {
    let situation = &robot.situations[id.0];
    let zero = zero_of(circuit, robot, &at.mean);
    let report = Report { robot, circuit, situation, at, zero };
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
        let mut on: BTreeMap<Landing, f64> = BTreeMap::new();
        for (wire, result) in self.robot.wires.iter().zip(wires) {
            for (landing, sign) in [(wire.from, 1.0), (wire.to, -1.0)] {
                *on.entry(landing).or_insert(0.0) += sign * result.current.0;
            }
        }
        let mut all: Vec<Landing> = Vec::new();
        for part in 0..self.robot.parts.len() {
            let part = PartId(part);
            all.extend(
                (0..self.robot.type_of(part).terminals.len())
                    .map(|terminal| Landing::Part { part, terminal }),
            );
        }
        for &(plug, contact) in self.circuit.contact_node.keys() {
            all.extend([Half::Board, Half::Body].map(|half| Landing::Plug { plug, half, contact }));
        }
        let mean = &self.at.mean;
        all.into_iter()
            .map(|landing| {
                let node = self.circuit.node(self.robot, landing);
                TerminalResult {
                    landing,
                    name: self.robot.landing_word(landing),
                    voltage: mean.ready.fed.nodes[node]
                        .then(|| Volts(mean.point.x[node] - self.zero[node])),
                    current: Amperes(on.get(&landing).copied().unwrap_or(0.0)),
                    temperature: None,
                }
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

    fn parts(&self) -> Vec<PartResult> {
        (0..self.robot.parts.len()).map(|p| self.part(PartId(p))).collect()
    }

    fn part(&self, part: PartId) -> PartResult {
        let kind = self.robot.type_of(part);
        let firsts = &self.circuit.element_item[part.0];
        let mean = &self.at.mean;
        let mut power = 0.0;
        for item in firsts[0]..*firsts.last().unwrap_or(&firsts[0]) {
            if mean.ready.netlist.items[item].active {
                let k = self.circuit.pattern.extra[item];
                power += solver::power(
                    &mean.ready.netlist.items[item].device,
                    k,
                    &mean.point.x,
                    mean.point.fraction,
                );
            }
        }
        let elements: Vec<ElementResult> =
            (0..kind.elements.len()).map(|e| self.element(part, e, firsts[e])).collect();
        let (mut out, mut work, mut heat) = (0.0, 0.0, 0.0);
        for (element, result) in kind.elements.iter().zip(&elements) {
            match (result, &element.kind) {
                (ElementResult::Battery { current, voltage, .. }, ElementKind::Battery(b)) => {
                    out += (voltage.0 * current.0).max(0.0);
                    heat += current.0 * current.0 * b.resistance.0;
                }
                (ElementResult::Converter { output_voltage, output_current, .. }, _) => {
                    out += output_voltage.0 * output_current.0;
                }
                (ElementResult::Charger { voltage, current, .. }, _) => out += voltage.0 * current.0,
                (ElementResult::Motor { turning_rpm, torque, .. }, _) => {
                    work += torque.0 * turning_rpm * std::f64::consts::TAU / 60.0;
                }
                _ => {}
            }
        }
        let stores = kind
            .elements
            .iter()
            .any(|e| matches!(e.kind, ElementKind::Battery(_) | ElementKind::Charger(_)));
        if !stores {
            heat = power - work;
        }
        PartResult {
            part,
            power: Watts(power),
            power_out: Watts(out),
            work: Watts(work),
            heat: Watts(heat),
            elements,
        }
    }

    fn element(&self, part: PartId, e: usize, item: usize) -> ElementResult {
        let at = |n| self.circuit.local(part, n);
        let (mean, rms, peak) = (&self.at.mean, &self.at.rms, &self.at.peak);
        let fed = |node: usize| mean.ready.fed.nodes[node];
        let path = |a: usize, b: usize, item: usize| ElementResult::Path {
            current: self.current(mean, item),
            rms: self.current(rms, item).abs(),
            peak: self.current(peak, item),
            voltage: self.v(mean, a, b),
            closed: mean.ready.netlist.items[item].active,
        };
        let carries = |item: usize| mean.ready.fed.carries[item];
        match &self.robot.type_of(part).elements[e].kind {
            ElementKind::Battery(b) => ElementResult::Battery {
                current: self.current(mean, item),
                peak: self.current(peak, item),
                voltage: self.v(mean, at(b.plus), at(b.minus)),
                charge: self.situation.charge,
            },
            ElementKind::Switch(s) => path(at(s.a), at(s.b), item),
            ElementKind::FuseWay(s) => path(at(s.a), at(s.b), item),
            ElementKind::Resistor(s) => path(at(s.a), at(s.b), item),
            ElementKind::Protection(s) => path(at(s.a), at(s.b), item),
            ElementKind::Contactor(c) => ElementResult::Contactor {
                current: self.current(mean, item + 1),
                rms: self.current(rms, item + 1).abs(),
                coil_voltage: self.v(mean, at(c.coil_plus), at(c.coil_minus)),
                closed: mean.ready.netlist.items[item + 1].active,
            },
            ElementKind::Diode(d) => ElementResult::Diode {
                current: self.current(mean, item),
                voltage: self.v(mean, at(d.anode), at(d.cathode)),
            },
            ElementKind::Capacitor(c) if fed(at(c.plus)) => {
                ElementResult::Capacitor { voltage: self.v(mean, at(c.plus), at(c.minus)) }
            }
            ElementKind::Bus(b) if fed(at(b.node)) => ElementResult::Bus {
                voltage: Volts(mean.point.x[at(b.node)] - self.zero[at(b.node)]),
                current: self.through_node(part, at(b.node), mean),
                rms: self.through_node(part, at(b.node), rms),
            },
            ElementKind::SlipRing(s) => ElementResult::SlipRing {
                currents: (0..s.circuits.len()).map(|c| self.current(mean, item + c)).collect(),
                rms: (0..s.circuits.len()).map(|c| self.current(rms, item + c).abs()).collect(),
            },
            ElementKind::Load(load) if carries(item) => ElementResult::Load {
                voltage: self.v(mean, at(load.plus), at(load.minus)),
                current: self.current(mean, item),
                rms: self.current(rms, item),
                peak_voltage: self.v(peak, at(load.plus), at(load.minus)),
                peak: self.current(peak, item),
                activity: activity(self.situation, part, load)
                    .map_or_else(String::new, |a| a.name.clone()),
            },
            ElementKind::Meter(m) if carries(item) => ElementResult::Meter {
                voltage: self.v(mean, at(m.plus), at(m.minus)),
                current: self.current(mean, item),
            },
            ElementKind::Charger(c) if mean.ready.netlist.items[item].active => {
                let current = self.current(mean, item);
                ElementResult::Charger {
                    voltage: self.v(mean, at(c.plus), at(c.minus)),
                    current,
                    at_current_limit: current.0 >= c.current.0 * 0.999,
                }
            }
            ElementKind::Converter(c)
                if fed(at(c.in_plus))
                    && mean.ready.fed.part[at(c.in_plus)] == mean.ready.fed.part[at(c.in_minus)] =>
            {
                self.converter(part, item)
            }
            ElementKind::Driver(d) if fed(at(d.plus)) && fed(at(d.minus)) => self.driver(part, d, item),
            ElementKind::Motor(m) => self.motor(part, m, item),
            _ => ElementResult::Unfed,
        }
    }

    /// Half the sum of the currents of the wires and elements at a node.
    fn through_node(&self, part: PartId, node: usize, solution: &Solution) -> Amperes {
        let mut sum = 0.0;
        for (wire, &item) in self.robot.wires.iter().zip(&self.circuit.wire_item) {
            for end in [wire.from, wire.to] {
                if matches!(end, Landing::Part { part: p, .. } if p == part)
                    && self.circuit.node(self.robot, end) == node
                {
                    sum += solution.point.x[self.circuit.pattern.extra[item]].abs();
                }
            }
        }
        Amperes(sum / 2.0)
    }

    fn converter(&self, part: PartId, item: usize) -> ElementResult {
        let mean = &self.at.mean;
        let &Device::Converter {
            in_plus,
            in_minus,
            out_plus,
            out_minus,
            output_v,
            limit_a,
            ref loss,
            floor_v,
            ..
        } = &mean.ready.netlist.items[item].device
        else {
            return ElementResult::Unfed;
        };
        let _ = part;
        let on = mean.ready.netlist.items[item].active;
        let (v_in, v_out) = (self.v(mean, in_plus, in_minus), self.v(mean, out_plus, out_minus));
        let i = if on { self.current(mean, item) } else { Amperes(0.0) };
        let asked = v_out.0 * i.0 + solver::law::loss(loss, i.0).0;
        let state = if !on {
            ConverterState::Off
        } else if i.0 >= limit_a * (1.0 - 1e-9) {
            ConverterState::Limiting
        } else if v_out.0 < output_v * (1.0 - 1e-9) {
            ConverterState::Following
        } else {
            ConverterState::Regulating
        };
        ElementResult::Converter {
            input_voltage: v_in,
            input_current: Amperes(if on {
                solver::law::constant_power(asked, v_in.0, floor_v).0
            } else {
                0.0
            }),
            output_voltage: if on { v_out } else { Volts(0.0) },
            output_current: i,
            peak_output_current: self.current(&self.at.peak, item).max(i),
            state,
        }
    }

    fn driver(&self, part: PartId, d: &Driver, item: usize) -> ElementResult {
        let (mean, peak) = (&self.at.mean, &self.at.peak);
        let (plus, minus) = (self.circuit.local(part, d.plus), self.circuit.local(part, d.minus));
        let running = mean.states.running[item] && mean.ready.netlist.items[item].active;
        let mut supply = if running { self.current(mean, item).0 } else { 0.0 };
        let channels = d
            .channels
            .iter()
            .enumerate()
            .map(|(c, channel)| {
                let index = item + 1 + c * CHANNEL_ITEMS;
                let it = &mean.ready.netlist.items[index];
                let k = self.circuit.pattern.extra[index];
                let x = &mean.point.x;
                if !it.active {
                    let up: f64 = (1..=2).map(|o| self.current(mean, index + o).0).sum();
                    supply -= up;
                    // Out of `a`: what its lower diode brings less what its upper takes.
                    let out = self.current(mean, index + 3).0 - self.current(mean, index + 1).0;
                    return ChannelResult {
                        name: channel.name.clone(),
                        duty: None,
                        current: Amperes(out),
                        saturated: false,
                        limiting: false,
                    };
                }
                let (ia, ib, duty) = (x[k], x[k + 1], x[k + 2]);
                supply += duty.max(0.0) * ia - (-duty).max(0.0) * ib;
                let (saturated, limiting) = match it.device {
                    Device::Channel { duty: Duty::Find { .. }, .. } => (duty.abs() >= 1.0 - 1e-9, false),
                    Device::Channel { duty: Duty::Fixed { value, peak_a }, .. } => {
                        (false, duty.abs() < value.abs() - 1e-9 && ia.abs() >= peak_a * 0.999)
                    }
                    _ => (false, false),
                };
                ChannelResult {
                    name: channel.name.clone(),
                    duty: Some(duty),
                    current: Amperes(ia),
                    saturated,
                    limiting,
                }
            })
            .collect();
        ElementResult::Driver {
            voltage: self.v(mean, plus, minus),
            peak_voltage: self.v(peak, plus, minus),
            current: Amperes(supply),
            running,
            channels,
        }
    }

    fn motor(&self, part: PartId, m: &Motor, item: usize) -> ElementResult {
        let mean = &self.at.mean;
        let (a, b) = (self.circuit.local(part, m.a), self.circuit.local(part, m.b));
        let Some(note) = mean.ready.motors.iter().find(|n| n.item == item) else {
            return ElementResult::Unfed;
        };
        let turned = match note.wish {
            Wish::Off { turned } => turned,
            _ => 0.0,
        };
        if (!mean.ready.fed.carries[item] || !mean.ready.fed.nodes[a]) && turned == 0.0 {
            return ElementResult::Unfed;
        }
        let (v, i) = (self.v(mean, a, b), self.current(mean, item));
        motor_result(m, note, turned, v, i)
    }

    fn drops(&self) -> Vec<DropResult> {
        let mean = &self.at.mean;
        let netlist = &mean.ready.netlist;
        let mut finder = Finder::of(self.circuit, self.robot, netlist, |i| netlist.items[i].active);
        let mut wire_of = vec![None; netlist.items.len()];
        for (w, &item) in self.circuit.wire_item.iter().enumerate() {
            wire_of[item] = Some(WireId(w));
        }
        let limits = &self.robot.limits;
        let mut all = Vec::new();
        for (part, e, item) in elements(self.circuit) {
            let kind = self.robot.type_of(part);
            let at = |n| self.circuit.local(part, n);
            let (plus, minus) = match &kind.elements[e].kind {
                ElementKind::Load(l) => (at(l.plus), at(l.minus)),
                ElementKind::Converter(c) => (at(c.in_plus), at(c.in_minus)),
                ElementKind::Driver(d) => (at(d.plus), at(d.minus)),
                _ => continue,
            };
            if !netlist.items[item].active {
                continue;
            }
            let Some(feed) = finder.feed(plus, minus) else { continue };
            let source = self.v(mean, feed.source.plus, feed.minus);
            let at_part = self.v(mean, plus, minus);
            if source.0 <= 0.1 {
                continue;
            }
            let lost = |item: usize| {
                Volts((mean.point.x[self.circuit.pattern.extra[item]] * self.ohms(item)).abs())
            };
            let worst = feed
                .there
                .iter()
                .chain(&feed.back)
                .filter_map(|&i| wire_of[i].map(|w| (w, lost(i))))
                .fold(None, |best: Option<(WireId, Volts)>, next| match best {
                    Some(b) if b.1 >= next.1 => Some(b),
                    _ => Some(next),
                });
            let limit = match kind.noise {
                NoiseClass::Power => limits.drop_power,
                _ => limits.drop_quiet,
            };
            let wires = feed.there.iter().chain(&feed.back).filter_map(|&i| wire_of[i]).collect();
            all.push(DropResult {
                part,
                fed_by: feed.source.part,
                wires,
                source,
                at_part,
                fraction: (source - at_part) / source,
                limit,
                worst_wire: worst.map(|w| w.0),
                worst_drop: worst.map_or(Volts(0.0), |w| w.1),
            });
        }
        all
    }

    fn ohms(&self, item: usize) -> f64 {
        match self.at.mean.ready.netlist.items[item].device {
            Device::Branch { resistance_ohm, .. } => resistance_ohm,
            _ => 0.0,
        }
    }

    /// Consumers that want power and get none, by the piece of metal that nothing feeds.
    fn unfed(&self) -> Vec<UnfedIsland> {
        let mean = &self.at.mean;
        let fed = &mean.ready.fed;
        let mut islands: BTreeMap<usize, UnfedIsland> = BTreeMap::new();
        for (part, e, item) in elements(self.circuit) {
            let at = |n| self.circuit.local(part, n);
            let (plus, minus) = match &self.robot.type_of(part).elements[e].kind {
                ElementKind::Load(l)
                    if activity(self.situation, part, l).is_some_and(|a| a.mean.0 > 0.0) =>
                {
                    (at(l.plus), at(l.minus))
                }
                ElementKind::Converter(c) => (at(c.in_plus), at(c.in_minus)),
                ElementKind::Driver(d) => (at(d.plus), at(d.minus)),
                ElementKind::Motor(m)
                    if mean
                        .ready
                        .motors
                        .iter()
                        .any(|n| n.item == item && !matches!(n.wish, Wish::Off { .. })) =>
                {
                    (at(m.a), at(m.b))
                }
                _ => continue,
            };
            let in_window = fed.nodes[plus] && fed.nodes[minus] && fed.part[plus] == fed.part[minus];
            if fed.carries[item] && in_window {
                continue;
            }
            if in_window && !matches!(self.robot.type_of(part).elements[e].kind, ElementKind::Load(_)) {
                // It has voltage; that it does not run is another matter.
                continue;
            }
            let key = if fed.nodes[plus] { fed.part[minus] } else { fed.part[plus] };
            let island = islands
                .entry(key)
                .or_insert_with(|| UnfedIsland { parts: Vec::new(), landings: Vec::new() });
            if !island.parts.contains(&part) {
                island.parts.push(part);
            }
        }
        for wire in &self.robot.wires {
            for landing in [wire.from, wire.to] {
                let node = self.circuit.node(self.robot, landing);
                if let Some(island) = islands.get_mut(&fed.part[node])
                    && !fed.nodes[node]
                    && !island.landings.contains(&landing)
                {
                    island.landings.push(landing);
                }
            }
        }
        islands.into_values().collect()
    }
}

fn motor_result(m: &Motor, note: &MotorNote, turned: f64, v: Volts, i: Amperes) -> ElementResult {
    let to_output = 60.0 / std::f64::consts::TAU / m.gear_ratio;
    let emf = v.0 - i.0 * m.resistance.0;
    let held = note.beyond_peak || matches!(note.wish, Wish::Stalled { .. });
    let omega = if held {
        0.0
    } else if turned != 0.0 || matches!(note.wish, Wish::Off { .. }) {
        turned
    } else {
        emf / m.constant
    };
    let omega = if omega.abs() < 1e-9 { 0.0 } else { omega };
    let shaft = m.constant * (i.0 - m.no_load.0 * omega.signum() * f64::from(u8::from(omega != 0.0)));
    let efficiency = m.gear_efficiency.clamp(0.01, 1.0);
    let torque = if omega == 0.0 || shaft * omega >= 0.0 {
        shaft * m.gear_ratio * efficiency
    } else {
        shaft * m.gear_ratio / efficiency
    };
    let wanted = match note.wish {
        Wish::Turn { speed, .. } => Some(speed * to_output),
        _ => None,
    };
    let wants_to_turn = match note.wish {
        Wish::Turn { speed, .. } => speed != 0.0,
        Wish::Duty { duty, .. } => duty != 0.0,
        _ => false,
    };
    ElementResult::Motor {
        voltage: v,
        current: i,
        turning_rpm: omega * to_output,
        wanted_rpm: wanted,
        speed: m.wheel.map(|d| MetresPerSecond(omega / m.gear_ratio * d.0 / 2000.0)),
        torque: NewtonMetres(torque),
        stalled: held || (wants_to_turn && omega == 0.0),
        held_by_gearbox: turned == 0.0 && !m.back_drivable,
    }
}

/// Completes the temperatures of situations that do not last: the wire starts as warm as the warmest
/// lasting situation leaves it.
pub fn finish_short(robot: &Robot, wires: &Wires, results: &mut [SituationResult]) {
    let mut start: Vec<Option<f64>> = vec![None; robot.wires.len()];
    for (situation, result) in robot.situations.iter().zip(results.iter()) {
        if situation.lasting {
            for wire in &result.wires {
                let t = wire.settled.map_or(wire::HOTTEST, |s| s.0);
                let slot = &mut start[wire.wire.0];
                *slot = Some(slot.map_or(t, |s: f64| s.max(t)));
            }
        }
    }
    for (situation, result) in robot.situations.iter().zip(results.iter_mut()) {
        let Some(time) = situation.lasts.filter(|_| !situation.lasting) else { continue };
        let currents: Vec<f64> = result.wires.iter().map(|w| w.rms.0).collect();
        for wire_result in &mut result.wires {
            let w = wire_result.wire;
            let air = wire_result.ambient.0;
            let begin = start[w.0].unwrap_or(air).max(air);
            let bundles = wires.bundles_of(w, &currents);
            let end = wire::after(&wires.conductors[w.0], currents[w.0], air, &bundles, begin, time.0);
            let end = end.max(begin.min(wire_result.settled.map_or(end, |s| s.0)));
            wire_result.temperature = (end < wire::HOTTEST).then_some(Celsius(end));
        }
    }
    for result in results {
        warm_terminals(robot, result);
    }
}

/// Terminals are as warm as the warmest conductor on them.
fn warm_terminals(robot: &Robot, result: &mut SituationResult) {
    let mut on: BTreeMap<Landing, f64> = BTreeMap::new();
    for (wire, warm) in robot.wires.iter().zip(&result.wires) {
        for end in [wire.from, wire.to] {
            let t = on.entry(end).or_insert(f64::NEG_INFINITY);
            *t = t.max(warm.temperature.map_or(wire::HOTTEST, |c| c.0));
        }
    }
    for terminal in &mut result.terminals {
        terminal.temperature =
            on.get(&terminal.landing).copied().filter(|&t| t < wire::HOTTEST).map(Celsius);
    }
}
