//! Models of what current passes through: switches, fuse ways, diodes, slip rings, bus bars.

use super::{amps, node, ohms, volts};
use crate::format::dimension::Dimension::*;
use crate::format::tables::{may, need};
use crate::format::{Field, Kind, Spec};

element!(
    SWITCH,
    "switch",
    "Closed or open as the situation says.",
    [
        node("a", "One side."),
        node("b", "The other side."),
        ohms("closed", "Resistance when closed."),
        amps("rating", "Largest continuous current."),
        MAKE_BREAK,
        volts("voltage", "Highest DC voltage it may break."),
    ]
);

element!(
    CONTACTOR,
    "contactor",
    "A relay or contactor: its coil moves its contact.",
    [
        node("coil_plus", "Coil, positive side."),
        node("coil_minus", "Coil, negative side."),
        node("a", "One side of the contact."),
        node("b", "The other side."),
        ohms("coil", "Resistance of the coil."),
        volts("pull_in", "Coil voltage that closes it for certain."),
        volts("drop_out", "Coil voltage that opens it for certain."),
        volts("coil_max", "Highest coil voltage."),
        ohms("closed", "Contact resistance when closed."),
        amps("rating", "Largest continuous contact current."),
        MAKE_BREAK,
        volts("voltage", "Highest DC voltage it may break."),
        may("normally_closed", Kind::Flag, "Closed while the coil is not fed. Default false."),
    ]
);

const MAKE_BREAK: Field = may(
    "make_break",
    Kind::Quantity(Current, 0.0, 20_000.0),
    "Current it may make or break at its DC voltage; leave it out when its maker does not say.",
);

element!(
    FUSE_WAY,
    "fuse-way",
    "A place that takes a fuse.",
    [
        node("a", "Feed side."),
        node("b", "Load side."),
        need("form", Kind::Text, "Body that fits."),
        need(
            "limit",
            Kind::Quantity(Current, 0.01, 2000.0),
            "Largest continuous current of the holder."
        ),
        ohms("contact", "Resistance of the holder's contacts."),
    ]
);

element!(
    DIODE,
    "diode",
    "Lets current through one way.",
    [
        node("anode", "Anode."),
        node("cathode", "Cathode."),
        need("forward", Kind::Quantity(Voltage, 0.05, 5.0), "Forward voltage at `at_current`, 25 °C."),
        need("at_current", Kind::Quantity(Current, 1e-4, 5000.0), "Current of that voltage."),
        need(
            "slope",
            Kind::Quantity(Voltage, 0.02, 0.2),
            "Volts per factor e of current: emission coefficient times 25.7 mV."
        ),
        need("series", Kind::Quantity(Resistance, 0.0, 100.0), "Series resistance."),
        amps("rating", "Largest continuous current."),
        volts("reverse", "Largest reverse voltage."),
        may(
            "thermal_k_per_w",
            Kind::Number(0.01, 1000.0),
            "Kelvin of junction rise per watt, to the air."
        ),
    ]
);

element!(
    SLIP_RING,
    "slip-ring",
    "Circuits that turn.",
    [
        need("circuits", Kind::Tables(&CIRCUIT), "Its circuits."),
        ohms("resistance", "Resistance of one circuit."),
        amps("rating", "Largest current of one circuit."),
        volts("voltage", "Highest voltage."),
    ]
);

static CIRCUIT: Spec = Spec {
    name: "circuit",
    about: "One circuit of a slip ring.",
    fields: &[need("a", Kind::Name, "Standing side."), need("b", Kind::Name, "Turning side.")],
};

element!(
    BUS,
    "bus",
    "A bus bar: one node with a current limit.",
    [node("node", "The node its studs share."), amps("rating", "Largest total current."),]
);
