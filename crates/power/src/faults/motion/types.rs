//! What this room worked out, as plain data.

use loomdeck_model::{PartId, WireId};
use serde::Serialize;

/// Motors as generators.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Motion {
    /// Fastest push looked at, as the builder stated it.
    pub push_speed_m_s: f64,
    /// Steepest slope looked at, rise over run in percent.
    pub steepest_percent: f64,
    /// Mass of the robot, when it is stated.
    pub mass_kg: Option<f64>,
    /// Every motor: what turns it back, and what it gives.
    pub motors: Vec<TurnedMotor>,
    /// Pushed by hand: one for each position of the switches, with and without the battery.
    pub pushes: Vec<Push>,
    /// Commanded braking; `None` when nothing can be braked.
    pub braking: Option<Braking>,
    /// The battery's side opening while braking, by what opens.
    pub dumps: Vec<Dump>,
    /// Left alone on the steepest slope, switched off; `None` when mass or slope is not known.
    pub slope: Option<Rolling>,
    /// Where these models end.
    pub validity: Vec<String>,
    /// What is well, with its margin.
    pub good_news: Vec<String>,
}

/// A motor and what happens when something turns it from outside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TurnedMotor {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// The load turns it through its gearbox.
    pub turns_back: bool,
    /// In words.
    pub told: String,
    /// Open-circuit voltage for each metre a second of the robot; wheels only.
    pub volts_per_m_s: Option<f64>,
    /// Braking force at the rim for each metre a second with the windings shorted; wheels only.
    pub shorted_n_per_m_s: Option<f64>,
    /// Turns a minute of its output at which its driver's absolute maximum is passed with nothing to
    /// take the current: open-circuit voltage less two diode drops.
    pub damage_rpm: Option<f64>,
}

/// Pushed by hand in one position of the switches.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Push {
    /// `switched off`, `switched on`, or the name of a situation.
    pub name: String,
    /// A battery takes part; otherwise every way to it is cut, as by a blown fuse or a pulled plug.
    pub with_battery: bool,
    /// At each speed.
    pub points: Vec<PushPoint>,
    /// The supply of every driver.
    pub buses: Vec<BusSeries>,
    /// What passes its limit within the stated speed, the first to do so first.
    pub victims: Vec<Victim>,
    /// What wakes up, the first to do so first.
    pub wakes: Vec<Wake>,
    /// Diodes of their own that carry or block, at the stated speed.
    pub diodes: Vec<DiodeStress>,
    /// Wires on which the motors' current flows at the stated speed.
    pub way: Vec<WayWire>,
    /// Fuses on that way.
    pub fuses: Vec<WayFuse>,
}

/// One speed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PushPoint {
    /// Speed over ground.
    pub speed_m_s: f64,
    /// Force at the rims that the builder feels, rolling included.
    pub force_n: f64,
    /// Deceleration by it; `None` without a mass.
    pub deceleration_m_s2: Option<f64>,
    /// Current all motors give together.
    pub generated_a: f64,
    /// Current into all batteries together beyond what flows at rest.
    pub into_battery_a: f64,
}

/// Supply voltage of a driver against speed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BusSeries {
    /// The driver.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Pairs of speed in m/s and voltage in V.
    pub series: Vec<(f64, f64)>,
    /// Highest supply at which it runs.
    pub window_high_v: f64,
    /// Supply that destroys it.
    pub absolute_max_v: f64,
}

/// What passes its limit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Victim {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// `absolute maximum`, `damage voltage`, `rated voltage`, `window`.
    pub limit: &'static str,
    /// The limit.
    pub limit_v: f64,
    /// Speed at which it is passed.
    pub at_m_s: f64,
    /// Voltage at the stated speed.
    pub reached_v: f64,
    /// It is a driver.
    pub driver: bool,
}

/// Something that comes alive while pushed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wake {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Slowest speed looked at, at which it has enough voltage.
    pub at_m_s: f64,
    /// Voltage at the stated speed.
    pub reached_v: f64,
    /// It is a motor's driver.
    pub driver: bool,
}

