//! Dips when motors start, and what the bus sees when the battery lets go of braking motors.

use super::bench::{Added, Bench, State};
use super::network::{Network, Special};
use super::trace::Trace;
use super::types::*;
use crate::circuit::CHANNEL_ITEMS;
use crate::circuit::motors::{motor_of, radians_per_metre};
use crate::netlist::Device;
use crate::operate::elements;
use crate::results::ElementResult;
use loomdeck_model::element::{Converter, Driver, ElementKind, Motor};
use loomdeck_model::{MotorTask, MovedBy, PartId, SituationId};

/// Electrical time constant of a small motor with brushes, s. Common practice (0.3 to 2 ms), no source; a
/// shorter one makes a steeper step.
const MOTOR_TIME: f64 = 0.5e-3;

/// A rail that dips less than this is another rail, V.
const LEAST_DIP: f64 = 1e-3;

/// The drivers with their element, first item and data.
pub(super) fn drivers<'b>(
    bench: &'b Bench<'_>,
) -> impl Iterator<Item = (PartId, usize, usize, &'b Driver)> + 'b {
    elements(&bench.ground.circuit).filter_map(|(part, e, item)| {
        match &bench.ground.robot.type_of(part).elements[e].kind {
            ElementKind::Driver(d) => Some((part, e, item, d)),
            _ => None,
        }
    })
}

/// The motors on a driver.
pub(super) fn motors<'b>(bench: &'b Bench<'_>, item: usize, d: &Driver) -> Vec<(PartId, &'b Motor)> {
    let circuit = &bench.ground.circuit;
    (0..d.channels.len())
        .filter_map(|c| match circuit.template.items[item + 1 + c * CHANNEL_ITEMS].device {
            Device::Channel { motor, .. } => circuit.element_of(motor?),
            _ => None,
        })
        .filter_map(|(part, _)| Some((part, motor_of(bench.ground.robot, part)?.1)))
        .collect()
}

/// The dip of every rail when the motors of each driver start.
pub(super) fn dips(bench: &Bench<'_>) -> Vec<Dip> {
    drivers(bench).filter_map(|(part, e, item, d)| dip(bench, part, e, item, d)).collect()
}

/// The situation in which a driver runs at its lowest supply while its motors stand; when they never
/// stand, the one with the lowest supply.
fn start_from(
    bench: &Bench<'_>,
    part: PartId,
    e: usize,
    motors: &[(PartId, &Motor)],
) -> Option<(SituationId, f64)> {
    let standing = |s: &crate::results::SituationResult| {
        motors.iter().all(|(m, _)| {
            s.parts[m.0].elements.iter().all(|r| match r {
                ElementResult::Motor { current, .. } => current.0.abs() < 0.1,
                _ => true,
            })
        })
    };
    let running =
        bench.ground.power.situations.iter().filter_map(|s| match &s.parts[part.0].elements[e] {
            ElementResult::Driver { voltage, running: true, .. } => {
                Some((!standing(s), voltage.0, s.situation))
            }
            _ => None,
        });
    running
        .min_by(|a, b| (a.0, a.1).partial_cmp(&(b.0, b.1)).unwrap_or(std::cmp::Ordering::Equal))
        .map(|(_, v, s)| (s, v))
}

