//! Commanded braking, and the battery's side opening meanwhile.
//!
//! A bridge that brakes boosts the motor's voltage onto its bus. With the current i a motor gives
//! k·ω·i − i²·R; that is most at i = k·ω/(2·R), or at the driver's peak current when that is less. The
//! sweep takes this current at every speed, so that nothing a driver does gives more back.

use super::drag::{gravity, rim_force, rolling, steepest, wheels};
use super::push::{Bench, batteries, driven, settled, window_high};
use super::types::*;
use crate::circuit::values::Ready;
use crate::circuit::{Alteration, Circuit};
use crate::faults::Ground;
use crate::operate::{self, Solution, across, elements, item_current};
use loomdeck_model::element::{Driver, ElementKind, Motor};
use loomdeck_model::units::{MetresPerSecond, NewtonMetres};
use loomdeck_model::{MotorTask, MovedBy, PartId, Robot, Situation};

/// Stretches into which the speeds are cut.
const STRETCHES: usize = 8;

/// Fastest that the situations drive, m/s; the fastest push when none says.
pub fn driving_speed(robot: &Robot) -> f64 {
    let own = robot.situations.iter().filter(|s| s.moved_by == MovedBy::Motors);
    let most = own.map(|s| s.speed.0.abs()).fold(0.0, f64::max);
    if most > 0.0 { most } else { robot.limits.push_speed.0 }
}

/// The driver on which a motor hangs in a network.
pub fn driver_of<'r>(
    robot: &'r Robot,
    circuit: &Circuit,
    ready: &Ready,
    motor: usize,
) -> Option<(PartId, &'r Driver)> {
    let channel = ready.motors.iter().find(|n| n.item == motor)?.channel?;
    let (part, e) = circuit.element_of(channel)?;
    match &robot.type_of(part).elements[e].kind {
        ElementKind::Driver(d) => Some((part, d)),
        _ => None,
    }
}

/// Current that gives most power back at a speed of the motor, and that power.
pub fn most_back(motor: &Motor, emf: f64, extra_ohm: f64, peak: f64) -> (f64, f64) {
    let ohms = motor.resistance.0 + extra_ohm;
    let current = (emf / (2.0 * ohms)).min(peak);
    (current, emf * current - current * current * ohms)
}

/// Braking in the position of the first situation that drives the wheels.
pub fn braking(ground: &Ground<'_>, ohms: &[f64]) -> Option<Braking> {
    let (robot, circuit) = (ground.robot, &ground.circuit);
    let wheels: Vec<_> = wheels(robot).into_iter().filter(|w| w.2.back_drivable).collect();
    let base = robot.situations.iter().find(|s| driven(s) && s.speed.0 != 0.0)?;
    let first = wheels.first()?;
    let charge = robot.situations.iter().map(|s| s.charge).fold(0.0, f64::max);
    let flat = Situation { slope: 0.0, charge, ..base.clone() };
    let mut bench =
        Bench::of(robot, circuit, &Situation { moved_by: MovedBy::Hand, ..flat.clone() }, ohms);
    let rest = bench.at(0.0);
    let (driver, _) = driver_of(robot, circuit, &rest.ready, circuit.element_item[first.0.0][first.1])?;
    let fastest = robot.limits.push_speed.0;
    let mut points = Vec::new();
    let mut opens: Option<(PartId, f64)> = None;
    for step in 1..=STRETCHES {
        let speed = fastest * step as f64 / STRETCHES as f64;
        let (situation, power_w, force_n) = braked(robot, circuit, &rest, &flat, &wheels, speed);
        let s = settled(robot, circuit, &situation, ohms);
        if let Some(operate::Stop::Ends(Some(item), _)) = s.end
            && let Some((part, e)) = circuit.element_of(item)
            && let ElementKind::Protection(p) = &robot.type_of(part).elements[e].kind
        {
            opens.get_or_insert((part, p.charge_limit.0));
            continue;
        }
        if s.end.is_some() {
            continue;
        }
        points.push(BrakePoint {
            speed_m_s: speed,
            bus_v: bus(robot, circuit, &s, driver),
            into_battery_a: bench.charging(&s),
            power_w,
            force_n: force_n + rolling(robot),
        });
    }
    let battery = elements(circuit).find_map(|(p, e, _)| match &robot.type_of(p).elements[e].kind {
        ElementKind::Battery(b) => Some((p, b.charge_limit.0)),
        _ => None,
    });
    let steep = Situation { slope: -steepest(robot), charge, ..base.clone() };
    let down = settled(robot, circuit, &steep, ohms);
    Some(Braking {
        situation: base.name.clone(),
        points,
        charge_limit_a: battery.map(|b| b.1),
        battery: battery.map(|b| b.0),
        protection_a: opens.map(|o| o.1),
        protection: opens.map(|o| o.0),
        driver: Some(driver),
        downhill_a: (steepest(robot) > 0.0 && down.end.is_none()).then(|| bench.charging(&down)),
        downhill_m_s: base.speed.0,
    })
}

