//! What slows a robot that nobody drives: rolling resistance, friction of motors and gearboxes, and the
//! current its motors give.
//!
//! The drag is a line between speeds at which the network was solved; between two of them the motion
//! has a closed form: with a deceleration a = a₁ + b·(v − v₁) the way from v₂ down to v₁ takes
//! ln(a₂/a₁)/b and goes over ((v₁ − a₁/b)·ln(a₂/a₁) + v₂ − v₁)/b.

use crate::circuit::motors::{GRAVITY, radians_per_metre};
use loomdeck_model::element::{ElementKind, Motor};
use loomdeck_model::{PartId, Robot};
use serde::Serialize;

/// Force against speed, rising in speed, from standing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drag {
    /// Pairs of m/s and N.
    pub points: Vec<(f64, f64)>,
}

/// How a robot comes to rest, or does not.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Coast {
    /// Time until it stands; `None`: it does not stop.
    pub time_s: Option<f64>,
    /// Way until it stands.
    pub distance_m: Option<f64>,
    /// Speed it goes on with when it does not stop.
    pub settles_m_s: Option<f64>,
    /// It goes faster and faster: no speed that was looked at balances the pull.
    pub endless: bool,
}

/// How far beyond the last point the last line is believed, as a multiple of its speed.
const FURTHER: f64 = 2.0;

/// Slower than this it stands, m/s: a hand's breadth in ten seconds.
const STANDS: f64 = 0.01;

impl Drag {
    /// Force at a speed; beyond the last point along the last line.
    pub fn at(&self, speed: f64) -> f64 {
        let p = &self.points;
        match p.len() {
            0 => 0.0,
            1 => p[0].1,
            n => {
                let i = p[1..n - 1].iter().position(|q| q.0 >= speed).unwrap_or(n - 2);
                let ((v1, f1), (v2, f2)) = (p[i], p[i + 1]);
                f1 + (f2 - f1) * (speed - v1) / (v2 - v1)
            }
        }
    }

    /// Speed at which the drag balances a pull; `None`: it stands even so, because what holds it at
    /// rest is more. Infinite when no speed balances it.
    pub fn balance(&self, pull: f64) -> Option<f64> {
        if pull <= self.at(0.0) {
            return None;
        }
        for pair in self.points.windows(2) {
            let ((v1, f1), (v2, f2)) = (pair[0], pair[1]);
            if f2 >= pull && f2 > f1 {
                return Some(v1 + (v2 - v1) * ((pull - f1) / (f2 - f1)).max(0.0));
            }
        }
        let n = self.points.len();
        let (v, f) = self.points.last().copied().unwrap_or_default();
        let slope = if n >= 2 {
            let (u, g) = self.points[n - 2];
            (f - g) / (v - u)
        } else {
            0.0
        };
        // Far beyond the last point nothing is known: a leakage is not a brake.
        let further = if slope > 1e-9 { v + (pull - f) / slope } else { f64::INFINITY };
        Some(if further <= FURTHER * v { further } else { f64::INFINITY })
    }

    /// How a mass that rolls at a speed comes to rest against this drag, with a pull along its way.
    pub fn coast(&self, mass: f64, pull: f64, from: f64) -> Coast {
        if let Some(settles) = self.balance(pull) {
            return if settles < STANDS {
                self.until(mass, pull, from, STANDS)
            } else {
                let endless = settles.is_infinite();
                Coast { time_s: None, distance_m: None, settles_m_s: Some(settles), endless }
            };
        }
        self.until(mass, pull, from, 0.0)
    }

    fn until(&self, mass: f64, pull: f64, from: f64, end: f64) -> Coast {
        let mut cuts: Vec<f64> =
            self.points.iter().map(|p| p.0).filter(|&v| v > end && v < from).collect();
        cuts.push(end);
        cuts.push(from);
        cuts.sort_by(f64::total_cmp);
        let (mut time, mut way) = (0.0, 0.0);
        for pair in cuts.windows(2).filter(|p| p[1] > p[0]) {
            let (v1, v2) = (pair[0], pair[1]);
            let (a1, a2) = ((self.at(v1) - pull) / mass, (self.at(v2) - pull) / mass);
            let (t, s) = stretch(v1, v2, a1, a2);
            time += t;
            way += s;
        }
        Coast { time_s: Some(time), distance_m: Some(way), settles_m_s: None, endless: false }
    }
}

/// Time and way from `v2` down to `v1` while the deceleration falls in proportion from `a2` to `a1`.
pub fn stretch(v1: f64, v2: f64, a1: f64, a2: f64) -> (f64, f64) {
    let b = (a2 - a1) / (v2 - v1);
    // Nearly constant: the series of both forms to second order, which the logarithm would lose.
    if (a2 - a1).abs() < 1e-6 * a1.abs().max(a2.abs()) {
        let a = (a1 + a2) / 2.0;
        return ((v2 - v1) / a, (v2 * v2 - v1 * v1) / (2.0 * a));
    }
    let log = (a2 / a1).ln();
    (log / b, ((v1 - a1 / b) * log + v2 - v1) / b)
}

/// The traction motors: part, element, data.
pub fn wheels(robot: &Robot) -> Vec<(PartId, usize, &Motor)> {
    (0..robot.parts.len())
        .map(PartId)
        .flat_map(|part| {
            robot.type_of(part).elements.iter().enumerate().filter_map(
                move |(e, element)| match &element.kind {
                    ElementKind::Motor(m) if m.wheel.is_some() => Some((part, e, m)),
                    _ => None,
                },
            )
        })
        .collect()
}

/// Force at the rim that turns a wheel whose motor gives this current.
///
/// The torque at the motor's shaft is k·(i + i₀); through a gearbox that the load drives, N/η times
/// that is felt at the wheel, because of τ·η/N only the share η arrives.
pub fn rim_force(motor: &Motor, given: f64) -> f64 {
    let Some(wheel) = motor.wheel else { return 0.0 };
    let shaft = motor.constant * (given.max(0.0) + motor.no_load.0);
    let through = motor.gear_ratio / motor.gear_efficiency.clamp(0.01, 1.0);
    shaft * through / (wheel.0 / 2000.0)
}

/// Force for each metre a second of a wheel whose windings are shorted: (k·N/r)²/(R·η).
pub fn shorted_force(motor: &Motor) -> f64 {
    let per_metre = radians_per_metre(motor).unwrap_or(0.0) * motor.constant;
    per_metre * per_metre / (motor.resistance.0 * motor.gear_efficiency.clamp(0.01, 1.0))
}

/// Force that rolls the robot on the level, N; zero without a mass.
pub fn rolling(robot: &Robot) -> f64 {
    robot.motion.mass.map_or(0.0, |m| m.0 * GRAVITY * robot.motion.rolling_resistance)
}

/// The steepest slope, rise over run: as stated, else the steepest of the situations.
pub fn steepest(robot: &Robot) -> f64 {
    let met = robot.situations.iter().map(|s| s.slope.abs()).fold(0.0, f64::max);
    robot.motion.steepest.unwrap_or(met)
}

/// Pull of gravity along a slope and what rolling resistance is left of the level's, N and as a factor.
pub fn gravity(robot: &Robot, slope: f64) -> (f64, f64) {
    let angle = slope.atan();
    (robot.motion.mass.map_or(0.0, |m| m.0 * GRAVITY * angle.sin()), angle.cos())
}
