//! What a wire bears when it is overloaded, and whether a fuse keeps it within that.

use super::curve::{slowest, surely_opens};
use crate::heat::robot::Wires;
use crate::heat::wire::{self, Bundle, Conductor};
use crate::results::SituationResult;
use loomdeck_model::element::FusePoint;
use loomdeck_model::units::Celsius;
use loomdeck_model::{Landing, Robot, WireId};

/// Up to here a short circuit may take the insulation to its short-circuit limit (IEC 60364-4-43,
/// 434.5.2: durations up to 5 s).
const SHORT: f64 = 5.0;

/// Where a wire lies when it is overloaded.
#[derive(Clone, Debug)]
pub struct Surroundings {
    /// Air, °C.
    pub air: f64,
    /// Its bundles in the situation that warms them most.
    pub bundles: Vec<Bundle>,
    /// Temperature before the overload.
    pub start: f64,
    /// Largest current for long, A.
    pub lasting: f64,
    /// Limit for ever: insulation and both terminals.
    pub limit: f64,
    /// Limit of a short circuit.
    pub short_limit: f64,
}

/// Temperature limit of a wire for ever: the least of its insulation and what it ends in.
pub fn lasting_limit(robot: &Robot, id: WireId) -> Celsius {
    let wire = &robot.wires[id.0];
    let mut limit = wire.insulation.limit();
    for end in [wire.from, wire.to] {
        if let Some(t) = landing_limit(robot, end) {
            limit = limit.min(t);
        }
    }
    limit
}

/// Temperature limit of a terminal or contact.
pub fn landing_limit(robot: &Robot, landing: Landing) -> Option<Celsius> {
    match landing {
        Landing::Part { part, terminal } => robot.type_of(part).terminals[terminal].temperature,
        Landing::Plug { plug, .. } => robot.family_of(plug).map(|f| f.temperature),
    }
}

/// Whether a wire bears every current that a fuse of this rating may let pass, for as long as it may.
pub fn protects(
    conductor: &Conductor,
    around: &Surroundings,
    rating: f64,
    points: &[FusePoint],
) -> bool {
    let lasting = surely_opens(points);
    let steady = |i: f64| wire::steady(conductor, i, around.air, &around.bundles);
    if steady(lasting * rating).is_none_or(|s| s.inside > around.limit) {
        return false;
    }
    let mut multiples: Vec<f64> = points.iter().map(|p| p.multiple).filter(|&m| m > lasting).collect();
    multiples.push(lasting * 1.02);
    multiples.into_iter().all(|m| {
        let time = slowest(points, m);
        let limit = if time <= SHORT { around.short_limit } else { around.limit };
        !wire::gets_to(conductor, m * rating, around.air, &around.bundles, around.start, limit, time)
    })
}

/// Of a wire, over all situations.
pub fn surroundings(
    robot: &Robot,
    wires: &Wires,
    results: &[SituationResult],
    id: WireId,
) -> Surroundings {
    let air_of = |s: &SituationResult| s.wires[id.0].ambient.0;
    let air = results.iter().map(air_of).fold(crate::heat::robot::ambient(robot, id, None).0, f64::max);
    let mut bundles: Vec<Bundle> = Vec::new();
    let (mut start, mut lasting) = (air, 0.0f64);
    for (situation, result) in robot.situations.iter().zip(results) {
        if !situation.lasting {
            continue;
        }
        lasting = lasting.max(result.wires[id.0].rms.0);
        start = start.max(result.wires[id.0].settled.map_or(wire::HOTTEST, |s| s.0));
        if wires.member_of[id.0].is_empty() {
            continue;
        }
        let found = wires.bundles_with(id, |w| result.wires[w.0].rms.0);
        let sum = |b: &[Bundle]| b.iter().map(|b| b.others).sum::<f64>();
        if bundles.is_empty() || sum(&found) > sum(&bundles) {
            bundles = found;
        }
    }
    if bundles.is_empty() {
        bundles = wires.bundles_with(id, |_| 0.0);
    }
    Surroundings {
        air,
        bundles,
        start,
        lasting,
        limit: lasting_limit(robot, id).0,
        short_limit: robot.wires[id.0].insulation.short_circuit_limit().0,
    }
}
