//! What a part does electrically.
//!
//! A part type is one or more *elements* between its nodes. A node is a piece of metal inside the
//! part: several terminals may share one (the studs of a bus bar), and elements join nodes (a fuse
//! way joins `feed` and `way-1`). Current is positive into the terminal named first.

use crate::units::*;
use serde::Serialize;

/// A node inside a part type: an index into [`crate::PartType::nodes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct LocalNode(pub usize);

/// One electrical element with its name (unique in the part type; `main` when not given).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Element {
    /// Its name within the part type.
    pub name: String,
    /// What it is.
    pub kind: ElementKind,
}

/// The electrical models.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
#[allow(missing_docs, reason = "each variant wraps a documented type of the same name")]
pub enum ElementKind {
    Battery(Battery),
    Switch(Switch),
    Contactor(Contactor),
    FuseWay(FuseWay),
    Diode(Diode),
    Resistor(Resistor),
    Capacitor(Capacitor),
    Converter(Converter),
    Driver(Driver),
    Motor(Motor),
    Load(Load),
    Charger(Charger),
    Protection(Protection),
    SlipRing(SlipRing),
    Meter(Meter),
    Bus(Bus),
}

impl ElementKind {
    /// The word used for this kind in files.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Battery(_) => "battery",
            Self::Switch(_) => "switch",
            Self::Contactor(_) => "contactor",
            Self::FuseWay(_) => "fuse-way",
            Self::Diode(_) => "diode",
            Self::Resistor(_) => "resistor",
            Self::Capacitor(_) => "capacitor",
            Self::Converter(_) => "converter",
            Self::Driver(_) => "driver",
            Self::Motor(_) => "motor",
            Self::Load(_) => "load",
            Self::Charger(_) => "charger",
            Self::Protection(_) => "protection",
            Self::SlipRing(_) => "slip-ring",
            Self::Meter(_) => "meter",
            Self::Bus(_) => "bus",
        }
    }

    /// Every node the element touches, in its declared order.
    pub fn nodes(&self) -> Vec<LocalNode> {
        match self {
            Self::Battery(e) => vec![e.plus, e.minus],
            Self::Switch(e) => vec![e.a, e.b],
            Self::Contactor(e) => vec![e.coil_plus, e.coil_minus, e.a, e.b],
            Self::FuseWay(e) => vec![e.a, e.b],
            Self::Diode(e) => vec![e.anode, e.cathode],
            Self::Resistor(e) => vec![e.a, e.b],
            Self::Capacitor(e) => vec![e.plus, e.minus],
            Self::Converter(e) => vec![e.in_plus, e.in_minus, e.out_plus, e.out_minus],
            Self::Driver(e) => {
                let mut all = vec![e.plus, e.minus];
                all.extend(e.channels.iter().flat_map(|c| [c.a, c.b]));
                all
            }
            Self::Motor(e) => vec![e.a, e.b],
            Self::Load(e) => vec![e.plus, e.minus],
            Self::Charger(e) => vec![e.plus, e.minus],
            Self::Protection(e) => vec![e.a, e.b],
            Self::SlipRing(e) => e.circuits.iter().flat_map(|c| [c.a, c.b]).collect(),
            Self::Meter(e) => vec![e.plus, e.minus],
            Self::Bus(e) => vec![e.node],
        }
    }
}

/// The chemistry of a battery.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Chemistry {
    /// Lead-acid with liquid electrolyte.
    LeadFlooded,
    /// Lead-acid, absorbent mat.
    LeadAgm,
    /// Lead-acid, gel.
    LeadGel,
    /// Lithium iron phosphate.
    LithiumIronPhosphate,
    /// Lithium with a 3.6-3.7 V cell.
    LithiumIon,
    /// Nickel metal hydride.
    NickelMetalHydride,
}

impl Chemistry {
    /// Any of the lead-acid kinds.
    pub const fn is_lead(self) -> bool {
        matches!(self, Self::LeadFlooded | Self::LeadAgm | Self::LeadGel)
    }
    /// Any of the lithium kinds.
    pub const fn is_lithium(self) -> bool {
        matches!(self, Self::LithiumIronPhosphate | Self::LithiumIon)
    }
}

