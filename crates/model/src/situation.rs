//! Situations, what loads and motors do in them, and the day.

use crate::element::Activity;
use crate::robot::{PartId, PlugId, SituationId};
use crate::units::*;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Named switch positions, mated plugs, activity and wheel speed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Situation {
    /// Name: `parked`, `show`, `stalled`, `pushed-while-off`, `charging`.
    pub name: String,
    /// What happens in it, for people.
    pub about: String,
    /// Parts whose switches are closed; all others are open.
    pub closed: BTreeSet<PartId>,
    /// Plugs that are pulled; all others are mated.
    pub unplugged: BTreeSet<PlugId>,
    /// Chargers that are powered from outside.
    pub powered: BTreeSet<PartId>,
    /// State of charge of every battery, 0 to 1.
    pub charge: f64,
    /// Air in the body.
    pub ambient: Option<Celsius>,
    /// Speed of the robot over ground.
    pub speed: MetresPerSecond,
    /// Slope it climbs: rise over run, positive uphill.
    pub slope: f64,
    /// What moves it.
    pub moved_by: MovedBy,
    /// What loads do, where it differs from their usual activity.
    pub activity: BTreeMap<PartId, SituationActivity>,
    /// What motors do.
    pub motors: BTreeMap<PartId, MotorTask>,
    /// It lasts long enough for wires to reach their steady temperature.
    pub lasting: bool,
    /// How long it lasts when it is short.
    pub lasts: Option<Seconds>,
}

/// What moves the robot in a situation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MovedBy {
    /// Its own motors: traction motors without a task hold the situation's speed.
    Motors,
    /// Somebody's hands: drivers are off, traction motors turn with the wheels.
    Hand,
}

/// Activity of a load in a situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SituationActivity {
    /// One of its type's activities, by index.
    Named(usize),
    /// Numbers of its own.
    Own(Activity),
}

/// What a motor does in a situation: one of duty, speed or torque is fixed and its load line
/// gives the rest.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MotorTask {
    /// The driver applies this fraction of its supply (-1 to 1); a motor without driver ignores it.
    /// The load is the robot's rolling load for traction motors, else `torque`.
    Duty {
        /// Fraction of the supply, -1 to 1.
        duty: f64,
        /// Torque at the output shaft; `None`: the rolling load for traction motors, else nothing.
        torque: Option<NewtonMetres>,
    },
    /// The output turns this fast; the driver finds the duty.
    Speed {
        /// Speed over ground for a wheel.
        speed: MetresPerSecond,
        /// Torque at the output shaft; `None`: the rolling load.
        torque: Option<NewtonMetres>,
    },
    /// The output turns at this many turns per minute; the driver finds the duty.
    Turning {
        /// Turns per minute of the output.
        rpm: f64,
        /// Torque at the output shaft; `None`: friction only.
        torque: Option<NewtonMetres>,
    },
    /// The output gives this torque at full duty, and turns as fast as it then does.
    Torque {
        /// Torque at the output shaft.
        torque: NewtonMetres,
    },
    /// The output is held fast at this duty.
    Stalled {
        /// Fraction of the supply, -1 to 1.
        duty: f64,
    },
    /// Its driver is off.
    Off,
}

/// One stretch of a day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DayStep {
    /// What happens.
    pub situation: SituationId,
    /// For how long.
    pub time: Seconds,
}
