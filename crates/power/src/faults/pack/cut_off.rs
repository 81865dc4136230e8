//! What keeps the cells from being emptied too far, and what loses its supply when a protection opens.

use super::balance::{consumer, current_of};
use super::strings::Pole;
use super::types::{CutOff, Opens};
use crate::circuit::Alteration;
use crate::circuit::values::Level;
use crate::faults::Ground;
use crate::operate::{Solution, elements, from_nothing};
use loomdeck_model::element::{Battery, Chemistry, ElementKind, Protection};
use loomdeck_model::units::*;
use loomdeck_model::{PartId, SituationId};

/// Volts per cell below which a cell is damaged at once rather than aged: lead 1.67 (10 V of a 12 V block),
/// lithium iron phosphate 2.0, other lithium 2.5, nickel metal hydride 0.9 (common practice, from memory).
pub const fn damaging(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::LeadFlooded | Chemistry::LeadAgm | Chemistry::LeadGel => 1.67,
        Chemistry::LithiumIronPhosphate => 2.0,
        Chemistry::LithiumIon => 2.5,
        Chemistry::NickelMetalHydride => 0.9,
    }
}

/// Voltage of a whole battery below which its cells are damaged.
fn damage(b: &Battery) -> f64 {
    damaging(b.chemistry) * f64::from(b.cells)
}

/// A protection with its item.
struct Guard<'a> {
    part: PartId,
    element: usize,
    item: usize,
    data: &'a Protection,
}

fn guards<'a>(ground: &Ground<'a>) -> Vec<Guard<'a>> {
    elements(&ground.circuit)
        .filter_map(|(part, element, item)| match &ground.robot.type_of(part).elements[element].kind {
            ElementKind::Protection(data) => Some(Guard { part, element, item, data }),
            _ => None,
        })
        .collect()
}

/// The situation that takes most out of the batteries, of those that last, else of all.
fn busiest(ground: &Ground<'_>, poles: &[Pole<'_>]) -> Option<SituationId> {
    let drawn = |s: &crate::results::SituationResult| -> f64 {
        poles.iter().map(|p| current_of(s, p).max(0.0) * p.battery.cells as f64).sum()
    };
    let of = |lasting: bool| {
        let all = ground.power.situations.iter();
        all.filter(|s| !lasting || ground.robot.situations[s.situation.0].lasting)
            .filter(|s| ground.robot.situations[s.situation.0].powered.is_empty())
            .max_by(|a, b| drawn(a).total_cmp(&drawn(b)).then(b.situation.cmp(&a.situation)))
            .map(|s| s.situation)
    };
    of(true).or_else(|| of(false))
}

/// Consumers that something feeds.
fn fed(ground: &Ground<'_>, solution: &Solution) -> Vec<PartId> {
    let mut all: Vec<PartId> = elements(&ground.circuit)
        .filter_map(|(part, e, item)| {
            let (plus, minus) = consumer(&ground.robot.type_of(part).elements[e].kind)?;
            let at = |n| ground.circuit.local(part, n);
            // A rail that only leaks is not fed.
            let volts = crate::operate::across(solution, at(plus), at(minus))?;
            (solution.ready.netlist.items[item].active && volts > 0.5).then_some(part)
        })
        .collect();
    all.dedup();
    all
}

/// What every protection leaves without power when it opens.
pub fn opens(ground: &Ground<'_>, poles: &[Pole<'_>]) -> Vec<Opens> {
    let guards = guards(ground);
    let Some(situation) = busiest(ground, poles).filter(|_| !guards.is_empty()) else {
        return Vec::new();
    };
    let data = &ground.robot.situations[situation.0];
    let ohms = ground.ohms(situation);
    let whole = from_nothing(&ground.circuit, ground.robot, data, Level::Mean, &ohms);
    let before = fed(ground, &whole);
    guards
        .iter()
        .map(|guard| {
            let cut = ground.circuit.altered(ground.robot, &[Alteration::Cut { item: guard.item }]);
            let after = fed(ground, &from_nothing(&cut, ground.robot, data, Level::Mean, &ohms));
            let (keep, lose) = before.iter().partition(|p| after.contains(p));
            Opens {
                part: guard.part,
                element: ground.robot.type_of(guard.part).elements[guard.element].name.clone(),
                situation,
                lose,
                keep,
                carried: Amperes(
                    crate::operate::item_current(&ground.circuit, &whole, guard.item).abs(),
                ),
                opens_at: guard.data.discharge_limit,
            }
        })
        .collect()
}

