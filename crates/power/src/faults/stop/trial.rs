//! One stop tried: the network with a switch open, a plug pulled or a coil cut, and what is still alive.

use super::types::*;
use crate::circuit::{Alteration, Circuit};
use crate::faults::Ground;
use crate::faults::motion::drag::{Coast, Drag, gravity, rolling, steepest};
use crate::faults::motion::push::{Bench, settled};
use crate::faults::motion::{drag_at, open_force};
use crate::operate::{Solution, across, elements};
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::MetresPerSecond;
use loomdeck_model::{MovedBy, PartId, Robot, Situation};
use std::collections::BTreeSet;

/// Stretches into which the speeds of coasting are cut.
const STRETCHES: usize = 8;

/// Current below which motors count as giving nothing, A.
const GIVES: f64 = 0.01;

/// Everything that can move.
pub fn movers(robot: &Robot) -> Vec<Mover> {
    (0..robot.parts.len())
        .map(PartId)
        .filter_map(|part| {
            let kind = robot.type_of(part);
            let motor = kind.elements.iter().find_map(|e| match &e.kind {
                ElementKind::Motor(m) => Some(m.wheel.is_some()),
                _ => None,
            });
            (motor.is_some() || kind.moves).then(|| Mover {
                part,
                name: robot.parts[part.0].name.clone(),
                wheel: motor == Some(true),
                motor: motor.is_some(),
            })
        })
        .collect()
}

/// What a solution says is alive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Alive {
    /// Movers that can move.
    pub movers: BTreeSet<PartId>,
    /// Other consumers that have their supply.
    pub others: BTreeSet<PartId>,
}

/// A circuit with the switches of a stop.
pub struct Tried<'a> {
    pub robot: &'a Robot,
    pub circuit: &'a Circuit,
    pub situation: Situation,
    pub ohms: &'a [f64],
}

