//! Models of what feeds: batteries, their protection, chargers, converters.

use super::{amps, node, ohms, volts};
use crate::format::dimension::Dimension::*;
use crate::format::tables::{may, need};
use crate::format::{Field, Kind, Spec};

element!(
    BATTERY,
    "battery",
    "Open-circuit voltage by state of charge behind a resistance.",
    [
        node("plus", "Positive pole."),
        node("minus", "Negative pole."),
        need("chemistry", Kind::Word(CHEMISTRIES), "Chemistry."),
        need("cells", Kind::Whole(1, 200), "Cells in series."),
        need("capacity", Kind::Quantity(Charge, 0.01, 10_000.0), "Capacity at the rated hours."),
        need(
            "rated_hours",
            Kind::Number(0.05, 100.0),
            "Hours of discharge for which the capacity is stated."
        ),
        may(
            "peukert",
            Kind::Number(1.0, 2.0),
            "Peukert's exponent. Default 1.15 for lead, 1 for others."
        ),
        ohms("resistance", "Internal resistance of the whole battery, charged, 25 °C."),
        need(
            "open_circuit",
            Kind::Tables(&CHARGE_POINT),
            "Open-circuit volts per cell, rising in charge."
        ),
        amps("discharge_limit", "Largest continuous discharge current."),
        amps("charge_limit", "Largest charge current."),
        volts("cut_off_per_cell", "Volts per cell under load at which discharge ends."),
        volts("charge_voltage_per_cell", "Highest volts per cell while charging."),
    ]
);

static CHARGE_POINT: Spec = Spec {
    name: "charge point",
    about: "Open-circuit voltage at one state of charge.",
    fields: &[
        need("charge", Kind::Percent(0.0, 100.0), "State of charge."),
        need("v", Kind::Number(0.1, 10.0), "Volts per cell."),
    ],
};

pub(crate) const CHEMISTRIES: &[&str] = &[
    "lead-flooded",
    "lead-agm",
    "lead-gel",
    "lithium-iron-phosphate",
    "lithium-ion",
    "nickel-metal-hydride",
];

element!(
    PROTECTION,
    "protection",
    "The switch of a battery-management system.",
    [
        node("a", "Battery side."),
        node("b", "Load side."),
        ohms("closed", "Resistance while closed."),
        amps("discharge_limit", "Discharge current at which it opens."),
        amps("charge_limit", "Charge current at which it opens."),
        amps("rating", "Continuous current."),
        may(
            "opens_below",
            Kind::Quantity(Voltage, 0.0, 1000.0),
            "Voltage of the whole battery below which it opens. Default: it does not watch the voltage.",
        ),
        may(
            "opens_above",
            Kind::Quantity(Voltage, 0.0, 1000.0),
            "Voltage of the whole battery above which it opens. Default: it does not watch the voltage.",
        ),
    ]
);

element!(
    CHARGER,
    "charger",
    "Constant current up to a constant voltage, where a situation powers it.",
    [
        node("plus", "Positive output."),
        node("minus", "Negative output."),
        need("current", Kind::Quantity(Current, 0.01, 1000.0), "Current of the first phase."),
        need("voltage", Kind::Quantity(Voltage, 1.0, 500.0), "Voltage it then holds."),
        need("chemistry", Kind::Word(CHEMISTRIES), "Made for this chemistry."),
    ]
);

element!(
    CONVERTER,
    "converter",
    "A DC to DC converter: regulates its output, takes constant power.",
    [
        node("in_plus", "Input, positive."),
        node("in_minus", "Input, negative."),
        node("out_plus", "Output, positive."),
        node("out_minus", "Output, negative."),
        volts("window_low", "Lowest input voltage at which it runs."),
        volts("window_high", "Highest input voltage at which it runs."),
        volts("absolute_max", "Input voltage that destroys it."),
        need("output", Kind::Quantity(Voltage, 0.5, 500.0), "Regulated output."),
        need("limit", Kind::Quantity(Current, 0.01, 1000.0), "Output current limit."),
        may(
            "drop_out",
            Kind::Quantity(Voltage, 0.0, 50.0),
            "Input must exceed the output by this; leave it out for converters that also step up."
        ),
        need("efficiency", Kind::Tables(&EFFICIENCY), "Efficiency by load, rising in load."),
        need("idle", Kind::Quantity(Power, 0.0, 1000.0), "Input power at no load."),
        may(
            "input_capacitance",
            Kind::Quantity(Capacitance, 0.0, 10.0),
            "Capacitance at its input, for surges."
        ),
        SHORTED,
    ]
);

/// What something with a limit of its own does into a short.
pub const SHORTED: Field = may(
    "shorted",
    Kind::Word(&["holds", "trips"]),
    "What it does when its output is shorted: holds its limit (taken when you say nothing), or trips and stays off.",
);

static EFFICIENCY: Spec = Spec {
    name: "efficiency point",
    about: "Efficiency at one load.",
    fields: &[
        need("load", Kind::Percent(0.0, 100.0), "Load, of the limit."),
        need("efficiency", Kind::Percent(5.0, 100.0), "Efficiency there."),
    ],
};
