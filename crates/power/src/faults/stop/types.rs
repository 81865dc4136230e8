//! What this room worked out, as plain data.

use crate::faults::motion::drag::Coast;
use loomdeck_model::PartId;
use serde::Serialize;

/// What stops the robot, and what does not.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Stopping {
    /// Speed from which it coasts: the fastest its situations drive it.
    pub speed_m_s: f64,
    /// Steepest slope, rise over run in percent.
    pub steepest_percent: f64,
    /// Everything that can move.
    pub movers: Vec<Mover>,
    /// Each switch, plug, coil and the radio link, in each position of the switches in which something
    /// moves.
    pub rows: Vec<StopRow>,
    /// Switches that take the power of all motors by hardware alone.
    pub hardware: Vec<String>,
    /// Single failures that defeat a stop.
    pub failures: Vec<Failure>,
    /// Where these models end.
    pub validity: Vec<String>,
    /// What is well.
    pub good_news: Vec<String>,
}

/// Something that can move.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Mover {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// It drives a wheel.
    pub wheel: bool,
    /// It is a motor, rather than a consumer that moves while it is fed.
    pub motor: bool,
}

/// What stops something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum StopKind {
    /// A switch or stop button is opened.
    Switch,
    /// The coil of a relay or contactor loses its supply.
    Coil,
    /// A plug is pulled.
    Plug,
    /// The radio link is lost.
    Radio,
}

/// One way of stopping.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StopRow {
    /// What kind.
    pub kind: StopKind,
    /// Name of the switch, coil, plug or receiver.
    pub name: String,
    /// The first situation with these switches.
    pub situation: String,
    /// What can no longer move.
    pub stopped: Vec<String>,
    /// What can still move: its driver runs, or it is fed.
    pub moving: Vec<String>,
    /// Other consumers that lose their supply.
    pub dark: Vec<String>,
    /// Other consumers that stay alive.
    pub live: Vec<String>,
    /// How the robot coasts on the level; `None`: its wheels stay driven, its mass is not known, or it is a
    /// plug that is pulled.
    pub flat: Option<Coast>,
    /// And down the steepest slope.
    pub slope: Option<Coast>,
    /// Current the motors give at the start, A.
    pub generated_a: f64,
    /// Highest supply of a driver meanwhile, V.
    pub bus_v: f64,
    /// The motors lose only their return: their positive side stays joined to the battery.
    pub return_only: bool,
    /// In words.
    pub told: String,
}

/// A single failure that defeats a stop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Failure {
    /// What fails, in words.
    pub what: String,
    /// The part that fails.
    pub part: PartId,
    /// The stop it defeats.
    pub defeats: String,
    /// What can then still move.
    pub moving: Vec<String>,
    /// Switches that take the motors' power even so.
    pub left: Vec<String>,
}
