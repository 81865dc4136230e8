//! Where the heat comes from: the operating points, part by part.

use super::types::{KindHeat, PartHeat, SituationHeat};
use crate::faults::Ground;
use crate::results::{ElementResult, SituationResult};
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::*;
use loomdeck_model::{Half, Landing, PartId, Place, Robot, WireId};

/// Loss of a charger over what it gives: an efficiency of 85 % (common practice).
const CHARGER_LOSS: f64 = 0.15 / 0.85;
/// Heat below which a part is not listed, W.
const LEAST: f64 = 0.005;

/// Whether a part stands in the open.
pub fn outside(robot: &Robot, part: PartId) -> bool {
    matches!(robot.parts[part.0].place, Place::Zone { zone, .. } if robot.zones[zone.0].outside)
}

/// Whether a wire runs in the open with its whole length: both its ends do.
fn wire_outside(robot: &Robot, wire: WireId) -> bool {
    let open = |landing: Landing| match landing {
        Landing::Part { part, .. } => outside(robot, part),
        Landing::Plug { plug, half, .. } => {
            half == Half::Body && robot.zones[robot.plugs[plug.0].zone.0].outside
        }
    };
    let wire = &robot.wires[wire.0];
    open(wire.from) && open(wire.to)
}

/// The kind of loss of a part: that of its first element that has one.
fn kind_of(robot: &Robot, part: PartId) -> &'static str {
    let words = robot.type_of(part).elements.iter().map(|e| match &e.kind {
        ElementKind::Battery(_) => "batteries",
        ElementKind::Converter(_) => "converters",
        ElementKind::Driver(_) => "motor drivers",
        ElementKind::Motor(_) => "motors and gearboxes",
        ElementKind::Load(_) => "loads",
        ElementKind::Charger(_) => "chargers",
        ElementKind::Diode(_) | ElementKind::Resistor(_) => "diodes and resistors",
        _ => "switches, fuses and meters",
    });
    let mut found = "switches, fuses and meters";
    for word in words {
        if word != found {
            found = word;
            break;
        }
    }
    found
}

/// The heat of a part in a situation and what of its power leaves as light and the like, W.
fn part_heat(robot: &Robot, part: PartId, result: &SituationResult) -> (f64, f64) {
    let at = &result.parts[part.0];
    let given = at.elements.iter().map(|e| match e {
        ElementResult::Charger { voltage, current, .. } => {
            CHARGER_LOSS * (voltage.0 * current.0).max(0.0)
        }
        _ => 0.0,
    });
    let taken = at.elements.iter().map(|e| match e {
        ElementResult::Load { voltage, current, .. } => (voltage.0 * current.0).max(0.0),
        _ => 0.0,
    });
    let leaves = robot.type_of(part).leaves * taken.sum::<f64>();
    ((at.heat.0 + given.sum::<f64>() - leaves).max(0.0), leaves)
}

/// The heat of a situation; what it settles at is filled in later.
pub fn of_situation(ground: &Ground<'_>, result: &SituationResult) -> SituationHeat {
    let robot = ground.robot;
    let situation = &robot.situations[result.situation.0];
    let (mut parts, mut leaves, mut work) = (Vec::new(), 0.0, 0.0);
    for part in (0..robot.parts.len()).map(PartId) {
        let (heat, away) = part_heat(robot, part, result);
        leaves += away;
        work += result.parts[part.0].work.0;
        if heat > LEAST {
            parts.push(PartHeat {
                part,
                name: robot.parts[part.0].name.clone(),
                kind: kind_of(robot, part),
                heat: Watts(heat),
                inside: !outside(robot, part),
            });
        }
    }
    parts.sort_by(|a, b| b.heat.0.total_cmp(&a.heat.0).then(a.part.cmp(&b.part)));
    let (mut wires, mut open_wires) = (0.0, 0.0);
    for wire in &result.wires {
        let sum = if wire_outside(robot, wire.wire) { &mut open_wires } else { &mut wires };
        *sum += wire.power.0;
    }
    let contacts: f64 = result
        .contacts
        .iter()
        .map(|c| c.rms.0 * c.rms.0 * robot.family_of(c.plug).map_or(0.0, |f| f.resistance.0))
        .sum();
    let of_parts =
        |inside: bool| -> f64 { parts.iter().filter(|p| p.inside == inside).map(|p| p.heat.0).sum() };
    SituationHeat {
        situation: result.situation,
        name: situation.name.clone(),
        kinds: kinds(&parts, wires + contacts),
        wires: Watts(wires + open_wires),
        contacts: Watts(contacts),
        inside: Watts(of_parts(true) + wires + contacts),
        outside: Watts(of_parts(false) + open_wires),
        work: Watts(work),
        leaves: Watts(leaves),
        assumed: situation.ambient.unwrap_or(robot.limits.ambient),
        settled: None,
        parts,
    }
}

fn kinds(parts: &[PartHeat], wires: f64) -> Vec<KindHeat> {
    let mut all: Vec<KindHeat> = vec![KindHeat { kind: "wires and contacts", heat: Watts(wires) }];
    for part in parts.iter().filter(|p| p.inside) {
        match all.iter_mut().find(|k| k.kind == part.kind) {
            Some(kind) => kind.heat += part.heat,
            None => all.push(KindHeat { kind: part.kind, heat: part.heat }),
        }
    }
    all.sort_by(|a, b| b.heat.0.total_cmp(&a.heat.0).then(a.kind.cmp(b.kind)));
    all
}

/// What warms up with the air, J/K: parts in the body and the board at 900 J/(kg·K). Aluminium has 900,
/// steel 460, plastics 1,000 to 2,000, lead-acid batteries about 900 (common handbook values, from memory).
pub fn capacity(robot: &Robot, stated: Option<Kilograms>) -> f64 {
    let own = || -> f64 {
        let parts: f64 = (0..robot.parts.len())
            .map(PartId)
            .filter(|&p| !outside(robot, p))
            .map(|p| robot.type_of(p).mass.0)
            .sum();
        let board = robot.board.as_ref().map_or(0.0, |b| {
            let volume = b.outline.signed_area().abs() * b.thickness.0 * 1e-9;
            volume * loomdeck_space::rest::material::sheet(b.material).density
        });
        parts + board
    };
    900.0 * stated.map_or_else(own, |m| m.0).max(0.5)
}
