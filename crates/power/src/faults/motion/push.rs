//! Pushed by hand: the network solved with the wheels turning, at one speed after another.

use super::drag::{rim_force, rolling, wheels};
use super::types::*;
use crate::circuit::values::Level;
use crate::circuit::{Alteration, Circuit};
use crate::faults::Ground;
use crate::operate::{self, Solution, across, elements, item_current};
use loomdeck_model::element::{Activity, ElementKind};
use loomdeck_model::units::{Amperes, MetresPerSecond, Seconds};
use loomdeck_model::{MovedBy, PartId, Robot, Situation, SituationActivity};
use std::collections::BTreeSet;

/// Stretches into which the speeds from standing to the fastest push are cut.
const STRETCHES: usize = 8;

/// The same with a charger on: only the voltage it holds differs.
const FEWER: usize = 4;

/// Rounds in which the speed of a limit is narrowed down within one stretch.
const ROUNDS: usize = 4;

/// Current that tells the way of the motors' current from rounding, A.
const FLOWS: f64 = 0.05;

/// A position of the switches.
#[derive(Clone, Debug)]
pub struct Position {
    /// Its name.
    pub name: String,
    /// Its situation, moved by hand.
    pub situation: Situation,
}

/// A situation in which something is driven.
pub fn driven(s: &Situation) -> bool {
    s.moved_by == MovedBy::Motors && (s.speed.0 != 0.0 || !s.motors.is_empty())
}

/// The positions to look at: all switches off, and on as in the first situation that drives; each with
/// the chargers out and in; and the situations of the files that are moved by hand.
pub fn positions(robot: &Robot) -> Vec<Position> {
    let mut all: Vec<Position> = Vec::new();
    let Some(first) = robot.situations.first() else { return all };
    let charge = robot.situations.iter().map(|s| s.charge).fold(0.0, f64::max);
    let chargers: BTreeSet<PartId> = elements_of(robot, |k| matches!(k, ElementKind::Charger(_)));
    let still = Situation {
        closed: BTreeSet::new(),
        unplugged: BTreeSet::new(),
        powered: BTreeSet::new(),
        charge,
        slope: 0.0,
        moved_by: MovedBy::Hand,
        motors: std::collections::BTreeMap::new(),
        ..first.clone()
    };
    let mut push = |name: &str, situation: Situation| {
        let same = |p: &Position| {
            let s = &p.situation;
            (&s.closed, &s.unplugged, &s.powered)
                == (&situation.closed, &situation.unplugged, &situation.powered)
        };
        if !all.iter().any(same) {
            all.push(Position { name: name.to_owned(), situation });
        }
    };
    let on = robot.situations.iter().find(|s| driven(s)).or_else(|| {
        robot.situations.iter().max_by_key(|s| s.closed.len()).filter(|s| !s.closed.is_empty())
    });
    push("switched off", still.clone());
    if let Some(on) = on {
        let on =
            Situation { closed: on.closed.clone(), unplugged: on.unplugged.clone(), ..still.clone() };
        push("switched on", on.clone());
        if !chargers.is_empty() {
            push("switched on, charging", Situation { powered: chargers.clone(), ..on });
        }
    }
    if !chargers.is_empty() {
        push("switched off, charging", Situation { powered: chargers, ..still });
    }
    for s in robot.situations.iter().filter(|s| s.moved_by == MovedBy::Hand && s.speed.0 != 0.0) {
        push(&s.name, s.clone());
    }
    all
}

fn elements_of(robot: &Robot, takes: impl Fn(&ElementKind) -> bool) -> BTreeSet<PartId> {
    (0..robot.parts.len())
        .map(PartId)
        .filter(|&p| robot.type_of(p).elements.iter().any(|e| takes(&e.kind)))
        .collect()
}

/// One network in one position, to be solved at any speed.
pub struct Bench<'a> {
    robot: &'a Robot,
    circuit: &'a Circuit,
    situation: Situation,
    ohms: &'a [f64],
}

impl<'a> Bench<'a> {
    /// Of a position.
    pub fn of(robot: &'a Robot, circuit: &'a Circuit, situation: &Situation, ohms: &'a [f64]) -> Self {
        Self { robot, circuit, situation: situation.clone(), ohms }
    }

