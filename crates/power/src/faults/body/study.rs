//! Works it all out.

use super::course::{Course, Heating, Losses, follow, least};
use super::shell::{Draught, Shell};
use super::sources::{capacity, of_situation, outside};
use super::types::*;
use crate::faults::Ground;
use loomdeck_model::units::*;
use loomdeck_model::{Body, PartId, Place, Robot, SituationId, Wall};

/// Factors on convection and flow for the ends of the band. Correlations of free convection meet
/// measurements within about 25 % (F. P. Incropera and others, "Fundamentals of Heat and Mass Transfer",
/// on external free convection, from memory).
pub const FACTORS: [f64; 3] = [1.25, 1.0, 0.75];
/// Rise at which the figures of the shell are told, K.
const TOLD_AT: f64 = 10.0;
/// Strongest fan that is proposed, m³/s: about 360 m³/h.
const STRONGEST_FAN: f64 = 0.1;
/// Largest opening that is proposed, m².
const LARGEST_VENT: f64 = 0.05;
/// Room around the board in the closest body, mm.
const AROUND: f64 = 100.0;
/// A roomy body has this many times the surface of the closest.
const ROOMY: f64 = 4.0;
/// Heat from which a body's temperature is worth a word, W.
const WORTH: f64 = 5.0;

/// A body with its losses in the band.
struct Model {
    shell: Shell,
    draught: Draught,
    losses: [Losses; 3],
    capacity: f64,
}

impl Model {
    fn of(robot: &Robot, body: &Body) -> Self {
        let shell = Shell::of(body);
        Self {
            losses: FACTORS.map(|f| Losses::of(&shell, f)),
            shell,
            draught: Draught::of(body),
            capacity: capacity(robot, body.mass),
        }
    }

    fn settled(&self, heat: f64) -> Band {
        let [low, likely, high] = FACTORS.map(|f| {
            let moved = |t: f64| self.draught.heat(t, self.shell.outside, f);
            Celsius(self.shell.settles(heat, f, moved))
        });
        Band { low, likely, high }
    }

    fn courses(&self, heating: &[Heating]) -> [Course; 3] {
        std::array::from_fn(|i| follow(heating, &self.losses[i], &self.draught, self.capacity))
    }

    /// Warmest at the upper end of the band with another draught.
    fn warmest_with(&self, heating: &[Heating], draught: &Draught) -> f64 {
        match heating {
            // What lasts without a day is judged where it settles.
            [only] if only.seconds.is_infinite() => {
                let moved = |t: f64| draught.heat(t, self.shell.outside, FACTORS[2]);
                self.shell.settles(only.watts, FACTORS[2], moved)
            }
            _ => follow(heating, &self.losses[2], draught, self.capacity).peak(),
        }
    }

    fn used(&self, body: &Body) -> ShellUsed {
        let inside = self.shell.outside + TOLD_AT;
        let wall = (self.shell.loss(inside, 1.0) + self.shell.sun) / TOLD_AT;
        let air = self.draught.heat(inside, self.shell.outside, 1.0) / TOLD_AT;
        let both = (wall + air).max(1e-9);
        ShellUsed {
            surface: body.surface,
            outside: body.outside,
            wall_w_per_k: wall,
            air_w_per_k: air,
            flow: CubicMetresPerHour(3600.0 * self.draught.flow(inside, self.shell.outside, 1.0)),
            capacity_j_per_k: self.capacity,
            time_constant: Seconds(self.capacity / both),
        }
    }
}

/// Works it out.
pub fn study(ground: &Ground<'_>) -> BodyHeat {
    let robot = ground.robot;
    let mut found = BodyHeat {
        situations: ground.power.situations.iter().map(|s| of_situation(ground, s)).collect(),
        ..BodyHeat::default()
    };
    if let Some(body) = &robot.body {
        let model = Model::of(robot, body);
        found.shell = Some(model.used(body));
        for s in &mut found.situations {
            s.settled = Some(model.settled(s.inside.0));
        }
        found.day = day(robot, &found.situations, &model);
        found.cure = cure(robot, body, &found, &model);
    } else {
        found.typical = typical(robot, &found.situations);
    }
    found.parts = parts(robot, &found);
    found.validity = validity(&found);
    found.good_news = good_news(&found);
    found
}

fn heating(robot: &Robot, situations: &[SituationHeat]) -> Vec<Heating> {
    let of = |s: SituationId| situations.get(s.0).map_or(0.0, |h| h.inside.0);
    robot.day.iter().map(|d| Heating { watts: of(d.situation), seconds: d.time.0 }).collect()
}

