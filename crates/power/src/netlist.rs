//! The network of one situation as plain numbers: what the solver solves, and what is handed to an
//! independent solver for comparison. It holds no reference to the robot.
//!
//! Voltages are node voltages; a current of a two-ended element flows through it from `a` to `b`.

use serde::Serialize;

/// A network: named nodes and elements with every parameter as a number.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Netlist {
    /// Names of the nodes.
    pub nodes: Vec<String>,
    /// The elements.
    pub items: Vec<Item>,
}

/// An element with its name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Item {
    /// Its name.
    pub name: String,
    /// Takes part in the solution. Elements that nothing feeds, or that are switched off, carry no
    /// current.
    pub active: bool,
    /// What it is.
    #[serde(flatten)]
    pub device: Device,
}

/// The laws of the elements.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "law", rename_all = "kebab-case")]
pub enum Device {
    /// Wire, contact, fuse, switch, resistor, coil or battery: v(a) − v(b) + emf = R·i.
    Branch {
        /// From.
        a: usize,
        /// To.
        b: usize,
        /// Resistance.
        resistance_ohm: f64,
        /// Electromotive force, driving current from `a` to `b`.
        emf_v: f64,
    },
    /// Diode: v(a) − v(b) = u + R·i with i = Is·(exp(u/slope) − 1) + leak·u.
    Diode {
        /// Anode.
        a: usize,
        /// Cathode.
        b: usize,
        /// Is.
        saturation_a: f64,
        /// Volts per factor e.
        slope_v: f64,
        /// R.
        series_ohm: f64,
        /// Leakage, siemens.
        leak_s: f64,
    },
    /// Load, see [`LoadKind`].
    Load {
        /// Positive.
        a: usize,
        /// Negative.
        b: usize,
        /// Its law.
        kind: LoadKind,
        /// Current at the nominal voltage.
        current_a: f64,
        /// Nominal voltage.
        nominal_v: f64,
        /// What it takes besides in proportion to the voltage, siemens, at any fraction of load.
        bleed_s: f64,
    },
    /// Converter. The output current i lies between 0 and the limit; while it lies strictly
    /// between, the output voltage is min(output, input − drop-out). The input takes
    /// v_out·i + loss(i), with the loss interpolated between its points, at constant power: the
    /// current is power/v above `floor_v` and power·v/floor_v² below.
    Converter {
        /// Input, positive.
        in_plus: usize,
        /// Input, negative.
        in_minus: usize,
        /// Output, positive.
        out_plus: usize,
        /// Output, negative.
        out_minus: usize,
        /// Regulated output.
        output_v: f64,
        /// Output current limit.
        limit_a: f64,
        /// Least difference of input and output; none for those that also step up.
        drop_out_v: Option<f64>,
        /// Loss in W at output currents in A, rising in current, first at 0 A. Beyond the last
        /// point in proportion to the current.
        loss: Vec<(f64, f64)>,
        /// Input voltage below which it no longer holds its power.
        floor_v: f64,
        /// What its own feedback takes from the output, siemens.
        bleed_s: f64,
    },
    /// Bridge of a driver: v(a) − v(minus) = max(D, 0)·v_bus − i_a·R/2 and
    /// v(b) − v(minus) = max(−D, 0)·v_bus + i_b·R/2, with i_a out of `a` and i_b into `b`; from
    /// `plus` flows max(D, 0)·i_a − max(−D, 0)·i_b, the rest through `minus`.
    Channel {
        /// Supply, positive.
        plus: usize,
        /// Supply, negative.
        minus: usize,
        /// Output.
        a: usize,
        /// Output.
        b: usize,
        /// Resistance of the two closed transistors.
        on_ohm: f64,
        /// The motor on it, as an index into [`Netlist::items`].
        motor: Option<usize>,
        /// How D is found.
        duty: Duty,
    },
    /// Motor, see [`MotorKind`].
    Motor {
        /// Positive lead.
        a: usize,
        /// Negative lead.
        b: usize,
        /// Winding.
        resistance_ohm: f64,
        /// Its law.
        kind: MotorKind,
    },
    /// Charger: current between 0 and `current_a`; while strictly between, its voltage is `voltage_v`.
    Charger {
        /// Positive.
        plus: usize,
        /// Negative.
        minus: usize,
        /// Current limit.
        current_a: f64,
        /// Voltage it holds.
        voltage_v: f64,
    },
}

/// Laws of loads. Below zero volts all act as the resistance nominal/current.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LoadKind {
    /// i = I above [`KNEE`] of the nominal voltage, in proportion below.
    Current,
    /// i = P/v above [`KNEE`] of the nominal voltage, P·v/knee² below.
    Power,
    /// i = v·I/nominal.
    Resistance,
}

/// Fraction of the nominal voltage below which loads of constant current or power act as resistors:
/// nothing electronic works there, and the law must pass through the origin.
pub const KNEE: f64 = 0.05;

/// How a bridge finds its duty.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "duty", rename_all = "kebab-case")]
pub enum Duty {
    /// This one, less when the current of `a` reaches the peak.
    Fixed {
        /// −1 to 1.
        value: f64,
        /// Current it holds at most.
        peak_a: f64,
    },
    /// Whatever gives the motor its wanted electromotive force, between −1 and 1.
    Find {
        /// 1 when the motor's `a` hangs on the bridge's `a`, −1 when crossed.
        sense: f64,
    },
}

/// Laws of motors.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "motor", rename_all = "kebab-case")]
pub enum MotorKind {
    /// Turned from outside, or held (`emf_v` zero): i = (v − emf)/R.
    Turned {
        /// k·ω.
        emf_v: f64,
    },
    /// Turns as it can against a torque: i = v/R up to ±this current, then constant.
    Loaded {
        /// Torque as current, with friction; positive.
        current_a: f64,
    },
    /// Its speed is held by its driver. When the torque opposes the turning (`current_a` and
    /// `emf_v` of one sign) it behaves as `Loaded`; when the load drives the motor it gives this
    /// current whatever the voltage.
    Driven {
        /// Torque as current, with friction; signed.
        current_a: f64,
        /// k·ω at the wanted speed.
        emf_v: f64,
    },
}

/// The network of a situation with its solution.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Exported {
    /// Name of the situation.
    pub situation: String,
    /// Fraction of full load at which it is solved: factor on load currents, on the torque
    /// currents of motors and on fixed duties.
    pub fraction: f64,
    /// The network.
    #[serde(flatten)]
    pub netlist: Netlist,
    /// Nodes held at zero volts, one in each part of the network.
    pub references: Vec<usize>,
    /// Node voltages found; `null` where nothing feeds.
    pub voltages_v: Vec<Option<f64>>,
    /// Current of every item found, from `a` to `b` (converters and chargers: output; bridges: out
    /// of `a`).
    pub currents_a: Vec<f64>,
}
