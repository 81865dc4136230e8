//! The tables of `board.toml`: the board and what sits on it.

use super::{FACES, FAR, may, need};
use crate::format::dimension::Dimension::*;
use crate::format::{Kind, Spec};

pub(super) static BOARD: Spec = Spec {
    name: "board",
    about: "The mounting panel. Positions are given as seen from the front, x right, y up.",
    fields: &[
        may("outline", Kind::Points, "Corners of the outline in order. Give this or `size`."),
        may(
            "size",
            Kind::Extent,
            "Width and height of a rectangular board whose lower left corner is [0, 0].",
        ),
        need("thickness", Kind::Quantity(Length, 0.5, 100.0), "Thickness of the sheet."),
        need(
            "material",
            Kind::Word(&["hdpe", "plywood", "acrylic", "abs", "polycarbonate", "aluminium"]),
            "What the sheet is made of.",
        ),
        need(
            "depth_front",
            Kind::Quantity(Length, 0.0, FAR),
            "Free depth in front of the front face, in the body.",
        ),
        need("depth_back", Kind::Quantity(Length, 0.0, FAR), "Free depth behind the back face."),
        may(
            "edge_room",
            Kind::Quantity(Length, 0.0, FAR),
            "Free room in the body beyond the edge of the board, for plugs, cards and hands. Default: not known.",
        ),
        may(
            "datum",
            Kind::Point,
            "Corner from which holes are measured. Default the lower left corner of the outline's bounds.",
        ),
    ],
};

pub(super) static BODY_OPENING: Spec = Spec {
    name: "body_opening",
    about: "The opening of the body through which the board comes out, as a flat shape seen from outside. Give one of `size`, `diameter` and `outline`.",
    fields: &[
        may("size", Kind::Extent, "Width and height of a rectangular one."),
        may("diameter", Kind::Quantity(Length, 10.0, FAR), "Diameter of a round one."),
        may("outline", Kind::Points, "Corners of any other."),
        may(
            "gap",
            Kind::Quantity(Length, 0.0, 500.0),
            "Air you want all round while the board goes through. Default 3 mm.",
        ),
    ],
};

pub(super) static PASS: Spec = Spec {
    name: "pass",
    about: "A pass-through: round (`diameter`), a slot with round ends (`length` and `width`), or a rectangle (the same with `corner`).",
    fields: &[
        need("name", Kind::Name, "Its name."),
        need("at", Kind::Point, "Centre."),
        may("diameter", Kind::Quantity(Length, 1.0, 1000.0), "Diameter of a round one."),
        may("length", Kind::Quantity(Length, 1.0, 1000.0), "Length of a slot or rectangle, end to end."),
        may("width", Kind::Quantity(Length, 1.0, 1000.0), "Width of a slot or rectangle."),
        may(
            "corner",
            Kind::Quantity(Length, 0.0, 500.0),
            "Radius of the corners of a rectangle; leave it out for a slot.",
        ),
        may(
            "turn",
            Kind::Quantity(Angle, -360.0, 360.0),
            "Turn of the long axis, counter-clockwise from x. Default 0.",
        ),
        may("grommet", Kind::Flag, "Its edge is protected by a grommet or trim. Default false."),
        may("tools_only", Kind::Flag, "It lets a tool through; no wires go here. Default false."),
    ],
};

pub(super) static MOUNT: Spec = Spec {
    name: "mount",
    about: "A bolt that holds the board in the body.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        need("at", Kind::Point, "Centre."),
        need("thread", Kind::Word(THREADS), "Its thread."),
        may(
            "clear",
            Kind::Quantity(Length, 1.0, 500.0),
            "Diameter kept free around it on both faces. Default three times the thread.",
        ),
        may(
            "hole",
            Kind::Quantity(Length, 1.0, 100.0),
            "Diameter of its hole in the sheet, where the sheet must be free to grow; needs a wide washer. \
             Default the thread's clearance hole.",
        ),
    ],
};

pub(crate) const THREADS: &[&str] =
    &["M2", "M2.5", "M3", "M4", "M5", "M6", "M8", "M10", "4-40", "6-32", "8-32", "10-24"];

pub(super) static KEEP_OUT: Spec = Spec {
    name: "keep_out",
    about: "A region of the board to stay out of (a rib, a hand, a hinge).",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may("face", Kind::Word(FACES), "Face it concerns. Default both."),
        may("outline", Kind::Points, "Corners. Give this, or `at` and `size`."),
        may("at", Kind::Point, "Lower left corner of a rectangle."),
        may("size", Kind::Extent, "Width and height of a rectangle."),
        may(
            "above",
            Kind::Quantity(Length, 0.0, FAR),
            "Height above the face up to which parts may still stand there. Default 0: nothing.",
        ),
        may("wires_may_cross", Kind::Flag, "Wires may cross it. Default false."),
    ],
};

pub(super) static PART: Spec = Spec {
    name: "part",
    about: "One module. It is on a face of the board (`face` and `at`) or in a zone (`zone`).",
    fields: &[
        need("name", Kind::Name, "Its name; parts and plugs share one set of names."),
        need("type", Kind::Reference, "Its part type, from the library or your own."),
        may("face", Kind::Word(FACES), "Face that carries it."),
        may("at", Kind::Point, "Where the origin of its own frame lies on the board."),
        may(
            "turn",
            Kind::Quantity(Angle, -360.0, 360.0),
            "Turned counter-clockwise, looking at its face. Default 0.",
        ),
        may("zone", Kind::Reference, "Zone it is in, when not on the board."),
        may(
            "lead",
            Kind::Quantity(Length, 0.0, FAR),
            "In a zone: length from the entry of the zone to the part.",
        ),
        may("fixing", Kind::Table(&FIXING), "How it is held, where it differs from its type."),
        may(
            "fuses",
            Kind::ReferenceMap,
            "Fuses in its ways: `{ way-1 = \"blade-10a\" }`. A way that is not named is empty and open.",
        ),
        may("note", Kind::Text, "A free word."),
    ],
};

pub(crate) static FIXING: Spec = Spec {
    name: "fixing",
    about: "How a part is held on the board.",
    fields: &[
        may("style", Kind::Word(FIXING_STYLES), "The way of fixing."),
        may("thread", Kind::Word(THREADS), "Thread of its screws."),
        may("head", Kind::Word(&["socket", "countersunk", "pan"]), "Head of its screws."),
        may("standoff", Kind::Quantity(Length, 0.0, 200.0), "Gap between board and part. Default 0."),
        may(
            "flange",
            Kind::Quantity(Length, 0.0, 100.0),
            "Thickness of what the screw clamps. Default 2 mm.",
        ),
        may(
            "turned",
            Kind::Flag,
            "The bolt is put in from the far face, and its nut lies on the part. Default false.",
        ),
        may(
            "sunk",
            Kind::Flag,
            "A captive nut lies flush in a pocket of the far face. Default false: it lies on the face.",
        ),
        may(
            "slides",
            Kind::Word(&["left", "right", "up", "down"]),
            "In a cleat: the way the part slides out, in its own frame, once the cleat's end on that side is off.",
        ),
        may(
            "slides_angle",
            Kind::Quantity(Angle, -360.0, 360.0),
            "Any other way, counter-clockwise from x.",
        ),
    ],
};

pub(crate) const FIXING_STYLES: &[&str] = &[
    "bolt-and-nut",
    "standoff",
    "insert",
    "captive-nut",
    "clip",
    "cleat",
    "adhesive",
    "housing",
    "wood-screw",
    "loose",
];