impl Tried<'_> {
    /// Solved with every motor let go, at rest.
    pub fn at_rest(&self) -> Solution {
        let still = Situation {
            speed: MetresPerSecond(0.0),
            motors: std::collections::BTreeMap::new(),
            moved_by: MovedBy::Motors,
            ..self.situation.clone()
        };
        settled(self.robot, self.circuit, &still, self.ohms)
    }

    /// What is alive in it.
    pub fn alive(&self, s: &Solution, movers: &[Mover]) -> Alive {
        let (robot, circuit) = (self.robot, self.circuit);
        let moving: BTreeSet<PartId> = movers.iter().map(|m| m.part).collect();
        let mut alive = Alive::default();
        for (part, e, item) in elements(circuit) {
            let at = |n| circuit.local(part, n);
            let has = |plus, minus, least: f64| {
                across(s, at(plus), at(minus)).is_some_and(|v| v >= least && v > 0.1)
            };
            let lives = match &robot.type_of(part).elements[e].kind {
                ElementKind::Motor(m) => {
                    let note = s.ready.motors.iter().find(|n| n.item == item);
                    match note.and_then(|n| n.channel).and_then(|c| circuit.element_of(c)) {
                        Some((driver, d)) => {
                            s.states.running[circuit.element_item[driver.0][d]]
                                && self.driver_fed(s, driver, d)
                        }
                        None => across(s, at(m.a), at(m.b)).is_some_and(|v| v.abs() > 0.1 * m.nominal.0),
                    }
                }
                ElementKind::Driver(d) => s.states.running[item] && has(d.plus, d.minus, d.window_low.0),
                ElementKind::Converter(c) => {
                    s.states.running[item] && has(c.in_plus, c.in_minus, c.window_low.0)
                }
                ElementKind::Load(l) => has(l.plus, l.minus, l.brown_out.0),
                _ => continue,
            };
            if lives && moving.contains(&part) {
                alive.movers.insert(part);
            } else if lives {
                alive.others.insert(part);
            }
        }
        alive
    }

    fn driver_fed(&self, s: &Solution, part: PartId, e: usize) -> bool {
        match &self.robot.type_of(part).elements[e].kind {
            ElementKind::Driver(d) => {
                let (plus, minus) =
                    (self.circuit.local(part, d.plus), self.circuit.local(part, d.minus));
                across(s, plus, minus).is_some_and(|v| v >= d.window_low.0)
            }
            _ => false,
        }
    }

    /// Whether a driver that has lost its supply still has a battery's positive side on its own.
    pub fn return_only(&self, s: &Solution) -> bool {
        let (robot, circuit) = (self.robot, self.circuit);
        let minus: Vec<usize> = elements(circuit)
            .filter_map(|(p, e, _)| match &robot.type_of(p).elements[e].kind {
                ElementKind::Battery(b) => Some(circuit.local(p, b.minus)),
                _ => None,
            })
            .collect();
        elements(circuit).any(|(part, e, item)| {
            let ElementKind::Driver(d) = &robot.type_of(part).elements[e].kind else { return false };
            let plus = circuit.local(part, d.plus);
            !s.states.running[item]
                && minus.iter().any(|&m| across(s, plus, m).is_some_and(|v| v >= d.window_low.0))
        })
    }

    /// Drag while nobody drives, and what the motors do from a speed: amperes and highest supply.
    pub fn drag(&self, speed: f64) -> (Drag, f64, f64) {
        let hand = Situation { moved_by: MovedBy::Hand, slope: 0.0, ..self.situation.clone() };
        let mut bench = Bench::of(self.robot, self.circuit, &hand, self.ohms);
        let start = bench.at(speed);
        let given: f64 = bench.given(&start).iter().map(|i| i.abs()).sum();
        let bus = elements(self.circuit)
            .filter_map(|(p, e, _)| match &self.robot.type_of(p).elements[e].kind {
                ElementKind::Driver(d) => {
                    across(&start, self.circuit.local(p, d.plus), self.circuit.local(p, d.minus))
                }
                _ => None,
            })
            .fold(0.0, f64::max);
        // Down a slope it may get faster than it was driven.
        let fastest = if steepest(self.robot) > 0.0 {
            speed.max(2.0 * self.robot.limits.push_speed.0)
        } else {
            speed
        };
        let end = bench.at(fastest);
        let drag = if bench.given(&end).iter().map(|i| i.abs()).sum::<f64>() < GIVES {
            let f = open_force(self.robot);
            Drag { points: vec![(0.0, f), (fastest, f)] }
        } else {
            drag_at(&mut bench, fastest, STRETCHES)
        };
        (drag, given, bus)
    }
}

/// Coasting on the level and down the steepest slope.
pub fn coasting(robot: &Robot, drag: &Drag, speed: f64) -> (Option<Coast>, Option<Coast>) {
    let Some(mass) = robot.motion.mass else { return (None, None) };
    let flat = drag.coast(mass.0, 0.0, speed);
    let slope = steepest(robot);
    let (pull, share) = gravity(robot, slope);
    let lighter = rolling(robot) * (1.0 - share);
    (Some(flat), (slope > 0.0).then(|| drag.coast(mass.0, pull + lighter, speed)))
}

/// Contactors whose coil pulls: part, coil item, contact's nodes, resistance.
pub fn pulled(ground: &Ground<'_>, s: &Solution) -> Vec<(PartId, usize, (usize, usize), f64)> {
    let (robot, circuit) = (ground.robot, &ground.circuit);
    elements(circuit)
        .filter_map(|(part, e, item)| match &robot.type_of(part).elements[e].kind {
            ElementKind::Contactor(c) if s.states.pulled[item] && !c.normally_closed => {
                let ends = (circuit.local(part, c.a), circuit.local(part, c.b));
                Some((part, item, ends, c.closed.0))
            }
            _ => None,
        })
        .collect()
}

/// The network with a contact welded.
pub fn welded(ground: &Ground<'_>, ends: (usize, usize), ohms: f64) -> Circuit {
    ground.circuit.altered(ground.robot, &[Alteration::Join { a: ends.0, b: ends.1, ohms }])
}