    /// Solved at a speed.
    pub fn at(&mut self, speed: f64) -> Solution {
        self.situation.speed = MetresPerSecond(speed);
        settled(self.robot, self.circuit, &self.situation, self.ohms)
    }

    /// Current each wheel's motor gives.
    pub fn given(&self, solution: &Solution) -> Vec<f64> {
        let items = wheels(self.robot);
        items
            .iter()
            .map(|&(p, e, _)| -item_current(self.circuit, solution, self.circuit.element_item[p.0][e]))
            .collect()
    }

    /// Force at the rims, rolling included.
    pub fn force(&self, solution: &Solution) -> f64 {
        let given = self.given(solution);
        let rims = wheels(self.robot).iter().zip(&given).map(|(w, &i)| rim_force(w.2, i)).sum::<f64>();
        rims + rolling(self.robot)
    }

    /// Current into all batteries.
    pub fn charging(&self, solution: &Solution) -> f64 {
        batteries(self.robot, self.circuit)
            .iter()
            .map(|&item| -item_current(self.circuit, solution, item))
            .fold(0.0, |most: f64, i| if i.abs() > most.abs() { i } else { most })
    }

    fn voltage(&self, solution: &Solution, gauge: &Gauge) -> f64 {
        across(solution, gauge.plus, gauge.minus).unwrap_or(0.0)
    }
}

/// Solved with the consumers on, or off where their source cannot carry them: a converter on a weak
/// source switches itself off and on, and what is off leaves the voltage higher and the drag lower, which
/// is the careful side of both.
pub fn settled(robot: &Robot, circuit: &Circuit, situation: &Situation, ohms: &[f64]) -> Solution {
    let solve = |s: &Situation| operate::from_nothing(circuit, robot, s, Level::Mean, ohms);
    let found = solve(situation);
    if found.end.is_none() {
        return found;
    }
    let mut quiet = situation.clone();
    for part in elements_of(robot, |k| matches!(k, ElementKind::Load(_))) {
        let nothing = Activity {
            name: String::new(),
            mean: Amperes(0.0),
            rms: Amperes(0.0),
            peak: Amperes(0.0),
            peak_time: Seconds(0.0),
        };
        quiet.activity.insert(part, SituationActivity::Own(nothing));
    }
    let again = solve(&quiet);
    if again.end.is_none() { again } else { found }
}

/// Items of the batteries.
pub fn batteries(robot: &Robot, circuit: &Circuit) -> Vec<usize> {
    elements(circuit)
        .filter(|&(p, e, _)| matches!(robot.type_of(p).elements[e].kind, ElementKind::Battery(_)))
        .map(|(_, _, item)| item)
        .collect()
}

/// The network without its batteries.
pub fn without_batteries(robot: &Robot, circuit: &Circuit) -> Circuit {
    let cuts: Vec<Alteration> =
        batteries(robot, circuit).into_iter().map(|item| Alteration::Cut { item }).collect();
    circuit.altered(robot, &cuts)
}

/// Two nodes between which a voltage has a limit.
#[derive(Clone, Debug)]
pub struct Gauge {
    part: PartId,
    plus: usize,
    minus: usize,
    /// What it bears, with its word.
    limit: f64,
    word: &'static str,
    /// From here on it lives.
    wakes: f64,
    driver: bool,
}

/// Everything that bears only so much.
fn gauges(robot: &Robot, circuit: &Circuit) -> Vec<Gauge> {
    let mut all = Vec::new();
    for (part, e, _) in elements(circuit) {
        let at = |n| circuit.local(part, n);
        let (plus, minus, limit, word, wakes, driver) = match &robot.type_of(part).elements[e].kind {
            ElementKind::Driver(d) => {
                (at(d.plus), at(d.minus), d.absolute_max.0, "absolute maximum", d.window_low.0, true)
            }
            ElementKind::Converter(c) => {
                let low = c.window_low.0;
                (at(c.in_plus), at(c.in_minus), c.absolute_max.0, "absolute maximum", low, false)
            }
            ElementKind::Load(l) => {
                (at(l.plus), at(l.minus), l.damage.0, "damage voltage", l.brown_out.0, false)
            }
            ElementKind::Meter(m) => {
                (at(m.plus), at(m.minus), m.voltage.0, "highest voltage", f64::INFINITY, false)
            }
            ElementKind::Capacitor(c) => {
                (at(c.plus), at(c.minus), c.voltage.0, "rated voltage", f64::INFINITY, false)
            }
            _ => continue,
        };
        all.push(Gauge { part, plus, minus, limit, word, wakes, driver });
    }
    all
}

