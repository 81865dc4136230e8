//! One robot as its folder describes it, checked and with every name resolved.

use crate::element::Activity;
use crate::geometry::{Face, Outline, Placement, Point};
use crate::part_type::{Fixing, PartType, TerminalRole, Thread};
use crate::units::*;
use crate::wire::{Colour, EndKind, Gauge, Insulation};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

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
}

/// The mounting panel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Board {
    /// Outline, as seen from the front.
    pub outline: Outline,
    /// Thickness.
    pub thickness: Millimetres,
    /// Material.
    pub material: Material,
    /// Free depth in front of each face, inside the body.
    pub depth_front: Millimetres,
    /// Free depth behind the back.
    pub depth_back: Millimetres,
    /// Corner from which the hole table measures: its position in the board's frame.
    pub datum: Point,
    /// Pass-throughs.
    pub passes: Vec<Pass>,
    /// Bolts that hold the board in the body.
    pub mounts: Vec<BoardMount>,
    /// Regions to stay out of.
    pub keep_outs: Vec<KeepOut>,
}

/// Sheet materials.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Material {
    Hdpe,
    Plywood,
    Acrylic,
    Abs,
    Polycarbonate,
    Aluminium,
}

impl Material {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hdpe => "hdpe",
            Self::Plywood => "plywood",
            Self::Acrylic => "acrylic",
            Self::Abs => "abs",
            Self::Polycarbonate => "polycarbonate",
            Self::Aluminium => "aluminium",
        }
    }
    /// It conducts: bare terminals need clearance and the sheet is a node.
    pub const fn conducts(self) -> bool {
        matches!(self, Self::Aluminium)
    }
}

/// An opening that lets a loom change face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pass {
    /// Name.
    pub name: String,
    /// Centre, in the board's frame.
    pub at: Point,
    /// Shape.
    pub shape: PassShape,
    /// Edge protection fitted (grommet or trim).
    pub grommet: bool,
}

/// Shape of a pass-through.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PassShape {
    /// Round, by diameter.
    Round(Millimetres),
    /// Rounded slot: full length, width, and turn of its long axis.
    Slot {
        /// End to end.
        length: Millimetres,
        /// Across.
        width: Millimetres,
        /// Counter-clockwise from x, as seen from the front.
        turn: Degrees,
    },
}

/// A bolt that holds the board in the body.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoardMount {
    /// Name.
    pub name: String,
    /// Centre, in the board's frame.
    pub at: Point,
    /// Thread.
    pub thread: Thread,
    /// Diameter kept free around it on both faces, for head, washer or standoff.
    pub clear: Millimetres,
}

/// A region to stay out of.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KeepOut {
    /// Name.
    pub name: String,
    /// Face it concerns; `None`: both.
    pub face: Option<Face>,
    /// Where, in the board's frame.
    pub outline: Outline,
    /// Free height that must remain above the face; zero: nothing at all may be there.
    pub above: Millimetres,
    /// Wires may cross it.
    pub wires_may_cross: bool,
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

/// A mated connector pair where a loom leaves the board.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plug {
    /// Name, unique among parts and plugs.
    pub name: String,
    /// Type with `plug_family` data.
    pub family: TypeId,
    /// Zone that its body half leads to.
    pub zone: ZoneId,
    /// Where its board half is.
    pub place: PlugPlace,
    /// Contact numbers in use count from 1 to the family's contacts.
    pub note: String,
}

/// Where the board half of a plug is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PlugPlace {
    /// Fixed to the board; the body half comes off along the placement's x axis.
    Fixed(Placement),
    /// At the end of a tail of this length that leaves the board at a point of its edge.
    Tail {
        /// Face from which it leaves.
        face: Face,
        /// Where it leaves the board.
        at: Point,
        /// From there to the plug.
        length: Millimetres,
    },
}

/// The two halves of a plug.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Half {
    /// Stays with the board.
    Board,
    /// Stays with the body.
    Body,
}

/// Where one end of a wire lands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Landing {
    /// A terminal of a part.
    Part {
        /// The part.
        part: PartId,
        /// Index into its type's terminals.
        terminal: usize,
    },
    /// A contact of a plug, from 1.
    Plug {
        /// The plug.
        plug: PlugId,
        /// Which half.
        half: Half,
        /// Contact, from 1.
        contact: u32,
    },
}

/// What a wire is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Function {
    /// Positive supply.
    Supply,
    /// Return of a supply.
    Return,
    /// Between driver and motor.
    Motor,
    /// Audio signal, loudspeaker.
    Audio,
    /// Logic and control.
    Logic,
    /// Aerial, radio.
    Radio,
    /// The return that belongs to a signal.
    SignalReturn,
    /// Screen of a cable.
    Screen,
    /// Bond of metalwork.
    Bond,
}

impl Function {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Supply => "supply",
            Self::Return => "return",
            Self::Motor => "motor",
            Self::Audio => "audio",
            Self::Logic => "logic",
            Self::Radio => "radio",
            Self::SignalReturn => "signal-return",
            Self::Screen => "screen",
            Self::Bond => "bond",
        }
    }
    /// It carries the current of a load rather than information.
    pub const fn is_power(self) -> bool {
        matches!(self, Self::Supply | Self::Return | Self::Motor)
    }
    /// What a terminal's role makes of a wire.
    pub const fn of_role(role: TerminalRole) -> Option<Self> {
        Some(match role {
            TerminalRole::Positive => Self::Supply,
            TerminalRole::Return => Self::Return,
            TerminalRole::Motor => Self::Motor,
            TerminalRole::Audio => Self::Audio,
            TerminalRole::Logic => Self::Logic,
            TerminalRole::Radio => Self::Radio,
            TerminalRole::SignalReturn => Self::SignalReturn,
            TerminalRole::Screen => Self::Screen,
            TerminalRole::Bond => Self::Bond,
            TerminalRole::Passive => return None,
        })
    }
}

