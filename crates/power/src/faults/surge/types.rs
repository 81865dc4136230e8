//! What this room answers, as plain data.

use loomdeck_model::{PartId, PlugId, SituationId};
use serde::Serialize;

/// A curve: time in s, then a voltage in V or a current in A.
pub type Series = Vec<(f64, f64)>;

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Surge {
    /// Surges: each switch and contactor, then each way of connecting the battery.
    pub events: Vec<SurgeEvent>,
    /// Dips when a motor starts.
    pub dips: Vec<Dip>,
    /// The battery opens while motors brake.
    pub dumps: Vec<LoadDump>,
    /// A contact opens under its largest current.
    pub openings: Vec<Opening>,
    /// The capacitors that were counted, in the robot's order.
    pub capacitors: Vec<CapacitorUsed>,
    /// What is well, with its margin, in whole sentences.
    pub good_news: Vec<String>,
    /// Where the models end, in whole sentences.
    pub validity: Vec<String>,
}

/// What closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Closes {
    /// A switch or stop button.
    Switch,
    /// The contact of a relay or contactor.
    Contactor,
    /// A plug between the battery and the rest, put on with everything else closed.
    Plug,
    /// The last lug on the battery, with everything else closed.
    Lug,
}

/// The surge when one contact closes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SurgeEvent {
    /// What closes.
    pub closes: Closes,
    /// The part that closes, or the battery.
    pub part: Option<PartId>,
    /// The plug that closes.
    pub plug: Option<PlugId>,
    /// Its name.
    pub name: String,
    /// Situation whose switches and charge were taken.
    pub situation: SituationId,
    /// Situation in which a resistor has filled the capacitors before, when there is one.
    pub filled_in: Option<SituationId>,
    /// Open-circuit voltage that drives the surge.
    pub voltage_v: f64,
    /// Capacitance that is charged through the contact: charge over voltage.
    pub capacitance_f: f64,
    /// Largest current through the contact.
    pub peak_a: f64,
    /// When it flows, after closing.
    pub peak_time_s: f64,
    /// Time after which the current stays below 2 % of its peak.
    pub lasts_s: f64,
    /// ∫i²·dt through the contact.
    pub i2t_a2s: f64,
    /// Inductance of the loop that it closes: what drives the current over how fast it rises at first.
    pub loop_h: f64,
    /// Current it may make; `None`: its maker does not say, or it is no switch.
    pub make_a: Option<f64>,
    /// Current it carries for ever; of a plug, one contact's.
    pub rating_a: Option<f64>,
    /// Motors stop when it opens: one that stays closed no longer stops them.
    pub stops_motors: bool,
    /// Every fuse in the way that gets more than a trace.
    pub fuses: Vec<FusePulse>,
    /// Highest voltage at a capacitor's terminals, where it passes what drives it.
    pub overshoot: Option<Overshoot>,
    /// What the sources gave.
    pub source_j: f64,
    /// What became heat: contacts, wires, fuses, the capacitors' own resistance.
    pub heat_j: f64,
    /// What the capacitors hold more than before.
    pub stored_j: f64,
    /// A resistor that would fill the capacitors first.
    pub proposed: Option<PreCharge>,
    /// The resistor that does, as built; `None` also where no situation describes its moment.
    pub present: Option<PreChargeUsed>,
    /// The capacitor that is drawn.
    pub bus: String,
    /// Its voltage.
    pub bus_v: Series,
    /// Current through the contact.
    pub current_a: Series,
    /// Steps of the integrator.
    pub steps: usize,
}

/// What a surge does to a fuse.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FusePulse {
    /// The part it sits in.
    pub part: PartId,
    /// The way.
    pub way: String,
    /// Its rating.
    pub rating_a: f64,
    /// Largest current.
    pub peak_a: f64,
    /// ∫i²·dt of the surge.
    pub i2t_a2s: f64,
    /// What the quickest specimen melts at, from the fast edge of its curve.
    pub melting_a2s: f64,
    /// The surge over the melting, %.
    pub percent: f64,
}

