//! The tables of `wiring.toml`: plugs, looms, wires, and the drawer they come from.

use super::board::FIXING;
use super::{FACES, FAR, may, need};
use crate::format::dimension::Dimension::*;
use crate::format::{Field, Kind, Spec};

pub(super) static PLUG: Spec = Spec {
    name: "plug",
    about: "A mated connector pair where a loom leaves the board. `board` is the half that stays with the board, `body` the one that stays in the robot; wires land on `name.board.1`, `name.body.1` and so on.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        need("family", Kind::Reference, "A plug type from the library or your own."),
        need("zone", Kind::Reference, "Zone that the body half leads to."),
        need("face", Kind::Word(FACES), "Face it belongs to."),
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

pub(super) static LOOM: Spec = Spec {
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
    fields: &[need("face", Kind::Word(FACES), "On which face."), need("at", Kind::Point, "Where.")],
};

pub(super) static CABLE: Spec = Spec {
    name: "cable",
    about: "Wires that share a jacket or a twist.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        need("kind", Kind::Word(&["pair", "twisted-pair", "screened", "multi-core"]), "Its make-up."),
        may("outside", Kind::Quantity(Length, 0.5, 200.0), "Outside diameter. Default from its cores."),
    ],
};

pub(crate) const INSULATIONS: &[&str] = &["pvc-70", "pvc-105", "silicone", "xlpe", "ptfe"];

pub(super) static WIRE: Spec = Spec {
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

pub(super) static SHELF: Spec = Spec {
    name: "shelf",
    about: "Wire in the drawer.",
    fields: &[
        need("size", Kind::Size, "Its size."),
        may("insulation", Kind::Word(INSULATIONS), "Its insulation. Default `pvc-105`."),
        need("colours", Kind::CodedList, "Colours you have, as for `colour` of a wire."),
    ],
};
