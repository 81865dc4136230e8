//! A fuse that goes into a fuse way.

use crate::format::dimension::Dimension::*;
use crate::format::tables::{may, need};
use crate::format::{Kind, Spec};

pub(super) static FUSE: Spec = Spec {
    name: "fuse",
    about: "A fuse that goes into a fuse way.",
    fields: &[
        need("form", Kind::Text, "Body; must equal the `form` of the way."),
        need("rating", Kind::Quantity(Current, 0.01, 2000.0), "Rated current."),
        need("voltage", Kind::Quantity(Voltage, 1.0, 2000.0), "Highest voltage it may interrupt."),
        need(
            "breaking_capacity",
            Kind::Quantity(Current, 1.0, 200_000.0),
            "Largest current it may interrupt.",
        ),
        need("cold", Kind::Quantity(Resistance, 1e-6, 100.0), "Resistance when cold."),
        may("colour", Kind::Text, "Colour of its body."),
        need("curve", Kind::Tables(&FUSE_POINT), "Opening times, rising in current."),
    ],
};

static FUSE_POINT: Spec = Spec {
    name: "curve point",
    about: "Opening time at one current.",
    fields: &[
        need("percent", Kind::Number(100.0, 10_000.0), "Current in percent of the rating."),
        need("fastest", Kind::Quantity(Time, 0.0, 1e9), "None opens before this."),
        may(
            "slowest",
            Kind::Quantity(Time, 0.0, 1e9),
            "All have opened by then. Leave it out where it may never open.",
        ),
    ],
};
