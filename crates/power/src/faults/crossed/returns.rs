//! A return wire is missing: which wires carry its current instead.

use super::types::*;
use crate::circuit::values::Level;
use crate::faults::Ground;
use crate::fuse::withstand::{lasting_limit, surroundings};
use crate::heat::wire;
use crate::operate::{Solution, Stop, across, elements, from_nothing, wire_currents};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Function, PartId, SituationId, WireId};
use std::collections::BTreeMap;

/// Resistance of a wire without metal in it, ohms.
const OPEN: f64 = 1e9;
/// A return that carries less than this is not worth missing, A.
const LEAST: f64 = 0.1;
/// A wire takes a detour when its current grows by this much of what was carried.
const SHARE: f64 = 0.05;

/// All return wires that carry current in a lasting situation.
pub fn lost(ground: &Ground<'_>) -> Vec<LostReturn> {
    let mut before: BTreeMap<SituationId, (Vec<f64>, Solution)> = BTreeMap::new();
    let mut out = Vec::new();
    for (w, wire) in ground.robot.wires.iter().enumerate() {
        if wire.function != Function::Return {
            continue;
        }
        let lasting =
            ground.power.situations.iter().filter(|s| ground.robot.situations[s.situation.0].lasting);
        let most = lasting.max_by(|a, b| {
            let carries = |s: &crate::results::SituationResult| s.wires[w].current.0.abs();
            carries(a).total_cmp(&carries(b)).then(b.situation.cmp(&a.situation))
        });
        let Some(most) = most.filter(|s| s.wires[w].current.0.abs() >= LEAST) else { continue };
        let (ohms, base) = before.entry(most.situation).or_insert_with(|| {
            let ohms = ground.ohms(most.situation);
            let base = solve(ground, most.situation, &ohms);
            (ohms, base)
        });
        out.extend(one(ground, WireId(w), most.situation, ohms, base));
    }
    out
}

fn solve(ground: &Ground<'_>, id: SituationId, ohms: &[f64]) -> Solution {
    from_nothing(&ground.circuit, ground.robot, &ground.robot.situations[id.0], Level::Mean, ohms)
}

fn one(
    ground: &Ground<'_>,
    id: WireId,
    situation: SituationId,
    ohms: &[f64],
    base: &Solution,
) -> Option<LostReturn> {
    let mut missing = ohms.to_vec();
    missing[id.0] = OPEN;
    let now = solve(ground, situation, &missing);
    if matches!(now.end, Some(Stop::Unsolved(_))) {
        return None;
    }
    let (old, new) = (wire_currents(&ground.circuit, base), wire_currents(&ground.circuit, &now));
    let carried_a = old[id.0].abs();
    let mut detours: Vec<Detour> = (0..new.len())
        .filter(|&w| new[w].abs() - old[w].abs() > SHARE * carried_a)
        .map(|w| detour(ground, WireId(w), old[w].abs(), new[w].abs()))
        .collect();
    detours.sort_by(|a, b| b.current_a.total_cmp(&a.current_a).then(a.wire.cmp(&b.wire)));
    let (hurt, fails) = parts(ground, base, &now);
    Some(LostReturn { wire: id, situation, carried_a, detours, hurt, fails })
}

fn detour(ground: &Ground<'_>, id: WireId, before_a: f64, current_a: f64) -> Detour {
    let around = surroundings(ground.robot, &ground.wires, &ground.power.situations, id);
    let conductor = &ground.wires.conductors[id.0];
    let settled = wire::steady(conductor, current_a, around.air, &around.bundles);
    Detour {
        wire: id,
        signal: !matches!(
            ground.robot.wires[id.0].function,
            Function::Return | Function::Supply | Function::Motor
        ),
        before_a,
        current_a,
        reaches_c: settled.map(|s| s.inside),
        limit_c: lasting_limit(ground.robot, id).0,
    }
}

/// Parts that get more than they bear, and parts that no longer get enough.
fn parts(ground: &Ground<'_>, base: &Solution, now: &Solution) -> (Vec<Hurt>, Vec<PartId>) {
    let (mut hurt, mut fails) = (Vec::new(), Vec::new());
    for (part, e, _) in elements(&ground.circuit) {
        let (plus, minus, low, high) = match &ground.robot.type_of(part).elements[e].kind {
            ElementKind::Load(l) => (l.plus, l.minus, l.brown_out.0, l.damage.0),
            ElementKind::Converter(c) => (c.in_plus, c.in_minus, c.window_low.0, c.absolute_max.0),
            ElementKind::Driver(d) => (d.plus, d.minus, d.window_low.0, d.absolute_max.0),
            _ => continue,
        };
        let (plus, minus) = (ground.circuit.local(part, plus), ground.circuit.local(part, minus));
        let before = across(base, plus, minus).unwrap_or(0.0);
        let voltage_v = across(now, plus, minus).unwrap_or(0.0);
        if voltage_v > high && before <= high {
            hurt.push(Hurt { part, voltage_v, limit_v: high });
        } else if voltage_v < -0.5 && before >= -0.5 {
            hurt.push(Hurt { part, voltage_v, limit_v: 0.0 });
        } else if voltage_v < low && before >= low && !fails.contains(&part) {
            fails.push(part);
        }
    }
    (hurt, fails)
}
