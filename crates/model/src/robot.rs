//! One robot as its folder describes it, checked and with every name resolved.

use crate::element::SignalLoss;
use crate::geometry::{Placement, Point};
use crate::part_type::{Fixing, PartType};
use crate::units::*;
use serde::Serialize;
use std::collections::BTreeMap;

pub use crate::board::*;
pub use crate::body::*;
pub use crate::situation::*;
pub use crate::wiring::*;

macro_rules! index {
    ($(#[$meta:meta])* $name:ident) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(transparent)]
        pub struct $name(pub usize);
    };
}
index!(
    /// A part: index into [`Robot::parts`].
    PartId);
index!(
    /// A wire: index into [`Robot::wires`].
    WireId);
index!(
    /// A plug: index into [`Robot::plugs`].
    PlugId);
index!(
    /// A loom: index into [`Robot::looms`].
    LoomId);
index!(
    /// A cable: index into [`Robot::cables`].
    CableId);
index!(
    /// A zone: index into [`Robot::zones`].
    ZoneId);
index!(
    /// A pass-through: index into [`Board::passes`].
    PassId);
index!(
    /// A situation: index into [`Robot::situations`].
    SituationId);
index!(
    /// A part type: index into [`Robot::types`].
    TypeId);

/// Everything known about one machine. Every id in it is valid and every name unique: the reader
/// guarantees both.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Robot {
    /// Name of the machine.
    pub name: String,
    /// A line about it.
    pub about: String,
    /// Paper and units of the book.
    pub book: BookChoice,
    /// Limits the builder sets.
    pub limits: Limits,
    /// How it rolls.
    pub motion: Motion,
    /// The closed body around the board; `None`: not described.
    pub body: Option<Body>,
    /// Places in the body off the board.
    pub zones: Vec<Zone>,
    /// The board; `None` while the robot is only a sketch of its wiring.
    pub board: Option<Board>,
    /// The part types in use.
    pub types: Vec<PartType>,
    /// The parts, in the order of the files.
    pub parts: Vec<Part>,
    /// The plugs.
    pub plugs: Vec<Plug>,
    /// The wires.
    pub wires: Vec<Wire>,
    /// The looms.
    pub looms: Vec<Loom>,
    /// The cables.
    pub cables: Vec<Cable>,
    /// The situations.
    pub situations: Vec<Situation>,
    /// A day at a show, in order.
    pub day: Vec<DayStep>,
    /// What the builder has in the drawer.
    pub shelf: Shelf,
    /// Where each named thing stands in the files.
    pub places: BTreeMap<Subject, SourcePlace>,
}

/// Paper and unit of the printed things.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct BookChoice {
    /// Size of paper.
    pub paper: Paper,
    /// Unit for lengths.
    pub unit: LengthUnit,
}

/// Paper sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Paper {
    A4,
    Letter,
}

/// Units that lengths are shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum LengthUnit {
    Mm,
    Inch,
}

/// Limits the builder sets, or the defaults of the format.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Limits {
    /// Air in the closed body, when a situation does not say.
    pub ambient: Celsius,
    /// Voltage drop allowed from battery to a power load and back, as a fraction of the supply.
    pub drop_power: f64,
    /// The same for supplies of logic, audio and radio.
    pub drop_quiet: f64,
    /// How long the builder lets a motor stall before the control lets go.
    pub stall: Seconds,
    /// Largest continuous load of a fuse, as a fraction of its rating at 25 °C.
    pub fuse_continuous: f64,
    /// Spare the builder wants on fuses, converters and plugs, as a fraction.
    pub spare: f64,
    /// Least material between two holes.
    pub web: Millimetres,
    /// Least distance of a hole's rim or a part from the edge of the board.
    pub edge: Millimetres,
    /// Least gap between two parts on a face.
    pub gap: Millimetres,
    /// Fastest that anyone will push the robot.
    pub push_speed: MetresPerSecond,
    /// Slack left at each end for a second termination.
    pub service_slack: Millimetres,
}

/// How the robot rolls.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Motion {
    /// Mass of the whole robot; `None`: not known, then motors need torque or duty.
    pub mass: Option<Kilograms>,
    /// Rolling resistance, force over weight.
    pub rolling_resistance: f64,
    /// Steepest slope it will meet, rise over run; `None`: the steepest of its situations.
    pub steepest: Option<f64>,
    /// What its radio receiver puts out when the link is lost, as set and tried by the builder; `None`:
    /// not known.
    pub radio_loss: Option<SignalLoss>,
    /// What holds it on a slope while it is off; `None`: nothing but friction.
    pub held: Option<HeldBy>,
}

