//! What is found about shorts.

use loomdeck_model::{PartId, SituationId, WireId};
use serde::Serialize;

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Short {
    /// Shorts to the return: of every wire end, plug contact, load, source, and of every wire's middle.
    pub to_return: Vec<Row>,
    /// Shorts between rails that lie side by side.
    pub touching: Vec<Touch>,
    /// Fuses in series, each pair once.
    pub selectivity: Vec<Pair>,
    /// What is well, with its margin.
    pub good_news: Vec<String>,
    /// Where the model ends.
    pub validity: Vec<String>,
}

/// Where a short is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Family {
    /// At the end of a wire, where nothing but wire, fuse or switch meets.
    End,
    /// In the middle of a wire.
    Middle,
    /// At a contact of a plug.
    Plug,
    /// At what takes current.
    Load,
    /// At a battery, charger or the output of a converter.
    Source,
}

impl Family {
    /// The word shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::End => "end",
            Self::Middle => "middle",
            Self::Plug => "plug",
            Self::Load => "load",
            Self::Source => "source",
        }
    }
}

/// A short to the return.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// Where.
    pub family: Family,
    /// In words: `lamp.plus`, `the middle of feed`.
    pub at: String,
    /// The wires that end there, or the one that is shorted.
    pub wires: Vec<WireId>,
    /// The situation whose switches are closed.
    pub situation: SituationId,
    /// Voltage to the return before the short.
    pub before_v: f64,
    /// Batteries full: the largest current.
    pub full: Case,
    /// Batteries low: the smallest current, and the slowest opening.
    pub low: Case,
    /// Why it may flow for ever, when it may.
    pub never: Option<Never>,
    /// The conductor that comes closest to its limit.
    pub hottest: Option<Hot>,
    /// Switches, contacts and bus bars that carry more than their rating meanwhile.
    pub strained: Vec<Strained>,
    /// Contactors whose coil loses its voltage: they let go under the short's current.
    pub lets_go: Vec<PartId>,
}

/// One state of charge.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Case {
    /// Charge of the batteries.
    pub charge_percent: f64,
    /// Current of the short.
    pub current_a: f64,
    /// What each source gives, largest first.
    pub sources: Vec<Share>,
    /// What ends it, soonest first; further ones where one alone does not.
    pub opens: Vec<Opening>,
    /// Energy let through, from the fastest to the slowest opening, A²·s.
    pub let_through_a2s: Option<(f64, f64)>,
}

/// What a source gives.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Share {
    /// Battery, charger or converter.
    pub part: PartId,
    /// Its current.
    pub current_a: f64,
}

/// What ends or limits a short.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Opens {
    /// A fuse.
    Fuse,
    /// The protection of a battery.
    Protection,
    /// A converter or charger at its own limit, for as long as it likes.
    Limit,
    /// A motor driver at its peak current.
    Driver,
    /// A converter or driver that switches off when it is shorted.
    Trip,
}

/// A device that ends or limits a short.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Opening {
    /// The part.
    pub part: PartId,
    /// Its element.
    pub element: String,
    /// What it does.
    pub what: Opens,
    /// Its rating or limit.
    pub rating_a: f64,
    /// Its current during the short.
    pub current_a: f64,
    /// No specimen opens before.
    pub fastest_s: Option<f64>,
    /// Every specimen has opened by then; `None`: not told, or never.
    pub slowest_s: Option<f64>,
}

/// Why a short may flow for ever.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "why")]
pub enum Never {
    /// No fuse lies on its way.
    Unfused,
    /// The current is too small for the fuse: part, its rating, and the least current that opens it surely.
    TooSmall {
        /// The part.
        part: PartId,
        /// The way.
        way: String,
        /// Its rating.
        rating_a: f64,
        /// What opens it surely.
        surely_a: f64,
    },
    /// A converter or charger holds it at its limit.
    Limited {
        /// The part.
        part: PartId,
        /// Its limit.
        limit_a: f64,
    },
    /// A motor driver holds it at its peak.
    Driven {
        /// The part.
        part: PartId,
        /// Its peak.
        peak_a: f64,
    },
}

/// A conductor at the end of a short.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hot {
    /// Which.
    pub wire: WireId,
    /// Its current.
    pub current_a: f64,
    /// How long; `None`: for ever.
    pub time_s: Option<f64>,
    /// Temperature before.
    pub start_c: f64,
    /// Temperature at the end, with the heat that the insulation takes and the air carries off; `None`
    /// above 400 °C.
    pub reaches_c: Option<f64>,
    /// Temperature if all heat stayed in the copper; `None` above 1000 °C or beyond 5 s.
    pub adiabatic_c: Option<f64>,
    /// What its insulation bears for that time.
    pub limit_c: f64,
}

/// Something that carries more than its rating until the short ends.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Strained {
    /// Part and element, or plug and contact, in words.
    pub what: String,
    /// Its current.
    pub current_a: f64,
    /// Its rating.
    pub rating_a: f64,
}

/// A short between two rails that lie side by side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Touch {
    /// Where they lie side by side: `loom lid`, `plug lid-plug`.
    pub place: String,
    /// A wire of the higher rail.
    pub high: WireId,
    /// A wire of the lower.
    pub low: WireId,
    /// The situation.
    pub situation: SituationId,
    /// Voltage between them before.
    pub before_v: f64,
    /// Current of the short; `None` where the lower is a signal, which takes none to speak of.
    pub current_a: Option<f64>,
    /// What opens.
    pub opens: Vec<Opening>,
    /// Parts that get more than they bear.
    pub destroys: Vec<Hurt>,
}

/// A part beyond what it bears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hurt {
    /// The part.
    pub part: PartId,
    /// What it gets.
    pub voltage_v: f64,
    /// What it bears.
    pub limit_v: f64,
}

/// Two fuses in series.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pair {
    /// The one nearer to the source: part and way.
    pub upper: (PartId, String),
    /// Its rating.
    pub upper_a: f64,
    /// The one nearer to the short.
    pub lower: (PartId, String),
    /// Its rating.
    pub lower_a: f64,
    /// Least and largest current of a short behind the lower one.
    pub least_a: f64,
    /// The largest.
    pub most_a: f64,
    /// Up to this current the lower one surely opens first; `None`: at none.
    pub sure_to_a: Option<f64>,
    /// How many times as long the upper one's middle specimen takes as the lower's, at the largest current.
    pub times: f64,
}