/// A battery: an open-circuit voltage by state of charge behind a resistance.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Battery {
    /// Positive pole.
    pub plus: LocalNode,
    /// Negative pole.
    pub minus: LocalNode,
    /// Chemistry.
    pub chemistry: Chemistry,
    /// Cells in series (a 12 V lead-acid block has 6).
    pub cells: u32,
    /// Capacity at the rated discharge time.
    pub capacity: AmpereHours,
    /// Hours over which the capacity is stated (20 for most lead-acid, 1 for most lithium).
    pub rated_hours: f64,
    /// Peukert's exponent; 1 for no dependence on the rate.
    pub peukert: f64,
    /// Internal resistance of the whole battery when charged and at 25 °C.
    pub resistance: Ohms,
    /// Open-circuit volts per cell at a state of charge from 0 to 1, rising; at least two points.
    pub open_circuit: Vec<(f64, Volts)>,
    /// Largest continuous discharge current.
    pub discharge_limit: Amperes,
    /// Largest charge current.
    pub charge_limit: Amperes,
    /// Volts per cell under load at which discharge must end.
    pub cut_off_per_cell: Volts,
    /// Highest volts per cell while charging.
    pub charge_voltage_per_cell: Volts,
}

/// A switch, stop button or isolator: closed or open as the situation says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Switch {
    /// One side.
    pub a: LocalNode,
    /// The other side.
    pub b: LocalNode,
    /// Resistance when closed.
    pub closed: Ohms,
    /// Largest continuous current.
    pub rating: Amperes,
    /// Current it may make or break at its DC voltage; `None` when its maker does not say.
    pub make_break: Option<Amperes>,
    /// Highest DC voltage it may break.
    pub voltage: Volts,
}

/// A relay or contactor: closed when its coil has enough voltage.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Contactor {
    /// Coil, positive side.
    pub coil_plus: LocalNode,
    /// Coil, negative side.
    pub coil_minus: LocalNode,
    /// One side of the contact.
    pub a: LocalNode,
    /// The other side.
    pub b: LocalNode,
    /// Resistance of the coil.
    pub coil: Ohms,
    /// Coil voltage that closes it for certain.
    pub pull_in: Volts,
    /// Coil voltage that opens it for certain.
    pub drop_out: Volts,
    /// Highest coil voltage.
    pub coil_max: Volts,
    /// Contact resistance when closed.
    pub closed: Ohms,
    /// Largest continuous contact current.
    pub rating: Amperes,
    /// Current it may make or break at its DC voltage.
    pub make_break: Option<Amperes>,
    /// Highest DC voltage it may break.
    pub voltage: Volts,
    /// The contact is closed while the coil is *not* fed.
    pub normally_closed: bool,
}

/// A place that takes a fuse. The robot says which fuse sits in it; an empty way is open.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FuseWay {
    /// Feed side.
    pub a: LocalNode,
    /// Load side.
    pub b: LocalNode,
    /// Body that fits: a fuse type with the same `form` goes in.
    pub form: String,
    /// Largest continuous current of the holder.
    pub limit: Amperes,
    /// Resistance of the holder's own contacts.
    pub contact: Ohms,
}

/// A fuse type: what goes into a [`FuseWay`]. It is data of a part type without nodes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fuse {
    /// Body, must equal that of the way.
    pub form: String,
    /// Rated current.
    pub rating: Amperes,
    /// Highest voltage it may interrupt.
    pub voltage: Volts,
    /// Largest current it may interrupt.
    pub breaking_capacity: Amperes,
    /// Resistance when cold.
    pub cold: Ohms,
    /// Opening-time band, rising in current.
    pub curve: Vec<FusePoint>,
    /// Colour of the body, in words.
    pub colour: Option<String>,
}

/// One line of a fuse's opening-time table.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FusePoint {
    /// Current as a multiple of the rating (1.35 for 135 %).
    pub multiple: f64,
    /// No specimen opens before this.
    pub fastest: Seconds,
    /// Every specimen has opened by then; `None`: it may never open.
    pub slowest: Option<Seconds>,
}

/// A diode, by points of its forward characteristic.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Diode {
    /// Anode.
    pub anode: LocalNode,
    /// Cathode.
    pub cathode: LocalNode,
    /// Forward voltage at [`Self::at_current`], 25 °C.
    pub forward: Volts,
    /// Current at which the forward voltage is stated.
    pub at_current: Amperes,
    /// Emission coefficient times thermal voltage, i.e. volts per factor e of current.
    pub slope: Volts,
    /// Series resistance.
    pub series: Ohms,
    /// Largest continuous forward current.
    pub rating: Amperes,
    /// Largest reverse voltage.
    pub reverse: Volts,
    /// Kelvin of junction rise per watt, to the air around it.
    pub thermal_k_per_w: Option<f64>,
}

