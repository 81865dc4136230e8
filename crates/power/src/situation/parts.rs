//! What every part and element does in a situation.

use super::Report;
use crate::circuit::CHANNEL_ITEMS;
use crate::circuit::motors::Wish;
use crate::circuit::values::{MotorNote, activity};
use crate::netlist::{Device, Duty};
use crate::operate::Solution;
use crate::results::*;
use crate::solver;
use loomdeck_model::element::{Driver, ElementKind, Motor};
use loomdeck_model::units::*;
use loomdeck_model::{PartId, WireId};

impl Report<'_> {
    pub(super) fn parts(&self) -> Vec<PartResult> {
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
                current: self.through_node(at(b.node), mean),
                rms: self.through_node(at(b.node), rms),
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

    /// Half the sum of the currents of the wires at a node.
    fn through_node(&self, node: usize, solution: &Solution) -> Amperes {
        let current =
            |w: &WireId| solution.point.x[self.circuit.pattern.extra[self.circuit.wire_item[w.0]]].abs();
        Amperes(self.landings.on_node[node].iter().map(current).sum::<f64>() / 2.0)
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