/// The voltage of the whole string at which a consumer stops by itself; `None`: it never does.
fn stops_at(kind: &ElementKind) -> Option<f64> {
    match kind {
        ElementKind::Converter(c) => Some(c.window_low.0),
        ElementKind::Driver(d) => Some(d.window_low.0),
        _ => None,
    }
}

/// What keeps each battery from being emptied too far.
pub fn study(
    ground: &Ground<'_>,
    poles: &[Pole<'_>],
    strings: &[Vec<usize>],
    opens: &[Opens],
) -> Vec<CutOff> {
    let guards = guards(ground);
    let mut all = Vec::new();
    for string in strings {
        let whole: f64 = string.iter().map(|&i| damage(poles[i].battery)).sum();
        for &i in string {
            all.push(one(ground, &poles[i], whole, &guards, opens));
        }
    }
    all.sort_by_key(|c| c.battery);
    all
}

fn one(
    ground: &Ground<'_>,
    pole: &Pole<'_>,
    whole: f64,
    guards: &[Guard<'_>],
    opens: &[Opens],
) -> CutOff {
    let own = damage(pole.battery);
    let share = own / whole.max(1e-9);
    let robot = ground.robot;
    // Its own protection watches this battery; a guard watches the string, and does it only when nothing
    // but itself and the meters pass it by.
    let opened_by = guards.iter().zip(opens).find_map(|(guard, opened)| {
        let limit = guard.data.opens_below?.0;
        let volts = if guard.part == pole.part {
            limit
        } else if opened.keep.iter().all(|&p| p == guard.part || only_meters(ground, p)) {
            limit * share
        } else {
            return None;
        };
        (volts >= own).then_some((guard.part, Volts(volts)))
    });
    let mut goes_on = Vec::new();
    let mut last: Option<(PartId, Volts)> = None;
    let metal = super::strings::Metal::of(&ground.circuit, robot, &[]);
    let direct = |node: usize| {
        // Fed by the string itself rather than behind a converter.
        super::strings::poles(ground).iter().any(|p| metal.piece(p.plus) == metal.piece(node))
    };
    for (part, e, _) in elements(&ground.circuit) {
        let kind = &robot.type_of(part).elements[e].kind;
        let Some((plus, _)) = consumer(kind) else { continue };
        if !direct(ground.circuit.local(part, plus)) {
            continue;
        }
        match stops_at(kind).map(|v| v * share) {
            Some(v) if v >= own => {
                if last.is_none_or(|l| v < l.1.0) {
                    last = Some((part, Volts(v)));
                }
            }
            _ => {
                if !goes_on.contains(&part) {
                    goes_on.push(part);
                }
            }
        }
    }
    CutOff {
        battery: pole.part,
        name: robot.parts[pole.part.0].name.clone(),
        stated: pole.battery.cut_off_per_cell * f64::from(pole.battery.cells),
        damage: Volts(own),
        opened_by,
        goes_on,
        last_to_stop: last,
        metered: metered(ground),
    }
}

/// Whether a part is a meter and nothing else.
fn only_meters(ground: &Ground<'_>, part: PartId) -> bool {
    ground.robot.type_of(part).elements.iter().all(|e| matches!(e.kind, ElementKind::Meter(_)))
}

/// Whether a meter that does nothing else shows the voltage.
fn metered(ground: &Ground<'_>) -> bool {
    (0..ground.robot.parts.len()).map(PartId).any(|p| {
        let elements = &ground.robot.type_of(p).elements;
        !elements.is_empty() && only_meters(ground, p)
    })
}
