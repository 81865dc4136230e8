//! The tables of `robot.toml`, `board.toml`, `wiring.toml` and `as-built.toml`.

use super::dimension::Dimension::*;
use super::type_tables::TYPE;
use super::{Field, Kind, Spec};

pub(crate) const fn need(key: &'static str, kind: Kind, about: &'static str) -> Field {
    Field { key, kind, required: true, about }
}
pub(crate) const fn may(key: &'static str, kind: Kind, about: &'static str) -> Field {
    Field { key, kind, required: false, about }
}

/// Longest length in a file, mm.
pub(crate) const FAR: f64 = 100_000.0;

/// Everything that may stand in a robot's files.
pub static ROOT: Spec = Spec {
    name: "file",
    about: "The top of `robot.toml`, `board.toml` and `wiring.toml`. Any section may stand in any of the three; a small robot is one `robot.toml`.",
    fields: &[
        need(
            "format",
            Kind::Whole(1, 1),
            "Version of the format; stands once, in `robot.toml`. This program writes 1.",
        ),
        need("robot", Kind::Table(&ROBOT), "The machine. Write `[robot]` and below it `name = \"…\"`."),
        may("book", Kind::Table(&BOOK), "Paper and units of what is printed."),
        may("limits", Kind::Table(&LIMITS), "Limits you set for yourself."),
        may("motion", Kind::Table(&MOTION), "How the robot rolls."),
        may("body", Kind::Table(&BODY), "The closed body around the board, as heat sees it."),
        may("zone", Kind::Tables(&ZONE), "Places in the body off the board."),
        may("board", Kind::Table(&BOARD), "The mounting panel."),
        may("pass", Kind::Tables(&PASS), "Openings that let a loom change face."),
        may("mount", Kind::Tables(&MOUNT), "Bolts that hold the board in the body."),
        may(
            "body_opening",
            Kind::Table(&BODY_OPENING),
            "The opening of the body through which the board comes out.",
        ),
        may("keep_out", Kind::Tables(&KEEP_OUT), "Regions of the board to stay out of."),
        may("part", Kind::Tables(&PART), "The modules in this robot."),
        may("plug", Kind::Tables(&PLUG), "Connector pairs where looms leave the board."),
        may("loom", Kind::Tables(&LOOM), "Wires that run tied together."),
        may("cable", Kind::Tables(&CABLE), "Wires that share a jacket or a twist."),
        may("wire", Kind::Tables(&WIRE), "Single conductors from terminal to terminal."),
        may(
            "situation",
            Kind::Tables(&SITUATION),
            "Switch positions, plugs, activity and speed, under a name.",
        ),
        may("day", Kind::Tables(&DAY), "A day at a show, stretch by stretch, in order."),
        may(
            "shelf",
            Kind::Tables(&SHELF),
            "Wire you have in the drawer. When any is listed, colours and sizes are proposed from it.",
        ),
        may(
            "type",
            Kind::Tables(&TYPE),
            "Part types of your own; they may also stand in files of the folder `parts/`.",
        ),
    ],
};

/// `as-built.toml`.
pub static AS_BUILT: Spec = Spec {
    name: "as-built file",
    about: "What was really cut and fitted, in `as-built.toml`. It overrides what the other files plan.",
    fields: &[
        may("cut", Kind::Tables(&CUT), "Wires already cut."),
        may("fitted", Kind::Tables(&FITTED), "Fuses really fitted."),
    ],
};

static CUT: Spec = Spec {
    name: "cut",
    about: "A wire already cut.",
    fields: &[
        need("wire", Kind::Reference, "Name of the wire."),
        need(
            "length",
            Kind::Quantity(Length, 1.0, FAR),
            "Its length from terminal to terminal, measured.",
        ),
    ],
};

static FITTED: Spec = Spec {
    name: "fitted",
    about: "A fuse really fitted.",
    fields: &[
        need("part", Kind::Reference, "The part with the fuse way."),
        need("way", Kind::Reference, "Element name of the way."),
        need("fuse", Kind::Reference, "Type of the fuse."),
    ],
};

