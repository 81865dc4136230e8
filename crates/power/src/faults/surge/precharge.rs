//! Resistors that fill the capacitors before the contact closes: proposed, and found in the robot.

use super::bench::{Bench, State};
use super::trace::Trace;
use super::types::{PreCharge, PreChargeUsed, SurgeEvent};
use crate::circuit::Alteration;
use crate::netlist::Device;
use crate::operate::{Solution, elements, item_current};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{PartId, PlugId, Situation, SituationId};
use std::collections::BTreeSet;

/// A resistor below this is a shunt or a conductor, ohms.
const LEAST_OHMS: f64 = 0.5;
/// Values on sale, per decade (IEC 60063, series E6).
const E6: [f64; 6] = [1.0, 1.5, 2.2, 3.3, 4.7, 6.8];
/// Largest current at the start that is proposed, A.
const MOST_CURRENT: f64 = 2.0;
/// Time constants until 2 % are left.
const FILLED: f64 = 4.0;
/// A resistor that raises all capacitors together by less than this does not fill them, V.
const LEAST_FILLED: f64 = 0.5;
/// Capacitors that hold less than this share of their voltage are empty.
const BEHIND: f64 = 0.05;
/// Share of the voltage that the modules' own current may keep away.
const LEFT: f64 = 0.15;

/// A resistor that bridges a switch.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bridge {
    part: PartId,
    item: usize,
    ohms: f64,
    power: f64,
}

/// Nodes joined by metal, each under one number.
struct Groups(Vec<usize>);

impl Groups {
    fn root(&mut self, mut v: usize) -> usize {
        while self.0[v] != v {
            self.0[v] = self.0[self.0[v]];
            v = self.0[v];
        }
        v
    }

    /// Of all wires, contacts, fuses and rings, with the resistors left out and these switches closed.
    fn of(bench: &Bench<'_>, state: &State) -> Self {
        let mut groups = Self((0..bench.ground.circuit.pattern.nodes).collect());
        for path in bench.paths(state, &[], &[]) {
            let skipped = path.special.is_some() || path.emf_v != 0.0 || path.ohms >= LEAST_OHMS;
            if skipped {
                continue;
            }
            let (a, b) = (groups.root(path.a), groups.root(path.b));
            groups.0[a] = b;
        }
        groups
    }
}

/// The resistor that bridges a switch, over whatever other switches.
pub(super) fn bridge(
    bench: &Bench<'_>,
    part: PartId,
    item: usize,
    closed: &BTreeSet<PartId>,
) -> Option<Bridge> {
    let (circuit, robot) = (&bench.ground.circuit, bench.ground.robot);
    let resistors: Vec<Bridge> = elements(circuit)
        .filter_map(|(p, e, item)| match &robot.type_of(p).elements[e].kind {
            ElementKind::Resistor(r) if r.ohms.0 >= LEAST_OHMS => {
                Some(Bridge { part: p, item, ohms: r.ohms.0, power: r.power.0 })
            }
            _ => None,
        })
        .collect();
    let Device::Branch { a, b, .. } = circuit.template.items[item].device else { return None };
    resistors.into_iter().find(|r| {
        let Device::Branch { a: ra, b: rb, .. } = circuit.template.items[r.item].device else {
            return false;
        };
        // Its own button may be a switch that the situation leaves open: try each.
        let buttons = elements(circuit)
            .filter(|&(p, e, _)| matches!(robot.type_of(p).elements[e].kind, ElementKind::Switch(_)))
            .map(|(p, ..)| Some(p));
        [None].into_iter().chain(buttons).any(|button| {
            let mut state = State {
                closed: closed.clone(),
                unplugged: BTreeSet::new(),
                charge: 1.0,
                pulled: vec![false; circuit.template.items.len()],
            };
            state.closed.extend(button);
            state.closed.remove(&part);
            let mut groups = Groups::of(bench, &state);
            let mut joined = |x: usize, y: usize| groups.root(x) == groups.root(y);
            !joined(a, b) && ((joined(a, ra) && joined(b, rb)) || (joined(a, rb) && joined(b, ra)))
        })
    })
}

/// What a resistor does before a contact closes.
pub(super) struct Filled {
    bridge: Bridge,
    /// The situation that describes it.
    pub situation: SituationId,
    /// Voltages of the capacitors then, loads as they are.
    pub volts: Vec<f64>,
    /// And while neither resistor nor contact joins them.
    without: Vec<f64>,
    /// Current through the resistor when nothing changes any more.
    amperes: f64,
}

