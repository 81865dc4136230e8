//! What a motor is asked to do, as current and electromotive force.
//!
//! v = i·R + k·ω and torque = k·(i − i₀) at the motor's own shaft. A gearbox of ratio N and
//! efficiency η needs τ/(N·η) at the motor to give τ at its output; when the load drives the motor,
//! τ·η/N of it arrives there; when it cannot be driven backwards, nothing does.

use loomdeck_model::element::{ElementKind, Motor};
use loomdeck_model::{MotorTask, MovedBy, PartId, Robot, Situation};

/// Acceleration of free fall, m/s².
pub const GRAVITY: f64 = 9.806_65;

/// What is asked of a motor in a situation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wish {
    /// Nothing: its driver is off. It may be turned by the wheels (rad/s of the motor).
    Off {
        /// Speed at which it is turned.
        turned: f64,
    },
    /// A duty against a torque, as current.
    Duty {
        /// −1 to 1.
        duty: f64,
        /// Current of torque and friction.
        current: f64,
    },
    /// A speed (rad/s of the motor) against a torque, as signed current.
    Turn {
        /// Speed.
        speed: f64,
        /// Current.
        current: f64,
    },
    /// Held fast at a duty.
    Stalled {
        /// −1 to 1.
        duty: f64,
    },
}

/// The motor element of a part, when it has one: index and data.
pub fn motor_of(robot: &Robot, part: PartId) -> Option<(usize, &Motor)> {
    robot.type_of(part).elements.iter().enumerate().find_map(|(i, e)| match &e.kind {
        ElementKind::Motor(m) => Some((i, m)),
        _ => None,
    })
}

/// Turns of the motor per metre of way, as rad/m.
pub fn radians_per_metre(motor: &Motor) -> Option<f64> {
    motor.wheel.map(|d| motor.gear_ratio / (d.0 / 2000.0))
}

/// The task of a motor: what the situation says, else the situation's speed for wheels.
pub fn task(robot: &Robot, situation: &Situation, part: PartId) -> MotorTask {
    let traction = motor_of(robot, part).is_some_and(|(_, m)| m.wheel.is_some());
    situation.motors.get(&part).copied().unwrap_or(if traction && situation.speed.0 != 0.0 {
        MotorTask::Speed { speed: situation.speed, torque: None }
    } else {
        MotorTask::Off
    })
}

/// Force that rolls the robot, N, positive when the motors must push forwards; zero when its mass
/// is not known.
pub fn rolling_force(robot: &Robot, situation: &Situation, forwards: bool) -> f64 {
    let Some(mass) = robot.motion.mass else { return 0.0 };
    let angle = situation.slope.atan();
    let sign = if forwards { 1.0 } else { -1.0 };
    mass.0 * GRAVITY * (sign * robot.motion.rolling_resistance * angle.cos() + angle.sin())
}

/// Number of wheels with motors that share the rolling load.
fn sharing(robot: &Robot, situation: &Situation) -> usize {
    (0..robot.parts.len())
        .map(PartId)
        .filter(|&p| motor_of(robot, p).is_some_and(|(_, m)| m.wheel.is_some()))
        .filter(|&p| {
            matches!(
                task(robot, situation, p),
                MotorTask::Duty { torque: None, .. } | MotorTask::Speed { torque: None, .. }
            )
        })
        .count()
        .max(1)
}

/// Current of a torque at the output while the motor turns with this sign; signed.
fn current(motor: &Motor, torque: f64, sign: f64) -> f64 {
    let efficiency = motor.gear_efficiency.clamp(0.01, 1.0);
    let ratio = motor.gear_ratio.max(1e-6);
    let at_shaft = if torque * sign >= 0.0 {
        torque / (ratio * efficiency)
    } else if motor.back_drivable {
        torque * efficiency / ratio
    } else {
        0.0
    };
    at_shaft / motor.constant + motor.no_load.0 * sign
}

/// What a motor is asked to do.
pub fn wish(robot: &Robot, situation: &Situation, part: PartId, motor: &Motor) -> Wish {
    let turned = radians_per_metre(motor)
        .filter(|_| motor.back_drivable)
        .map_or(0.0, |per_metre| per_metre * situation.speed.0);
    if situation.moved_by == MovedBy::Hand {
        return Wish::Off { turned };
    }
    let rolling = |forwards: bool| {
        let radius = motor.wheel.map_or(0.0, |d| d.0 / 2000.0);
        rolling_force(robot, situation, forwards) * radius / sharing(robot, situation) as f64
    };
    let turn = |output: f64, torque: f64| {
        if output == 0.0 {
            // Holding: the friction of the gearbox helps.
            let hold = current(motor, torque, -torque.signum()) + motor.no_load.0 * torque.signum();
            return Wish::Turn { speed: 0.0, current: if torque == 0.0 { 0.0 } else { hold } };
        }
        let sign = output.signum();
        Wish::Turn { speed: output * motor.gear_ratio, current: current(motor, torque, sign) }
    };
    match task(robot, situation, part) {
        MotorTask::Off => Wish::Off { turned },
        MotorTask::Stalled { duty } => Wish::Stalled { duty },
        MotorTask::Duty { duty, torque } => {
            let torque = torque.map_or_else(|| rolling(duty >= 0.0) * duty.signum(), |t| t.0.abs());
            Wish::Duty { duty, current: current(motor, torque, 1.0).max(0.0) }
        }
        MotorTask::Torque { torque } => {
            let sign = if torque.0 < 0.0 { -1.0 } else { 1.0 };
            Wish::Duty { duty: sign, current: current(motor, torque.0.abs(), 1.0) }
        }
        MotorTask::Speed { speed, torque } => {
            let radius = motor.wheel.map_or(1.0, |d| d.0 / 2000.0);
            turn(speed.0 / radius, torque.map_or_else(|| rolling(speed.0 >= 0.0), |t| t.0))
        }
        MotorTask::Turning { rpm, torque } => {
            let sign = if rpm < 0.0 { -1.0 } else { 1.0 };
            // A torque opposes the turning unless it is negative: then it drives the motor.
            turn(rpm * std::f64::consts::TAU / 60.0, torque.map_or(0.0, |t| t.0) * sign)
        }
    }
}
