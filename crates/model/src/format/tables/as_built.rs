//! The tables of `as-built.toml`: lengths really cut, fuses really fitted.

use super::{FAR, may, need};
use crate::format::dimension::Dimension::*;
use crate::format::{Kind, Spec};

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