fn day(robot: &Robot, situations: &[SituationHeat], model: &Model) -> Option<DayWarmth> {
    let heating = heating(robot, situations);
    if heating.is_empty() {
        return None;
    }
    let [low, likely, high] = model.courses(&heating);
    let band = |i: usize| Band {
        low: Celsius(low.warmest[i]),
        likely: Celsius(likely.warmest[i]),
        high: Celsius(high.warmest[i]),
    };
    let mut clock = 0.0;
    let (mut stretches, mut heat) = (Vec::new(), Vec::new());
    for (i, step) in robot.day.iter().enumerate() {
        let end = clock + step.time.0;
        let assumed = situations[step.situation.0].assumed;
        stretches.push(Stretch {
            situation: step.situation,
            from: Seconds(clock),
            to: Seconds(end),
            warmest: band(i),
            assumed,
        });
        heat.extend([(clock, heating[i].watts), (end, heating[i].watts)]);
        clock = end;
    }
    let hottest = stretches.iter().max_by(|a, b| a.warmest.likely.0.total_cmp(&b.warmest.likely.0))?;
    Some(DayWarmth {
        peak: Band {
            low: Celsius(low.peak()),
            likely: Celsius(likely.peak()),
            high: Celsius(high.peak()),
        },
        peak_in: hottest.situation,
        stretches,
        likely: likely.points,
        low: low.points,
        high: high.points,
        heat,
    })
}

/// What was computed for a situation against what was assumed: warmest of the day, else what lasts.
pub fn computed(robot: &Robot, found: &BodyHeat) -> Vec<(SituationId, Band, Celsius)> {
    match &found.day {
        Some(day) => day.stretches.iter().map(|s| (s.situation, s.warmest, s.assumed)).collect(),
        None => found
            .situations
            .iter()
            .filter(|s| robot.situations[s.situation.0].lasting)
            .filter_map(|s| Some((s.situation, s.settled?, s.assumed)))
            .collect(),
    }
}

/// Fan and openings that keep the air within what the study assumes and what every part bears.
fn cure(robot: &Robot, body: &Body, found: &BodyHeat, model: &Model) -> Option<Cure> {
    let all = computed(robot, found);
    let hottest = all.iter().map(|c| c.1.high.0).fold(f64::NEG_INFINITY, f64::max);
    let assumed = all.iter().map(|c| c.2.0).fold(f64::INFINITY, f64::min);
    let borne = (0..robot.parts.len())
        .map(PartId)
        .filter(|&p| !outside(robot, p))
        .filter_map(|p| robot.type_of(p).ambient_limit)
        .fold(assumed, |least, limit| least.min(limit.0));
    if hottest <= borne {
        return None;
    }
    let mut stretches = heating(robot, &found.situations);
    if stretches.is_empty() {
        let most = found
            .situations
            .iter()
            .filter(|s| robot.situations[s.situation.0].lasting)
            .map(|s| s.inside.0);
        stretches = vec![Heating { watts: most.fold(0.0, f64::max), seconds: f64::INFINITY }];
    }
    // A little below, so that rounding in the files does not bring it back.
    let keeps = borne - 0.1;
    let height = if body.vent_height.0 > 0.0 { body.vent_height.0 } else { 0.7 * body.height.0 };
    let fan = least(STRONGEST_FAN, keeps, |fan| {
        model.warmest_with(&stretches, &Draught { fan, ..model.draught })
    });
    let vents = least(LARGEST_VENT, keeps, |area| {
        let draught = Draught { low: area, high: area, height: height / 1000.0, ..model.draught };
        model.warmest_with(&stretches, &draught)
    });
    Some(Cure {
        keeps: Celsius(borne),
        fan: fan.map(|f| CubicMetresPerHour((3600.0 * f).ceil())),
        vents: vents.map(|a| SquareMetres((a * 1e4).ceil() * 1e-4)),
        vent_height: Millimetres(height.round()),
    })
}

/// What bodies of usual size around the board would reach on the day, sealed and out of the sun.
fn typical(robot: &Robot, situations: &[SituationHeat]) -> Option<Typical> {
    let board = robot.board.as_ref()?;
    let heating = heating(robot, situations);
    if heating.iter().all(|h| h.watts < WORTH) {
        return None;
    }
    let (low, high) = board.outline.bounds();
    let wide = high.x - low.x + 2.0 * AROUND;
    let tall = high.y - low.y + 2.0 * AROUND;
    let deep = board.depth_front.0 + board.depth_back.0 + board.thickness.0;
    // It stands on one of its narrow sides.
    let small = (2.0 * wide * tall + 2.0 * tall * deep + wide * deep) * 1e-6;
    let reaches = |surface: f64, factor: f64| {
        let body = plain(surface);
        let losses = Losses::of(&Shell::of(&body), factor);
        follow(&heating, &losses, &Draught::default(), capacity(robot, None)).peak()
    };
    Some(Typical {
        small: SquareMetres(small),
        large: SquareMetres(ROOMY * small),
        outside: plain(small).outside,
        low: Celsius(reaches(ROOMY * small, FACTORS[0])),
        high: Celsius(reaches(small, FACTORS[2])),
    })
}