fn dip(bench: &Bench<'_>, part: PartId, e: usize, item: usize, d: &Driver) -> Option<Dip> {
    let motors = motors(bench, item, d);
    if motors.is_empty() {
        return None;
    }
    let (id, volts) = start_from(bench, part, e, &motors)?;
    let circuit = &bench.ground.circuit;
    let situation = &bench.ground.robot.situations[id.0];
    let quiet = bench.quiet(situation);
    let before = bench.solve(circuit, &quiet);
    let charged = bench.charged(&before);
    let (a, b) = (circuit.local(part, d.plus), circuit.local(part, d.minus));
    // A driver that limits its current is a larger resistance.
    let held = |m: &Motor| (m.resistance.0 + d.on_resistance.0).max(volts / d.peak.0.max(1e-3));
    let added: Vec<Added> = motors
        .iter()
        .map(|(_, m)| Added { a, b, ohms: held(m), henries: MOTOR_TIME * held(m) })
        .collect();
    let state = State {
        closed: situation.closed.clone(),
        unplugged: situation.unplugged.clone(),
        charge: situation.charge,
        pulled: before.states.pulled.clone(),
    };
    let network = Network::of(bench.paths(&state, &charged, &added))?;
    let trace = Trace::of(network).ok()?;
    let net = &trace.network;
    let first = circuit.template.items.len();
    let through: Vec<(usize, f64)> = (0..added.len()).filter_map(|n| net.path_of(first + n)).collect();
    let current = |y: &[f64]| through.iter().map(|&(p, s)| s * net.current(p, y)).sum::<f64>();
    let current_a = trace.largest(&current).value;
    let mut rails = Vec::new();
    let mut driver_v = Series::new();
    for k in 0..net.capacitors.len() {
        let Some(Special::Capacitor { index, .. }) = net.paths[net.capacitors[k]].special else {
            continue;
        };
        let who = bench.caps[index].used.part;
        let rests = net.terminal_voltage(k, &net.start());
        let lowest = trace.largest(&|y| -net.terminal_voltage(k, y));
        let Some(before_v) = supply(bench, who, id) else { continue };
        let fall = rests + lowest.value;
        if fall < LEAST_DIP {
            continue;
        }
        if who == part {
            driver_v = trace
                .curve(trace.lasts(0.02, &current).min(20.0 * MOTOR_TIME), &|y| {
                    net.terminal_voltage(k, y)
                })
                .into_iter()
                .map(|(t, v)| (t, before_v - rests + v))
                .collect();
        }
        let lowest_v = before_v - fall;
        let (needs_v, resets) = needs(bench, who, id, lowest_v);
        rails.push(RailDip { part: who, before_v, lowest_v, time_s: lowest.time, needs_v, resets });
    }
    rails.sort_by_key(|r| r.part);
    rails.dedup_by_key(|r| r.part);
    let current = trace.curve(20.0 * MOTOR_TIME, &current);
    let motors = motors.iter().map(|m| m.0).collect();
    Some(Dip { driver: part, motors, situation: id, current_a, rails, driver_v, current })
}

/// The supply of a part in a situation, at the loads' peaks where that is known.
fn supply(bench: &Bench<'_>, part: PartId, id: SituationId) -> Option<f64> {
    let s = bench.ground.power.situations.get(id.0)?;
    s.parts[part.0].elements.iter().find_map(|e| match e {
        ElementResult::Load { peak_voltage, voltage, .. } => Some(peak_voltage.0.min(voltage.0)),
        ElementResult::Converter { input_voltage, .. } => Some(input_voltage.0),
        ElementResult::Driver { voltage, peak_voltage, .. } => Some(voltage.0.min(peak_voltage.0)),
        ElementResult::Capacitor { voltage } => Some(voltage.0),
        _ => None,
    })
}

/// What a part needs, and the loads that reset when its supply falls to this.
fn needs(bench: &Bench<'_>, part: PartId, id: SituationId, lowest: f64) -> (Option<f64>, Vec<PartId>) {
    let robot = bench.ground.robot;
    for element in &robot.type_of(part).elements {
        match &element.kind {
            ElementKind::Load(l) => {
                let resets = if lowest < l.brown_out.0 { vec![part] } else { Vec::new() };
                return (Some(l.brown_out.0), resets);
            }
            ElementKind::Converter(c) => {
                let resets = behind(bench, part, id, output(c, lowest));
                return (Some(held_from(c)), resets);
            }
            ElementKind::Driver(d) => return (Some(d.window_low.0), Vec::new()),
            _ => {}
        }
    }
    (None, Vec::new())
}

/// Input from which a converter holds its output.
fn held_from(c: &Converter) -> f64 {
    c.drop_out.map_or(c.window_low.0, |d| c.window_low.0.max(c.output.0 + d.0))
}

/// Output at an input.
fn output(c: &Converter, input: f64) -> f64 {
    if input < c.window_low.0 {
        return 0.0;
    }
    c.drop_out.map_or(c.output.0, |d| c.output.0.min((input - d.0).max(0.0)))
}

