//! What is found about crossed and missing wires.

use loomdeck_model::{PartId, SituationId, WireId};
use serde::Serialize;

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Crossed {
    /// Batteries and chargers the wrong way round.
    pub reversed: Vec<Reversed>,
    /// Return wires that are missing, one by one.
    pub returns: Vec<LostReturn>,
    /// What is well.
    pub good_news: Vec<String>,
    /// Where the model ends.
    pub validity: Vec<String>,
}

/// What is the wrong way round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Which {
    /// All batteries together: the pack's two leads swapped.
    Pack,
    /// One battery of several.
    One,
    /// A charger.
    Charger,
}

/// A source the wrong way round.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reversed {
    /// What.
    pub which: Which,
    /// The batteries, or the charger.
    pub parts: Vec<PartId>,
    /// The situation whose switches are closed.
    pub situation: SituationId,
    /// Largest current through a battery meanwhile; `None` when no steady state was found.
    pub current_a: Option<f64>,
    /// The fuse that opens soonest: part, way, slowest time. `None`: none opens.
    pub opens: Option<(PartId, String, f64)>,
    /// Diodes that hold the voltage back.
    pub held_by: Vec<PartId>,
    /// Parts that get what they do not bear.
    pub hurt: Vec<Hurt>,
}

/// A part beyond what it bears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hurt {
    /// The part.
    pub part: PartId,
    /// What it gets; negative: the wrong way round.
    pub voltage_v: f64,
    /// What it bears: its damage voltage, or zero the wrong way round.
    pub limit_v: f64,
}

/// A return wire that is missing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LostReturn {
    /// The wire.
    pub wire: WireId,
    /// The situation in which it carries most.
    pub situation: SituationId,
    /// What it carried.
    pub carried_a: f64,
    /// Wires that take its current instead, largest first.
    pub detours: Vec<Detour>,
    /// Parts that get more than they bear.
    pub hurt: Vec<Hurt>,
    /// Parts that lose their supply or fall below what they need.
    pub fails: Vec<PartId>,
}

/// A wire that carries what another should.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Detour {
    /// The wire.
    pub wire: WireId,
    /// It is no return of a supply: a signal's return, a screen, a bond.
    pub signal: bool,
    /// Current before.
    pub before_a: f64,
    /// Current now.
    pub current_a: f64,
    /// Temperature it settles at; `None` above 400 °C.
    pub reaches_c: Option<f64>,
    /// What it bears for long.
    pub limit_c: f64,
}
