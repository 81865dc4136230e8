//! What all surges of a robot start from: its capacitors, the inductance of its wires, and the paths of its
//! network with some contacts closed.

use super::inductance;
use super::network::{Path, Special};
use super::types::CapacitorUsed;
use crate::circuit::values::Level;
use crate::circuit::{Circuit, open_circuit};
use crate::faults::Ground;
use crate::netlist::Device;
use crate::operate::{Solution, across, elements, from_nothing};
use loomdeck_model::element::{Activity, ElementKind, LoadLaw};
use loomdeck_model::units::{Amperes, MetresPerSecond, Seconds};
use loomdeck_model::{MotorTask, MovedBy, PartId, PlugId, Situation, SituationActivity};
use std::collections::BTreeSet;

/// Series resistance times capacitance of the capacitors in modules, s: 1000 µF with 40 mΩ. Common
/// practice for low-impedance electrolytics, no source; a smaller one makes a higher peak.
const ESR_TIME: f64 = 40e-6;
/// No module's capacitor has less than this, ohms: its leads and the board's copper.
const LEAST_ESR: f64 = 5e-3;
/// Nor more.
const MOST_ESR: f64 = 1.0;
/// Input capacitance of a module with electronics that does not state any. Common practice, no source.
const ASSUMED_FARADS: f64 = 22e-6;
/// Inductance of an element other than a wire: a centimetre of conductor at 1 µH/m.
const ELEMENT_HENRIES: f64 = 10e-9;
/// Inductance of a battery: a hand's breadth of conductor within it. Common practice, no source.
const BATTERY_HENRIES: f64 = 100e-9;

/// A capacitor with its nodes.
#[derive(Clone, Debug)]
pub(super) struct Cap {
    pub used: CapacitorUsed,
    pub plus: usize,
    pub minus: usize,
    /// What destroys the part.
    pub limit_v: Option<f64>,
}

/// What contacts do.
#[derive(Clone, Debug)]
pub(super) struct State {
    /// Parts whose switches are closed.
    pub closed: BTreeSet<PartId>,
    /// Plugs that are pulled.
    pub unplugged: BTreeSet<PlugId>,
    /// Charge of the batteries.
    pub charge: f64,
    /// Coils that pull, by item.
    pub pulled: Vec<bool>,
}

/// A path added to those of the robot: a motor that starts.
#[derive(Clone, Copy, Debug)]
pub(super) struct Added {
    pub a: usize,
    pub b: usize,
    pub ohms: f64,
    pub henries: f64,
}

pub(super) struct Bench<'a> {
    pub ground: &'a Ground<'a>,
    pub caps: Vec<Cap>,
    henries: Vec<f64>,
}

impl<'a> Bench<'a> {
    pub fn of(ground: &'a Ground<'a>) -> Self {
        let henries = inductance::of_wires(ground.robot, ground.geometry, &ground.circuit.length);
        Self { ground, caps: capacitors(ground), henries }
    }

    /// The robot at rest in a situation: loads take nothing, motors stand.
    pub fn quiet(&self, situation: &Situation) -> Situation {
        let mut quiet = situation.clone();
        quiet.speed = MetresPerSecond(0.0);
        quiet.slope = 0.0;
        quiet.moved_by = MovedBy::Motors;
        quiet.powered.clear();
        let nothing = Activity {
            name: String::new(),
            mean: Amperes(0.0),
            rms: Amperes(0.0),
            peak: Amperes(0.0),
            peak_time: Seconds(0.0),
        };
        for p in (0..self.ground.robot.parts.len()).map(PartId) {
            for e in &self.ground.robot.type_of(p).elements {
                match e.kind {
                    ElementKind::Load(_) => {
                        quiet.activity.insert(p, SituationActivity::Own(nothing.clone()));
                    }
                    ElementKind::Motor(_) => {
                        quiet.motors.insert(p, MotorTask::Off);
                    }
                    _ => {}
                }
            }
        }
        quiet
    }

    /// Solves a situation on a network like the robot's.
    pub fn solve(&self, circuit: &Circuit, situation: &Situation) -> Solution {
        from_nothing(circuit, self.ground.robot, situation, Level::Mean, &self.ground.circuit.cold)
    }

    /// Voltages of the capacitors in a solution; none where nothing feeds them.
    pub fn charged(&self, solution: &Solution) -> Vec<f64> {
        self.caps.iter().map(|c| across(solution, c.plus, c.minus).unwrap_or(0.0)).collect()
    }

