//! What this crate answers: plain data, in the robot's order, for findings, book and screens.

use crate::netlist::Exported;
use loomdeck_model::units::*;
use loomdeck_model::wire::Gauge;
use loomdeck_model::{Landing, PartId, PlugId, SituationId, TypeId, WireId};
use serde::Serialize;

/// Everything that follows from the wiring and the situations.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PowerStudy {
    /// One per situation, in the robot's order.
    pub situations: Vec<SituationResult>,
    /// One per fuse way, in the order of parts and ways.
    pub fuses: Vec<FuseResult>,
    /// The day, when the robot describes one and has a battery.
    pub day: Option<DayResult>,
    /// What is left everywhere, in order of kind and robot.
    pub spare: Vec<SpareRow>,
    /// Wires that no fuse protects against a short circuit at their far end.
    pub unfused: Vec<UnfusedWire>,
    /// What is well, with its margin, in whole sentences.
    pub good_news: Vec<String>,
}

impl PowerStudy {
    /// The hottest a wire gets in any situation, with the situation.
    pub fn hottest(&self, wire: WireId) -> Option<(SituationId, &WireResult)> {
        self.situations
            .iter()
            .map(|s| (s.situation, &s.wires[wire.0]))
            .filter(|(_, w)| w.temperature.is_some())
            .max_by(|a, b| {
                a.1.temperature.partial_cmp(&b.1.temperature).unwrap_or(std::cmp::Ordering::Equal)
            })
    }
}

/// The state of the robot in one situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SituationResult {
    /// Which.
    pub situation: SituationId,
    /// How far the solution got.
    pub outcome: Outcome,
    /// How far it gets when every load is at its peak at once.
    pub peak_outcome: Outcome,
    /// One per wire, in the robot's order.
    pub wires: Vec<WireResult>,
    /// One per landing that exists, parts first, then plugs, in the robot's order.
    pub terminals: Vec<TerminalResult>,
    /// One per part, in the robot's order.
    pub parts: Vec<PartResult>,
    /// One per mated contact with a wire on both halves.
    pub contacts: Vec<ContactResult>,
    /// Groups of terminals that nothing feeds although something on them wants power.
    pub unfed: Vec<UnfedIsland>,
    /// Paths from a source to a load and back, with their loss.
    pub drops: Vec<DropResult>,
    /// Power delivered by all sources less everything turned into heat, work or charge; W. A
    /// check of the solution: zero but for rounding.
    pub balance_w: f64,
    /// Sum of the power of all sources that deliver, W: what `balance_w` is to be held against.
    pub turnover_w: f64,
}

/// How far the solution of a situation got.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "outcome", rename_all = "kebab-case")]
pub enum Outcome {
    /// At full load.
    Solved,
    /// The branch continued from no load ends before full load; the figures are those at
    /// `fraction` of it.
    Ends {
        /// Fraction of every load at which it ends, 0 to 1.
        fraction: f64,
        /// The part that drops out there.
        part: Option<PartId>,
        /// What it does.
        how: EndOfBranch,
    },
    /// A contact that closes starves its own coil, opens, and so on.
    Chatters {
        /// The part with the contact.
        part: PartId,
    },
    /// The equations have no solution at all.
    Unsolved {
        /// The part or terminal at which the equations break down.
        at: String,
    },
}

/// Why a branch ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum EndOfBranch {
    /// More power is asked for than the path can carry: the voltage collapses.
    Collapses,
    /// It is a converter at its limit, and what hangs on it takes constant power: as the voltage sinks
    /// it asks for still more current.
    Limits,
    /// Its supply falls below its window.
    DropsOut,
    /// Its protection opens.
    Opens,
    /// Its contact loses its coil and closes again.
    Chatters,
}

/// A wire in a situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WireResult {
    /// Which.
    pub wire: WireId,
    /// Something feeds it.
    pub fed: bool,
    /// Mean current, positive from `from` to `to`.
    pub current: Amperes,
    /// What heats it.
    pub rms: Amperes,
    /// With every load at its peak at once; signed.
    pub peak: Amperes,
    /// Mean voltage from `from` to `to`.
    pub drop: Volts,
    /// Resistance at its temperature.
    pub resistance: Ohms,
    /// Heat in it.
    pub power: Watts,
    /// Conductor temperature at the end of the situation; `None` outside the model's validity.
    pub temperature: Option<Celsius>,
    /// Temperature it would settle at; the same when the situation lasts.
    pub settled: Option<Celsius>,
    /// Surface of its insulation.
    pub surface: Option<Celsius>,
    /// Air around it.
    pub ambient: Celsius,
    /// Time after which it has gone 63 % of the way to a new temperature.
    pub time_constant: Seconds,
    /// Wires tied together with it where it is hottest, itself included.
    pub bundled: usize,
}

