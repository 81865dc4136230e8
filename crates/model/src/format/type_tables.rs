//! The tables of a part type.

use super::dimension::Dimension::*;
use super::tables::{FAR, FIXING, may, need};
use super::{Field, Kind, Spec};

/// A part type.
pub static TYPE: Spec = Spec {
    name: "type",
    about: "A kind of module. Lengths are in its own frame, as seen looking at it where it is mounted, x right, y up.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may(
            "extends",
            Kind::Reference,
            "Another type from which everything not given here is taken. Terminals and elements of the same name are changed key by key, others are added.",
        ),
        may("title", Kind::Text, "What it is, for people. Default its name."),
        may("group", Kind::Text, "Shelf it stands on: `motor drivers`. Default `own parts`."),
        may("about", Kind::Text, "What it is for and what to watch."),
        may("basis", Kind::Text, "Where its numbers come from."),
        may(
            "size",
            Kind::Extent,
            "Width and height of a rectangular footprint with its lower left corner at the origin.",
        ),
        may("outline", Kind::Points, "Corners of any other footprint."),
        may(
            "diameter",
            Kind::Quantity(Length, 0.1, FAR),
            "Diameter of a round footprint centred at the origin.",
        ),
        may(
            "height",
            Kind::Quantity(Length, 0.0, FAR),
            "How far it stands off its mounting surface. Default 0.",
        ),
        may("mass", Kind::Quantity(Mass, 0.0, 5000.0), "Mass. Default 0."),
        may("holes", Kind::Points, "Centres of its mounting holes."),
        may("hole_diameter", Kind::Quantity(Length, 0.5, 100.0), "Diameter of its mounting holes."),
        may(
            "noise",
            Kind::Word(&["power", "audio", "logic", "radio", "quiet"]),
            "What its currents do to its neighbours. Default `quiet`.",
        ),
        may(
            "ambient_limit",
            Kind::Quantity(Temperature, -40.0, 300.0),
            "Highest temperature of the air around it.",
        ),
        may("radio_link", Kind::Flag, "It receives commands by radio. Default false."),
        may(
            "moves",
            Kind::Flag,
            "It moves something while it is fed, and a stop must take it (servos). Motors always do. Default false.",
        ),
        may(
            "leaves",
            Kind::Percent(0.0, 100.0),
            "Share of what its loads take that leaves the body as light, sound, steam or water. Default 0.",
        ),
        may(
            "fixing",
            Kind::Table(&FIXING),
            "How it is held. Default `bolt-and-nut` with the thread that fits its holes; without holes `adhesive`.",
        ),
        may("terminal", Kind::Tables(&TERMINAL), "Where wires land."),
        may("element", Kind::Elements, "What it does electrically: one or more tables with a `kind`."),
        may("fuse", Kind::Table(&FUSE), "Data of a fuse that goes into a fuse way."),
        may("plug", Kind::Table(&PLUG_FAMILY), "Data of a plug family."),
        may("reach", Kind::Tables(&REACH), "Free space that hands and tools need."),
    ],
};

static TERMINAL: Spec = Spec {
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
            Kind::Word(&["left", "right", "up", "down", "off"]),
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
            Kind::Word(&["left", "right", "up", "down", "off"]),
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

static FUSE: Spec = Spec {
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

static PLUG_FAMILY: Spec = Spec {
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

static REACH: Spec = Spec {
    name: "reach",
    about: "Free space that a hand, tool, card or plug needs.",
    fields: &[
        need(
            "what",
            Kind::Text,
            "What is done there: `card`, `usb`, `trimmer`, `fuse-pull`, `terminal-screw`, `button`.",
        ),
        need("at", Kind::Point, "Where."),
        may("height", Kind::Quantity(Length, 0.0, FAR), "Height above the mounting surface. Default 0."),
        need(
            "towards",
            Kind::Word(&["left", "right", "up", "down", "off"]),
            "Which way the tool comes out.",
        ),
        may(
            "tilt",
            Kind::Quantity(Angle, 0.0, 90.0),
            "Oblique: the angle between its way and the face. Default 0, along the face.",
        ),
        may("in_place", Kind::Flag, "It is done with the board in the body. Default false."),
        need("width", Kind::Quantity(Length, 0.1, 1000.0), "Width of what goes in."),
        need("depth", Kind::Quantity(Length, 0.1, 1000.0), "Free depth it needs."),
        may("often", Kind::Text, "How often: `each show`, `once`."),
    ],
};

macro_rules! element {
    ($static:ident, $name:literal, $about:literal, [$($field:expr),* $(,)?]) => {
        static $static: Spec = Spec {
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
const MAKE_BREAK: Field = may(
    "make_break",
    Kind::Quantity(Current, 0.0, 20_000.0),
    "Current it may make or break at its DC voltage; leave it out when its maker does not say.",
);
const INPUT_CAPACITANCE: Field =
    may("capacitance", Kind::Quantity(Capacitance, 0.0, 10.0), "Capacitance at its supply, for surges.");

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
pub(crate) const CHEMISTRIES: &[&str] = &[
    "lead-flooded",
    "lead-agm",
    "lead-gel",
    "lithium-iron-phosphate",
    "lithium-ion",
    "nickel-metal-hydride",
];
static CHARGE_POINT: Spec = Spec {
    name: "charge point",
    about: "Open-circuit voltage at one state of charge.",
    fields: &[
        need("charge", Kind::Percent(0.0, 100.0), "State of charge."),
        need("v", Kind::Number(0.1, 10.0), "Volts per cell."),
    ],
};
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
    ]
);
static EFFICIENCY: Spec = Spec {
    name: "efficiency point",
    about: "Efficiency at one load.",
    fields: &[
        need("load", Kind::Percent(0.0, 100.0), "Load, of the limit."),
        need("efficiency", Kind::Percent(5.0, 100.0), "Efficiency there."),
    ],
};
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
    fields: &[
        need("name", Kind::Name, "Its name."),
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
element!(
    BUS,
    "bus",
    "A bus bar: one node with a current limit.",
    [node("node", "The node its studs share."), amps("rating", "Largest total current."),]
);

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
