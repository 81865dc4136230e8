//! What the room of the pack answers.

use loomdeck_model::units::*;
use loomdeck_model::{PartId, SituationId};
use serde::Serialize;

/// The batteries together: balance, charging, storage, cut-off, what happens when a protection opens.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Pack {
    /// Batteries in series, from the positive end down; a single battery is a string of one.
    pub strings: Vec<Series>,
    /// How unequally the batteries of a string are used; only strings of two and more.
    pub balance: Vec<Balance>,
    /// Every charger with what it charges.
    pub charging: Vec<Charging>,
    /// Everything off: who still draws.
    pub draws: Vec<Draw>,
    /// How long each battery lasts while everything is off.
    pub storage: Vec<Storage>,
    /// What keeps each battery from being emptied too far.
    pub cut_off: Vec<CutOff>,
    /// What each protection leaves without power when it opens.
    pub opens: Vec<Opens>,
    /// Strings side by side.
    pub parallel: Vec<SideBySide>,
    /// What the models do not know.
    pub validity: Vec<String>,
    /// What is well, with its margin.
    pub good_news: Vec<String>,
}

/// Batteries in series.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Series {
    /// From the positive end down.
    pub batteries: Vec<PartId>,
    /// Their names.
    pub names: Vec<String>,
    /// Voltage at rest, full.
    pub full: Volts,
}

/// How unequally the batteries of a string are used.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Balance {
    /// Index into [`Pack::strings`].
    pub string: usize,
    /// Situations in which the currents differ.
    pub situations: Vec<UnequalCurrents>,
    /// What is taken out of each battery on the planned day, in the order of the string; empty without
    /// a day.
    pub taken: Vec<AmpereHours>,
    /// Most taken less least taken.
    pub apart: AmpereHours,
    /// The same of the smallest battery's capacity, %.
    pub apart_percent: f64,
    /// The battery that loses most.
    pub lowest: Option<PartId>,
    /// The show in which it is flat when all are charged in series after each; `None`: never.
    pub flat_in_show: Option<u32>,
    /// Each battery has a charger of its own.
    pub charged_apart: bool,
    /// What hangs between the batteries.
    pub taps: Vec<Tap>,
}

/// Currents of a string's batteries that differ.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UnequalCurrents {
    /// Where.
    pub situation: SituationId,
    /// Current of each battery, discharge positive, in the order of the string.
    pub currents: Vec<Amperes>,
}

/// A consumer or charger that hangs on a point between two batteries.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tap {
    /// Which.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// It hangs with its plus there, and draws from the batteries below; else from those above.
    pub below: bool,
    /// What it takes on the planned day.
    pub taken: AmpereHours,
    /// Most it takes in any situation.
    pub most: Amperes,
}

/// A charger and the string it charges.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Charging {
    /// The charger.
    pub charger: PartId,
    /// Index into [`Pack::strings`].
    pub string: usize,
    /// Current into the string in the first phase.
    pub current: Amperes,
    /// The same per hour of capacity, 1/h.
    pub rate_per_h: f64,
    /// Most the batteries bear.
    pub limit: Amperes,
    /// Charge at the start: after the planned day, else empty; 0 to 1.
    pub start: f64,
    /// At constant current.
    pub constant_current: Seconds,
    /// At constant voltage.
    pub constant_voltage: Seconds,
    /// Altogether.
    pub time: Seconds,
    /// What it may take.
    pub up_to: Seconds,
    /// The same from empty.
    pub from_empty: Seconds,
    /// Current in A against time in s.
    pub current_curve: Vec<(f64, f64)>,
}

/// A part that draws while everything is off.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Draw {
    /// Which.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// What it takes.
    pub power: Watts,
}

/// A battery while everything is off.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Storage {
    /// Which.
    pub battery: PartId,
    /// Its name.
    pub name: String,
    /// What is drawn from it.
    pub draw: Amperes,
    /// What it loses by itself in a month at 25 °C, % of its capacity: least, usual, most.
    pub self_discharge_percent: (f64, f64, f64),
    /// Days from full to flat.
    pub flat_days: f64,
    /// Days after which it wants charging again.
    pub recharge_days: f64,
    /// How such a battery is stored.
    pub advice: &'static str,
}

/// What keeps a battery from being emptied too far.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CutOff {
    /// Which.
    pub battery: PartId,
    /// Its name.
    pub name: String,
    /// Stated end of discharge, for the whole battery.
    pub stated: Volts,
    /// Below this its cells are damaged.
    pub damage: Volts,
    /// The part that opens in time, with its voltage for this battery.
    pub opened_by: Option<(PartId, Volts)>,
    /// Consumers that go on below the damaging voltage.
    pub goes_on: Vec<PartId>,
    /// The last of the others to stop, with the voltage of this battery at which it does.
    pub last_to_stop: Option<(PartId, Volts)>,
    /// The builder can see the voltage on a meter.
    pub metered: bool,
}

/// A protection that opens.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Opens {
    /// The part it sits in.
    pub part: PartId,
    /// Its element.
    pub element: String,
    /// Situation in which it was opened: the one that lasts and takes most.
    pub situation: SituationId,
    /// Consumers that lose their supply.
    pub lose: Vec<PartId>,
    /// Consumers that keep it.
    pub keep: Vec<PartId>,
    /// Current that flowed through it.
    pub carried: Amperes,
    /// Current at which it opens.
    pub opens_at: Amperes,
}

/// Two strings side by side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SideBySide {
    /// Indices into [`Pack::strings`].
    pub strings: (usize, usize),
    /// Current into the emptier when one is full and the other half empty, at the moment of joining.
    pub current: Amperes,
    /// Most the emptier bears for a moment.
    pub limit: Amperes,
    /// Difference of voltage at which it is borne.
    pub bears: Volts,
}
