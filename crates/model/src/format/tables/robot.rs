//! The tables of `robot.toml`: the machine, its zones, situations, limits, the day.

use super::{FAR, may, need};
use crate::format::dimension::Dimension::*;
use crate::format::{Field, Kind, Spec};

pub(super) static ROBOT: Spec = Spec {
    name: "robot",
    about: "The machine.",
    fields: &[
        need("name", Kind::Text, "What it is called; printed on the cover of the book."),
        may("about", Kind::Text, "A line about it."),
    ],
};

pub(super) static BOOK: Spec = Spec {
    name: "book",
    about: "Paper and units of what is printed.",
    fields: &[
        may("paper", Kind::Word(&["a4", "letter"]), "Paper size. Default `a4`."),
        may("unit", Kind::Word(&["mm", "inch"]), "Unit of lengths in print. Default `mm`."),
    ],
};

pub(super) static LIMITS: Spec = Spec {
    name: "limits",
    about: "Limits you set for yourself; all have defaults.",
    fields: &[
        may(
            "ambient",
            Kind::Quantity(Temperature, -40.0, 120.0),
            "Air in the closed body. Default 40 °C.",
        ),
        may(
            "drop_power",
            Kind::Percent(0.1, 50.0),
            "Voltage that may be lost in the wires, there and back, to a motor, pump or lamp. Default 5 %.",
        ),
        may("drop_quiet", Kind::Percent(0.1, 50.0), "The same for logic, audio and radio. Default 3 %."),
        may(
            "stall",
            Kind::Quantity(Time, 0.0, 3600.0),
            "How long your control lets a motor stall. Default 2 s.",
        ),
        may(
            "fuse_continuous",
            Kind::Percent(10.0, 100.0),
            "Continuous load of a fuse, of its rating. Default 75 %.",
        ),
        may(
            "spare",
            Kind::Percent(0.0, 90.0),
            "Spare you want on fuses, converters, plugs. Default 20 %.",
        ),
        may(
            "web",
            Kind::Quantity(Length, 0.0, 1000.0),
            "Least material between two holes. Default 3 mm.",
        ),
        may(
            "edge",
            Kind::Quantity(Length, 0.0, 1000.0),
            "Least distance of a part or a hole's rim from the edge. Default 3 mm.",
        ),
        may(
            "gap",
            Kind::Quantity(Length, 0.0, 1000.0),
            "Least gap between two parts on a face. Default 2 mm.",
        ),
        may(
            "push_speed",
            Kind::Quantity(Speed, 0.0, 50.0),
            "Fastest that anyone will push the robot. Default 2 m/s.",
        ),
        may(
            "service_slack",
            Kind::Quantity(Length, 0.0, 1000.0),
            "Extra length at each end of a wire, so that the end can be made a second time. Default 40 mm.",
        ),
    ],
};

pub(super) static MOTION: Spec = Spec {
    name: "motion",
    about: "How the robot rolls; needed when a motor is to hold a speed or climb a slope.",
    fields: &[
        may("mass", Kind::Quantity(Mass, 0.0, 5000.0), "Mass of the whole robot, loaded."),
        may(
            "rolling_resistance",
            Kind::Percent(0.0, 50.0),
            "Force to roll on the level, of the weight. Default 2.5 % (small rubber wheels on a hall floor; common practice).",
        ),
        may(
            "steepest",
            Kind::Percent(0.0, 100.0),
            "Steepest slope it will ever stand on, rise over run. Default the steepest of the situations.",
        ),
        may(
            "radio_loss",
            Kind::Word(&["stops", "holds", "silent"]),
            "What the radio receiver puts out when the link is lost, as you have set and tried it: the command to stand, the last command, or nothing.",
        ),
        may(
            "held",
            Kind::Word(&["brake", "chocks"]),
            "What holds it on a slope while it is off: a brake that closes without current, or chocks that you carry and put before its wheels. Default nothing.",
        ),
    ],
};

pub(super) static BODY: Spec = Spec {
    name: "body",
    about: "The closed body around the board: what carries its heat to the open air. Without it, the temperature inside is only known as a range.",
    fields: &[
        need(
            "surface",
            Kind::Quantity(Area, 0.01, 100.0),
            "Outer surface that gives heat to the air; leave out what stands on the floor.",
        ),
        may(
            "wall",
            Kind::Word(&[
                "hdpe",
                "plywood",
                "acrylic",
                "abs",
                "polycarbonate",
                "aluminium",
                "steel",
                "glassfibre",
                "cardboard",
                "foam",
            ]),
            "What the wall is made of. Default `abs`.",
        ),
        may("thickness", Kind::Quantity(Length, 0.1, 500.0), "How thick the wall is. Default 3 mm."),
        may(
            "height",
            Kind::Quantity(Length, 50.0, 10_000.0),
            "Height of the body. Default: that of a cube with this surface.",
        ),
        may("shiny", Kind::Flag, "Bare polished metal outside: it radiates little. Default `false`."),
        may(
            "vent_low",
            Kind::Quantity(Area, 0.0, 10.0),
            "Free area of the openings low down. Default 0.",
        ),
        may(
            "vent_high",
            Kind::Quantity(Area, 0.0, 10.0),
            "Free area of the openings high up. Default 0.",
        ),
        may(
            "vent_height",
            Kind::Quantity(Length, 0.0, 10_000.0),
            "Height of the upper openings above the lower, middle to middle. Default 0: then they do nothing.",
        ),
        may(
            "fan",
            Kind::Quantity(Flow, 0.0, 10_000.0),
            "Air that a fan really moves through the body; behind grilles about half of what its label says (common practice). Default 0.",
        ),
        may(
            "outside",
            Kind::Quantity(Temperature, -40.0, 60.0),
            "Air outside on the warmest day you show it. Default 30 °C.",
        ),
        may(
            "sun",
            Kind::Quantity(Power, 0.0, 10_000.0),
            "Heat that the sun leaves in the wall. Default 0.",
        ),
        may(
            "mass",
            Kind::Quantity(Mass, 0.1, 5000.0),
            "Mass that warms up with the air inside. Default: that of the parts in the body and of the board.",
        ),
    ],
};

