//! What is said about exchanged plugs: plain data for findings, book and screens.

use loomdeck_model::{PartId, PlugId, SituationId};
use serde::Serialize;

/// Everything about plugs in the wrong place.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Exchange {
    /// The plugs, in the robot's order: rows and columns of the table.
    pub plugs: Vec<PlugRow>,
    /// Row: body half; column: board half.
    pub table: Vec<Vec<Cell>>,
    /// What was looked at, also pairs that their keying keeps apart today.
    pub cases: Vec<Case>,
    /// One per family of which two or more plugs are in use.
    pub keying: Vec<Keying>,
    /// Networks solved; the rest are like one of them.
    pub solved: usize,
    /// What the model covers and what not.
    pub validity: Vec<String>,
    /// What is well, and by how much.
    pub good_news: Vec<String>,
}

impl Exchange {
    /// The case that a like one stands for: its harms are named there.
    pub fn told_by(&self, case: usize) -> usize {
        self.cases.get(case).and_then(|c| c.like).unwrap_or(case)
    }
}

/// A plug as the table names it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlugRow {
    /// Which.
    pub plug: PlugId,
    /// Its name.
    pub name: String,
    /// Its family.
    pub family: String,
    /// Its arrangement; empty where its family has only one.
    pub arrangement: String,
    /// Its mark: colour or free word; locks nothing out.
    pub mark: String,
}

/// A body half held against a board half.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cell {
    /// Whether they mate.
    pub mate: Mate,
    /// What happens if they do.
    pub verdict: Verdict,
    /// The same in a few words.
    pub word: String,
    /// Cases in [`Exchange::cases`].
    pub cases: Vec<usize>,
}

/// Whether a body half and a board half mate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mate {
    /// They belong together.
    Own,
    /// They fit although they do not belong together.
    Fits,
    /// Other families.
    OtherFamily,
    /// Both carry pins, or neither.
    SameGender,
    /// Arrangements that do not mate.
    OtherKeying,
    /// Too far apart for the loom.
    OutOfReach,
}

/// What comes of it, best first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Nothing is damaged and everything works.
    #[default]
    Harmless,
    /// Nothing is damaged, something does not work.
    Dark,
    /// Something is damaged, moves by itself, or blows a fuse.
    Harms,
}

/// What is done with the plugs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Deed {
    /// The body half of one in the board half of another, whose own body half stays out.
    Wrong {
        /// Whose body half.
        body: PlugId,
        /// Whose board half.
        board: PlugId,
        /// Turned the wrong way round as well.
        reversed: bool,
    },
    /// Each in the other's place.
    Swapped {
        /// One.
        one: PlugId,
        /// The other.
        other: PlugId,
    },
    /// In its own place the wrong way round.
    Reversed {
        /// Which.
        plug: PlugId,
    },
    /// Left out while the rest is on.
    Out {
        /// Which.
        plug: PlugId,
    },
}

/// One thing done with the plugs, and what comes of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Case {
    /// What is done.
    pub deed: Deed,
    /// It can happen as the robot is.
    pub possible: bool,
    /// Situations in which it was solved.
    pub situations: Vec<SituationId>,
    /// The worst of them.
    pub verdict: Verdict,
    /// What goes wrong, worst first.
    pub harms: Vec<Harm>,
    /// Parts that lose their supply by it.
    pub dark: Vec<PartId>,
    /// The case with equal contents on equal contacts that was solved in its place.
    pub like: Option<usize>,
}

/// Kinds of harm, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HarmKind {
    /// A motor or a part that moves is fed past its driver or switch.
    MovesByItself,
    /// A motor hangs on another's driver.
    WrongCommand,
    /// A motor turns the other way.
    RunsBackwards,
    /// A wire gets too hot before anything opens.
    WireTooHot,
    /// More voltage than it survives.
    TooMuchVoltage,
    /// Fed the wrong way round.
    Reversed,
    /// The output of a driver lies on a supply or return: its transistors close a short circuit.
    BridgeShorted,
    /// More voltage on a signal than it survives.
    SignalDriven,
    /// Voltage pushed into the output of a converter.
    PushedBack,
    /// More current than its diodes or contacts bear.
    TooMuchCurrent,
    /// Two outputs drive one wire.
    OutputsJoined,
    /// A fuse opens, and nothing else happens.
    FuseOpens,
}

/// One thing that goes wrong.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Harm {
    /// How.
    pub kind: HarmKind,
    /// What it happens to: part, wire or plug.
    pub name: String,
    /// The same, when it is a part.
    pub part: Option<PartId>,
    /// What it reaches, in `unit`.
    pub value: f64,
    /// What it bears, in `unit`.
    pub limit: f64,
    /// `V`, `A` or `°C`.
    pub unit: &'static str,
    /// In which situation.
    pub situation: SituationId,
    /// The same as a sentence.
    pub text: String,
}

/// How the plugs of a family are told apart, and the smallest change that makes every exchange harmless.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Keying {
    /// The family.
    pub family: String,
    /// Its plugs.
    pub plugs: Vec<PlugId>,
    /// Pairs within reach of one another that must not mate.
    pub apart: Vec<(PlugId, PlugId)>,
    /// Those of them that do mate today.
    pub mating: Vec<(PlugId, PlugId)>,
    /// What to change; empty: nothing need be.
    pub changes: Vec<Change>,
    /// No smaller change does it: the search went to its end.
    pub smallest: bool,
    /// Plugs for which neither arrangement nor gender nor another family was found.
    pub unsolved: Vec<PlugId>,
    /// Pairs that still mate afterwards; every one was solved and is harmless.
    pub remaining: Vec<(PlugId, PlugId)>,
}

/// A change of one plug, both halves.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// Which plug.
    pub plug: PlugId,
    /// Another arrangement.
    pub keying: Option<String>,
    /// The pins change to the other half.
    pub pins_on: Option<&'static str>,
    /// Another family.
    pub family: Option<String>,
}
