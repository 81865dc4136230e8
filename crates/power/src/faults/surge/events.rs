//! Surges: what closes, from which state, and what flows then.

use super::bench::{Bench, State};
use super::network::{Network, Path, Special};
use super::precharge;
use super::stops;
use super::trace::Trace;
use super::types::*;
use crate::circuit::Alteration;
use crate::fuse::curve;
use crate::operate::{Solution, elements};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{PartId, PlugId, Situation, SituationId};
use std::collections::BTreeSet;

/// Less than this is no surge, A.
const NOTHING: f64 = 0.5;
/// Fraction of the peak at which a surge counts as over.
const OVER: f64 = 0.02;

/// A contact about to close.
struct Closing {
    closes: Closes,
    part: Option<PartId>,
    plug: Option<PlugId>,
    /// Its items in the circuit.
    items: Vec<usize>,
    make_a: Option<f64>,
    rating_a: Option<f64>,
    situation: SituationId,
    filled_in: Option<SituationId>,
    stops_motors: bool,
}

/// A surge, its course, and the paths it ran in before they were reduced.
type Followed = (SurgeEvent, Trace, Vec<Path>);

/// All surges, in order.
pub(super) fn all(bench: &Bench<'_>) -> Vec<Followed> {
    let mut out = Vec::new();
    if bench.caps.is_empty() {
        return out;
    }
    switches(bench, &mut out);
    contactors(bench, &mut out);
    connections(bench, &mut out);
    out
}

/// The batteries at their fullest in any situation.
pub(super) fn fullest(bench: &Bench<'_>) -> f64 {
    bench.ground.robot.situations.iter().map(|s| s.charge).fold(0.0, f64::max)
}

/// The situation with most closed for which something holds; of equals the fullest, then the first.
fn busiest(bench: &Bench<'_>, holds: impl Fn(&Situation) -> bool) -> Option<SituationId> {
    let all = bench.ground.robot.situations.iter().enumerate().filter(|(_, s)| holds(s));
    all.min_by(|(i, a), (j, b)| {
        (b.closed.len(), b.charge)
            .partial_cmp(&(a.closed.len(), a.charge))
            .map_or(i.cmp(j), |o| o.then(i.cmp(j)))
    })
    .map(|(i, _)| SituationId(i))
}

/// A situation at rest with full batteries and some switches.
fn at_rest(bench: &Bench<'_>, id: SituationId, closed: &BTreeSet<PartId>) -> Situation {
    let mut quiet = bench.quiet(&bench.ground.robot.situations[id.0]);
    quiet.charge = fullest(bench);
    quiet.closed = closed.clone();
    quiet
}

fn state(situation: &Situation, before: &Solution) -> State {
    State {
        closed: situation.closed.clone(),
        unplugged: situation.unplugged.clone(),
        charge: situation.charge,
        pulled: before.states.pulled.clone(),
    }
}

fn switches(bench: &Bench<'_>, out: &mut Vec<Followed>) {
    for (part, e, item) in elements(&bench.ground.circuit) {
        let ElementKind::Switch(s) = &bench.ground.robot.type_of(part).elements[e].kind else {
            continue;
        };
        let Some(id) = busiest(bench, |s| s.closed.contains(&part)) else { continue };
        let closed = &bench.ground.robot.situations[id.0].closed;
        let mut open = closed.clone();
        open.remove(&part);
        let resting = at_rest(bench, id, &open);
        let before = bench.solve(&bench.ground.circuit, &resting);
        let whole = bench.solve(&bench.ground.circuit, &at_rest(bench, id, closed));
        let bridge = precharge::bridge(bench, part, item, closed);
        let filled = bridge.and_then(|b| precharge::filled(bench, b, |s, _| !s.closed.contains(&part)));
        let charged = filled.as_ref().map_or_else(|| bench.charged(&before), |f| f.volts.clone());
        let mut after = state(&resting, &before);
        after.closed.insert(part);
        let closing = Closing {
            closes: Closes::Switch,
            part: Some(part),
            plug: None,
            items: vec![item],
            make_a: s.make_break.map(|a| a.0),
            rating_a: Some(s.rating.0),
            situation: id,
            filled_in: filled.as_ref().map(|f| f.situation),
            stops_motors: stops::motors_by(bench, &before, &whole),
        };
        if let Some((mut event, trace, paths)) = run(bench, &after, &charged, closing) {
            event.present = filled.and_then(|f| precharge::used(bench, &f, &trace));
            out.push((event, trace, paths));
        }
    }
}

