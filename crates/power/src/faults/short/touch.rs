//! Two rails that lie side by side touch.

use super::bases::Bases;
use super::judge::Judge;
use super::places::{is_return, side_by_side};
use super::types::*;
use super::{Done, LIVE};
use crate::faults::Ground;
use crate::operate::{across, elements};
use crate::solver::sweep::Place;
use loomdeck_model::element::ElementKind;
use loomdeck_model::{PartId, WireId};
use std::collections::{BTreeMap, BTreeSet};

/// Adds the shorts between rails in one situation, each pair of metal pieces once.
pub fn add(
    ground: &Ground<'_>,
    judge: &Judge<'_>,
    bases: &mut Bases<'_>,
    piece: &[usize],
    drivers: &super::Outputs<'_>,
    out: &mut Vec<Touch>,
) {
    let robot = ground.robot;
    let node = |w: WireId| ground.circuit.node(robot, robot.wires[w.0].from);
    let minus = lowest(ground, bases);
    let Some(minus) = minus else { return };
    let mut known: BTreeSet<(String, usize, usize)> = BTreeSet::new();
    for (place, wires) in side_by_side(robot, ground.geometry) {
        // One wire for each piece of metal: what touches is the same.
        let mut rails: BTreeMap<usize, WireId> = BTreeMap::new();
        for &w in wires.iter().filter(|w| !is_return(robot.wires[w.0].function)) {
            rails.entry(piece[node(w)]).or_insert(w);
        }
        for (&one, &a) in &rails {
            for &b in rails.range(one + 1..).map(|r| r.1) {
                if [a, b].iter().any(|&w| drivers.contains_key(&node(w))) {
                    continue;
                }
                let volts = |w: WireId| across(&bases.solution, node(w), minus);
                let (high, low) = match (volts(a), volts(b)) {
                    (None, None) => continue,
                    (Some(va), Some(vb)) if (va - vb).abs() < LIVE => continue,
                    (Some(va), vb) if va >= vb.unwrap_or(0.0) => (a, b),
                    _ => (b, a),
                };
                let pair = (place.clone(), piece[node(high)], piece[node(low)]);
                let twice = out.iter().any(|t| {
                    t.place == place && (piece[node(t.high)], piece[node(t.low)]) == (pair.1, pair.2)
                });
                if !twice && known.insert(pair) {
                    out.extend(one_touch(ground, judge, bases, &place, high, low, minus));
                }
            }
        }
    }
}

/// The lowest pole of the batteries: voltages are told from there.
fn lowest(ground: &Ground<'_>, bases: &Bases<'_>) -> Option<usize> {
    let x = &bases.solution.point.x;
    elements(&ground.circuit)
        .filter_map(|(part, e, _)| match &ground.robot.type_of(part).elements[e].kind {
            ElementKind::Battery(b) => Some(ground.circuit.local(part, b.minus)),
            _ => None,
        })
        .min_by(|&a, &b| x[a].total_cmp(&x[b]))
}

fn one_touch(
    ground: &Ground<'_>,
    judge: &Judge<'_>,
    bases: &mut Bases<'_>,
    place: &str,
    high: WireId,
    low: WireId,
    minus: usize,
) -> Option<Touch> {
    let at = |w: WireId| Place::Along(ground.circuit.wire_item[w.0], 0.5);
    let node = |w: WireId| ground.circuit.node(ground.robot, ground.robot.wires[w.0].from);
    let rail = across(&bases.solution, node(high), minus)?;
    let below = across(&bases.solution, node(low), minus);
    let mut touch = Touch {
        place: place.to_owned(),
        high,
        low,
        situation: bases.id,
        before_v: rail - below.unwrap_or(0.0),
        current_a: None,
        opens: Vec::new(),
        destroys: Vec::new(),
    };
    if touch.before_v < LIVE {
        return None;
    }
    match below {
        // A signal takes the other rail's voltage.
        None => touch.destroys = signals(ground, low, rail),
        Some(_) => {
            let solved = bases.short(at(high), at(low))?;
            let case = judge.case(bases, &solved, 1.0);
            touch.current_a = Some(case.current_a);
            touch.opens = case.opens;
            touch.destroys = hurt(ground, bases, &solved);
        }
    }
    Some(touch)
}

/// Signal terminals on a wire's metal that bear less than a voltage.
fn signals(ground: &Ground<'_>, low: WireId, volts: f64) -> Vec<Hurt> {
    let robot = ground.robot;
    let mut worst: BTreeMap<PartId, Hurt> = BTreeMap::new();
    let wire = &robot.wires[low.0];
    for end in [wire.from, wire.to] {
        let loomdeck_model::Landing::Part { part, terminal } = end else { continue };
        let signal = robot.type_of(part).terminals[terminal].signal.as_ref();
        let Some(limit_v) = signal.and_then(|s| s.damage).map(|d| d.0) else { continue };
        if volts > limit_v {
            worst.entry(part).or_insert(Hurt { part, voltage_v: volts, limit_v });
        }
    }
    worst.into_values().collect()
}

/// Parts that get more than they bear in a solved short, and did not before.
fn hurt(ground: &Ground<'_>, bases: &Bases<'_>, solved: &Done) -> Vec<Hurt> {
    let fed = &bases.solution.ready.fed;
    let x = &solved.short.point.x;
    let mut all = Vec::new();
    for (part, e, _) in elements(&ground.circuit) {
        let (plus, minus, limit) = match &ground.robot.type_of(part).elements[e].kind {
            ElementKind::Load(l) => (l.plus, l.minus, l.damage),
            ElementKind::Converter(c) => (c.in_plus, c.in_minus, c.absolute_max),
            ElementKind::Driver(d) => (d.plus, d.minus, d.absolute_max),
            ElementKind::Meter(m) => (m.plus, m.minus, m.voltage),
            ElementKind::Capacitor(c) => (c.plus, c.minus, c.voltage),
            _ => continue,
        };
        let (plus, minus) = (ground.circuit.local(part, plus), ground.circuit.local(part, minus));
        if !fed.nodes[plus] || fed.part[plus] != fed.part[minus] {
            continue;
        }
        let before = across(&bases.solution, plus, minus).unwrap_or(0.0);
        let voltage_v = x[plus] - x[minus];
        if voltage_v > limit.0 && before <= limit.0 {
            all.push(Hurt { part, voltage_v, limit_v: limit.0 });
        }
    }
    all
}
