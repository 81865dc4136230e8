//! What happens while everything is off: who still draws, how long the batteries last.

use super::strings::Pole;
use super::types::{Draw, Storage};
use crate::circuit::values::Level;
use crate::faults::Ground;
use crate::operate::{elements, from_nothing, item_current};
use crate::solver::power;
use loomdeck_model::element::{Chemistry, ElementKind};
use loomdeck_model::units::*;
use loomdeck_model::{MovedBy, PartId, Situation};

/// Power below which a part is not listed, W.
const LEAST: f64 = 1e-4;
/// Hours of a month.
const MONTH: f64 = 30.4 * 24.0;

/// What a battery loses by itself in a month at 25 °C, % of its capacity: least, usual, most. From
/// memory of handbooks and makers' data (T. Reddy, "Linden's Handbook of Batteries", on the systems): lead
/// with liquid 3 to 10, sealed lead 2 to 4; lithium 1 to 3; nickel metal hydride 10 to 30 (low
/// self-discharge kinds 2). About twice as much 10 K warmer.
pub const fn self_discharge(chemistry: Chemistry) -> (f64, f64, f64) {
    match chemistry {
        Chemistry::LeadFlooded => (3.0, 5.0, 10.0),
        Chemistry::LeadAgm | Chemistry::LeadGel => (2.0, 3.0, 4.0),
        Chemistry::LithiumIronPhosphate | Chemistry::LithiumIon => (1.0, 2.0, 3.0),
        Chemistry::NickelMetalHydride => (10.0, 20.0, 30.0),
    }
}

/// How such a battery is stored (common practice).
pub const fn advice(chemistry: Chemistry) -> &'static str {
    match chemistry {
        Chemistry::LeadFlooded | Chemistry::LeadAgm | Chemistry::LeadGel => {
            "Store it full and cool, and charge it again before a third is gone: left empty, its plates sulphate."
        }
        Chemistry::LithiumIronPhosphate | Chemistry::LithiumIon => {
            "Store it about half full and cool, away from what burns: full and warm it ages, empty its cells are damaged."
        }
        Chemistry::NickelMetalHydride => {
            "Store it cool in any state, and charge it two or three times before the next show."
        }
    }
}

/// Share that may be gone before it wants charging: a third of a lead battery, from half down to a fifth
/// of a lithium one.
const fn may_go(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::LeadFlooded | Chemistry::LeadAgm | Chemistry::LeadGel => 1.0 / 3.0,
        Chemistry::LithiumIronPhosphate | Chemistry::LithiumIon => 0.3,
        Chemistry::NickelMetalHydride => 0.8,
    }
}

/// Days in which a share of the capacity goes, by a steady draw and self-discharge.
pub fn days(share: f64, capacity_ah: f64, draw_a: f64, percent_a_month: f64) -> f64 {
    let per_hour = draw_a.max(0.0) / capacity_ah + percent_a_month / 100.0 / MONTH;
    share / per_hour / 24.0
}

/// The robot put away: every switch open, no charger, nothing turning, every plug mated, batteries full.
fn put_away(ground: &Ground<'_>) -> Option<Situation> {
    let mut away = ground.robot.situations.first()?.clone();
    away.closed.clear();
    away.unplugged.clear();
    away.powered.clear();
    away.activity.clear();
    away.motors.clear();
    away.charge = 1.0;
    away.ambient = Some(Celsius(25.0));
    away.speed = MetresPerSecond(0.0);
    away.slope = 0.0;
    away.moved_by = MovedBy::Motors;
    away.lasting = true;
    Some(away)
}

/// Who draws, and how long each battery lasts.
pub fn study(ground: &Ground<'_>, poles: &[Pole<'_>]) -> (Vec<Draw>, Vec<Storage>) {
    let Some(away) = put_away(ground).filter(|_| !poles.is_empty()) else {
        return (Vec::new(), Vec::new());
    };
    let circuit = &ground.circuit;
    let solution = from_nothing(circuit, ground.robot, &away, Level::Mean, &circuit.cold);
    let mut draws: Vec<Draw> = Vec::new();
    for part in (0..ground.robot.parts.len()).map(PartId) {
        let elements = &ground.robot.type_of(part).elements;
        if elements.iter().any(|e| matches!(e.kind, ElementKind::Battery(_))) {
            continue;
        }
        let firsts = &circuit.element_item[part.0];
        let items = firsts[0]..*firsts.last().unwrap_or(&firsts[0]);
        let watts: f64 = items
            .filter(|&i| solution.ready.netlist.items[i].active)
            .map(|i| {
                let device = &solution.ready.netlist.items[i].device;
                power(device, circuit.pattern.extra[i], &solution.point.x, solution.point.fraction)
            })
            .sum();
        if watts > LEAST {
            let name = ground.robot.parts[part.0].name.clone();
            draws.push(Draw { part, name, power: Watts(watts) });
        }
    }
    draws.sort_by(|a, b| b.power.0.total_cmp(&a.power.0).then(a.part.cmp(&b.part)));
    let current = |pole: &Pole<'_>| {
        let item = elements(circuit).find(|(p, e, _)| *p == pole.part && *e == pole.element);
        item.map_or(0.0, |(.., i)| item_current(circuit, &solution, i))
    };
    let storage = poles
        .iter()
        .map(|pole| {
            let b = pole.battery;
            let draw = current(pole);
            let lost = self_discharge(b.chemistry);
            let in_days = |share: f64| days(share, b.capacity.0.max(1e-6), draw, lost.1);
            Storage {
                battery: pole.part,
                name: ground.robot.parts[pole.part.0].name.clone(),
                draw: Amperes(draw),
                self_discharge_percent: lost,
                flat_days: in_days(1.0),
                recharge_days: in_days(may_go(b.chemistry)),
                advice: advice(b.chemistry),
            }
        })
        .collect();
    (draws, storage)
}
