//! A family of mating connectors.

use crate::format::dimension::Dimension::*;
use crate::format::tables::{may, need};
use crate::format::{Kind, Spec};

pub(super) static PLUG_FAMILY: Spec = Spec {
    name: "plug family",
    about: "A family of mating connectors.",
    fields: &[
        need("contacts", Kind::Whole(1, 200), "Number of contacts."),
        need(
            "rating",
            Kind::Quantity(Current, 0.01, 2000.0),
            "Largest continuous current of a contact, all loaded.",
        ),
        need("resistance", Kind::Quantity(Resistance, 1e-6, 10.0), "Resistance of one mated contact."),
        need("voltage", Kind::Quantity(Voltage, 1.0, 2000.0), "Highest voltage."),
        need("wire", Kind::SizeRange, "Thinnest and thickest conductor."),
        may(
            "temperature",
            Kind::Quantity(Temperature, 20.0, 400.0),
            "Highest temperature of a contact. Default 105 °C.",
        ),
        may("reversible", Kind::Flag, "It can be mated the wrong way round. Default false."),
        may(
            "keyings",
            Kind::CodedList,
            "Arrangements of coding pins or inserts that do not mate with one another, free words, the usual one first. Left out: there is only one, and everything of the family fits together.",
        ),
        may(
            "alike",
            Kind::Flag,
            "Both halves are alike, neither carries pins that the other lacks. Default false.",
        ),
        may("break_under_load", Kind::Flag, "It may be pulled under load. Default false."),
        may("shrouded", Kind::Flag, "Its live half cannot be touched. Default false."),
        need("width", Kind::Quantity(Length, 1.0, 500.0), "Width across its exit direction."),
        need("length", Kind::Quantity(Length, 1.0, 500.0), "Length along it, mated."),
        need("height", Kind::Quantity(Length, 1.0, 500.0), "Height above the face when fixed."),
        may("boot", Kind::Quantity(Length, 0.0, 500.0), "Boot behind each half. Default 10 mm."),
        may(
            "boot_trimmed",
            Kind::Quantity(Length, 0.0, 500.0),
            "The same, trimmed as short as it may be.",
        ),
        need("end", Kind::Coded, "End crimped on its wires, as for `ends`."),
        may("locks", Kind::Flag, "It has a latch. Default false."),
    ],
};