pub(super) static ZONE: Spec = Spec {
    name: "zone",
    about: "A place in the body off the board: left leg, head, charging hatch.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may(
            "path",
            Kind::Quantity(Length, 0.0, FAR),
            "Path from the edge of the board to the zone, measured along the body with a string. When it is missing, wire lengths are only known as a range.",
        ),
        may("allowance", Kind::Quantity(Length, 0.0, FAR), "Extra for joints that move. Default 0."),
        may(
            "lead",
            Kind::Quantity(Length, 0.0, FAR),
            "From the entry of the zone to a part in it, when the part does not say. Default 150 mm.",
        ),
        may("exit", Kind::Point, "Where on the edge of the board its loom leaves when no plug says so."),
        may(
            "ambient",
            Kind::Quantity(Temperature, -40.0, 150.0),
            "Air there, when it differs from the body's.",
        ),
        may("outside", Kind::Flag, "It lies in the open air: its heat does not warm the body."),
    ],
};

pub(super) static SITUATION: Spec = Spec {
    name: "situation",
    about: "Switch positions, plugs, activity and speed, under a name.",
    fields: &[
        need("name", Kind::Name, "Its name."),
        may("about", Kind::Text, "What happens in it."),
        may("closed", Kind::References, "Parts whose switches are closed. All others are open."),
        may("unplugged", Kind::References, "Plugs that are pulled. All others are mated."),
        may("powered", Kind::References, "Chargers that have mains."),
        may("charge", Kind::Percent(0.0, 100.0), "State of charge of the batteries. Default 80 %."),
        may(
            "ambient",
            Kind::Quantity(Temperature, -40.0, 120.0),
            "Air in the body. Default as in `limits`.",
        ),
        may("speed", Kind::Quantity(Speed, 0.0, 50.0), "Speed over ground. Default 0."),
        may(
            "slope",
            Kind::Percent(-100.0, 100.0),
            "Slope it climbs, rise over run; negative downhill. Default 0.",
        ),
        may(
            "moved_by",
            Kind::Word(&["motors", "hand"]),
            "What moves it. With `hand` its drivers are off. Default `motors`.",
        ),
        may(
            "lasting",
            Kind::Flag,
            "It lasts until wires are as hot as they get. Default true unless `lasts` is given.",
        ),
        may("lasts", Kind::Quantity(Time, 0.001, 864_000.0), "How long it lasts, when it is short."),
        may(
            "activity",
            Kind::MapOf(&ACTIVITY_HERE, true),
            "What loads do, by part: the name of an activity of its type, or numbers of its own. Default: the type's usual activity.",
        ),
        may(
            "motors",
            Kind::MapOf(&TASK, false),
            "What motors do, by part: one of duty, speed, turning or torque, or stalled, or off.",
        ),
    ],
};

static ACTIVITY_HERE: Spec =
    Spec { name: "activity", about: "What a load takes.", fields: &[MEAN, RMS, PEAK, PEAK_TIME] };

// What a load takes, told alike by a situation and by a part type.
pub(crate) const MEAN: Field =
    need("mean", Kind::Quantity(Current, 0.0, 2000.0), "Mean current at nominal voltage.");
pub(crate) const RMS: Field =
    may("rms", Kind::Quantity(Current, 0.0, 2000.0), "Root of the mean square. Default the mean.");
pub(crate) const PEAK: Field =
    may("peak", Kind::Quantity(Current, 0.0, 5000.0), "Highest current. Default the rms.");
pub(crate) const PEAK_TIME: Field = may(
    "peak_time",
    Kind::Quantity(Time, 0.0, 86_400.0),
    "How long the peak lasts each time. Default 0.",
);

static TASK: Spec = Spec {
    name: "motor task",
    about: "What a motor does.",
    fields: &[
        may("duty", Kind::Percent(-100.0, 100.0), "Share of the supply that the driver applies."),
        may("speed", Kind::Quantity(Speed, -50.0, 50.0), "Speed over ground of its wheel."),
        may("turning_rpm", Kind::Number(-100_000.0, 100_000.0), "Turns of the output per minute."),
        may("torque", Kind::Quantity(Torque, -10_000.0, 10_000.0), "Torque at the output shaft."),
        may("stalled", Kind::Flag, "The output is held fast."),
        may("off", Kind::Flag, "Its driver is off."),
    ],
};

pub(super) static DAY: Spec = Spec {
    name: "day",
    about: "One stretch of a day at a show.",
    fields: &[
        need("situation", Kind::Reference, "What happens."),
        need("minutes", Kind::Number(0.01, 14_400.0), "For how long."),
    ],
};
