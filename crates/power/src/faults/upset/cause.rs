//! Which wire lifts one ground above another, and which wire end to move so that it no longer does.

use super::links::grounds;
use super::types::{Cause, Kind, Link, Measure, Star};
use super::{HEARD_DB, LOGIC_MARGIN, Solved, after};
use crate::circuit::Alteration;
use crate::faults::Ground;
use crate::netlist::Device;
use crate::operate::item_current;
use crate::paths::Ways;
use loomdeck_model::wiring::Function;
use loomdeck_model::{Landing, WireId};
use std::collections::BTreeMap;

/// Most changes tried for a link.
const MOST_TRIED: usize = 6;

/// A shift worth explaining: half of what is told.
fn matters(link: &Link) -> bool {
    match link.kind {
        Kind::Audio => link.below_full_scale_db().is_some_and(|db| db > HEARD_DB),
        Kind::Logic => link.noticed_mv() / 1000.0 > 0.5 * LOGIC_MARGIN * link.wants_v,
    }
}

/// Names the cause of every shift that matters. Links between the same grounds share it.
pub fn explain(ground: &Ground<'_>, links: &mut [Link], solved: &[Solved]) {
    let mut known: BTreeMap<(usize, usize), Option<Cause>> = BTreeMap::new();
    for link in links.iter_mut() {
        if !matters(link) {
            continue;
        }
        let Some(pair) = grounds(ground, link) else { continue };
        let found = known.entry(pair).or_insert_with(|| cause(ground, link, solved, pair));
        link.cause = found.clone();
    }
}

fn cause(ground: &Ground<'_>, link: &Link, solved: &[Solved], pair: (usize, usize)) -> Option<Cause> {
    let worst = link.worst()?;
    let at = solved.iter().find(|s| s.situation == worst.situation)?;
    let (measure, total_mv) = worst.noticed(link.kind);
    let (solution, other) = at.pair(measure);
    let netlist = &solution.ready.netlist;
    let mut wire_of = vec![None; netlist.items.len()];
    for (w, &item) in ground.circuit.wire_item.iter().enumerate() {
        wire_of[item] = Some(WireId(w));
    }
    // The way of the power currents first: the voltage is the same along every way, but only this one
    // says whose current it is.
    let weak = |item: usize| {
        wire_of[item].is_some_and(|w: WireId| !ground.robot.wires[w.0].function.is_power())
    };
    let way = [true, false].into_iter().find_map(|strong| {
        let ways = Ways::of(netlist, |i| netlist.items[i].active && !(strong && weak(i)));
        let tree = ways.tree([pair.0]);
        tree.root(pair.1).map(|_| tree.way(pair.1))
    })?;
    let amperes = |item: usize| {
        let [first, second] = [solution, other].map(|s| item_current(&ground.circuit, s, item));
        measure.of(first, second).abs()
    };
    let drop = |item: usize| match netlist.items[item].device {
        Device::Branch { resistance_ohm, .. } => resistance_ohm * amperes(item),
        _ => 0.0,
    };
    let (wire, item) = way
        .iter()
        .filter_map(|&i| wire_of[i].map(|w| (w, i)))
        .max_by(|a, b| drop(a.1).total_cmp(&drop(b.1)))?;
    let current = |w: WireId| amperes(ground.circuit.wire_item[w.0]);
    let star = star(ground, at, measure, pair, wire, &current).filter(|s| s.after_mv < 0.7 * total_mv);
    Some(Cause {
        wire,
        current_a: current(wire),
        drop_mv: 1000.0 * drop(item),
        share_percent: if total_mv > 0.0 { (1e5 * drop(item) / total_mv).min(100.0) } else { 0.0 },
        star,
    })
}

/// Of the wires that meet the cause at either end, the one whose end is best moved to its other end.
fn star(
    ground: &Ground<'_>,
    at: &Solved,
    measure: Measure,
    pair: (usize, usize),
    cause: WireId,
    current: &dyn Fn(WireId) -> f64,
) -> Option<Star> {
    let (robot, circuit) = (ground.robot, &ground.circuit);
    let long = &robot.wires[cause.0];
    let mut tries: Vec<(WireId, &'static str, Landing)> = Vec::new();
    for (near, far) in [(long.from, long.to), (long.to, long.from)] {
        let node = circuit.node(robot, near);
        for w in (0..robot.wires.len()).map(WireId).filter(|&w| w != cause) {
            let wire = &robot.wires[w.0];
            if !matches!(wire.function, Function::Return | Function::SignalReturn) {
                continue;
            }
            for (end, here, there) in [("from", wire.from, wire.to), ("to", wire.to, wire.from)] {
                // A wire that would then run from a piece of metal to itself is no wire.
                let loops = circuit.node(robot, there) == circuit.node(robot, far);
                if circuit.node(robot, here) == node && !loops {
                    tries.extend(room(ground, far).map(|landing| (w, end, landing)));
                }
            }
        }
    }
    tries.sort_by(|a, b| current(b.0).total_cmp(&current(a.0)).then(a.0.cmp(&b.0)));
    tries.truncate(MOST_TRIED);
    let solved = tries.into_iter().filter_map(|(wire, end, landing)| {
        let item = circuit.wire_item[wire.0];
        let (from, to) = (robot.wires[wire.0].from, robot.wires[wire.0].to);
        let moved = circuit.node(robot, landing);
        let (a, b) = if end == "from" {
            (moved, circuit.node(robot, to))
        } else {
            (circuit.node(robot, from), moved)
        };
        let altered = circuit.altered(robot, &[Alteration::Lead { item, a, b }]);
        let after_mv = after(ground, &altered, at, measure, pair)?;
        Some(Star { wire, end, landing, landing_name: robot.landing_word(landing), after_mv })
    });
    solved.min_by(|a, b| a.after_mv.total_cmp(&b.after_mv))
}

/// A terminal of the same node as a landing on which one more wire finds room.
fn room(ground: &Ground<'_>, landing: Landing) -> Option<Landing> {
    let robot = ground.robot;
    let Landing::Part { part, terminal } = landing else { return None };
    let terminals = &robot.type_of(part).terminals;
    let on = |t: usize| {
        let here = Landing::Part { part, terminal: t };
        robot.wires.iter().flat_map(|w| [w.from, w.to]).filter(|&end| end == here).count()
    };
    let free = |&t: &usize| {
        terminals[t].node == terminals[terminal].node && on(t) < terminals[t].room_for as usize
    };
    (0..terminals.len())
        .filter(free)
        .min_by_key(|&t| (t != terminal, on(t), t))
        .map(|terminal| Landing::Part { part, terminal })
}
