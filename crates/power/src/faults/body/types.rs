//! What the room of body heat answers.

use loomdeck_model::units::*;
use loomdeck_model::{PartId, SituationId};
use serde::Serialize;

/// Heat in the body: where it comes from, how warm the air inside gets, what bears it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct BodyHeat {
    /// Where the heat comes from, one per situation, in the robot's order.
    pub situations: Vec<SituationHeat>,
    /// The body as it was computed with; `None`: the robot does not describe one.
    pub shell: Option<ShellUsed>,
    /// What bodies of usual size around this board would reach, when none is described.
    pub typical: Option<Typical>,
    /// The air inside over the planned day.
    pub day: Option<DayWarmth>,
    /// Every part with a limit for the air around it, closest to it first.
    pub parts: Vec<PartWarmth>,
    /// What would keep the air within what the study assumes, when it gets warmer.
    pub cure: Option<Cure>,
    /// What the model does not know.
    pub validity: Vec<String>,
    /// What is well, with its margin.
    pub good_news: Vec<String>,
}

/// A temperature that is known within a band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Band {
    /// When the air carries off more than the formulas say.
    pub low: Celsius,
    /// By the formulas.
    pub likely: Celsius,
    /// When it carries off less.
    pub high: Celsius,
}

/// The heat of one situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SituationHeat {
    /// Which.
    pub situation: SituationId,
    /// Its name.
    pub name: String,
    /// Parts that turn power into heat, most first.
    pub parts: Vec<PartHeat>,
    /// By kind of thing, most first: drivers, motors, converters, wires …
    pub kinds: Vec<KindHeat>,
    /// Heat of all wires.
    pub wires: Watts,
    /// Heat in mated contacts.
    pub contacts: Watts,
    /// What warms the air in the body.
    pub inside: Watts,
    /// Heat of what stands in the open.
    pub outside: Watts,
    /// What leaves as mechanical work.
    pub work: Watts,
    /// What leaves as light, sound, steam or water.
    pub leaves: Watts,
    /// Air in the body that the rest of the study assumes.
    pub assumed: Celsius,
    /// What the air settles at when the situation lasts; needs a described body.
    pub settled: Option<Band>,
}

/// A part that turns power into heat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartHeat {
    /// Which.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// What kind of loss it is.
    pub kind: &'static str,
    /// Heat that stays.
    pub heat: Watts,
    /// It stands in the body.
    pub inside: bool,
}

/// The heat of all things of a kind inside the body.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KindHeat {
    /// The kind.
    pub kind: &'static str,
    /// Its heat.
    pub heat: Watts,
}

/// The body as it was computed with.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ShellUsed {
    /// Surface.
    pub surface: SquareMetres,
    /// Air outside.
    pub outside: Celsius,
    /// Heat through the wall per kelvin, at a rise of 10 K, W/K.
    pub wall_w_per_k: f64,
    /// Heat carried out by moving air per kelvin, at a rise of 10 K, W/K.
    pub air_w_per_k: f64,
    /// Air that moves through it at a rise of 10 K.
    pub flow: CubicMetresPerHour,
    /// What warms up with the air, J/K.
    pub capacity_j_per_k: f64,
    /// Time after which the air has gone 63 % of the way to a new temperature, at a rise of 10 K.
    pub time_constant: Seconds,
}

/// What bodies of usual size would reach.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Typical {
    /// Surface of the closest box around the board.
    pub small: SquareMetres,
    /// Surface of a roomy body.
    pub large: SquareMetres,
    /// Air outside that was taken.
    pub outside: Celsius,
    /// Warmest in the roomy one, when much is carried off.
    pub low: Celsius,
    /// Warmest in the close one, when little is carried off.
    pub high: Celsius,
}

/// The air inside over a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayWarmth {
    /// Stretch by stretch.
    pub stretches: Vec<Stretch>,
    /// Time in s and temperature in °C by the formulas.
    pub likely: Vec<(f64, f64)>,
    /// The lower end of the band.
    pub low: Vec<(f64, f64)>,
    /// The upper end of the band.
    pub high: Vec<(f64, f64)>,
    /// Heat inside in W against time in s.
    pub heat: Vec<(f64, f64)>,
    /// Warmest of the day.
    pub peak: Band,
    /// Situation in which it is warmest.
    pub peak_in: SituationId,
}

/// One stretch of a day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Stretch {
    /// What happens.
    pub situation: SituationId,
    /// When it begins.
    pub from: Seconds,
    /// When it ends.
    pub to: Seconds,
    /// Warmest in it.
    pub warmest: Band,
    /// What the study assumes.
    pub assumed: Celsius,
}

/// A part and the air around it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartWarmth {
    /// Which.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Warmest air it may have around it.
    pub limit: Celsius,
    /// Warmest it gets: over the day, or in what lasts, or as the study assumes.
    pub air: Band,
    /// Computed rather than assumed.
    pub computed: bool,
    /// Situation in which it is warmest.
    pub situation: Option<SituationId>,
}

/// What would keep the air within what the study assumes, at the upper end of the band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Cure {
    /// Temperature that would be kept.
    pub keeps: Celsius,
    /// Air that a fan would have to move; `None`: no flow does it.
    pub fan: Option<CubicMetresPerHour>,
    /// Free area of each of two openings, one low and one high.
    pub vents: Option<SquareMetres>,
    /// Height between them that was taken.
    pub vent_height: Millimetres,
}
