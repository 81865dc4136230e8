//! The electrical models, a table for each `kind`.

/// The table of one model: its static, its `kind`, what it is, its keys.
macro_rules! element {
    ($static:ident, $name:literal, $about:literal, [$($field:expr),* $(,)?]) => {
        pub(super) static $static: Spec = Spec {
            name: $name,
            about: $about,
            fields: &[
                need("kind", Kind::Word(&[$name]), "The electrical model."),
                may("name", Kind::Name, "Its name within the type. Default `main`; required when the type has several."),
                $($field),*
            ],
        };
    };
}

mod load;
pub(crate) mod supply;
mod way;

use crate::format::dimension::Dimension::*;
use crate::format::tables::need;
use crate::format::{Field, Kind, Spec};
use load::{CAPACITOR, DRIVER, LOAD, METER, MOTOR, RESISTOR};
use supply::{BATTERY, CHARGER, CONVERTER, PROTECTION};
use way::{BUS, CONTACTOR, DIODE, FUSE_WAY, SLIP_RING, SWITCH};

/// The tables of all electrical models.
pub static ELEMENTS: [&Spec; 16] = [
    &BATTERY,
    &SWITCH,
    &CONTACTOR,
    &FUSE_WAY,
    &DIODE,
    &RESISTOR,
    &CAPACITOR,
    &CONVERTER,
    &DRIVER,
    &MOTOR,
    &LOAD,
    &CHARGER,
    &PROTECTION,
    &SLIP_RING,
    &METER,
    &BUS,
];

const fn node(key: &'static str, about: &'static str) -> Field {
    need(key, Kind::Name, about)
}
const fn amps(key: &'static str, about: &'static str) -> Field {
    need(key, Kind::Quantity(Current, 0.0, 20_000.0), about)
}
const fn volts(key: &'static str, about: &'static str) -> Field {
    need(key, Kind::Quantity(Voltage, 0.0, 1000.0), about)
}
const fn ohms(key: &'static str, about: &'static str) -> Field {
    need(key, Kind::Quantity(Resistance, 1e-7, 1e9), about)
}