/// The situation in which the resistor fills the capacitors best while the contact is open, as `open`
/// tells.
pub(super) fn filled(
    bench: &Bench<'_>,
    bridge: Bridge,
    open: impl Fn(&Situation, &Solution) -> bool,
) -> Option<Filled> {
    let (robot, circuit) = (bench.ground.robot, &bench.ground.circuit);
    let apart = circuit.altered(robot, &[Alteration::Cut { item: bridge.item }]);
    let sum = |v: &[f64]| v.iter().sum::<f64>();
    let mut best: Option<Filled> = None;
    for (i, s) in robot.situations.iter().enumerate() {
        let mut full = s.clone();
        full.charge = super::events::fullest(bench);
        let at = bench.solve(circuit, &full);
        if !open(s, &at) {
            continue;
        }
        // Full capacitors draw nothing through it, so what it does shows in their voltage.
        let without = bench.charged(&bench.solve(&apart, &full));
        let volts = bench.charged(&at);
        let fills = sum(&volts) > sum(&without) + LEAST_FILLED;
        if fills && best.as_ref().is_none_or(|b| sum(&volts) > sum(&b.volts)) {
            let amperes = item_current(circuit, &at, bridge.item);
            best = Some(Filled { bridge, situation: SituationId(i), volts, without, amperes });
        }
    }
    best
}

/// What a resistor that is there does before a surge.
pub(super) fn used(bench: &Bench<'_>, filled: &Filled, surge: &Trace) -> Option<PreChargeUsed> {
    let (net, bridge) = (&surge.network, filled.bridge);
    let loops = net.loops.len();
    let (mut farads, mut energy_j, mut least) = (0.0, 0.0, f64::INFINITY);
    for (k, index) in net.capacitor_numbers().into_iter().enumerate() {
        let full = surge.last()[loops + k].abs();
        let empty = filled.without[index].abs();
        // Only what the contact joins to the battery is filled before it closes.
        if full < 0.5 || empty > BEHIND * full {
            continue;
        }
        let c = bench.caps[index].used.farads;
        farads += c;
        energy_j += 0.5 * c * full * full;
        least = least.min(filled.volts[index].abs() / full);
    }
    let situation = &bench.ground.robot.situations[filled.situation.0];
    (farads > 0.0).then_some(PreChargeUsed {
        part: bridge.part,
        ohms: bridge.ohms,
        power_w: bridge.power,
        farads,
        filled_percent: 100.0 * least.min(1.0),
        energy_j,
        time_s: FILLED * bridge.ohms * farads,
        lasting_w: filled.amperes * filled.amperes * bridge.ohms,
        lasts_s: situation.lasts.filter(|_| !situation.lasting).map(|t| t.0),
    })
}

/// A resistor for a surge: it keeps the first current small, and is small enough for what the modules
/// behind it take at rest.
pub(super) fn propose(bench: &Bench<'_>, event: &SurgeEvent) -> Option<PreCharge> {
    let (v, farads) = (event.voltage_v, event.capacitance_f);
    if v < 1.0 || farads <= 0.0 || event.make_a.is_none() && event.rating_a.is_none() {
        return None;
    }
    let contact = 0.5 * event.make_a.or(event.rating_a).unwrap_or(f64::INFINITY);
    let rest = at_rest_current(bench, v);
    // As small as the modules' own current asks for, where that is smaller.
    let ohms = next_e6((v / MOST_CURRENT.min(contact)).min(0.6 * LEFT * v / rest.max(1e-6)));
    let bears = v / ohms <= contact;
    (bears && rest * ohms <= LEFT * v).then_some(PreCharge {
        ohms,
        peak_a: v / ohms,
        energy_j: 0.5 * farads * v * v,
        time_s: FILLED * ohms * farads,
        left_v: rest * ohms,
    })
}

/// What drivers and converters on the battery's voltage take while they do nothing, A.
fn at_rest_current(bench: &Bench<'_>, v: f64) -> f64 {
    let robot = bench.ground.robot;
    let runs = |low: f64, high: f64| v >= low && v <= high;
    elements(&bench.ground.circuit)
        .map(|(p, e, _)| match &robot.type_of(p).elements[e].kind {
            ElementKind::Driver(d) if runs(d.window_low.0, d.window_high.0) => d.idle.0,
            ElementKind::Converter(c) if runs(c.window_low.0, c.window_high.0) => c.idle.0 / v,
            _ => 0.0,
        })
        .sum()
}

fn next_e6(least: f64) -> f64 {
    let decade = 10f64.powf(least.log10().floor());
    let found = E6.iter().map(|e| e * decade).find(|r| *r >= least * (1.0 - 1e-9));
    found.unwrap_or(10.0 * decade)
}

/// Whether pulling a plug leaves every capacitor without a battery.
pub(super) fn alone_joins(bench: &Bench<'_>, state: &State, plug: PlugId) -> bool {
    let (circuit, robot) = (&bench.ground.circuit, bench.ground.robot);
    let joined = |state: &State| {
        let mut groups = Groups::of(bench, state);
        let poles: BTreeSet<usize> = elements(circuit)
            .filter_map(|(p, e, _)| match &robot.type_of(p).elements[e].kind {
                ElementKind::Battery(b) => Some(circuit.local(p, b.plus)),
                _ => None,
            })
            .map(|node| groups.root(node))
            .collect();
        bench.caps.iter().filter(|c| poles.contains(&groups.root(c.plus))).count()
    };
    let mut pulled = state.clone();
    pulled.unplugged.insert(plug);
    joined(state) > 0 && joined(&pulled) == 0
}
