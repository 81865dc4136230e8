//! A kind of module: its shape, its terminals, how it is fixed, what it does.

use crate::element::{Element, Fuse};
use crate::geometry::{Outline, Point};
use crate::units::*;
use crate::wire::EndKind;
use serde::Serialize;

/// A kind of module with its data. Lengths are in the part's own frame (see [`crate::geometry`]).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartType {
    /// Name used in files: `dual-motor-driver-24v-30a`.
    pub name: String,
    /// Title printed for people: `dual motor driver, 24 V, 2 × 30 A`.
    pub title: String,
    /// Shelf it stands on in the library: `motor driver`.
    pub group: String,
    /// What it is for and what to watch, one or two sentences.
    pub about: String,
    /// Where its numbers come from.
    pub basis: String,
    /// Footprint on the face.
    pub outline: Outline,
    /// How far it stands off the face, without the plugs and wires in it.
    pub height: Millimetres,
    /// Mass.
    pub mass: Kilograms,
    /// Its mounting holes.
    pub holes: Vec<MountHole>,
    /// How it is usually held.
    pub fixing: Fixing,
    /// Where wires land.
    pub terminals: Vec<Terminal>,
    /// Names of its electrical nodes.
    pub nodes: Vec<String>,
    /// What it does electrically.
    pub elements: Vec<Element>,
    /// Data of a fuse, when this type is one that goes into a fuse way.
    pub fuse: Option<Fuse>,
    /// Data of a plug family, when this type is one.
    pub plug_family: Option<PlugFamily>,
    /// Free space that hands and tools need.
    pub reach: Vec<ReachNeed>,
    /// What its currents do to its neighbours, or theirs to it.
    pub noise: NoiseClass,
    /// Highest temperature of the air around it.
    pub ambient_limit: Option<Celsius>,
    /// It receives commands by radio.
    pub radio_link: bool,
    /// It moves something while it is fed, without being a motor: servos.
    pub moves: bool,
    /// Share of what its loads take that leaves the body as light, sound, steam or water, 0 to 1.
    pub leaves: f64,
    /// It comes from the robot's own `parts/` folder.
    pub own: bool,
}

impl PartType {
    /// Index of a terminal by name.
    pub fn terminal(&self, name: &str) -> Option<usize> {
        self.terminals.iter().position(|t| t.name == name)
    }
}

/// A hole in the part through which it is fixed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MountHole {
    /// Centre.
    pub at: Point,
    /// Diameter of the hole in the part.
    pub diameter: Millimetres,
}

/// How a part is held on the board.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fixing {
    /// The way of fixing.
    pub style: FixingStyle,
    /// Thread, for those that have one.
    pub thread: Option<Thread>,
    /// Head of the screw.
    pub head: Head,
    /// Gap between board and part, bridged by standoffs or spacers.
    pub standoff: Millimetres,
    /// Thickness of the part's own flange or circuit board that the screw clamps.
    pub flange: Millimetres,
    /// The bolt is put in from the far face, and its nut lies on the part.
    pub turned: bool,
    /// The captive nut lies flush in a pocket of the far face.
    pub sunk: bool,
    /// Direction in the part's frame in which it slides out of its cleats, once the cleat's end on
    /// that side is off.
    pub slides: Option<Degrees>,
}

/// Ways of fixing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FixingStyle {
    /// Bolt through part and board, washer and nut on the other face.
    BoltAndNut,
    /// Standoff held by a screw from the far face, part screwed onto it.
    Standoff,
    /// Screw into a threaded insert set into the board.
    Insert,
    /// Screw into a nut held captive in or on the board.
    CaptiveNut,
    /// Printed clip around the part's own posts, screwed to the board.
    Clip,
    /// Slides under a cleat; one end comes off.
    Cleat,
    /// Adhesive mount: no hole.
    Adhesive,
    /// Printed housing screwed to the board.
    Housing,
    /// Screwed into the board from the same face (wood screw).
    WoodScrew,
    /// Not fixed to the board (in a zone, or hanging in its wires).
    Loose,
}