/// What holds the robot on a slope while it is off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeldBy {
    /// A brake that closes without current.
    Brake,
    /// Chocks before its wheels.
    Chocks,
}

/// A place in the body off the board.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Zone {
    /// Name.
    pub name: String,
    /// Measured length of the path from the edge of the board to the zone.
    pub path: Option<Millimetres>,
    /// Extra length for joints that move.
    pub allowance: Millimetres,
    /// Length inside the zone from its entry to a part, when the part does not say.
    pub lead: Millimetres,
    /// Where on the edge of the board its loom leaves, when no plug says so.
    pub exit: Option<Point>,
    /// Temperature of the air there, when it differs from the body.
    pub ambient: Option<Celsius>,
    /// It lies in the open air: its heat does not warm the body.
    pub outside: bool,
}

/// One module in this robot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Part {
    /// Name, unique among parts and plugs.
    pub name: String,
    /// Its type.
    pub kind: TypeId,
    /// Where it is.
    pub place: Place,
    /// How it is held (the type's way unless the robot says otherwise).
    pub fixing: Fixing,
    /// Fuses in its ways: element name of the way, type of the fuse (a type with `fuse` data).
    pub fuses: BTreeMap<String, TypeId>,
    /// A free word for the builder.
    pub note: String,
}

/// Where a part is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Place {
    /// On a face of the board.
    Board(Placement),
    /// In a zone.
    Zone {
        /// Which.
        zone: ZoneId,
        /// Length inside the zone from its entry to the part, when the part says so.
        lead: Option<Millimetres>,
    },
}

/// A named thing that findings, remedies and files speak of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(tag = "kind", content = "name", rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Subject {
    Robot,
    Board,
    Part(String),
    Plug(String),
    Wire(String),
    Loom(String),
    Cable(String),
    Zone(String),
    Pass(String),
    BoardMount(String),
    KeepOut(String),
    Situation(String),
    Day,
    Type(String),
}

impl Subject {
    /// The name as the files write it.
    pub fn name(&self) -> &str {
        match self {
            Self::Robot => "robot",
            Self::Board => "board",
            Self::Day => "day",
            Self::Part(n)
            | Self::Plug(n)
            | Self::Wire(n)
            | Self::Loom(n)
            | Self::Cable(n)
            | Self::Zone(n)
            | Self::Pass(n)
            | Self::BoardMount(n)
            | Self::KeepOut(n)
            | Self::Situation(n)
            | Self::Type(n) => n,
        }
    }
}

/// Where something stands in the files.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SourcePlace {
    /// File, relative to the robot's folder.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
}

impl Robot {
    /// The type of a part.
    pub fn type_of(&self, part: PartId) -> &PartType {
        &self.types[self.parts[part.0].kind.0]
    }
    /// A part by name.
    pub fn part(&self, name: &str) -> Option<PartId> {
        self.parts.iter().position(|p| p.name == name).map(PartId)
    }
    /// A wire by name.
    pub fn wire(&self, name: &str) -> Option<WireId> {
        self.wires.iter().position(|w| w.name == name).map(WireId)
    }
    /// A situation by name.
    pub fn situation(&self, name: &str) -> Option<SituationId> {
        self.situations.iter().position(|s| s.name == name).map(SituationId)
    }
    /// The family data of a plug. The reader guarantees that it exists.
    pub fn family_of(&self, plug: PlugId) -> Option<&crate::part_type::PlugFamily> {
        self.types[self.plugs[plug.0].family.0].plug_family.as_ref()
    }
    /// How a landing is written in the files: `heart.plus`, `left-leg.board.3`.
    pub fn landing_word(&self, landing: Landing) -> String {
        match landing {
            Landing::Part { part, terminal } => {
                format!("{}.{}", self.parts[part.0].name, self.type_of(part).terminals[terminal].name)
            }
            Landing::Plug { plug, half, contact } => {
                let half = match half {
                    Half::Board => "board",
                    Half::Body => "body",
                };
                format!("{}.{half}.{contact}", self.plugs[plug.0].name)
            }
        }
    }
    /// Air around a part in a situation: its zone's, else the situation's, else the body's.
    pub fn ambient(&self, place: Place, situation: Option<&Situation>) -> Celsius {
        let zone = match place {
            Place::Zone { zone, .. } => self.zones[zone.0].ambient,
            Place::Board(_) => None,
        };
        zone.or(situation.and_then(|s| s.ambient)).unwrap_or(self.limits.ambient)
    }
}
