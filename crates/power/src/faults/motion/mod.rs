//! Pushed, braked, lowered: motors as generators, the bus against speed, what the way back leaves live.
//!
//! Three regimes that have little to do with each other:
//! - pushed by hand, the drivers off: their body diodes rectify what the motors generate (`push`);
//! - commanded braking: the bridges boost it onto the bus, whatever the speed (`braking`);
//! - the battery's side opening meanwhile: what is left of the motion goes into the capacitors
//!   ([`Dump`], a bound; the course in time is the surges' matter).
//!
//! Every current is found by solving the robot's network; no way back is looked for by its shape.

mod braking;
pub mod drag;
mod findings;
pub mod push;
mod types;

pub use braking::{driver_of, driving_speed, lifted, most_back};
pub use findings::{PAGES, names};
pub use types::*;

use super::Ground;
use crate::circuit::motors::radians_per_metre;
use drag::{Drag, rim_force, rolling, shorted_force, steepest, wheels};
use loomdeck_model::element::{ElementKind, Motor};
use loomdeck_model::units::*;
use loomdeck_model::{Finding, PartId, Robot, SituationId};
use push::{Bench, Sweep, positions, without_batteries};

/// Works it out.
pub fn study(ground: &Ground<'_>) -> Motion {
    let robot = ground.robot;
    let mut found = Motion {
        push_speed_m_s: robot.limits.push_speed.0,
        steepest_percent: 100.0 * steepest(robot),
        mass_kg: robot.motion.mass.map(|m| m.0),
        motors: turned(robot),
        ..Motion::default()
    };
    let movable = wheels(robot).iter().any(|w| w.2.back_drivable);
    if !movable || robot.situations.is_empty() {
        found.validity = validity(robot, &found);
        return found;
    }
    let ohms = ground.ohms(SituationId(0));
    let with = Sweep { ground, circuit: &ground.circuit, ohms: &ohms, with_battery: true };
    let positions = positions(robot);
    found.pushes = positions.iter().map(|p| with.push(p)).collect();
    let bare = without_batteries(robot, &ground.circuit);
    let alone = Sweep { ground, circuit: &bare, ohms: &ohms, with_battery: false };
    let plain = |p: &&push::Position| p.situation.powered.is_empty();
    found.pushes.extend(positions.iter().filter(plain).take(2).map(|p| alone.push(p)));
    if let Some(off) = positions.first() {
        found.slope = braking::left_alone(robot, &drag_of(ground, &off.situation, &ohms, &found));
    }
    found.braking = braking::braking(ground, &ohms);
    if let Some(b) = &found.braking {
        found.dumps = braking::dumps(ground, &ohms, b, &found.pushes);
    }
    found.validity = validity(robot, &found);
    found.good_news = good_news(robot, &found);
    found
}

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &Motion) -> Vec<Finding> {
    findings::all(ground, found)
}

/// Drag of the first push, switched off, carried on to speeds far beyond the stated one.
fn drag_of(ground: &Ground<'_>, off: &loomdeck_model::Situation, ohms: &[f64], found: &Motion) -> Drag {
    let mut drag = Drag {
        points: found
            .pushes
            .first()
            .map_or(Vec::new(), |p| p.points.iter().map(|q| (q.speed_m_s, q.force_n)).collect()),
    };
    let mut bench = Bench::of(ground.robot, &ground.circuit, off, ohms);
    for factor in [1.5, 2.0, 3.0] {
        let speed = found.push_speed_m_s * factor;
        let solution = bench.at(speed);
        drag.points.push((speed, bench.force(&solution)));
    }
    drag
}

/// Drag at some speeds in any position of the switches.
pub fn drag_at(bench: &mut Bench<'_>, fastest: f64, stretches: usize) -> Drag {
    let points = (0..=stretches)
        .map(|i| {
            let v = fastest * i as f64 / stretches.max(1) as f64;
            let s = bench.at(v);
            (v, bench.force(&s))
        })
        .collect();
    Drag { points }
}

/// Every motor, and what turning it does.
fn turned(robot: &Robot) -> Vec<TurnedMotor> {
    let drivers = robot.types.iter().flat_map(|t| &t.elements).filter_map(|e| match &e.kind {
        ElementKind::Driver(d) => Some(d.absolute_max.0),
        _ => None,
    });
    let weakest = drivers.fold(f64::INFINITY, f64::min);
    (0..robot.parts.len())
        .map(PartId)
        .flat_map(|part| {
            robot.type_of(part).elements.iter().filter_map(move |e| match &e.kind {
                ElementKind::Motor(m) => Some((part, m)),
                _ => None,
            })
        })
        .map(|(part, m)| one_turned(robot, part, m, weakest))
        .collect()
}