impl FixingStyle {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::BoltAndNut => "bolt-and-nut",
            Self::Standoff => "standoff",
            Self::Insert => "insert",
            Self::CaptiveNut => "captive-nut",
            Self::Clip => "clip",
            Self::Cleat => "cleat",
            Self::Adhesive => "adhesive",
            Self::Housing => "housing",
            Self::WoodScrew => "wood-screw",
            Self::Loose => "loose",
        }
    }
    /// Something of it comes out, or must be reached, on the other face.
    pub const fn goes_through(self) -> bool {
        matches!(self, Self::BoltAndNut | Self::Standoff | Self::Clip | Self::Cleat | Self::Housing)
    }
    /// It needs a hole of some kind.
    pub const fn needs_hole(self) -> bool {
        !matches!(self, Self::Adhesive | Self::Loose)
    }
}

/// Heads of screws.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Head {
    /// Socket cap.
    Socket,
    /// Countersunk, flush with the face.
    Countersunk,
    /// Pan or button head.
    Pan,
}

/// Threads that the tables of hardware cover.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Thread {
    M2,
    #[serde(rename = "M2.5")]
    M2_5,
    M3,
    M4,
    M5,
    M6,
    M8,
    M10,
    #[serde(rename = "4-40")]
    No4,
    #[serde(rename = "6-32")]
    No6,
    #[serde(rename = "8-32")]
    No8,
    #[serde(rename = "10-24")]
    No10,
}

impl Thread {
    /// All, smallest first.
    pub const ALL: [Self; 12] = [
        Self::M2,
        Self::M2_5,
        Self::No4,
        Self::M3,
        Self::No6,
        Self::M4,
        Self::No8,
        Self::No10,
        Self::M5,
        Self::M6,
        Self::M8,
        Self::M10,
    ];
    /// As written on the packet.
    pub const fn word(self) -> &'static str {
        match self {
            Self::M2 => "M2",
            Self::M2_5 => "M2.5",
            Self::M3 => "M3",
            Self::M4 => "M4",
            Self::M5 => "M5",
            Self::M6 => "M6",
            Self::M8 => "M8",
            Self::M10 => "M10",
            Self::No4 => "4-40",
            Self::No6 => "6-32",
            Self::No8 => "8-32",
            Self::No10 => "10-24",
        }
    }
    /// Outside diameter.
    pub const fn major(self) -> Millimetres {
        Millimetres(match self {
            Self::M2 => 2.0,
            Self::M2_5 => 2.5,
            Self::M3 => 3.0,
            Self::M4 => 4.0,
            Self::M5 => 5.0,
            Self::M6 => 6.0,
            Self::M8 => 8.0,
            Self::M10 => 10.0,
            Self::No4 => 0.112 * MM_PER_INCH,
            Self::No6 => 0.138 * MM_PER_INCH,
            Self::No8 => 0.164 * MM_PER_INCH,
            Self::No10 => 0.190 * MM_PER_INCH,
        })
    }
    /// An inch thread.
    pub const fn is_inch(self) -> bool {
        matches!(self, Self::No4 | Self::No6 | Self::No8 | Self::No10)
    }
}

/// A point on a part where a wire lands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Terminal {
    /// Name, unique within the part type.
    pub name: String,
    /// Where, in the part's own frame.
    pub at: Point,
    /// How far above the face the wire leaves.
    pub height: Millimetres,
    /// Which way the wire leaves.
    pub exit: Exit,
    /// What holds the wire.
    pub fitting: Fitting,
    /// Ends that go in.
    pub ends: Vec<EndKind>,
    /// Thinnest conductor.
    pub thinnest: SquareMillimetres,
    /// Thickest conductor.
    pub thickest: SquareMillimetres,
    /// How many wires may share it (lugs per stud).
    pub room_for: u32,
    /// Straight stiff length of plug, boot or lug in front of it.
    pub boot: Millimetres,
    /// The same with its boot trimmed as short as it may be.
    pub trimmed_boot: Option<Millimetres>,
    /// Which way the screwdriver or spanner of its screw or nut comes out, when it has one.
    pub screw: Option<Exit>,
    /// Largest continuous current.
    pub current: Option<Amperes>,
    /// Highest temperature of the conductor at it.
    pub temperature: Option<Celsius>,
    /// Tightening torque.
    pub torque: Option<NewtonMetres>,
    /// Cannot be touched when a wire is off or a plug is out.
    pub shrouded: bool,
    /// What it is for.
    pub role: TerminalRole,
    /// The electrical node it belongs to.
    pub node: crate::element::LocalNode,
    /// What a signal terminal sends or wants.
    pub signal: Option<Signal>,
    /// Need not be wired (no finding when it is left open).
    pub optional: bool,
}