/// The situation in which every wheel brakes with the current that gives most back; the power, the force.
fn braked(
    robot: &Robot,
    circuit: &Circuit,
    rest: &Solution,
    flat: &Situation,
    wheels: &[(PartId, usize, &Motor)],
    speed: f64,
) -> (Situation, f64, f64) {
    let mut situation = Situation { speed: MetresPerSecond(speed), ..flat.clone() };
    let (mut power, mut force) = (0.0, 0.0);
    for &(part, e, motor) in wheels {
        let item = circuit.element_item[part.0][e];
        let Some((_, d)) = driver_of(robot, circuit, &rest.ready, item) else { continue };
        let emf =
            motor.constant * speed * crate::circuit::motors::radians_per_metre(motor).unwrap_or(0.0);
        let (current, watts) = most_back(motor, emf, d.on_resistance.0, d.peak.0);
        // The torque at the output whose share that arrives at the shaft makes this current.
        let torque = (current + motor.no_load.0) * motor.constant * motor.gear_ratio
            / motor.gear_efficiency.clamp(0.01, 1.0);
        let task =
            MotorTask::Speed { speed: MetresPerSecond(speed), torque: Some(NewtonMetres(-torque)) };
        situation.motors.insert(part, task);
        power += watts;
        force += rim_force(motor, current);
    }
    (situation, power, force)
}

fn bus(robot: &Robot, circuit: &Circuit, s: &Solution, driver: PartId) -> f64 {
    let of = |k: &ElementKind| match k {
        ElementKind::Driver(d) => {
            across(s, circuit.local(driver, d.plus), circuit.local(driver, d.minus))
        }
        _ => None,
    };
    robot.type_of(driver).elements.iter().find_map(|e| of(&e.kind)).unwrap_or(0.0)
}

/// What can open between battery and bus, and what the kinetic energy then does.
pub fn dumps(ground: &Ground<'_>, ohms: &[f64], braking: &Braking, pushes: &[Push]) -> Vec<Dump> {
    let (robot, circuit) = (ground.robot, &ground.circuit);
    let (Some(driver), Some(mass)) = (braking.driver, robot.motion.mass) else { return Vec::new() };
    let Some(base) = robot.situations.iter().find(|s| s.name == braking.situation) else {
        return Vec::new();
    };
    let on = Situation { moved_by: MovedBy::Hand, slope: 0.0, ..base.clone() };
    let speed = driving_speed(robot);
    let awake = loud_speed(robot, circuit, &on, ohms);
    let loud = Bench::of(robot, circuit, &on, ohms).at(awake);
    let start = Bench::of(robot, circuit, &on, ohms).at(0.0);
    let start_v = bus(robot, circuit, &start, driver);
    let farads_f = capacitance(robot, circuit, &start, driver, start_v);
    let efficiency = wheels(robot).iter().map(|w| w.2.gear_efficiency).fold(0.0, f64::max);
    let energy_j = 0.5 * mass.0 * speed * speed * efficiency;
    let power =
        braking.points.iter().filter(|p| p.speed_m_s <= speed).map(|p| p.power_w).fold(0.0, f64::max);
    let bound_v = lifted(start_v, energy_j, farads_f);
    let absolute_max_v = absolute_max(robot, driver);
    let to = |v: f64| {
        (bound_v > v && power > 0.0 && v > start_v)
            .then(|| 0.5 * farads_f * (v * v - start_v * start_v) / power)
    };
    let alone = pushes.iter().find(|p| !p.with_battery && p.name == "switched on");
    let series = alone.and_then(|p| p.buses.iter().find(|b| b.part == driver));
    let by_diodes_v = series.map(|b| at(&b.series, speed));
    openers(robot, circuit, &start, &loud)
        .into_iter()
        .map(|(part, item, what)| Dump {
            part,
            name: robot.parts[part.0].name.clone(),
            what,
            way_left: way_left(robot, circuit, &on, ohms, item, awake),
            energy_j,
            farads_f,
            start_v,
            bound_v,
            driver,
            absolute_max_v,
            to_window_s: to(window_high(robot, driver)),
            to_damage_s: to(absolute_max_v),
            by_diodes_v,
        })
        .collect()
}

/// V² = V₀² + 2·E/C.
pub fn lifted(start: f64, energy: f64, farads: f64) -> f64 {
    (start * start + 2.0 * energy / farads.max(1e-9)).sqrt()
}

fn at(series: &[(f64, f64)], x: f64) -> f64 {
    super::drag::Drag { points: series.to_vec() }.at(x)
}

