//! Models of what takes current: loads, drivers and motors, resistors and capacitors, meters.

use super::{amps, node, ohms, volts};
use crate::format::dimension::Dimension::*;
use crate::format::tables::{MEAN, PEAK, PEAK_TIME, RMS, may, need};
use crate::format::{Field, Kind, Spec};

element!(
    RESISTOR,
    "resistor",
    "A resistor, also a loudspeaker at rest.",
    [
        node("a", "One end."),
        node("b", "The other end."),
        ohms("ohms", "Its value."),
        need("power", Kind::Quantity(Power, 0.01, 100_000.0), "Power it may turn into heat for ever."),
    ]
);

element!(
    CAPACITOR,
    "capacitor",
    "No current in a steady state; counts for surges.",
    [
        node("plus", "Positive end."),
        node("minus", "Negative end."),
        need("farads", Kind::Quantity(Capacitance, 1e-12, 100.0), "Its value."),
        need("esr", Kind::Quantity(Resistance, 0.0, 1e6), "Equivalent series resistance."),
        volts("voltage", "Rated voltage."),
    ]
);

element!(
    DRIVER,
    "driver",
    "One or more H-bridges fed from one bus.",
    [
        node("plus", "Supply, positive."),
        node("minus", "Supply, negative."),
        need("channels", Kind::Tables(&CHANNEL), "Its bridges."),
        volts("window_low", "Lowest supply voltage at which it runs."),
        volts("window_high", "Highest supply voltage at which it runs."),
        volts("absolute_max", "Supply voltage that destroys it."),
        amps("continuous", "Continuous current of one channel."),
        amps("peak", "Current of one channel at which it limits."),
        ohms("on_resistance", "Resistance of the two closed transistors."),
        need(
            "body_diode",
            Kind::Quantity(Voltage, 0.1, 5.0),
            "Forward voltage of a body diode at the continuous current."
        ),
        amps("idle", "Current it takes for itself."),
        INPUT_CAPACITANCE,
        may(
            "signal_loss",
            Kind::Word(&["stops", "holds"]),
            "What it does when its commands cease: lets the motors stand, or goes on with the last one.",
        ),
        super::supply::SHORTED,
    ]
);

static CHANNEL: Spec = Spec {
    name: "channel",
    about: "One H-bridge.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        need("a", Kind::Name, "Output, positive at positive duty."),
        need("b", Kind::Name, "The other output."),
    ],
};

const INPUT_CAPACITANCE: Field =
    may("capacitance", Kind::Quantity(Capacitance, 0.0, 10.0), "Capacitance at its supply, for surges.");

element!(
    MOTOR,
    "motor",
    "A brushed motor with permanent magnets, its gearbox and perhaps a wheel.",
    [
        node("a", "Positive lead."),
        node("b", "Negative lead."),
        ohms("resistance", "Winding with brushes."),
        need(
            "constant_v_s",
            Kind::Number(1e-5, 100.0),
            "Volt seconds per radian, equal to newton metres per ampere, at the motor's own shaft."
        ),
        amps("no_load", "No-load current."),
        may(
            "gear_ratio",
            Kind::Number(0.01, 10_000.0),
            "Turns of the motor for one of the output. Default 1."
        ),
        may("gear_efficiency", Kind::Percent(1.0, 100.0), "Efficiency of the gearbox. Default 100 %."),
        may("back_drivable", Kind::Flag, "The load can turn it. Default true."),
        may(
            "wheel",
            Kind::Quantity(Length, 5.0, 5000.0),
            "Diameter of the wheel on its output; makes it a traction motor."
        ),
        amps("continuous", "Current it may carry for ever."),
        volts("nominal", "Nominal voltage."),
    ]
);

element!(
    LOAD,
    "load",
    "Whatever takes current and is none of the others.",
    [
        node("plus", "Positive supply."),
        node("minus", "Negative supply."),
        need(
            "law",
            Kind::Word(&["current", "power", "resistance"]),
            "What stays the same when the voltage changes."
        ),
        need(
            "nominal",
            Kind::Quantity(Voltage, 0.5, 500.0),
            "Voltage at which its currents are stated."
        ),
        volts("brown_out", "Below this it resets, dims or forgets."),
        volts("damage", "Above this it is destroyed."),
        need("activities", Kind::Tables(&ACTIVITY), "What it takes in each activity."),
        may(
            "usual",
            Kind::Reference,
            "Activity it has when a situation does not say. Default the first."
        ),
        INPUT_CAPACITANCE,
    ]
);

static ACTIVITY: Spec = Spec {
    name: "activity",
    about: "What a load takes while it does one thing.",
    fields: &[need("name", Kind::Name, "Its name."), MEAN, RMS, PEAK, PEAK_TIME],
};

element!(
    METER,
    "meter",
    "Takes a little for itself.",
    [
        node("plus", "Positive supply."),
        node("minus", "Negative supply."),
        amps("current", "Current it takes."),
        volts("voltage", "Highest voltage."),
    ]
);
