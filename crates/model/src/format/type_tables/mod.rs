//! The tables of a part type.

pub(crate) mod elements;
mod fuse;
mod plug;
mod terminal;

use super::dimension::Dimension::*;
use super::tables::{FAR, FIXING, may, need};
use super::{Kind, Spec};
pub use elements::ELEMENTS;
use fuse::FUSE;
use plug::PLUG_FAMILY;
use terminal::TERMINAL;

/// Ways along the face, and straight off it.
const WAYS: &[&str] = &["left", "right", "up", "down", "off"];

/// A part type.
pub static TYPE: Spec = Spec {
    name: "type",
    about: "A kind of module. Lengths are in its own frame, as seen looking at it where it is mounted, x right, y up.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may(
            "extends",
            Kind::Reference,
            "Another type from which everything not given here is taken. Terminals and elements of the same name are changed key by key, others are added.",
        ),
        may("title", Kind::Text, "What it is, for people. Default its name."),
        may("group", Kind::Text, "Shelf it stands on: `motor drivers`. Default `own parts`."),
        may("about", Kind::Text, "What it is for and what to watch."),
        may("basis", Kind::Text, "Where its numbers come from."),
        may(
            "size",
            Kind::Extent,
            "Width and height of a rectangular footprint with its lower left corner at the origin.",
        ),
        may("outline", Kind::Points, "Corners of any other footprint."),
        may(
            "diameter",
            Kind::Quantity(Length, 0.1, FAR),
            "Diameter of a round footprint centred at the origin.",
        ),
        may(
            "height",
            Kind::Quantity(Length, 0.0, FAR),
            "How far it stands off its mounting surface. Default 0.",
        ),
        may("mass", Kind::Quantity(Mass, 0.0, 5000.0), "Mass. Default 0."),
        may("holes", Kind::Points, "Centres of its mounting holes."),
        may("hole_diameter", Kind::Quantity(Length, 0.5, 100.0), "Diameter of its mounting holes."),
        may(
            "noise",
            Kind::Word(&["power", "audio", "logic", "radio", "quiet"]),
            "What its currents do to its neighbours. Default `quiet`.",
        ),
        may(
            "ambient_limit",
            Kind::Quantity(Temperature, -40.0, 300.0),
            "Highest temperature of the air around it.",
        ),
        may("radio_link", Kind::Flag, "It receives commands by radio. Default false."),
        may(
            "moves",
            Kind::Flag,
            "It moves something while it is fed, and a stop must take it (servos). Motors always do. Default false.",
        ),
        may(
            "leaves",
            Kind::Percent(0.0, 100.0),
            "Share of what its loads take that leaves the body as light, sound, steam or water. Default 0.",
        ),
        may(
            "fixing",
            Kind::Table(&FIXING),
            "How it is held. Default `bolt-and-nut` with the thread that fits its holes; without holes `adhesive`.",
        ),
        may("terminal", Kind::Tables(&TERMINAL), "Where wires land."),
        may("element", Kind::Elements, "What it does electrically: one or more tables with a `kind`."),
        may("fuse", Kind::Table(&FUSE), "Data of a fuse that goes into a fuse way."),
        may("plug", Kind::Table(&PLUG_FAMILY), "Data of a plug family."),
        may("reach", Kind::Tables(&REACH), "Free space that hands and tools need."),
    ],
};

static REACH: Spec = Spec {
    name: "reach",
    about: "Free space that a hand, tool, card or plug needs.",
    fields: &[
        need(
            "what",
            Kind::Text,
            "What is done there: `card`, `usb`, `trimmer`, `fuse-pull`, `terminal-screw`, `button`.",
        ),
        need("at", Kind::Point, "Where."),
        may("height", Kind::Quantity(Length, 0.0, FAR), "Height above the mounting surface. Default 0."),
        need("towards", Kind::Word(WAYS), "Which way the tool comes out."),
        may(
            "tilt",
            Kind::Quantity(Angle, 0.0, 90.0),
            "Oblique: the angle between its way and the face. Default 0, along the face.",
        ),
        may("in_place", Kind::Flag, "It is done with the board in the body. Default false."),
        need("width", Kind::Quantity(Length, 0.1, 1000.0), "Width of what goes in."),
        need("depth", Kind::Quantity(Length, 0.1, 1000.0), "Free depth it needs."),
        may("often", Kind::Text, "How often: `each show`, `once`."),
    ],
};