/// A sealed body of 3 mm plastic on a summer's day.
fn plain(surface: f64) -> Body {
    Body {
        surface: SquareMetres(surface),
        wall: Wall::Abs,
        thickness: Millimetres(3.0),
        height: Millimetres(1000.0 * (surface / 5.0).sqrt()),
        shiny: false,
        vent_low: SquareMetres(0.0),
        vent_high: SquareMetres(0.0),
        vent_height: Millimetres(0.0),
        fan: CubicMetresPerHour(0.0),
        outside: Celsius(30.0),
        sun: Watts(0.0),
        mass: None,
    }
}

/// Air around every part that has a limit, closest to it first.
fn parts(robot: &Robot, found: &BodyHeat) -> Vec<PartWarmth> {
    let computed = computed(robot, found);
    let assumed: Vec<(SituationId, Band, Celsius)> = found
        .situations
        .iter()
        .filter(|s| robot.situations[s.situation.0].lasting)
        .map(|s| (s.situation, Band { low: s.assumed, likely: s.assumed, high: s.assumed }, s.assumed))
        .collect();
    let is_computed = !computed.is_empty();
    let by = if is_computed { &computed } else { &assumed };
    let Some(worst) = by.iter().max_by(|a, b| a.1.likely.0.total_cmp(&b.1.likely.0)) else {
        return Vec::new();
    };
    let mut all: Vec<PartWarmth> = (0..robot.parts.len())
        .map(PartId)
        .filter(|&p| !outside(robot, p))
        .filter_map(|part| {
            let limit = robot.type_of(part).ambient_limit?;
            let own = match robot.parts[part.0].place {
                Place::Zone { zone, .. } => robot.zones[zone.0].ambient,
                Place::Board(_) => None,
            };
            let at_least = |c: Celsius| own.map_or(c, |o| c.max(o));
            let Band { low, likely, high } = worst.1;
            Some(PartWarmth {
                part,
                name: robot.parts[part.0].name.clone(),
                limit,
                air: Band { low: at_least(low), likely: at_least(likely), high: at_least(high) },
                computed: is_computed,
                situation: Some(worst.0),
            })
        })
        .collect();
    let room = |p: &PartWarmth| p.limit.0 - p.air.likely.0;
    all.sort_by(|a, b| room(a).total_cmp(&room(b)).then(a.part.cmp(&b.part)));
    all
}

fn validity(found: &BodyHeat) -> Vec<String> {
    let mut all = Vec::new();
    if found.shell.is_some() {
        all.push(
            "The air inside is taken as equally warm everywhere. Below the lid and next to what gets hot it is warmer: keep the warmest parts high up and what bears least low down.".to_owned(),
        );
        all.push(
            "The band comes from the formulas for free convection and for openings, ± 25\u{2009}%. Heat that your situations do not state is not in it.".to_owned(),
        );
        all.push(
            "The day begins with everything as warm as the air outside; a robot that stood in a hot van begins warmer.".to_owned(),
        );
    }
    if found.day.as_ref().is_some_and(|d| d.peak.high.0 > 100.0) {
        all.push(
            "Above 100\u{2009}°C inside, parts would have failed long since: take the figure as \u{201c}far too warm\u{201d}.".to_owned(),
        );
    }
    all
}

fn good_news(found: &BodyHeat) -> Vec<String> {
    let mut news = Vec::new();
    if let Some(day) = &found.day {
        let assumed = day.stretches.iter().map(|s| s.assumed.0).fold(f64::INFINITY, f64::min);
        if day.peak.high.0 <= assumed {
            news.push(format!(
                "The air in the body reaches {:.0} on the day you describe ({:.0} to {:.0}); the study assumes {:.0}.",
                day.peak.likely,
                day.peak.low.0,
                day.peak.high,
                Celsius(assumed)
            ));
        }
    }
    if let Some(closest) = found.parts.first().filter(|p| p.air.high.0 <= p.limit.0) {
        news.push(format!(
            "No part stands in air warmer than it bears; {} comes closest with {:.0} of {:.0}.",
            closest.name, closest.air.high, closest.limit
        ));
    }
    news
}
