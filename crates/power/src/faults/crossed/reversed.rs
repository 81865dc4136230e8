//! Batteries and chargers the wrong way round.

use super::types::*;
use crate::circuit::values::Level;
use crate::circuit::{Alteration, Circuit};
use crate::faults::Ground;
use crate::fuse::curve::slowest;
use crate::operate::{Solution, Stop, across, elements, from_nothing, item_current};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{PartId, Situation, SituationId};

/// Volts the wrong way round that nothing is made for.
const WRONG: f64 = 0.5;
/// Resistance of a reversed charger: its rectifier and leads. Common practice, no source; the wires and
/// the battery decide.
const RECTIFIER_OHMS: f64 = 0.02;

/// All cases.
pub fn reversed(ground: &Ground<'_>) -> Vec<Reversed> {
    let mut out = Vec::new();
    let batteries: Vec<(PartId, usize)> = elements(&ground.circuit)
        .filter(|&(part, e, _)| {
            matches!(ground.robot.type_of(part).elements[e].kind, ElementKind::Battery(_))
        })
        .map(|(part, _, item)| (part, item))
        .collect();
    if let Some(id) = busiest(ground) {
        if !batteries.is_empty() {
            out.push(turned(ground, id, Which::Pack, &batteries));
        }
        if batteries.len() > 1 {
            out.extend(batteries.iter().map(|b| turned(ground, id, Which::One, &[*b])));
        }
    }
    for (part, e, item) in elements(&ground.circuit) {
        if matches!(ground.robot.type_of(part).elements[e].kind, ElementKind::Charger(_)) {
            let powered = |s: &Situation| s.powered.contains(&part);
            if let Some(id) = ground.robot.situations.iter().position(powered) {
                out.push(charger(ground, SituationId(id), part, item));
            }
        }
    }
    out
}

/// The lasting situation with most switches closed.
fn busiest(ground: &Ground<'_>) -> Option<SituationId> {
    let all = ground.robot.situations.iter().enumerate().filter(|(_, s)| s.lasting);
    all.max_by_key(|(index, s)| (s.closed.len(), std::cmp::Reverse(*index))).map(|s| SituationId(s.0))
}

fn full(ground: &Ground<'_>, id: SituationId) -> Situation {
    Situation { charge: 1.0, ..ground.robot.situations[id.0].clone() }
}

fn turned(ground: &Ground<'_>, id: SituationId, which: Which, turn: &[(PartId, usize)]) -> Reversed {
    let changes: Vec<Alteration> = turn
        .iter()
        .filter_map(|&(_, item)| match ground.circuit.template.items[item].device {
            crate::netlist::Device::Branch { a, b, .. } => Some(Alteration::Lead { item, a: b, b: a }),
            _ => None,
        })
        .collect();
    let circuit = ground.circuit.altered(ground.robot, &changes);
    let parts = turn.iter().map(|t| t.0).collect();
    judged(ground, &circuit, id, &full(ground, id), which, parts)
}

fn charger(ground: &Ground<'_>, id: SituationId, part: PartId, item: usize) -> Reversed {
    let mut changes = vec![Alteration::Cut { item }];
    if let crate::netlist::Device::Charger { plus, minus, .. } =
        ground.circuit.template.items[item].device
    {
        changes.push(Alteration::Join { a: plus, b: minus, ohms: RECTIFIER_OHMS });
    }
    let circuit = ground.circuit.altered(ground.robot, &changes);
    judged(ground, &circuit, id, &full(ground, id), Which::Charger, vec![part])
}

fn judged(
    ground: &Ground<'_>,
    circuit: &Circuit,
    id: SituationId,
    situation: &Situation,
    which: Which,
    parts: Vec<PartId>,
) -> Reversed {
    let ohms = ground.ohms(id);
    let solution = from_nothing(circuit, ground.robot, situation, Level::Mean, &ohms);
    let solved = !matches!(solution.end, Some(Stop::Unsolved(_)));
    let mut found = Reversed {
        which,
        parts,
        situation: id,
        current_a: None,
        opens: None,
        held_by: Vec::new(),
        hurt: Vec::new(),
    };
    if solved {
        found.current_a = Some(largest(ground, circuit, &solution));
        found.opens = opens(ground, circuit, &solution);
        (found.hurt, found.held_by) = hurt(ground, circuit, &solution);
    }
    found
}

fn largest(ground: &Ground<'_>, circuit: &Circuit, solution: &Solution) -> f64 {
    elements(circuit)
        .filter(|&(part, e, _)| {
            matches!(ground.robot.type_of(part).elements[e].kind, ElementKind::Battery(_))
        })
        .map(|(_, _, item)| item_current(circuit, solution, item).abs())
        .fold(0.0, f64::max)
}

fn opens(ground: &Ground<'_>, circuit: &Circuit, solution: &Solution) -> Option<(PartId, String, f64)> {
    let robot = ground.robot;
    elements(circuit)
        .filter_map(|(part, e, item)| {
            let element = &robot.type_of(part).elements[e];
            let ElementKind::FuseWay(_) = element.kind else { return None };
            let fuse = robot.types[robot.parts[part.0].fuses.get(&element.name)?.0].fuse.as_ref()?;
            let multiple = item_current(circuit, solution, item).abs() / fuse.rating.0;
            let time = slowest(&fuse.curve, multiple);
            time.is_finite().then(|| (part, element.name.clone(), time))
        })
        .min_by(|a, b| a.2.total_cmp(&b.2).then(a.0.cmp(&b.0)))
}

/// Parts that get what they do not bear, and diodes that hold the voltage back.
fn hurt(ground: &Ground<'_>, circuit: &Circuit, solution: &Solution) -> (Vec<Hurt>, Vec<PartId>) {
    let (mut hurt, mut held): (Vec<Hurt>, Vec<PartId>) = (Vec::new(), Vec::new());
    for (part, e, _) in elements(circuit) {
        let at = |n| circuit.local(part, n);
        let (plus, minus, limit) = match &ground.robot.type_of(part).elements[e].kind {
            ElementKind::Load(l) => (at(l.plus), at(l.minus), l.damage.0),
            ElementKind::Converter(c) => (at(c.in_plus), at(c.in_minus), c.absolute_max.0),
            ElementKind::Driver(d) => (at(d.plus), at(d.minus), d.absolute_max.0),
            ElementKind::Meter(m) => (at(m.plus), at(m.minus), m.voltage.0),
            ElementKind::Capacitor(c) => (at(c.plus), at(c.minus), c.voltage.0),
            ElementKind::Diode(d) => {
                // What it blocks shows as a pole of the battery on one side and less on the other.
                let v = across(solution, at(d.cathode), at(d.anode));
                let dark =
                    !solution.ready.fed.nodes[at(d.anode)] || !solution.ready.fed.nodes[at(d.cathode)];
                if v.map_or(dark, |v| v > WRONG) && !held.contains(&part) {
                    held.push(part);
                }
                continue;
            }
            _ => continue,
        };
        let Some(voltage_v) = across(solution, plus, minus) else { continue };
        if voltage_v > limit {
            hurt.push(Hurt { part, voltage_v, limit_v: limit });
        } else if voltage_v < -WRONG {
            hurt.push(Hurt { part, voltage_v, limit_v: 0.0 });
        }
    }
    hurt.sort_by(|a, b| a.voltage_v.total_cmp(&b.voltage_v).then(a.part.cmp(&b.part)));
    hurt.dedup_by_key(|h| h.part);
    (hurt, held)
}