static ROBOT: Spec = Spec {
    name: "robot",
    about: "The machine.",
    fields: &[
        need("name", Kind::Text, "What it is called; printed on the cover of the book."),
        may("about", Kind::Text, "A line about it."),
    ],
};

static BOOK: Spec = Spec {
    name: "book",
    about: "Paper and units of what is printed.",
    fields: &[
        may("paper", Kind::Word(&["a4", "letter"]), "Paper size. Default `a4`."),
        may("unit", Kind::Word(&["mm", "inch"]), "Unit of lengths in print. Default `mm`."),
    ],
};

static LIMITS: Spec = Spec {
    name: "limits",
    about: "Limits you set for yourself; all have defaults.",
    fields: &[
        may(
            "ambient",
            Kind::Quantity(Temperature, -40.0, 120.0),
            "Air in the closed body. Default 40 °C.",
        ),
        may(
            "drop_power",
            Kind::Percent(0.1, 50.0),
            "Voltage that may be lost in the wires, there and back, to a motor, pump or lamp. Default 5 %.",
        ),
        may("drop_quiet", Kind::Percent(0.1, 50.0), "The same for logic, audio and radio. Default 3 %."),
        may(
            "stall",
            Kind::Quantity(Time, 0.0, 3600.0),
            "How long your control lets a motor stall. Default 2 s.",
        ),
        may(
            "fuse_continuous",
            Kind::Percent(10.0, 100.0),
            "Continuous load of a fuse, of its rating. Default 75 %.",
        ),
        may(
            "spare",
            Kind::Percent(0.0, 90.0),
            "Spare you want on fuses, converters, plugs. Default 20 %.",
        ),
        may(
            "web",
            Kind::Quantity(Length, 0.0, 1000.0),
            "Least material between two holes. Default 3 mm.",
        ),
        may(
            "edge",
            Kind::Quantity(Length, 0.0, 1000.0),
            "Least distance of a part or a hole's rim from the edge. Default 3 mm.",
        ),
        may(
            "gap",
            Kind::Quantity(Length, 0.0, 1000.0),
            "Least gap between two parts on a face. Default 2 mm.",
        ),
        may(
            "push_speed",
            Kind::Quantity(Speed, 0.0, 50.0),
            "Fastest that anyone will push the robot. Default 2 m/s.",
        ),
        may(
            "service_slack",
            Kind::Quantity(Length, 0.0, 1000.0),
            "Extra length at each end of a wire, so that the end can be made a second time. Default 40 mm.",
        ),
    ],
};

static MOTION: Spec = Spec {
    name: "motion",
    about: "How the robot rolls; needed when a motor is to hold a speed or climb a slope.",
    fields: &[
        may("mass", Kind::Quantity(Mass, 0.0, 5000.0), "Mass of the whole robot, loaded."),
        may(
            "rolling_resistance",
            Kind::Percent(0.0, 50.0),
            "Force to roll on the level, of the weight. Default 2.5 % (small rubber wheels on a hall floor; common practice).",
        ),
        may(
            "steepest",
            Kind::Percent(0.0, 100.0),
            "Steepest slope it will ever stand on, rise over run. Default the steepest of the situations.",
        ),
        may(
            "radio_loss",
            Kind::Word(&["stops", "holds", "silent"]),
            "What the radio receiver puts out when the link is lost, as you have set and tried it: the command to stand, the last command, or nothing.",
        ),
        may(
            "held",
            Kind::Word(&["brake", "chocks"]),
            "What holds it on a slope while it is off: a brake that closes without current, or chocks that you carry and put before its wheels. Default nothing.",
        ),
    ],
};