/// Voltage of a landing against the negative pole of the battery that feeds it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TerminalResult {
    /// Which.
    pub landing: Landing,
    /// `heart.plus`, `left-leg.board.3`.
    pub name: String,
    /// `None`: nothing feeds it.
    pub voltage: Option<Volts>,
    /// Current of all wires on it, out of the part.
    pub current: Amperes,
    /// Hottest conductor on it.
    pub temperature: Option<Celsius>,
}

/// A part in a situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartResult {
    /// Which.
    pub part: PartId,
    /// Electrical power into its terminals less power out of them.
    pub power: Watts,
    /// What leaves it as electricity.
    pub power_out: Watts,
    /// What leaves it as turning.
    pub work: Watts,
    /// What stays in it as heat.
    pub heat: Watts,
    /// One per element, in the type's order.
    pub elements: Vec<ElementResult>,
}

/// An element of a part in a situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
#[allow(missing_docs, reason = "fields carry their unit; signs are the element's own")]
pub enum ElementResult {
    /// Nothing feeds it.
    Unfed,
    /// A battery; positive current is discharge.
    Battery { current: Amperes, peak: Amperes, voltage: Volts, charge: f64 },
    /// A switch, contact, protection, fuse way, resistor: one current through it.
    Path { current: Amperes, rms: Amperes, peak: Amperes, voltage: Volts, closed: bool },
    /// The contact of a relay with its coil.
    Contactor { current: Amperes, rms: Amperes, coil_voltage: Volts, closed: bool },
    /// A diode.
    Diode { current: Amperes, voltage: Volts },
    /// A converter.
    Converter {
        input_voltage: Volts,
        input_current: Amperes,
        output_voltage: Volts,
        output_current: Amperes,
        peak_output_current: Amperes,
        state: ConverterState,
    },
    /// A driver.
    Driver {
        voltage: Volts,
        peak_voltage: Volts,
        current: Amperes,
        running: bool,
        channels: Vec<ChannelResult>,
    },
    /// A motor.
    Motor {
        voltage: Volts,
        current: Amperes,
        turning_rpm: f64,
        wanted_rpm: Option<f64>,
        speed: Option<MetresPerSecond>,
        torque: NewtonMetres,
        stalled: bool,
        held_by_gearbox: bool,
    },
    /// A load.
    Load {
        voltage: Volts,
        current: Amperes,
        rms: Amperes,
        peak_voltage: Volts,
        peak: Amperes,
        activity: String,
    },
    /// A charger.
    Charger { voltage: Volts, current: Amperes, at_current_limit: bool },
    /// A slip ring, by circuit.
    SlipRing { currents: Vec<Amperes>, rms: Vec<Amperes> },
    /// A meter.
    Meter { voltage: Volts, current: Amperes },
    /// A bus bar: sum of what flows in.
    Bus { voltage: Volts, current: Amperes, rms: Amperes },
    /// A capacitor.
    Capacitor { voltage: Volts },
}

/// What a converter does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ConverterState {
    /// Holds its output voltage.
    Regulating,
    /// Input too low: the output follows it.
    Following,
    /// Holds its output current.
    Limiting,
    /// Input outside its window.
    Off,
}

/// A bridge of a driver.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChannelResult {
    /// Its name.
    pub name: String,
    /// Fraction of the supply it applies; `None` while off.
    pub duty: Option<f64>,
    /// Current out of `a`.
    pub current: Amperes,
    /// The duty has reached its end and the motor turns slower than wanted.
    pub saturated: bool,
    /// It holds its peak current.
    pub limiting: bool,
}

/// A mated contact.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ContactResult {
    /// Which plug.
    pub plug: PlugId,
    /// Contact, from 1.
    pub contact: u32,
    /// From the board to the body.
    pub current: Amperes,
    /// What heats it.
    pub rms: Amperes,
}

/// Terminals that nothing feeds although something on them wants power.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UnfedIsland {
    /// Parts that want power from it.
    pub parts: Vec<PartId>,
    /// Its landings.
    pub landings: Vec<Landing>,
}

/// The way from a source to a consumer and back.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DropResult {
    /// The consumer.
    pub part: PartId,
    /// What feeds it: a battery, a converter or a charger.
    pub fed_by: PartId,
    /// Wires of the way there and back.
    pub wires: Vec<WireId>,
    /// Voltage at the source of its rail.
    pub source: Volts,
    /// Voltage at the consumer.
    pub at_part: Volts,
    /// Loss both ways, as a fraction of the source's.
    pub fraction: f64,
    /// Limit that applies.
    pub limit: f64,
    /// The wire that loses most of it.
    pub worst_wire: Option<WireId>,
    /// What that wire loses.
    pub worst_drop: Volts,
}