fn contactors(bench: &Bench<'_>, out: &mut Vec<Followed>) {
    let circuit = &bench.ground.circuit;
    let Some(id) = busiest(bench, |_| true) else { return };
    let closed = &bench.ground.robot.situations[id.0].closed;
    let resting = at_rest(bench, id, closed);
    let mut full = None;
    for (part, e, item) in elements(circuit) {
        let ElementKind::Contactor(c) = &bench.ground.robot.type_of(part).elements[e].kind else {
            continue;
        };
        let full = full.get_or_insert_with(|| bench.solve(circuit, &resting));
        if full.states.pulled[item] == c.normally_closed {
            continue;
        }
        let open = circuit.altered(bench.ground.robot, &[Alteration::Cut { item: item + 1 }]);
        let before = bench.solve(&open, &resting);
        let bridge = precharge::bridge(bench, part, item + 1, closed);
        let filled = bridge.and_then(|b| {
            let rests = |_: &Situation, at: &Solution| at.states.pulled[item] == c.normally_closed;
            precharge::filled(bench, b, rests)
        });
        let charged = filled.as_ref().map_or_else(|| bench.charged(&before), |f| f.volts.clone());
        let closing = Closing {
            closes: Closes::Contactor,
            part: Some(part),
            plug: None,
            items: vec![item + 1],
            make_a: c.make_break.map(|a| a.0),
            rating_a: Some(c.rating.0),
            situation: id,
            filled_in: filled.as_ref().map(|f| f.situation),
            stops_motors: stops::motors_by(bench, &before, full),
        };
        if let Some((mut event, trace, paths)) = run(bench, &state(&resting, full), &charged, closing) {
            event.present = filled.and_then(|f| precharge::used(bench, &f, &trace));
            out.push((event, trace, paths));
        }
    }
}

/// The battery is connected last: each plug that alone joins it to the rest, and the lug.
fn connections(bench: &Bench<'_>, out: &mut Vec<Followed>) {
    let (circuit, robot) = (&bench.ground.circuit, bench.ground.robot);
    let Some(id) = busiest(bench, |_| true) else { return };
    let situation = at_rest(bench, id, &robot.situations[id.0].closed);
    // Coils have no voltage yet.
    let after = State {
        closed: situation.closed.clone(),
        unplugged: situation.unplugged.clone(),
        charge: situation.charge,
        pulled: vec![false; circuit.template.items.len()],
    };
    let empty = vec![0.0; bench.caps.len()];
    let batteries: Vec<(PartId, usize)> = elements(circuit)
        .filter(|&(p, e, _)| matches!(robot.type_of(p).elements[e].kind, ElementKind::Battery(_)))
        .map(|(p, _, item)| (p, item))
        .collect();
    let mut plugs: Vec<PlugId> = circuit.contact_item.keys().map(|k| k.0).collect();
    plugs.dedup();
    for plug in plugs.into_iter().filter(|p| !situation.unplugged.contains(p)) {
        if !precharge::alone_joins(bench, &after, plug) {
            continue;
        }
        let items = circuit.contact_item.iter().filter(|(k, _)| k.0 == plug).map(|(_, &i)| i);
        let closing = Closing {
            closes: Closes::Plug,
            part: None,
            plug: Some(plug),
            items: items.collect(),
            make_a: None,
            rating_a: robot.family_of(plug).map(|f| f.rating.0),
            situation: id,
            filled_in: None,
            stops_motors: false,
        };
        out.extend(run(bench, &after, &empty, closing));
    }
    if let Some(&(part, item)) = batteries.first() {
        let closing = Closing {
            closes: Closes::Lug,
            part: Some(part),
            plug: None,
            items: vec![item],
            make_a: None,
            rating_a: None,
            situation: id,
            filled_in: None,
            stops_motors: false,
        };
        out.extend(run(bench, &after, &empty, closing));
    }
}