static BODY: Spec = Spec {
    name: "body",
    about: "The closed body around the board: what carries its heat to the open air. Without it, the temperature inside is only known as a range.",
    fields: &[
        need(
            "surface",
            Kind::Quantity(Area, 0.01, 100.0),
            "Outer surface that gives heat to the air; leave out what stands on the floor.",
        ),
        may(
            "wall",
            Kind::Word(&[
                "hdpe",
                "plywood",
                "acrylic",
                "abs",
                "polycarbonate",
                "aluminium",
                "steel",
                "glassfibre",
                "cardboard",
                "foam",
            ]),
            "What the wall is made of. Default `abs`.",
        ),
        may("thickness", Kind::Quantity(Length, 0.1, 500.0), "How thick the wall is. Default 3 mm."),
        may(
            "height",
            Kind::Quantity(Length, 50.0, 10_000.0),
            "Height of the body. Default: that of a cube with this surface.",
        ),
        may("shiny", Kind::Flag, "Bare polished metal outside: it radiates little. Default `false`."),
        may(
            "vent_low",
            Kind::Quantity(Area, 0.0, 10.0),
            "Free area of the openings low down. Default 0.",
        ),
        may(
            "vent_high",
            Kind::Quantity(Area, 0.0, 10.0),
            "Free area of the openings high up. Default 0.",
        ),
        may(
            "vent_height",
            Kind::Quantity(Length, 0.0, 10_000.0),
            "Height of the upper openings above the lower, middle to middle. Default 0: then they do nothing.",
        ),
        may(
            "fan",
            Kind::Quantity(Flow, 0.0, 10_000.0),
            "Air that a fan really moves through the body; behind grilles about half of what its label says (common practice). Default 0.",
        ),
        may(
            "outside",
            Kind::Quantity(Temperature, -40.0, 60.0),
            "Air outside on the warmest day you show it. Default 30 °C.",
        ),
        may(
            "sun",
            Kind::Quantity(Power, 0.0, 10_000.0),
            "Heat that the sun leaves in the wall. Default 0.",
        ),
        may(
            "mass",
            Kind::Quantity(Mass, 0.1, 5000.0),
            "Mass that warms up with the air inside. Default: that of the parts in the body and of the board.",
        ),
    ],
};

static ZONE: Spec = Spec {
    name: "zone",
    about: "A place in the body off the board: left leg, head, charging hatch.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may(
            "path",
            Kind::Quantity(Length, 0.0, FAR),
            "Path from the edge of the board to the zone, measured along the body with a string. When it is missing, wire lengths are only known as a range.",
        ),
        may("allowance", Kind::Quantity(Length, 0.0, FAR), "Extra for joints that move. Default 0."),
        may(
            "lead",
            Kind::Quantity(Length, 0.0, FAR),
            "From the entry of the zone to a part in it, when the part does not say. Default 150 mm.",
        ),
        may("exit", Kind::Point, "Where on the edge of the board its loom leaves when no plug says so."),
        may(
            "ambient",
            Kind::Quantity(Temperature, -40.0, 150.0),
            "Air there, when it differs from the body's.",
        ),
        may("outside", Kind::Flag, "It lies in the open air: its heat does not warm the body."),
    ],
};

