//! Taps that unbalance a string.

use super::strings::{Metal, Pole};
use super::types::{Balance, Tap, UnequalCurrents};
use crate::faults::Ground;
use crate::operate::elements;
use crate::results::{ElementResult, SituationResult};
use loomdeck_model::PartId;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::*;

/// Currents closer together than this count as equal, A.
const EQUAL: f64 = 1e-4;

/// Current of a battery in a situation, discharge positive.
pub fn current_of(result: &SituationResult, pole: &Pole<'_>) -> f64 {
    match result.parts[pole.part.0].elements.get(pole.element) {
        Some(ElementResult::Battery { current, .. }) => current.0,
        _ => 0.0,
    }
}

/// The show in which a battery is flat that is charged short by `apart` after each and gives `taken` in
/// each: the first n with (n − 1)·apart + taken > capacity. `None` when it never is.
pub fn flat_in_show(capacity: f64, taken: f64, apart: f64) -> Option<u32> {
    if apart <= 0.0 || taken > capacity {
        return None;
    }
    let shows = ((capacity - taken) / apart).floor() + 2.0;
    (shows < 1e6).then_some(shows as u32)
}

/// How a string of two and more is used.
pub fn of_string(
    ground: &Ground<'_>,
    poles: &[Pole<'_>],
    metal: &Metal,
    number: usize,
    string: &[usize],
) -> Option<Balance> {
    if string.len() < 2 {
        return None;
    }
    let situations: Vec<UnequalCurrents> = ground
        .power
        .situations
        .iter()
        .map(|s| UnequalCurrents {
            situation: s.situation,
            currents: string.iter().map(|&i| Amperes(current_of(s, &poles[i]))).collect(),
        })
        .filter(|u| spread(u.currents.iter().map(|a| a.0)) > EQUAL)
        .collect();
    let taken = taken(ground, poles, string);
    let apart = spread(taken.iter().copied());
    let capacity = |i: usize| {
        let day = ground.power.day.as_ref();
        let given = day.and_then(|d| d.batteries.iter().find(|b| b.part == poles[i].part));
        given.map_or(poles[i].battery.capacity.0, |b| b.capacity.0.min(poles[i].battery.capacity.0))
    };
    let most = (0..taken.len()).max_by(|&a, &b| taken[a].total_cmp(&taken[b]));
    let smallest = string.iter().map(|&i| poles[i].battery.capacity.0).fold(f64::INFINITY, f64::min);
    let charged_apart = charged_apart(ground, poles, metal, string);
    let told = apart > EQUAL;
    Some(Balance {
        string: number,
        situations,
        apart: AmpereHours(apart),
        apart_percent: 100.0 * apart / smallest.max(1e-9),
        lowest: most.filter(|_| told).map(|m| poles[string[m]].part),
        flat_in_show: most
            .filter(|_| told && !charged_apart)
            .and_then(|m| flat_in_show(capacity(string[m]), taken[m], apart)),
        taken: taken.into_iter().map(AmpereHours).collect(),
        charged_apart,
        taps: taps(ground, poles, metal, string),
    })
}

fn spread(of: impl Iterator<Item = f64> + Clone) -> f64 {
    let most = of.clone().fold(f64::NEG_INFINITY, f64::max);
    (most - of.fold(f64::INFINITY, f64::min)).max(0.0)
}

/// Ah out of each battery over the day.
fn taken(ground: &Ground<'_>, poles: &[Pole<'_>], string: &[usize]) -> Vec<f64> {
    if ground.robot.day.is_empty() {
        return Vec::new();
    }
    let over_day = |i: usize| -> f64 {
        let steps = ground.robot.day.iter();
        steps
            .map(|d| current_of(&ground.power.situations[d.situation.0], &poles[i]) * d.time.0 / 3600.0)
            .sum()
    };
    string.iter().map(|&i| over_day(i)).collect()
}

/// Whether every battery of a string has a charger across itself alone.
fn charged_apart(ground: &Ground<'_>, poles: &[Pole<'_>], metal: &Metal, string: &[usize]) -> bool {
    string.iter().all(|&i| {
        elements(&ground.circuit).any(|(part, e, _)| {
            matches!(&ground.robot.type_of(part).elements[e].kind, ElementKind::Charger(c)
                if metal.piece(ground.circuit.local(part, c.plus)) == metal.piece(poles[i].plus)
                    && metal.piece(ground.circuit.local(part, c.minus)) == metal.piece(poles[i].minus))
        })
    })
}

/// Current that a consumer takes in a situation.
fn takes(result: &SituationResult, part: PartId, e: usize) -> f64 {
    match result.parts[part.0].elements.get(e) {
        Some(
            ElementResult::Load { current, .. }
            | ElementResult::Driver { current, .. }
            | ElementResult::Meter { current, .. }
            | ElementResult::Motor { current, .. },
        ) => current.0,
        Some(ElementResult::Converter { input_current, .. }) => input_current.0,
        _ => 0.0,
    }
}

/// Consumers that hang between the batteries of a string.
fn taps(ground: &Ground<'_>, poles: &[Pole<'_>], metal: &Metal, string: &[usize]) -> Vec<Tap> {
    let between: Vec<usize> =
        string[..string.len() - 1].iter().map(|&i| metal.piece(poles[i].minus)).collect();
    let robot = ground.robot;
    let hangs = |(part, e, _): (PartId, usize, usize)| {
        let (plus, minus) = consumer(&robot.type_of(part).elements[e].kind)?;
        let at = |n| between.contains(&metal.piece(ground.circuit.local(part, n)));
        let (below, above) = (at(plus), at(minus));
        if below == above {
            return None;
        }
        let steps = robot.day.iter();
        let taken = steps
            .map(|d| takes(&ground.power.situations[d.situation.0], part, e) * d.time.0 / 3600.0)
            .sum();
        let most = ground.power.situations.iter().map(|s| takes(s, part, e)).fold(0.0, f64::max);
        let name = robot.parts[part.0].name.clone();
        Some(Tap { part, name, below, taken: AmpereHours(taken), most: Amperes(most) })
    };
    let mut all: Vec<Tap> = elements(&ground.circuit).filter_map(hangs).collect();
    all.sort_by(|a, b| b.taken.0.total_cmp(&a.taken.0).then(a.part.cmp(&b.part)));
    all
}

/// Positive and negative node of what draws from a rail.
pub fn consumer(
    kind: &ElementKind,
) -> Option<(loomdeck_model::element::LocalNode, loomdeck_model::element::LocalNode)> {
    match kind {
        ElementKind::Load(l) => Some((l.plus, l.minus)),
        ElementKind::Converter(c) => Some((c.in_plus, c.in_minus)),
        ElementKind::Driver(d) => Some((d.plus, d.minus)),
        ElementKind::Meter(m) => Some((m.plus, m.minus)),
        _ => None,
    }
}
