//! Where wires land on a part, and what signals they carry.

use super::WAYS;
use crate::format::dimension::Dimension::*;
use crate::format::tables::{FAR, may, need};
use crate::format::{Kind, Spec};

pub(super) static TERMINAL: Spec = Spec {
    name: "terminal",
    about: "A point where a wire lands.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may(
            "node",
            Kind::Name,
            "Electrical node it belongs to. Default its own name; terminals may share one.",
        ),
        may("at", Kind::Point, "Where. Default the origin."),
        may(
            "height",
            Kind::Quantity(Length, 0.0, FAR),
            "Height above the mounting surface at which the wire leaves. Default half the height of the part.",
        ),
        may(
            "exit",
            Kind::Word(WAYS),
            "Which way the wire leaves: along the face, or straight `off` it.",
        ),
        may(
            "exit_angle",
            Kind::Quantity(Angle, -360.0, 360.0),
            "Any other direction along the face, counter-clockwise from x.",
        ),
        need(
            "fitting",
            Kind::Coded,
            "What holds the wire: screw-clamp, spring-clamp, stud-M6, tab-6.3, contact, pin, solder, lead-150 (its own lead, mm).",
        ),
        may(
            "ends",
            Kind::CodedList,
            "Wire ends that go in: bare, ferrule, ring-6, fork-4, receptacle-6.3, contact, header-contact, soldered, lead. Default by fitting.",
        ),
        need("wire", Kind::SizeRange, "Thinnest and thickest conductor that fits."),
        may("room_for", Kind::Whole(1, 50), "How many wires may share it. Default 1; 2 for studs."),
        may(
            "boot",
            Kind::Quantity(Length, 0.0, 500.0),
            "Straight stiff length in front of it: lug, plug body, boot. Default by fitting.",
        ),
        may(
            "boot_trimmed",
            Kind::Quantity(Length, 0.0, 500.0),
            "The same with its boot trimmed as short as it may be. Leave it out where nothing can be trimmed.",
        ),
        may(
            "screw",
            Kind::Word(WAYS),
            "Which way the screwdriver or spanner of its screw or nut comes out. Default `off` for screw-clamp and stud.",
        ),
        may("current", Kind::Quantity(Current, 0.0, 5000.0), "Largest continuous current."),
        may(
            "temperature",
            Kind::Quantity(Temperature, 0.0, 400.0),
            "Highest temperature of a conductor at it.",
        ),
        may("torque", Kind::Quantity(Torque, 0.0, 100.0), "Tightening torque."),
        may("shrouded", Kind::Flag, "Cannot be touched by a finger. Default false."),
        need(
            "role",
            Kind::Word(&[
                "positive",
                "return",
                "motor",
                "audio",
                "logic",
                "radio",
                "signal-return",
                "screen",
                "bond",
                "passive",
            ]),
            "What it is for.",
        ),
        may("optional", Kind::Flag, "It may stay without a wire. Default false."),
        may("signal", Kind::Table(&SIGNAL), "What a signal terminal sends or wants."),
    ],
};

static SIGNAL: Spec = Spec {
    name: "signal",
    about: "What a signal terminal sends or wants.",
    fields: &[
        need("direction", Kind::Word(&["output", "input", "both"]), "Sends or receives."),
        need("level", Kind::Quantity(Voltage, 0.0, 100.0), "High level of logic, full scale of audio."),
        may("damage", Kind::Quantity(Voltage, 0.0, 1000.0), "Highest voltage it survives."),
        may(
            "isolated",
            Kind::Flag,
            "Balanced or isolated (transformer, optocoupler, difference amplifier): a voltage between the two grounds is no part of the signal. Default false.",
        ),
    ],
};