/// Follows a surge, when there is one.
fn run(bench: &Bench<'_>, after: &State, charged: &[f64], c: Closing) -> Option<Followed> {
    let paths = bench.paths(after, charged, &[]);
    let network = Network::of(paths.clone())?;
    let through: Vec<(usize, f64)> = c.items.iter().filter_map(|&i| network.path_of(i)).collect();
    if through.is_empty() {
        return None;
    }
    let trace = Trace::of(network).ok()?;
    let net = &trace.network;
    let n = net.loops.len();
    // Of the contacts of a plug, the one that carries most.
    let (path, peak) = through
        .iter()
        .map(|&(p, _)| (p, trace.largest(&|y| net.current(p, y).abs())))
        .max_by(|a, b| a.1.value.total_cmp(&b.1.value))?;
    if peak.value < NOTHING {
        return None;
    }
    let sign = trace.at(peak.time, &|y| net.current(path, y)).signum();
    let current = |y: &[f64]| sign * net.current(path, y);
    let voltage_v = trace.last()[n..].iter().fold(0.0_f64, |a, v| a.max(v.abs()));
    let moved = |k: usize| (trace.last()[n + k] - net.start()[n + k]).abs();
    let bus =
        (0..net.capacitors.len()).max_by(|&a, &b| moved(a).total_cmp(&moved(b)).then(b.cmp(&a)))?;
    let farads = |k: usize| match net.paths[net.capacitors[k]].special {
        Some(Special::Capacitor { farads, .. }) => farads,
        _ => 0.0,
    };
    let part_of = |k: usize| match net.paths[net.capacitors[k]].special {
        Some(Special::Capacitor { index, .. }) => bench.caps[index].used.part,
        _ => PartId(0),
    };
    let filled: f64 =
        (0..net.capacitors.len()).filter(|&k| moved(k) > 0.05 * voltage_v).map(farads).sum();
    let lasts_s = trace.lasts(OVER, &current);
    let (source_j, heat_j, stored_j) = trace.energies();
    let robot = bench.ground.robot;
    let name = match (c.part, c.plug) {
        (Some(p), _) => robot.parts[p.0].name.clone(),
        (_, Some(p)) => robot.plugs[p.0].name.clone(),
        _ => String::new(),
    };
    let mut event = SurgeEvent {
        closes: c.closes,
        part: c.part,
        plug: c.plug,
        name,
        situation: c.situation,
        filled_in: c.filled_in,
        voltage_v,
        capacitance_f: filled,
        peak_a: peak.value,
        peak_time_s: peak.time,
        lasts_s,
        i2t_a2s: trace.i2t(path),
        loop_h: moved(bus) / trace.first_slope(&current).abs().max(1e-3),
        make_a: c.make_a,
        rating_a: c.rating_a,
        stops_motors: c.stops_motors,
        fuses: fuses(bench, &trace),
        overshoot: overshoot(bench, &trace),
        source_j,
        heat_j,
        stored_j,
        proposed: None,
        present: None,
        bus: robot.parts[part_of(bus).0].name.clone(),
        bus_v: trace.curve(lasts_s * 1.2, &|y| net.terminal_voltage(bus, y)),
        current_a: trace.curve(lasts_s * 1.2, &current),
        steps: trace.steps(),
    };
    event.proposed = precharge::propose(bench, &event);
    Some((event, trace, paths))
}

/// Share of the melting I²·t that a fuse bears again and again, %. Common practice of makers of fuses: 20 to
/// 30 %.
pub(super) const FUSE_BEARS: f64 = 30.0;

/// Whether a fuse would open in the surge.
pub(super) fn opens_at_once(e: &SurgeEvent) -> bool {
    e.fuses.iter().any(|f| f.percent >= 100.0)
}

/// Share of the melting I²·t below which a fuse is not worth a word, %.
const TRACE_PERCENT: f64 = 0.1;

/// What the surge does to every fuse.
fn fuses(bench: &Bench<'_>, trace: &Trace) -> Vec<FusePulse> {
    let robot = bench.ground.robot;
    let mut out = Vec::new();
    for (part, e, item) in elements(&bench.ground.circuit) {
        let element = &robot.type_of(part).elements[e];
        let ElementKind::FuseWay(_) = element.kind else { continue };
        let fuse = robot.parts[part.0].fuses.get(&element.name);
        let Some(fuse) = fuse.and_then(|t| robot.types[t.0].fuse.as_ref()) else { continue };
        let Some((path, _)) = trace.network.path_of(item) else { continue };
        let melting_a2s = melting(fuse.rating.0, &fuse.curve);
        let i2t_a2s = trace.i2t(path);
        let percent = 100.0 * i2t_a2s / melting_a2s;
        if percent >= TRACE_PERCENT {
            let peak_a = trace.largest(&|y| trace.network.current(path, y).abs()).value;
            let (way, rating_a) = (element.name.clone(), fuse.rating.0);
            out.push(FusePulse { part, way, rating_a, peak_a, i2t_a2s, melting_a2s, percent });
        }
    }
    out
}

/// Melting I²·t of the quickest specimen: that of the last point of the fast edge, where the element has no
/// time to lose heat.
pub(super) fn melting(rating: f64, points: &[loomdeck_model::element::FusePoint]) -> f64 {
    let multiple = points.last().map_or(6.0, |p| p.multiple);
    (multiple * rating).powi(2) * curve::fastest(points, multiple)
}

/// The part whose supply swings furthest above what drives it, against what destroys it.
fn overshoot(bench: &Bench<'_>, trace: &Trace) -> Option<Overshoot> {
    let net = &trace.network;
    let n = net.loops.len();
    let worst = (0..net.capacitors.len()).filter_map(|k| {
        let Some(Special::Capacitor { index, start_v, .. }) = net.paths[net.capacitors[k]].special
        else {
            return None;
        };
        let most = trace.largest(&|y| net.terminal_voltage(k, y));
        let rests = trace.last()[n + k].max(start_v);
        let cap = &bench.caps[index];
        let over = Overshoot {
            part: cap.used.part,
            peak_v: most.value,
            time_s: most.time,
            limit_v: cap.limit_v,
        };
        (most.value > 1.02 * rests).then_some(over)
    });
    let share = |o: &Overshoot| o.peak_v / o.limit_v.unwrap_or(f64::INFINITY);
    worst.max_by(|a, b| share(a).total_cmp(&share(b)).then(b.part.cmp(&a.part)))
}