/// What a diode bears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DiodeStress {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Forward current.
    pub current_a: f64,
    /// Its rating.
    pub rating_a: f64,
    /// Forward voltage.
    pub forward_v: f64,
    /// Junction temperature; `None`: its thermal resistance is not known.
    pub junction_c: Option<f64>,
    /// Reverse voltage; `None`: what lies on its two sides has nothing to do with each other.
    pub reverse_v: Option<f64>,
    /// What it blocks at most.
    pub reverse_limit_v: f64,
}

/// A wire that the motors' current takes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WayWire {
    /// The wire.
    pub wire: WireId,
    /// Its name.
    pub name: String,
    /// Current.
    pub current_a: f64,
    /// No fuse lies between it and a battery's pole.
    pub unfused: bool,
}

/// A fuse that the motors' current goes through.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WayFuse {
    /// The part it sits in.
    pub part: PartId,
    /// Its name with the way.
    pub name: String,
    /// Current.
    pub current_a: f64,
    /// Rating.
    pub rating_a: f64,
}

/// Commanded braking: the bridges boost the motors' voltage onto the bus.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Braking {
    /// Its switches are those of this situation.
    pub situation: String,
    /// At each speed, with the currents that give most back.
    pub points: Vec<BrakePoint>,
    /// What the battery accepts.
    pub charge_limit_a: Option<f64>,
    /// Name of that battery.
    pub battery: Option<PartId>,
    /// Lowest charge current at which a protection opens.
    pub protection_a: Option<f64>,
    /// The part with that protection.
    pub protection: Option<PartId>,
    /// The driver whose window or absolute maximum the bus comes nearest to.
    pub driver: Option<PartId>,
    /// Steady down the steepest slope at its own speed: current into the battery (negative: out of it).
    pub downhill_a: Option<f64>,
    /// That speed.
    pub downhill_m_s: f64,
}

/// One speed of braking.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BrakePoint {
    /// Speed.
    pub speed_m_s: f64,
    /// Bus of the driver that is nearest to its limit.
    pub bus_v: f64,
    /// Current into the battery; negative: the consumers take more than the motors give.
    pub into_battery_a: f64,
    /// Power the motors put into their drivers.
    pub power_w: f64,
    /// Force at the rims, rolling included.
    pub force_n: f64,
}

/// The battery's side opens while the robot brakes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dump {
    /// What opens.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// `switch`, `contactor`, `fuse`, `protection`.
    pub what: &'static str,
    /// The motors' current still finds a way to a battery.
    pub way_left: bool,
    /// Kinetic energy that can come back, after the gearbox.
    pub energy_j: f64,
    /// Capacitance left on the bus.
    pub farads_f: f64,
    /// Voltage before.
    pub start_v: f64,
    /// Bound: all of it in the capacitors.
    pub bound_v: f64,
    /// The driver.
    pub driver: PartId,
    /// Its absolute maximum.
    pub absolute_max_v: f64,
    /// Time in which the strongest braking lifts the bus to the driver's window; `None` when it does not.
    pub to_window_s: Option<f64>,
    /// And to its absolute maximum.
    pub to_damage_s: Option<f64>,
    /// Voltage by the body diodes alone, once the driver has stopped switching; `None`: it was not solved.
    pub by_diodes_v: Option<f64>,
}

/// Rolling away on a slope.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rolling {
    /// The slope.
    pub slope_percent: f64,
    /// Pull of gravity along it.
    pub pull_n: f64,
    /// What holds it at rest: rolling resistance, motors and gearboxes.
    pub hold_n: f64,
    /// Speed at which drag and pull balance; `None` when it stands.
    pub settles_m_s: Option<f64>,
    /// It goes faster and faster: no speed that was looked at balances the pull.
    pub endless: bool,
    /// The same with the windings of all wheels shorted.
    pub shorted_m_s: Option<f64>,
}