/// The absolute maximum of a driver.
pub fn absolute_max(robot: &Robot, part: PartId) -> f64 {
    let of = |k: &ElementKind| match k {
        ElementKind::Driver(d) => Some(d.absolute_max.0),
        _ => None,
    };
    robot.type_of(part).elements.iter().find_map(|e| of(&e.kind)).unwrap_or(f64::INFINITY)
}

/// What the motors' current goes through on its way to a battery and can open: part, item, word.
fn openers(
    robot: &Robot,
    circuit: &Circuit,
    rest: &Solution,
    awake: &Solution,
) -> Vec<(PartId, usize, &'static str)> {
    elements(circuit)
        .filter_map(|(part, e, item)| {
            let (item, word) = match &robot.type_of(part).elements[e].kind {
                ElementKind::Switch(_) => (item, "switch"),
                ElementKind::Contactor(_) => (item + 1, "contactor"),
                ElementKind::FuseWay(_) => (item, "fuse"),
                ElementKind::Protection(_) => (item, "protection"),
                _ => return None,
            };
            let flows = |s| item_current(circuit, s, item);
            ((flows(awake) - flows(rest)).abs() > MATTERS).then_some((part, item, word))
        })
        .collect()
}

/// Current of the motors from which something counts as lying on their way, A.
const MATTERS: f64 = 0.5;

/// A speed at which the motors' voltage is far beyond the batteries'.
fn loud_speed(robot: &Robot, circuit: &Circuit, on: &Situation, ohms: &[f64]) -> f64 {
    let mut bench = Bench::of(robot, circuit, on, ohms);
    let mut speed = robot.limits.push_speed.0.max(0.1);
    for _ in 0..4 {
        let solved = bench.at(speed);
        if bench.given(&solved).iter().sum::<f64>() > 1.0 {
            break;
        }
        speed *= 1.6;
    }
    speed
}

/// Whether a battery takes current from the motors with an item open.
fn way_left(
    robot: &Robot,
    circuit: &Circuit,
    on: &Situation,
    ohms: &[f64],
    item: usize,
    speed: f64,
) -> bool {
    let cut = circuit.altered(robot, &[Alteration::Cut { item }]);
    let mut bench = Bench::of(robot, &cut, on, ohms);
    let (rest, s) = (bench.at(0.0), bench.at(speed));
    let given: f64 = bench.given(&s).iter().sum();
    let more = batteries(robot, &cut)
        .iter()
        .map(|&b| item_current(&cut, &rest, b) - item_current(&cut, &s, b))
        .fold(0.0, f64::max);
    given > 0.1 && more > 0.3 * given
}

/// Capacitance on a driver's bus.
fn capacitance(robot: &Robot, circuit: &Circuit, s: &Solution, driver: PartId, bus_v: f64) -> f64 {
    let mut all = 0.0;
    for (part, e, _) in elements(circuit) {
        let at = |n| circuit.local(part, n);
        let (plus, minus, farads) = match &robot.type_of(part).elements[e].kind {
            ElementKind::Driver(d) => (at(d.plus), at(d.minus), d.capacitance),
            ElementKind::Converter(c) => (at(c.in_plus), at(c.in_minus), c.input_capacitance),
            ElementKind::Load(l) => (at(l.plus), at(l.minus), l.capacitance),
            ElementKind::Capacitor(c) => (at(c.plus), at(c.minus), Some(c.farads)),
            _ => continue,
        };
        let near = across(s, plus, minus).is_some_and(|v| (v - bus_v).abs() < 0.05 * bus_v);
        if part == driver || near {
            all += farads.map_or(0.0, |f| f.0);
        }
    }
    all
}

/// What gravity does to the robot on the steepest slope with nothing driven.
pub fn left_alone(robot: &Robot, drag: &super::drag::Drag) -> Option<Rolling> {
    let slope = steepest(robot);
    robot.motion.mass?;
    if slope <= 0.0 {
        return None;
    }
    let (pull_n, share) = gravity(robot, slope);
    // Rolling resistance is of the weight's part square to the slope.
    let lighter = rolling(robot) * (1.0 - share);
    let shorted: f64 = wheels(robot)
        .iter()
        .filter(|w| w.2.back_drivable)
        .map(|w| super::drag::shorted_force(w.2))
        .sum();
    let hold_n = drag.at(0.0) - lighter;
    let over = pull_n - hold_n;
    let settles_m_s = drag.balance(pull_n + lighter);
    Some(Rolling {
        slope_percent: 100.0 * slope,
        pull_n,
        hold_n,
        settles_m_s,
        endless: settles_m_s.is_some_and(f64::is_infinite),
        shorted_m_s: (over > 0.0 && shorted > 0.0).then(|| over / shorted),
    })
}