    /// All paths that conduct, with the capacitors charged like this.
    pub fn paths(&self, state: &State, charged: &[f64], added: &[Added]) -> Vec<Path> {
        let mut out = Vec::new();
        let circuit = &self.ground.circuit;
        for (w, &item) in circuit.wire_item.iter().enumerate() {
            out.extend(self.plain(item, circuit.cold[w], self.henries[w], 0.0));
        }
        for (&(plug, _), &item) in &circuit.contact_item {
            if !state.unplugged.contains(&plug) {
                out.extend(self.plain(item, self.ohms(item), ELEMENT_HENRIES, 0.0));
            }
        }
        for (part, e, item) in elements(circuit) {
            self.element(part, e, item, state, &mut out);
        }
        for (index, (cap, &start_v)) in self.caps.iter().zip(charged).enumerate() {
            let special = Special::Capacitor {
                index,
                farads: cap.used.farads,
                esr_ohm: cap.used.esr_ohm,
                start_v,
            };
            out.push(Path {
                a: cap.plus,
                b: cap.minus,
                ohms: 0.0,
                henries: ELEMENT_HENRIES,
                emf_v: 0.0,
                special: Some(special),
                sense: 1.0,
                items: Vec::new(),
            });
        }
        let first = circuit.template.items.len();
        out.extend(added.iter().enumerate().map(|(n, add)| Path {
            a: add.a,
            b: add.b,
            ohms: add.ohms,
            henries: add.henries,
            emf_v: 0.0,
            special: None,
            sense: 1.0,
            items: vec![(first + n, 1.0)],
        }));
        out
    }

    fn ohms(&self, item: usize) -> f64 {
        match self.ground.circuit.template.items[item].device {
            Device::Branch { resistance_ohm, .. } => resistance_ohm,
            _ => 0.0,
        }
    }

    fn plain(&self, item: usize, ohms: f64, henries: f64, emf_v: f64) -> Option<Path> {
        let Device::Branch { a, b, .. } = self.ground.circuit.template.items[item].device else {
            return None;
        };
        let items = vec![(item, 1.0)];
        let henries = henries.max(ELEMENT_HENRIES);
        Some(Path { a, b, ohms, henries, emf_v, special: None, sense: 1.0, items })
    }

    fn element(&self, part: PartId, e: usize, item: usize, state: &State, out: &mut Vec<Path>) {
        let robot = self.ground.robot;
        let element = &robot.type_of(part).elements[e];
        let mut closed = |item: usize, more: f64| {
            out.extend(self.plain(item, self.ohms(item) + more, ELEMENT_HENRIES, 0.0));
        };
        match &element.kind {
            ElementKind::Battery(b) => {
                let emf = open_circuit(b, state.charge);
                out.extend(self.plain(item, b.resistance.0, BATTERY_HENRIES, emf));
            }
            ElementKind::Switch(_) if state.closed.contains(&part) => closed(item, 0.0),
            ElementKind::Contactor(c) if state.pulled[item] != c.normally_closed => {
                closed(item + 1, 0.0)
            }
            ElementKind::FuseWay(_) => {
                let fuse = robot.parts[part.0].fuses.get(&element.name);
                if let Some(fuse) = fuse.and_then(|t| robot.types[t.0].fuse.as_ref()) {
                    closed(item, fuse.cold.0);
                }
            }
            ElementKind::Resistor(_) | ElementKind::Protection(_) => closed(item, 0.0),
            ElementKind::SlipRing(s) => (0..s.circuits.len()).for_each(|c| closed(item + c, 0.0)),
            ElementKind::Diode(d) => {
                let Device::Diode { a, b, saturation_a, slope_v, .. } =
                    self.ground.circuit.template.items[item].device
                else {
                    return;
                };
                out.push(Path {
                    a,
                    b,
                    ohms: d.series.0,
                    henries: ELEMENT_HENRIES,
                    emf_v: 0.0,
                    special: Some(Special::Diode { saturation_a, slope_v }),
                    sense: 1.0,
                    items: vec![(item, 1.0)],
                });
            }
            _ => {}
        }
    }
}

fn capacitors(ground: &Ground<'_>) -> Vec<Cap> {
    let mut caps = Vec::new();
    for (part, e, _) in elements(&ground.circuit) {
        let (plus, minus, farads, esr, limit_v) = match &ground.robot.type_of(part).elements[e].kind {
            ElementKind::Capacitor(c) => {
                (c.plus, c.minus, Some(c.farads.0), Some(c.esr.0), Some(c.voltage.0))
            }
            ElementKind::Driver(d) => {
                (d.plus, d.minus, d.capacitance.map(|c| c.0), None, Some(d.absolute_max.0))
            }
            ElementKind::Converter(c) => {
                (c.in_plus, c.in_minus, c.input_capacitance.map(|c| c.0), None, Some(c.absolute_max.0))
            }
            ElementKind::Load(l) if l.law != LoadLaw::Resistance || l.capacitance.is_some() => {
                (l.plus, l.minus, l.capacitance.map(|c| c.0), None, Some(l.damage.0))
            }
            _ => continue,
        };
        let (assumed, farads) = (farads.is_none(), farads.unwrap_or(ASSUMED_FARADS));
        if farads <= 0.0 {
            continue;
        }
        let esr_ohm = esr.unwrap_or((ESR_TIME / farads).clamp(LEAST_ESR, MOST_ESR));
        caps.push(Cap {
            used: CapacitorUsed { part, farads, esr_ohm, assumed },
            plus: ground.circuit.local(part, plus),
            minus: ground.circuit.local(part, minus),
            limit_v,
        });
    }
    caps
}