fn one_turned(robot: &Robot, part: PartId, m: &Motor, weakest: f64) -> TurnedMotor {
    let name = robot.parts[part.0].name.clone();
    let volts = radians_per_metre(m).map(|r| r * m.constant).filter(|_| m.back_drivable);
    let rpm = 60.0 / std::f64::consts::TAU * (weakest + TWO_DIODES) / (m.constant * m.gear_ratio);
    let damage_rpm = (m.back_drivable && rpm.is_finite()).then_some(rpm);
    let told = match (m.back_drivable, volts, damage_rpm) {
        (false, ..) => format!("{name} cannot be turned from outside: its gearbox holds it."),
        (true, Some(v), _) => format!("{name} gives {:.1} for each metre a second.", Volts(v)),
        (true, None, Some(rpm)) => format!(
            "{name} generates when something turns its output; above {rpm:.0}\u{2009}rpm the weakest driver would pass its absolute maximum if nothing took the current."
        ),
        (true, None, None) => format!("{name} generates when something turns its output."),
    };
    TurnedMotor {
        part,
        name,
        turns_back: m.back_drivable,
        told,
        volts_per_m_s: volts,
        shorted_n_per_m_s: volts.map(|_| shorted_force(m)),
        damage_rpm,
    }
}

/// Two body diodes that carry next to nothing, V (common for silicon: 0.5 V each).
const TWO_DIODES: f64 = 1.0;

fn validity(robot: &Robot, found: &Motion) -> Vec<String> {
    let mut all = vec![
        "Speeds are steady: what the windings' inductance and the wires' do in milliseconds is not in these voltages.".to_owned(),
    ];
    if robot.motion.mass.is_none() {
        all.push("The mass is not stated (`mass_kg` in `[motion]`): rolling resistance, deceleration and slopes are left out.".to_owned());
    }
    if found.steepest_percent == 0.0 {
        all.push("No slope is stated (`steepest_percent` in `[motion]`, or a situation on a slope): nothing is said about rolling away.".to_owned());
    }
    if found.motors.iter().any(|m| m.turns_back && m.volts_per_m_s.is_none()) {
        all.push("Motors without a wheel that something can turn are told by their open voltage only; how fast they are turned is not stated.".to_owned());
    }
    if !found.dumps.is_empty() {
        all.push("What the capacitors take when the battery's side opens is a bound: all kinetic energy after the gearbox, none lost in the windings, no driver that stops by itself.".to_owned());
    }
    let drivers = robot.types.iter().flat_map(|t| &t.elements);
    if drivers.into_iter().any(|e| matches!(e.kind, ElementKind::Driver(_))) {
        all.push("How warm a driver's body diodes get is not known: no thermal resistance is stated for them.".to_owned());
    }
    all
}

fn good_news(robot: &Robot, found: &Motion) -> Vec<String> {
    let mut news = Vec::new();
    let fastest = MetresPerSecond(found.push_speed_m_s);
    let with: Vec<&Push> = found.pushes.iter().filter(|p| p.with_battery).collect();
    let nearest = with
        .iter()
        .flat_map(|p| p.buses.iter().map(move |b| (p, b)))
        .filter_map(|(p, b)| {
            let most = b.series.iter().map(|s| s.1).fold(0.0, f64::max);
            (most > 0.0).then_some((b.absolute_max_v - most, p, b, most))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((_, p, b, most)) = nearest.filter(|_| with.iter().all(|p| p.victims.is_empty())) {
        news.push(format!(
            "Pushed at up to {fastest:.1}, no supply passes what its parts bear; {} comes closest with {:.1} of {:.1} ({}).",
            b.name,
            Volts(most),
            Volts(b.absolute_max_v),
            p.name
        ));
    }
    let off = found.pushes.iter().find(|p| p.with_battery && p.name == "switched off");
    if off.is_some_and(|p| p.wakes.iter().all(|w| w.driver)) {
        news.push(format!(
            "Pushed at up to {fastest:.1} while switched off, nothing but motor drivers comes alive."
        ));
    }
    for m in found.motors.iter().filter(|m| !m.turns_back) {
        news.push(m.told.clone());
    }
    if let Some(s) = &found.slope
        && s.settles_m_s.is_none()
    {
        news.push(format!(
            "Left alone on a slope of {:.0}\u{2009}% it stands: gravity pulls with {:.0}\u{2009}N, rolling resistance, motors and gearboxes hold {:.0}\u{2009}N.",
            s.slope_percent, s.pull_n, s.hold_n
        ));
    }
    let limit = found.braking.as_ref().and_then(|b| Some((b, b.charge_limit_a?)));
    if let Some((b, limit)) =
        limit.filter(|(b, l)| b.protection.is_none() && !b.points.is_empty() && most_in(b) <= *l)
    {
        let battery = b.battery.map_or("the battery", |p| robot.parts[p.0].name.as_str());
        news.push(format!(
            "However hard it brakes from {fastest:.1}, {battery} takes at most {:.1} of the {:.1} it accepts.",
            Amperes(most_in(b).max(0.0)),
            Amperes(limit)
        ));
    }
    news
}

/// Largest current into the battery while braking.
fn most_in(b: &Braking) -> f64 {
    b.points.iter().map(|p| p.into_battery_a).fold(0.0, f64::max)
}

/// Force at the rims with the motors' windings open, N.
pub fn open_force(robot: &Robot) -> f64 {
    wheels(robot).iter().map(|w| rim_force(w.2, 0.0)).sum::<f64>() + rolling(robot)
}

#[cfg(test)]
mod tests;