/// Voltage above what drives the surge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Overshoot {
    /// The part.
    pub part: PartId,
    /// Highest voltage.
    pub peak_v: f64,
    /// When.
    pub time_s: f64,
    /// What destroys the part.
    pub limit_v: Option<f64>,
}

/// A resistor that fills the capacitors before the contact closes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PreCharge {
    /// Its value.
    pub ohms: f64,
    /// Current at first.
    pub peak_a: f64,
    /// Heat in it each time: half of what the source gives.
    pub energy_j: f64,
    /// Time until 2 % of the voltage are left: four time constants.
    pub time_s: f64,
    /// Voltage left over the contact by what the modules take at rest.
    pub left_v: f64,
}

/// A pre-charge resistor as built.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PreChargeUsed {
    /// The part.
    pub part: PartId,
    /// Its value.
    pub ohms: f64,
    /// Power it bears for ever.
    pub power_w: f64,
    /// Capacitance that it fills: what lies behind the contact and is empty without it.
    pub farads: f64,
    /// How full the emptiest of them gets, % of what it holds once the contact is closed.
    pub filled_percent: f64,
    /// Heat in it each time, from empty.
    pub energy_j: f64,
    /// Time until 2 % are left, from empty.
    pub time_s: f64,
    /// Heat that goes on in it while it feeds what lies behind, W.
    pub lasting_w: f64,
    /// How long it feeds them at most; `None`: for ever.
    pub lasts_s: Option<f64>,
}

/// Voltage when a motor starts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dip {
    /// The driver.
    pub driver: PartId,
    /// The motors on it, all started at once.
    pub motors: Vec<PartId>,
    /// Situation whose voltages they start from.
    pub situation: SituationId,
    /// Current of the motors, still standing, at the driver's supply.
    pub current_a: f64,
    /// What every part on the battery's rail sees, in the robot's order.
    pub rails: Vec<RailDip>,
    /// The driver's own supply.
    pub driver_v: Series,
    /// Current from the driver's supply.
    pub current: Series,
}

/// The dip at one part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RailDip {
    /// The part.
    pub part: PartId,
    /// Before.
    pub before_v: f64,
    /// Lowest.
    pub lowest_v: f64,
    /// When.
    pub time_s: f64,
    /// What it needs; `None`: not stated.
    pub needs_v: Option<f64>,
    /// Loads behind it that reset with it.
    pub resets: Vec<PartId>,
}

/// The battery's side opens while motors brake.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoadDump {
    /// The driver that feeds back.
    pub driver: PartId,
    /// Supply before.
    pub before_v: f64,
    /// Largest current its motors can give to the supply: a bound.
    pub current_a: f64,
    /// Speed that was taken, m/s.
    pub speed_m_s: f64,
    /// Supply after the first instant: a bound.
    pub peak_v: f64,
    /// What destroys it.
    pub limit_v: f64,
    /// Capacitance that takes it; `None`: not stated.
    pub capacitance_f: Option<f64>,
    /// How fast the supply goes on rising while the motors brake, V/s.
    pub rises_v_s: Option<f64>,
}

/// What a contact must put out when it opens: a bound, no waveform.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Opening {
    /// The part.
    pub part: PartId,
    /// Largest current through it in any situation.
    pub current_a: f64,
    /// Situation.
    pub situation: SituationId,
    /// Inductance of its loop.
    pub inductance_h: f64,
    /// ½·L·I².
    pub energy_j: f64,
    /// What it may break.
    pub break_a: Option<f64>,
}

/// A capacitor that was counted.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CapacitorUsed {
    /// The part.
    pub part: PartId,
    /// Its value.
    pub farads: f64,
    /// Its series resistance.
    pub esr_ohm: f64,
    /// The value is the default for modules that do not state one.
    pub assumed: bool,
}