/// A resistor.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Resistor {
    /// One end.
    pub a: LocalNode,
    /// The other.
    pub b: LocalNode,
    /// Value.
    pub ohms: Ohms,
    /// Power it may turn into heat for ever.
    pub power: Watts,
}

/// A capacitor: no current in a steady state; needed for surges and voltage limits.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Capacitor {
    /// Positive end.
    pub plus: LocalNode,
    /// Negative end.
    pub minus: LocalNode,
    /// Value.
    pub farads: Farads,
    /// Equivalent series resistance.
    pub esr: Ohms,
    /// Rated voltage.
    pub voltage: Volts,
}

/// A DC to DC converter that steps down: regulates its output, takes constant power at its input.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Converter {
    /// Input, positive.
    pub in_plus: LocalNode,
    /// Input, negative.
    pub in_minus: LocalNode,
    /// Output, positive.
    pub out_plus: LocalNode,
    /// Output, negative (often the same node as the input's).
    pub out_minus: LocalNode,
    /// Lowest input voltage at which it runs.
    pub window_low: Volts,
    /// Highest input voltage at which it runs.
    pub window_high: Volts,
    /// Input voltage that destroys it.
    pub absolute_max: Volts,
    /// Regulated output.
    pub output: Volts,
    /// Output current limit; beyond it the output voltage falls.
    pub limit: Amperes,
    /// Input must exceed the output by this, or the output follows the input down. `None` for
    /// converters that also step up.
    pub drop_out: Option<Volts>,
    /// Efficiency at a fraction of the limit, rising in fraction; at least one point.
    pub efficiency: Vec<(f64, f64)>,
    /// Input power at no load.
    pub idle: Watts,
    /// Input capacitance, for surges.
    pub input_capacitance: Option<Farads>,
    /// What it does when its output is shorted.
    pub shorted: Shorted,
}

/// A motor driver: one or more H-bridges fed from one bus.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Driver {
    /// Supply, positive.
    pub plus: LocalNode,
    /// Supply, negative.
    pub minus: LocalNode,
    /// The bridges.
    pub channels: Vec<Channel>,
    /// Lowest supply voltage at which it runs.
    pub window_low: Volts,
    /// Highest supply voltage at which it runs.
    pub window_high: Volts,
    /// Supply voltage that destroys it.
    pub absolute_max: Volts,
    /// Continuous current of one channel.
    pub continuous: Amperes,
    /// Peak current of one channel, where it limits.
    pub peak: Amperes,
    /// Resistance of the two closed transistors of a bridge.
    pub on_resistance: Ohms,
    /// Forward voltage of one of its body diodes at the continuous current.
    pub body_diode: Volts,
    /// Current it takes for itself.
    pub idle: Amperes,
    /// Supply capacitance, for surges and regeneration.
    pub capacitance: Option<Farads>,
    /// What it does when its commands cease; `None` when its maker does not say.
    pub signal_loss: Option<SignalLoss>,
    /// What it does when an output is shorted.
    pub shorted: Shorted,
}

/// What a source with a limit of its own does into a short.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shorted {
    /// It gives its limit for as long as the short lasts: taken when nothing is stated.
    #[default]
    Holds,
    /// It switches off at once, and stays off until somebody switches it on again.
    Trips,
}

/// What something does when what commands it falls silent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SignalLoss {
    /// It lets the motors stand.
    Stops,
    /// It goes on with the last command.
    Holds,
    /// It gives no command any more, and what it commands decides.
    Silent,
}

/// One H-bridge of a driver.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Channel {
    /// Its name (`left`, `right`).
    pub name: String,
    /// Output, positive at positive duty.
    pub a: LocalNode,
    /// The other output.
    pub b: LocalNode,
}