/// What a sweep starts from.
pub struct Sweep<'a, 'g> {
    /// The ground.
    pub ground: &'g Ground<'a>,
    /// The network.
    pub circuit: &'g Circuit,
    /// Its resistances.
    pub ohms: &'g [f64],
    /// Batteries take part.
    pub with_battery: bool,
}

impl Sweep<'_, '_> {
    /// Pushed at all speeds in a position.
    pub fn push(&self, position: &Position) -> Push {
        let robot = self.ground.robot;
        let fastest = robot.limits.push_speed.0;
        let mut bench = Bench::of(robot, self.circuit, &position.situation, self.ohms);
        let stretches = if position.situation.powered.is_empty() { STRETCHES } else { FEWER };
        let speeds: Vec<f64> = (0..=stretches).map(|i| fastest * i as f64 / stretches as f64).collect();
        let solved: Vec<Solution> = speeds.iter().map(|&v| bench.at(v)).collect();
        let (rest, end) = (&solved[0], &solved[stretches]);
        let mass = robot.motion.mass.map(|m| m.0);
        let idle = bench.charging(rest);
        let points = speeds
            .iter()
            .zip(&solved)
            .map(|(&speed_m_s, s)| {
                let force_n = bench.force(s);
                PushPoint {
                    speed_m_s,
                    force_n,
                    deceleration_m_s2: mass.map(|m| force_n / m),
                    generated_a: bench.given(s).iter().sum(),
                    into_battery_a: bench.charging(s) - idle,
                }
            })
            .collect();
        let gauges = gauges(robot, self.circuit);
        let mut victims = Vec::new();
        let mut wakes = Vec::new();
        for g in &gauges {
            let volts: Vec<f64> = solved.iter().map(|s| bench.voltage(s, g)).collect();
            let name = robot.parts[g.part.0].name.clone();
            let reached_v = volts[stretches];
            if let Some(at_m_s) = self.passes(&mut bench, g, &speeds, &volts) {
                let (part, limit, limit_v, driver) = (g.part, g.word, g.limit, g.driver);
                let name = name.clone();
                victims.push(Victim { part, name, limit, limit_v, at_m_s, reached_v, driver });
            }
            let woken = speeds.iter().zip(&volts).find(|(_, v)| **v >= g.wakes);
            if let Some((&at_m_s, _)) = woken.filter(|w| *w.0 > 0.0) {
                wakes.push(Wake { part: g.part, name, at_m_s, reached_v, driver: g.driver });
            }
        }
        victims.sort_by(|a, b| a.at_m_s.total_cmp(&b.at_m_s).then(a.part.cmp(&b.part)));
        wakes.sort_by(|a, b| a.at_m_s.total_cmp(&b.at_m_s).then(a.part.cmp(&b.part)));
        Push {
            name: position.name.clone(),
            with_battery: self.with_battery,
            points,
            buses: self.buses(&bench, &speeds, &solved),
            victims,
            wakes,
            diodes: self.diodes(&position.situation, rest, end),
            way: self.way(rest, end),
            fuses: self.fuses(rest, end),
        }
    }

    /// Speed at which a limit is passed, when the motors pass it.
    fn passes(&self, bench: &mut Bench<'_>, g: &Gauge, speeds: &[f64], volts: &[f64]) -> Option<f64> {
        let at = volts.iter().position(|&v| v > g.limit).filter(|&i| i > 0)?;
        let (mut low, mut high) = ((speeds[at - 1], volts[at - 1]), (speeds[at], volts[at]));
        for _ in 0..ROUNDS {
            let middle = low.0 + (high.0 - low.0) * (g.limit - low.1) / (high.1 - low.1);
            let solved = bench.at(middle);
            let v = bench.voltage(&solved, g);
            if (v - g.limit).abs() < 1e-3 {
                return Some(middle);
            }
            if v > g.limit {
                high = (middle, v);
            } else {
                low = (middle, v);
            }
        }
        Some(low.0 + (high.0 - low.0) * (g.limit - low.1) / (high.1 - low.1))
    }

