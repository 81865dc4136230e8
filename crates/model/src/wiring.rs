//! Plugs, wires, looms, cables, and the wire in the drawer.

use crate::geometry::{Face, Placement, Point};
use crate::part_type::{Fixing, PlugFamily, TerminalRole};
use crate::robot::{CableId, LoomId, PartId, PassId, PlugId, TypeId, ZoneId};
use crate::units::*;
use crate::wire::{Colour, EndKind, Gauge, Insulation};
use serde::Serialize;

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
    /// How a fixed one is held (its family's way unless the robot says otherwise).
    pub fixing: Fixing,
    /// Arrangement of its coding pins or insert; empty: its family's first. Where its family has only one
    /// arrangement, a mark that locks nothing out.
    pub keying: String,
    /// The half that carries the pins; the other carries the sockets.
    pub pins_on: Half,
    /// Colour of both halves: a mark that locks nothing out.
    pub colour: Option<Colour>,
    /// Contact numbers in use count from 1 to the family's contacts.
    pub note: String,
}

impl Plug {
    /// Its arrangement among those of its family: what it says, else the family's first; nothing in a family
    /// with only one.
    pub fn arrangement<'a>(&'a self, family: &'a PlugFamily) -> &'a str {
        match family.keyings.first() {
            Some(first) if self.keying.is_empty() => first,
            Some(_) => &self.keying,
            None => "",
        }
    }
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

impl Half {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Board => "board",
            Self::Body => "body",
        }
    }
    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Board => Self::Body,
            Self::Body => Self::Board,
        }
    }
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
    /// Corners the builder wants it to run through, in order from `from`; a wire without any takes its
    /// loom's.
    pub pins: Vec<Pin>,
    /// How much slack it gets, when the builder says so; a wire that says nothing takes its loom's.
    pub slack: Option<Slack>,
    /// The boot at `from` is trimmed.
    pub trim_from: bool,
    /// The boot at `to` is trimmed.
    pub trim_to: bool,
}

/// A corner that a wire must run through.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pin {
    /// On which face.
    pub face: Face,
    /// Where, in the board's frame.
    pub at: Point,
}

/// How much slack a wire gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Slack {
    /// None beyond what keeps the strain off its ends.
    Fixed,
    /// A loop at each end, so that the end can be made a second time.
    Service,
    /// The same, and what a moving joint needs.
    Moving,
}

impl Slack {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fixed => "fixed",
            Self::Service => "service",
            Self::Moving => "moving",
        }
    }
}

/// Wires that run tied together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Loom {
    /// Name.
    pub name: String,
    /// A free word.
    pub note: String,
    /// Corners that its wires must run through.
    pub pins: Vec<Pin>,
    /// How much slack its wires get.
    pub slack: Option<Slack>,
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