static BOARD: Spec = Spec {
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

static BODY_OPENING: Spec = Spec {
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

static PASS: Spec = Spec {
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

static MOUNT: Spec = Spec {
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

static KEEP_OUT: Spec = Spec {
    name: "keep_out",
    about: "A region of the board to stay out of (a rib, a hand, a hinge).",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may("face", Kind::Word(&["front", "back"]), "Face it concerns. Default both."),
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

static PART: Spec = Spec {
    name: "part",
    about: "One module. It is on a face of the board (`face` and `at`) or in a zone (`zone`).",
    fields: &[
        need("name", Kind::Name, "Its name; parts and plugs share one set of names."),
        need("type", Kind::Reference, "Its part type, from the library or your own."),
        may("face", Kind::Word(&["front", "back"]), "Face that carries it."),
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

static PLUG: Spec = Spec {
    name: "plug",
    about: "A mated connector pair where a loom leaves the board. `board` is the half that stays with the board, `body` the one that stays in the robot; wires land on `name.board.1`, `name.body.1` and so on.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        need("family", Kind::Reference, "A plug type from the library or your own."),
        need("zone", Kind::Reference, "Zone that the body half leads to."),
        need("face", Kind::Word(&["front", "back"]), "Face it belongs to."),
        need("at", Kind::Point, "Where it sits, or where its tail leaves the board."),
        may(
            "turn",
            Kind::Quantity(Angle, -360.0, 360.0),
            "Fixed plugs: direction in which the body half comes off, counter-clockwise from x, looking at the face. Default 0.",
        ),
        may(
            "tail",
            Kind::Quantity(Length, 0.0, FAR),
            "Length of a free tail between board and plug. Leave it out for a plug fixed to the board.",
        ),
        may(
            "fixing",
            Kind::Table(&FIXING),
            "How a fixed one is held, where it differs from its family.",
        ),
        may(
            "keying",
            Kind::Text,
            "Arrangement of its coding pins or insert: one of its family's `keyings`. Default: the first of them. Where the family has none, a free word that marks it and locks nothing out.",
        ),
        may(
            "pins_on",
            Kind::Word(&["board", "body"]),
            "Half that carries the pins; the other carries the sockets. Default `board`.",
        ),
        may(
            "colour",
            Kind::Coded,
            "Colour of both halves, as for wires: a mark that locks nothing out.",
        ),
        may("note", Kind::Text, "A free word."),
    ],
};

static LOOM: Spec = Spec {
    name: "loom",
    about: "Wires that run tied together.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may("note", Kind::Text, "A free word."),
        PINS,
        SLACK,
    ],
};

const PINS: Field = may(
    "pins",
    Kind::Tables(&PIN),
    "Corners that it must run through, in order from `from`. A wire without any takes its loom's.",
);
const SLACK: Field = may(
    "slack",
    Kind::Word(&["fixed", "service", "moving"]),
    "Slack at its ends: `fixed` none beyond strain relief, `service` a loop so that an end can be made again, `moving` also what a moving joint needs. Default: its loom's, else `service`, or `moving` where its zone has a joint.",
);

static PIN: Spec = Spec {
    name: "pin",
    about: "A corner that a wire must run through.",
    fields: &[
        need("face", Kind::Word(&["front", "back"]), "On which face."),
        need("at", Kind::Point, "Where."),
    ],
};

static CABLE: Spec = Spec {
    name: "cable",
    about: "Wires that share a jacket or a twist.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        need("kind", Kind::Word(&["pair", "twisted-pair", "screened", "multi-core"]), "Its make-up."),
        may("outside", Kind::Quantity(Length, 0.5, 200.0), "Outside diameter. Default from its cores."),
    ],
};

pub(crate) const INSULATIONS: &[&str] = &["pvc-70", "pvc-105", "silicone", "xlpe", "ptfe"];

static WIRE: Spec = Spec {
    name: "wire",
    about: "One conductor. An end is written `part.terminal`, or `plug.board.3` and `plug.body.3` for contacts of a plug.",
    fields: &[
        need("name", Kind::Name, "Its name; it is printed on its labels."),
        need("from", Kind::Coded, "One end."),
        need("to", Kind::Coded, "The other end."),
        need("size", Kind::Size, "Conductor size."),
        may("insulation", Kind::Word(INSULATIONS), "Insulation. Default `pvc-105`."),
        may(
            "colour",
            Kind::Coded,
            "`red`, or `red/black` for a stripe. Default: proposed by function. Colours: red black brown orange yellow green blue violet grey white pink.",
        ),
        may("function", Kind::Word(FUNCTIONS), "What it is for. Default: from the terminals it joins."),
        may("loom", Kind::Reference, "Loom it runs in."),
        may("cable", Kind::Reference, "Cable whose core it is."),
        may(
            "length",
            Kind::Quantity(Length, 1.0, FAR),
            "Length from terminal to terminal, when you measured it; it overrides the computed one.",
        ),
        may(
            "end_from",
            Kind::Coded,
            "End fitted at `from`: bare, ferrule, ring-6, fork-4, receptacle-6.3, contact, header-contact, soldered, lead. Default: the terminal's first choice.",
        ),
        may("end_to", Kind::Coded, "End fitted at `to`."),
        may("via", Kind::References, "Pass-throughs it must use, in order from `from`."),
        PINS,
        SLACK,
        may("trim_from", Kind::Flag, "The boot at `from` is trimmed as short as it may be."),
        may("trim_to", Kind::Flag, "The boot at `to` is trimmed."),
    ],
};

pub(crate) const FUNCTIONS: &[&str] =
    &["supply", "return", "motor", "audio", "logic", "radio", "signal-return", "screen", "bond"];

static SITUATION: Spec = Spec {
    name: "situation",
    about: "Switch positions, plugs, activity and speed, under a name.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may("about", Kind::Text, "What happens in it."),
        may("closed", Kind::References, "Parts whose switches are closed. All others are open."),
        may("unplugged", Kind::References, "Plugs that are pulled. All others are mated."),
        may("powered", Kind::References, "Chargers that have mains."),
        may("charge", Kind::Percent(0.0, 100.0), "State of charge of the batteries. Default 80 %."),
        may(
            "ambient",
            Kind::Quantity(Temperature, -40.0, 120.0),
            "Air in the body. Default as in `limits`.",
        ),
        may("speed", Kind::Quantity(Speed, 0.0, 50.0), "Speed over ground. Default 0."),
        may(
            "slope",
            Kind::Percent(-100.0, 100.0),
            "Slope it climbs, rise over run; negative downhill. Default 0.",
        ),
        may(
            "moved_by",
            Kind::Word(&["motors", "hand"]),
            "What moves it. With `hand` its drivers are off. Default `motors`.",
        ),
        may(
            "lasting",
            Kind::Flag,
            "It lasts until wires are as hot as they get. Default true unless `lasts` is given.",
        ),
        may("lasts", Kind::Quantity(Time, 0.001, 864_000.0), "How long it lasts, when it is short."),
        may(
            "activity",
            Kind::MapOf(&ACTIVITY_HERE, true),
            "What loads do, by part: the name of an activity of its type, or numbers of its own. Default: the type's usual activity.",
        ),
        may(
            "motors",
            Kind::MapOf(&TASK, false),
            "What motors do, by part: one of duty, speed, turning or torque, or stalled, or off.",
        ),
    ],
};

static ACTIVITY_HERE: Spec = Spec {
    name: "activity",
    about: "What a load takes.",
    fields: &[
        need("mean", Kind::Quantity(Current, 0.0, 2000.0), "Mean current at nominal voltage."),
        may("rms", Kind::Quantity(Current, 0.0, 2000.0), "Root of the mean square. Default the mean."),
        may("peak", Kind::Quantity(Current, 0.0, 5000.0), "Highest current. Default the rms."),
        may(
            "peak_time",
            Kind::Quantity(Time, 0.0, 86_400.0),
            "How long the peak lasts each time. Default 0.",
        ),
    ],
};

static TASK: Spec = Spec {
    name: "motor task",
    about: "What a motor does.",
    fields: &[
        may("duty", Kind::Percent(-100.0, 100.0), "Share of the supply that the driver applies."),
        may("speed", Kind::Quantity(Speed, -50.0, 50.0), "Speed over ground of its wheel."),
        may("turning_rpm", Kind::Number(-100_000.0, 100_000.0), "Turns of the output per minute."),
        may("torque", Kind::Quantity(Torque, -10_000.0, 10_000.0), "Torque at the output shaft."),
        may("stalled", Kind::Flag, "The output is held fast."),
        may("off", Kind::Flag, "Its driver is off."),
    ],
};

static DAY: Spec = Spec {
    name: "day",
    about: "One stretch of a day at a show.",
    fields: &[
        need("situation", Kind::Reference, "What happens."),
        need("minutes", Kind::Number(0.01, 14_400.0), "For how long."),
    ],
};

static SHELF: Spec = Spec {
    name: "shelf",
    about: "Wire in the drawer.",
    fields: &[
        need("size", Kind::Size, "Its size."),
        may("insulation", Kind::Word(INSULATIONS), "Its insulation. Default `pvc-105`."),
        need("colours", Kind::CodedList, "Colours you have, as for `colour` of a wire."),
    ],
};