/// Loads that a converter feeds and that reset below what it then gives.
fn behind(bench: &Bench<'_>, converter: PartId, id: SituationId, volts: f64) -> Vec<PartId> {
    let Some(s) = bench.ground.power.situations.get(id.0) else { return Vec::new() };
    let fed = s.drops.iter().filter(|d| d.fed_by == converter);
    fed.filter(|d| {
        let lost = (d.source.0 - d.at_part.0).max(0.0);
        bench.ground.robot.type_of(d.part).elements.iter().any(|e| match &e.kind {
            // One that is too low already resets for another reason.
            ElementKind::Load(l) => volts - lost < l.brown_out.0 && d.at_part.0 >= l.brown_out.0,
            _ => false,
        })
    })
    .map(|d| d.part)
    .collect()
}

/// What each driver's supply comes to when the battery's side opens while its motors brake.
pub(super) fn dumps(bench: &Bench<'_>, surges: &[SurgeEvent]) -> Vec<LoadDump> {
    drivers(bench).filter_map(|(part, e, item, d)| dump(bench, part, e, item, d, surges)).collect()
}

fn dump(
    bench: &Bench<'_>,
    part: PartId,
    e: usize,
    item: usize,
    d: &Driver,
    surges: &[SurgeEvent],
) -> Option<LoadDump> {
    let before_v = bench
        .ground
        .power
        .situations
        .iter()
        .filter(|s| bench.ground.robot.situations[s.situation.0].moved_by == MovedBy::Motors)
        .filter_map(|s| match &s.parts[part.0].elements[e] {
            ElementResult::Driver { voltage, running: true, .. } => Some(voltage.0),
            _ => None,
        })
        .fold(0.0, f64::max);
    if before_v <= 0.0 {
        return None;
    }
    // As if the batteries were full, and not yet loaded.
    let before_v = surges.iter().map(|s| s.voltage_v).fold(before_v, f64::max);
    let mut speed_m_s: f64 = 0.0;
    let watts: f64 = motors(bench, item, d)
        .iter()
        .map(|&(m, motor)| {
            let (omega, speed) = fastest(bench, m, motor);
            speed_m_s = speed_m_s.max(speed);
            braking_power(motor.constant * omega, motor.resistance.0 + d.on_resistance.0, d.peak.0)
        })
        .sum();
    if watts <= 0.0 {
        return None;
    }
    let current_a = watts / before_v;
    let cap = bench.caps.iter().find(|c| c.used.part == part && !c.used.assumed).map(|c| &c.used);
    // Between the driver and the other capacitors lies at most the loop that the surge has met.
    let henries = surges.iter().map(|s| s.loop_h).fold(0.0, f64::max);
    let peak_v =
        cap.map_or(before_v, |c| before_v + current_a * (c.esr_ohm + (henries / c.farads).sqrt()));
    Some(LoadDump {
        driver: part,
        before_v,
        current_a,
        speed_m_s,
        peak_v,
        limit_v: d.absolute_max.0,
        capacitance_f: cap.map(|c| c.farads),
        rises_v_s: cap.map(|c| current_a / c.farads),
    })
}

/// Largest electrical power that a motor turned at an electromotive force gives to its supply when it is
/// braked: (k·ω)²/(4·R) at half its short-circuit current, or less at the driver's peak.
pub(super) fn braking_power(emf: f64, ohms: f64, peak: f64) -> f64 {
    let i = (emf / (2.0 * ohms.max(1e-6))).min(peak);
    i * (emf - i * ohms)
}

/// Fastest that a motor turns under its driver in any situation: rad/s, and m/s for wheels.
fn fastest(bench: &Bench<'_>, part: PartId, motor: &Motor) -> (f64, f64) {
    let mut most = (0.0_f64, 0.0_f64);
    for s in &bench.ground.robot.situations {
        if s.moved_by == MovedBy::Hand {
            continue;
        }
        let (omega, speed) = match (s.motors.get(&part), radians_per_metre(motor)) {
            (Some(MotorTask::Turning { rpm, .. }), _) => {
                ((rpm * std::f64::consts::TAU / 60.0 * motor.gear_ratio).abs(), 0.0)
            }
            (Some(MotorTask::Off | MotorTask::Stalled { .. }), _) => (0.0, 0.0),
            (_, Some(per_metre)) => ((per_metre * s.speed.0).abs(), s.speed.0.abs()),
            _ => (0.0, 0.0),
        };
        if omega > most.0 {
            most = (omega, speed);
        }
    }
    most
}