/// A brushed DC motor with permanent magnets, with its gearbox and perhaps a wheel.
///
/// v = i·R + k·ω and torque = k·(i − i₀), all at the motor's own shaft; k in V·s/rad equals k in
/// N·m/A.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Motor {
    /// Positive lead.
    pub a: LocalNode,
    /// Negative lead.
    pub b: LocalNode,
    /// Winding resistance with brushes.
    pub resistance: Ohms,
    /// k: volt seconds per radian = newton metres per ampere.
    pub constant: f64,
    /// No-load current (friction as a current).
    pub no_load: Amperes,
    /// Turns of the motor for one of the output; 1 without gearbox.
    pub gear_ratio: f64,
    /// Efficiency of the gearbox, 0 to 1.
    pub gear_efficiency: f64,
    /// The load can turn the motor through the gearbox.
    pub back_drivable: bool,
    /// Diameter of the wheel on the output; `Some` makes it a traction motor.
    pub wheel: Option<Millimetres>,
    /// Current it may carry for ever.
    pub continuous: Amperes,
    /// Nominal voltage.
    pub nominal: Volts,
}

/// What a load takes, as a law.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LoadLaw {
    /// The same current at any voltage (linear regulators, LED strings with current sinks).
    Current,
    /// The same power at any voltage (whatever has a switching regulator inside).
    Power,
    /// A fixed resistance (lamps, heaters), stated by its current at the nominal voltage.
    Resistance,
}

/// A load, with what it takes in each activity.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Load {
    /// Positive supply.
    pub plus: LocalNode,
    /// Negative supply.
    pub minus: LocalNode,
    /// The law.
    pub law: LoadLaw,
    /// Voltage at which the activities' currents are stated.
    pub nominal: Volts,
    /// Below this it resets, dims or forgets.
    pub brown_out: Volts,
    /// Above this it is destroyed.
    pub damage: Volts,
    /// Its activities.
    pub activities: Vec<Activity>,
    /// Index into `activities` of the one used when a situation does not name one.
    pub usual: usize,
    /// Supply capacitance, for surges.
    pub capacitance: Option<Farads>,
}

/// What a load takes while it does one thing. Energy uses the mean, heating the rms, sag the peak.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Activity {
    /// Its name: `idle`, `loud`, `moving`, `jammed`.
    pub name: String,
    /// Mean current at nominal voltage.
    pub mean: Amperes,
    /// Root of the mean square of the current.
    pub rms: Amperes,
    /// Highest current that lasts long enough to matter.
    pub peak: Amperes,
    /// How long the peak lasts each time.
    pub peak_time: Seconds,
}

/// A charger: constant current up to a constant voltage, only where a situation says it is powered.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Charger {
    /// Positive output.
    pub plus: LocalNode,
    /// Negative output.
    pub minus: LocalNode,
    /// Current in the first phase.
    pub current: Amperes,
    /// Voltage it holds in the second phase.
    pub voltage: Volts,
    /// Made for this chemistry.
    pub chemistry: Chemistry,
}

/// A battery-management system's switch: closed until a limit is passed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Protection {
    /// Battery side.
    pub a: LocalNode,
    /// Load side.
    pub b: LocalNode,
    /// Resistance while closed.
    pub closed: Ohms,
    /// Discharge current at which it opens.
    pub discharge_limit: Amperes,
    /// Charge current at which it opens.
    pub charge_limit: Amperes,
    /// Continuous rating.
    pub rating: Amperes,
    /// Voltage of the whole battery below which it opens; `None`: it does not watch the voltage.
    pub opens_below: Option<Volts>,
    /// Voltage of the whole battery above which it opens; `None`: it does not watch the voltage.
    pub opens_above: Option<Volts>,
}

/// Circuits that turn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SlipRing {
    /// Its circuits.
    pub circuits: Vec<Circuit>,
    /// Resistance of one circuit.
    pub resistance: Ohms,
    /// Largest current of one circuit.
    pub rating: Amperes,
    /// Highest voltage.
    pub voltage: Volts,
}

/// One circuit of a slip ring.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Circuit {
    /// Standing side.
    pub a: LocalNode,
    /// Turning side.
    pub b: LocalNode,
}

/// A meter: takes a little current for itself.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Meter {
    /// Positive supply.
    pub plus: LocalNode,
    /// Negative supply.
    pub minus: LocalNode,
    /// Current it takes.
    pub current: Amperes,
    /// Highest voltage.
    pub voltage: Volts,
}

/// A bus bar: all its studs are one node, with one current limit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bus {
    /// The node.
    pub node: LocalNode,
    /// Largest total current.
    pub rating: Amperes,
}