/// Which way a wire leaves a terminal.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Exit {
    /// Along the face, counter-clockwise from the part's x axis.
    Along(Degrees),
    /// Straight up from the face.
    Up,
}

/// What holds a wire at a terminal.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fitting {
    /// Screw clamp of a terminal block.
    ScrewClamp,
    /// Spring clamp.
    SpringClamp,
    /// Stud with nut, takes ring lugs.
    Stud(Thread),
    /// Flat tab of this width, takes a push-on receptacle.
    Tab(Millimetres),
    /// Contact of a plug.
    Contact,
    /// Pin header or small board connector.
    Pin,
    /// Solder lug or pad.
    Solder,
    /// The part brings its own lead of this length.
    Lead(Millimetres),
}

/// What a terminal is for; wires take their function from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TerminalRole {
    /// Positive supply, in or out.
    Positive,
    /// Return (negative) of a supply.
    Return,
    /// Output to a motor.
    Motor,
    /// Audio signal or loudspeaker.
    Audio,
    /// Logic or control signal.
    Logic,
    /// Aerial or radio signal.
    Radio,
    /// The return that belongs to a signal.
    SignalReturn,
    /// Screen of a cable.
    Screen,
    /// Bond of metalwork.
    Bond,
    /// Either side of a contact, fuse or resistor.
    Passive,
}

/// What a signal terminal sends or wants.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Signal {
    /// Sends or receives.
    pub direction: SignalDirection,
    /// Its level: logic high voltage, or full scale of audio.
    pub level: Volts,
    /// Highest voltage it survives.
    pub damage: Option<Volts>,
    /// It is balanced or isolated (a transformer, an optocoupler, a difference amplifier): what lies between
    /// the grounds of the two parts is no part of the signal.
    pub isolated: bool,
}

/// Sends or receives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum SignalDirection {
    Output,
    Input,
    Both,
}

/// What a part's currents do to its neighbours, or theirs to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum NoiseClass {
    Power,
    Audio,
    Logic,
    Radio,
    Quiet,
}

/// Free space that a hand, tool, card or plug needs at a part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReachNeed {
    /// What is done there: `card`, `usb`, `trimmer`, `fuse-pull`, `terminal-screw`, `button`.
    pub what: String,
    /// Where, in the part's own frame.
    pub at: Point,
    /// Height above the face.
    pub height: Millimetres,
    /// Which way the tool comes out.
    pub towards: Exit,
    /// How far it comes out obliquely: the angle between its way and the face (0: along the face).
    pub tilt: Degrees,
    /// It is done with the board in the body.
    pub in_place: bool,
    /// Width of what goes in.
    pub width: Millimetres,
    /// Free depth it needs.
    pub depth: Millimetres,
    /// How often, in words (`each show`, `once`).
    pub often: String,
}

/// A family of plugs: what mates with what, and what its contacts carry.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlugFamily {
    /// Number of contacts.
    pub contacts: u32,
    /// Largest continuous current of one contact, all loaded.
    pub rating: Amperes,
    /// Resistance of one mated contact.
    pub resistance: Ohms,
    /// Highest voltage.
    pub voltage: Volts,
    /// Thinnest conductor.
    pub thinnest: SquareMillimetres,
    /// Thickest conductor.
    pub thickest: SquareMillimetres,
    /// Highest temperature of the contact.
    pub temperature: Celsius,
    /// It can be mated the wrong way round.
    pub reversible: bool,
    /// Arrangements of coding pins or inserts that do not mate with one another, the usual one first; empty:
    /// there is only one.
    pub keyings: Vec<String>,
    /// Both halves are alike: neither carries pins that the other lacks.
    pub alike: bool,
    /// It may be pulled under load.
    pub break_under_load: bool,
    /// The live half cannot be touched when unplugged.
    pub shrouded: bool,
    /// Mated size: width, height across the exit direction.
    pub width: Millimetres,
    /// Mated length along the exit direction.
    pub length: Millimetres,
    /// Height above the face when mounted.
    pub height: Millimetres,
    /// Length of boot behind each half.
    pub boot: Millimetres,
    /// The same, trimmed as short as it may be.
    pub trimmed_boot: Option<Millimetres>,
    /// Ends crimped on the wires.
    pub end: EndKind,
    /// Its latch.
    pub locks: bool,
}