    fn buses(&self, bench: &Bench<'_>, speeds: &[f64], solved: &[Solution]) -> Vec<BusSeries> {
        let robot = self.ground.robot;
        gauges(robot, self.circuit)
            .iter()
            .filter(|g| g.driver)
            .map(|g| BusSeries {
                part: g.part,
                name: robot.parts[g.part.0].name.clone(),
                series: speeds.iter().zip(solved).map(|(&v, s)| (v, bench.voltage(s, g))).collect(),
                window_high_v: window_high(robot, g.part),
                absolute_max_v: g.limit,
            })
            .collect()
    }

    fn diodes(&self, situation: &Situation, rest: &Solution, end: &Solution) -> Vec<DiodeStress> {
        let (robot, circuit) = (self.ground.robot, self.circuit);
        let mut all = Vec::new();
        for (part, e, item) in elements(circuit) {
            let ElementKind::Diode(d) = &robot.type_of(part).elements[e].kind else { continue };
            let (a, c) = (circuit.local(part, d.anode), circuit.local(part, d.cathode));
            let current_a = item_current(circuit, end, item).max(0.0);
            let forward_v = across(end, a, c).map_or(0.0, |v| v.max(0.0));
            let air = robot.ambient(robot.parts[part.0].place, Some(situation)).0;
            let reverse = [rest, end].into_iter().filter_map(|s| across(s, c, a));
            all.push(DiodeStress {
                part,
                name: robot.parts[part.0].name.clone(),
                current_a,
                rating_a: d.rating.0,
                forward_v,
                junction_c: d.thermal_k_per_w.map(|k| air + k * current_a * forward_v),
                reverse_v: reverse.map(|v| v.max(0.0)).reduce(f64::max),
                reverse_limit_v: d.reverse.0,
            });
        }
        all
    }

    /// Wires whose current the motors change.
    fn way(&self, rest: &Solution, end: &Solution) -> Vec<WayWire> {
        let (robot, circuit) = (self.ground.robot, self.circuit);
        let unfused: BTreeSet<_> = self.ground.power.unfused.iter().map(|u| u.wire).collect();
        let mut all = Vec::new();
        for (w, &item) in circuit.wire_item.iter().enumerate() {
            let (was, is) = (item_current(circuit, rest, item), item_current(circuit, end, item));
            if (is - was).abs() > FLOWS {
                let wire = loomdeck_model::WireId(w);
                let name = robot.wires[w].name.clone();
                all.push(WayWire { wire, name, current_a: is.abs(), unfused: unfused.contains(&wire) });
            }
        }
        all
    }

    fn fuses(&self, rest: &Solution, end: &Solution) -> Vec<WayFuse> {
        let (robot, circuit) = (self.ground.robot, self.circuit);
        let mut all = Vec::new();
        for (part, e, item) in elements(circuit) {
            let element = &robot.type_of(part).elements[e];
            let fuse = robot.parts[part.0].fuses.get(&element.name);
            let Some(data) = fuse.and_then(|t| robot.types[t.0].fuse.as_ref()) else { continue };
            let (was, is) = (item_current(circuit, rest, item), item_current(circuit, end, item));
            if (is - was).abs() > FLOWS {
                let name = format!("{} {}", robot.parts[part.0].name, element.name);
                all.push(WayFuse { part, name, current_a: is.abs(), rating_a: data.rating.0 });
            }
        }
        all
    }
}

/// Highest supply at which a driver runs.
pub fn window_high(robot: &Robot, part: PartId) -> f64 {
    let of = |k: &ElementKind| match k {
        ElementKind::Driver(d) => Some(d.window_high.0),
        _ => None,
    };
    robot.type_of(part).elements.iter().find_map(|e| of(&e.kind)).unwrap_or(f64::INFINITY)
}