/// One conductor from terminal to terminal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wire {
    /// Name.
    pub name: String,
    /// One end.
    pub from: Landing,
    /// The other end.
    pub to: Landing,
    /// Size.
    pub gauge: Gauge,
    /// Insulation.
    pub insulation: Insulation,
    /// Colour, when the builder chose one.
    pub colour: Option<Colour>,
    /// What it is for: as the file says, else from the terminals it joins.
    pub function: Function,
    /// Loom it runs in.
    pub loom: Option<LoomId>,
    /// Cable whose core it is.
    pub cable: Option<CableId>,
    /// Length measured by the builder; it overrides the route's.
    pub length: Option<Millimetres>,
    /// Fitting on the `from` end, when not the terminal's first choice.
    pub end_from: Option<EndKind>,
    /// Fitting on the `to` end, when not the terminal's first choice.
    pub end_to: Option<EndKind>,
    /// Pass-throughs the builder wants it to use, in order from `from`.
    pub via: Vec<PassId>,
}

/// Wires that run tied together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Loom {
    /// Name.
    pub name: String,
    /// A free word.
    pub note: String,
}

/// Wires that share a jacket or a twist.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cable {
    /// Name.
    pub name: String,
    /// Its make-up.
    pub kind: CableKind,
    /// Outside diameter, when the builder states it.
    pub outside: Option<Millimetres>,
}

/// Make-up of a cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CableKind {
    /// Two wires side by side.
    Pair,
    /// Two wires twisted round each other.
    TwistedPair,
    /// Cores within a screen.
    Screened,
    /// Cores within a jacket.
    MultiCore,
}

/// Named switch positions, mated plugs, activity and wheel speed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Situation {
    /// Name: `parked`, `show`, `stalled`, `pushed-while-off`, `charging`.
    pub name: String,
    /// What happens in it, for people.
    pub about: String,
    /// Parts whose switches are closed; all others are open.
    pub closed: BTreeSet<PartId>,
    /// Plugs that are pulled; all others are mated.
    pub unplugged: BTreeSet<PlugId>,
    /// Chargers that are powered from outside.
    pub powered: BTreeSet<PartId>,
    /// State of charge of every battery, 0 to 1.
    pub charge: f64,
    /// Air in the body.
    pub ambient: Option<Celsius>,
    /// Speed of the robot over ground.
    pub speed: MetresPerSecond,
    /// Slope it climbs: rise over run, positive uphill.
    pub slope: f64,
    /// What moves it.
    pub moved_by: MovedBy,
    /// What loads do, where it differs from their usual activity.
    pub activity: BTreeMap<PartId, SituationActivity>,
    /// What motors do.
    pub motors: BTreeMap<PartId, MotorTask>,
    /// It lasts long enough for wires to reach their steady temperature.
    pub lasting: bool,
    /// How long it lasts when it is short.
    pub lasts: Option<Seconds>,
}

/// What moves the robot in a situation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MovedBy {
    /// Its own motors: traction motors without a task hold the situation's speed.
    Motors,
    /// Somebody's hands: drivers are off, traction motors turn with the wheels.
    Hand,
}

/// Activity of a load in a situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SituationActivity {
    /// One of its type's activities, by index.
    Named(usize),
    /// Numbers of its own.
    Own(Activity),
}

/// What a motor does in a situation: one of duty, speed or torque is fixed and its load line
/// gives the rest.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MotorTask {
    /// The driver applies this fraction of its supply (-1 to 1); a motor without driver ignores it.
    /// The load is the robot's rolling load for traction motors, else `torque`.
    Duty {
        /// Fraction of the supply, -1 to 1.
        duty: f64,
        /// Torque at the output shaft; `None`: the rolling load for traction motors, else nothing.
        torque: Option<NewtonMetres>,
    },
    /// The output turns this fast; the driver finds the duty.
    Speed {
        /// Speed over ground for a wheel.
        speed: MetresPerSecond,
        /// Torque at the output shaft; `None`: the rolling load.
        torque: Option<NewtonMetres>,
    },
    /// The output turns at this many turns per minute; the driver finds the duty.
    Turning {
        /// Turns per minute of the output.
        rpm: f64,
        /// Torque at the output shaft; `None`: friction only.
        torque: Option<NewtonMetres>,
    },
    /// The output gives this torque at full duty, and turns as fast as it then does.
    Torque {
        /// Torque at the output shaft.
        torque: NewtonMetres,
    },
    /// The output is held fast at this duty.
    Stalled {
        /// Fraction of the supply, -1 to 1.
        duty: f64,
    },
    /// Its driver is off.
    Off,
}

/// One stretch of a day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DayStep {
    /// What happens.
    pub situation: SituationId,
    /// For how long.
    pub time: Seconds,
}

/// What the builder has in the drawer.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Shelf {
    /// Wire on the shelf; empty: anything on sale.
    pub wires: Vec<ShelfWire>,
}

/// One reel, or several of different colour.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShelfWire {
    /// Size.
    pub gauge: Gauge,
    /// Insulation.
    pub insulation: Insulation,
    /// Colours.
    pub colours: Vec<Colour>,
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