/// A fuse way with its window.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FuseResult {
    /// The part.
    pub part: PartId,
    /// The element's name.
    pub way: String,
    /// The fuse in it; `None`: empty.
    pub fuse: Option<TypeId>,
    /// Its rating.
    pub rating: Option<Amperes>,
    /// Wires, contacts and terminals it protects: downstream up to the next fuse.
    pub wires: Vec<WireId>,
    /// Wires of which it can keep off an overload but no short circuit, because they lie between the
    /// source and this first fuse; and the return that everything it feeds has in common.
    pub before: Vec<WireId>,
    /// Largest mean current in any situation.
    pub mean: Amperes,
    /// Largest rms current in any situation.
    pub rms: Amperes,
    /// Largest current of short duration, with that duration.
    pub peak: Amperes,
    /// How long the peak lasts.
    pub peak_time: Seconds,
    /// Situation of the largest current.
    pub situation: Option<SituationId>,
    /// Smallest standard rating that carries it, and why that.
    pub smallest: Option<Amperes>,
    /// Why.
    pub smallest_because: String,
    /// Largest standard rating that still protects everything downstream.
    pub largest: Option<Amperes>,
    /// Why.
    pub largest_because: String,
    /// The wire that sets the upper end.
    pub weakest: Option<WireId>,
    /// Wires that the fuse in it, or the smallest that carries, does not protect.
    pub thin: Vec<ThinWire>,
    /// Prospective current of a short circuit right behind it.
    pub prospective: Amperes,
    /// Highest voltage across it in any situation when open.
    pub voltage: Volts,
    /// For the plot.
    pub curves: FuseCurves,
}

/// A wire that a fuse does not protect.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ThinWire {
    /// Which.
    pub wire: WireId,
    /// Size that the fuse in place would protect; `None`: none on sale, or the fuse is no trouble.
    pub for_fuse: Option<Gauge>,
    /// Size that the smallest sufficient fuse would protect.
    pub for_smallest: Option<Gauge>,
}

/// Curves of a fuse against what it protects; pairs are (current in A, time in s).
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct FuseCurves {
    /// No specimen opens before.
    pub fastest: Vec<(f64, f64)>,
    /// Every specimen has opened by then.
    pub slowest: Vec<(f64, f64)>,
    /// How long the weakest wire bears a current.
    pub withstand: Vec<(f64, f64)>,
    /// What it has to carry: current, time, name.
    pub loads: Vec<LoadPoint>,
}

/// A current that a fuse must carry for a time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoadPoint {
    /// Current.
    pub current: Amperes,
    /// How long; `None`: for ever.
    pub time: Option<Seconds>,
    /// What it is.
    pub what: String,
}

/// A wire without protection.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UnfusedWire {
    /// Which.
    pub wire: WireId,
    /// The battery that would burn it.
    pub battery: PartId,
    /// What would flow.
    pub prospective: Amperes,
    /// Length without protection from the battery to the first fuse along this wire's way.
    pub length: Millimetres,
    /// It lies between the battery and a fuse (a stretch that cannot be fused nearer only by moving
    /// the fuse), rather than on a branch that has none at all.
    pub towards_fuse: bool,
}

/// A day and how long the battery lasts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayResult {
    /// Start and end of every step.
    pub steps: Vec<DayPoint>,
    /// Per battery.
    pub batteries: Vec<BatteryDay>,
    /// Time until the first battery is at its cut-off when the day is repeated; `None`: never.
    pub run_time: Option<Seconds>,
    /// The battery that is empty first.
    pub first_empty: Option<PartId>,
    /// The planned day fits.
    pub fits: bool,
    /// Sum of the planned steps.
    pub planned: Seconds,
}

/// State at the end of a step of the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayPoint {
    /// The step's situation.
    pub situation: SituationId,
    /// Time since the start, at the end of the step.
    pub time: Seconds,
    /// State of charge of each battery, 0 to 1, in the order of [`DayResult::batteries`].
    pub charge: Vec<f64>,
    /// Energy delivered by all batteries so far.
    pub energy: WattHours,
}

/// A battery over the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BatteryDay {
    /// Which.
    pub part: PartId,
    /// Charge at the start.
    pub start: f64,
    /// Charge at the end of the planned day (may be below zero: then it does not fit).
    pub end: f64,
    /// Mean current while in use.
    pub mean: Amperes,
    /// Capacity it gives at that rate.
    pub capacity: AmpereHours,
    /// Lowest voltage under load on the way.
    pub lowest: Volts,
    /// Its cut-off.
    pub cut_off: Volts,
}

/// Something that could carry more.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpareRow {
    /// What kind of thing.
    pub what: SpareKind,
    /// Its name (`block-a way-3`, `left-leg contact 2`).
    pub name: String,
    /// The part, when it is one.
    pub part: Option<PartId>,
    /// What is used, in `unit`.
    pub used: f64,
    /// What it can do, in `unit`.
    pub limit: f64,
    /// `A` or `Ah`.
    pub unit: &'static str,
    /// Room left, % of the limit; negative when overloaded.
    pub headroom_percent: f64,
    /// Situation in which most is used.
    pub situation: Option<SituationId>,
}

/// Kinds of things with spare capacity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum SpareKind {
    FuseWay,
    Converter,
    Driver,
    Bus,
    Contact,
    SlipRing,
    Battery,
}

/// The netlists of all situations, for an independent solver.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExportedStudy {
    /// One per situation.
    pub situations: Vec<Exported>,
}
