//! What opens, when, and how warm it gets until then.

use super::bases::{Bases, Solved};
use super::types::*;
use crate::faults::Ground;
use crate::fuse::curve::{fastest, slowest, surely_opens};
use crate::fuse::withstand::{Surroundings, surroundings};
use crate::heat::wire::{self, Conductor};
use crate::operate::elements;
use loomdeck_model::element::{ElementKind, Fuse, Shorted};
use loomdeck_model::wire::COPPER_ZERO;
use loomdeck_model::{PartId, WireId};

/// Share of the short's current from which a device counts as carrying it.
pub const CARRIES: f64 = 0.8;
/// Up to here a short may take insulation to its short-circuit limit, and heating counts as adiabatic
/// (IEC 60364-4-43, 434.5.2: up to 5 s).
pub const BRIEF: f64 = 5.0;
/// A converter or charger whose output reaches this share of its limit holds the short there.
const AT_LIMIT: f64 = 0.99;

/// A fuse in its way.
pub struct Way<'a> {
    /// The part.
    pub part: PartId,
    /// The element's name.
    pub name: &'a str,
    /// Its item.
    pub item: usize,
    /// Its nodes.
    pub nodes: (usize, usize),
    /// The fuse.
    pub fuse: &'a Fuse,
}

/// What judging needs of a robot, found once.
pub struct Judge<'a> {
    ground: &'a Ground<'a>,
    /// Fuses.
    pub ways: Vec<Way<'a>>,
    /// Where each wire lies.
    pub around: Vec<Surroundings>,
}

impl<'a> Judge<'a> {
    /// Prepares.
    pub fn of(ground: &'a Ground<'a>) -> Self {
        let (robot, circuit) = (ground.robot, &ground.circuit);
        let ways = elements(circuit)
            .filter_map(|(part, e, item)| {
                let element = &robot.type_of(part).elements[e];
                let ElementKind::FuseWay(way) = &element.kind else { return None };
                let fuse = robot.parts[part.0].fuses.get(&element.name)?;
                let fuse = robot.types[fuse.0].fuse.as_ref()?;
                let nodes = (circuit.local(part, way.a), circuit.local(part, way.b));
                Some(Way { part, name: &element.name, item, nodes, fuse })
            })
            .collect();
        let around = (0..robot.wires.len())
            .map(|w| surroundings(robot, &ground.wires, &ground.power.situations, WireId(w)))
            .collect();
        Self { ground, ways, around }
    }

    /// What a solved short comes to at one state of charge.
    pub fn case(&self, bases: &Bases<'_>, solved: &Solved, charge: f64) -> Case {
        let current_a = solved.short.current.abs();
        let sources = self.sources(bases, solved);
        let opens = self.opens(bases, solved, current_a);
        let (first, last) = ends(&opens, current_a);
        let square = current_a * current_a;
        let let_through_a2s = first.zip(last).map(|(f, l)| (square * f, square * l));
        Case { charge_percent: 100.0 * charge, current_a, sources, opens, let_through_a2s }
    }

    fn sources(&self, bases: &Bases<'_>, solved: &Solved) -> Vec<Share> {
        let mut all: Vec<Share> = elements(&self.ground.circuit)
            .filter_map(|(part, e, item)| match &self.ground.robot.type_of(part).elements[e].kind {
                ElementKind::Battery(_) | ElementKind::Converter(_) | ElementKind::Charger(_) => {
                    let current_a = bases.current(solved, item);
                    (current_a > 0.01 * solved.short.current.abs().max(0.1))
                        .then_some(Share { part, current_a })
                }
                _ => None,
            })
            .collect();
        all.sort_by(|a, b| b.current_a.total_cmp(&a.current_a).then(a.part.cmp(&b.part)));
        all
    }

    /// Devices that end the short or hold it, soonest first, until they carry all of it.
    fn opens(&self, bases: &Bases<'_>, solved: &Solved, total: f64) -> Vec<Opening> {
        let robot = self.ground.robot;
        let mut all: Vec<Opening> = Vec::new();
        for way in &self.ways {
            let current_a = bases.current(solved, way.item).abs();
            let rating_a = way.fuse.rating.0;
            let multiple = current_a / rating_a;
            let finite = |t: f64| t.is_finite().then_some(t);
            let slow = finite(slowest(&way.fuse.curve, multiple));
            if slow.is_some() && bases.change(solved, way.item) > 0.05 * total {
                all.push(Opening {
                    part: way.part,
                    element: way.name.to_owned(),
                    what: Opens::Fuse,
                    rating_a,
                    current_a,
                    fastest_s: finite(fastest(&way.fuse.curve, multiple)),
                    slowest_s: slow,
                });
            }
        }
        all.sort_by(|a, b| {
            let time = |o: &Opening| o.slowest_s.unwrap_or(f64::INFINITY);
            time(a).total_cmp(&time(b)).then(a.part.cmp(&b.part)).then(a.element.cmp(&b.element))
        });
        let mut carried = 0.0;
        all.retain(|o| {
            let needed = carried < 0.95 * total;
            carried += o.current_a;
            needed
        });
        for (part, e, item) in elements(&self.ground.circuit) {
            let element = &robot.type_of(part).elements[e];
            let current_a = bases.current(solved, item);
            let (what, rating_a) = match &element.kind {
                ElementKind::Protection(p) if current_a > p.discharge_limit.0 => {
                    (Opens::Protection, p.discharge_limit.0)
                }
                ElementKind::Converter(c) if current_a >= AT_LIMIT * c.limit.0 => {
                    (if c.shorted == Shorted::Trips { Opens::Trip } else { Opens::Limit }, c.limit.0)
                }
                ElementKind::Charger(c) if current_a >= AT_LIMIT * c.current.0 => {
                    (Opens::Limit, c.current.0)
                }
                _ => continue,
            };
            if current_a.abs() > 0.05 * total {
                let element = element.name.clone();
                let (fastest_s, slowest_s) = (None, None);
                all.push(Opening { part, element, what, rating_a, current_a, fastest_s, slowest_s });
            }
        }
        all
    }

    /// Why a short that nothing ends flows on.
    pub fn never(&self, bases: &Bases<'_>, solved: &Solved, case: &Case) -> Option<Never> {
        let ends_it = |o: &&Opening| matches!(o.what, Opens::Fuse | Opens::Protection | Opens::Trip);
        let ended: f64 = case.opens.iter().filter(ends_it).map(|o| o.current_a).sum();
        if ended >= CARRIES * case.current_a {
            return None;
        }
        let limit = case.opens.iter().find(|o| o.what == Opens::Limit);
        if let Some(limit) = limit.filter(|l| l.current_a >= 0.5 * case.current_a) {
            return Some(Never::Limited { part: limit.part, limit_a: limit.rating_a });
        }
        let carries = |w: &&Way<'_>| bases.change(solved, w.item) >= CARRIES * case.current_a;
        let smallest = self.ways.iter().filter(carries).min_by(|a, b| {
            let least = |w: &Way<'_>| w.fuse.rating.0 * surely_opens(&w.fuse.curve);
            least(a).total_cmp(&least(b))
        });
        Some(match smallest {
            Some(way) => Never::TooSmall {
                part: way.part,
                way: way.name.to_owned(),
                rating_a: way.fuse.rating.0,
                surely_a: way.fuse.rating.0 * surely_opens(&way.fuse.curve),
            },
            None => Never::Unfused,
        })
    }

    /// The conductor that comes closest to its limit by the slowest opening (`None`: for ever).
    pub fn hottest(&self, bases: &Bases<'_>, solved: &Solved, time: Option<f64>) -> Option<Hot> {
        let currents = self.wire_currents(bases, solved);
        // How far along the way from its start to its limit a conductor is, without loss.
        let share = |w: usize| {
            let (c, around) = (&self.ground.wires.conductors[w], &self.around[w]);
            let lasts = time.unwrap_or(1e4);
            let limit = limit_for(around, time);
            let heat = currents[w] * currents[w] * c.cold * lasts / c.capacity_after(lasts);
            heat / ((COPPER_ZERO + 20.0) * ((COPPER_ZERO + limit) / (COPPER_ZERO + around.start)).ln())
        };
        let items = &self.ground.circuit.wire_item;
        let carry = (0..currents.len())
            .filter(|&w| bases.change(solved, items[w]) > 0.1 * solved.short.current.abs());
        let worst = carry.max_by(|&a, &b| share(a).total_cmp(&share(b)))?;
        Some(self.hot(WireId(worst), currents[worst], time))
    }

    /// Every wire with its item.
    pub fn wires(&self) -> impl Iterator<Item = (WireId, usize)> {
        self.ground.circuit.wire_item.iter().enumerate().map(|(wire, &item)| (WireId(wire), item))
    }

    /// Currents of the wires in a short, without sign.
    pub fn wire_currents(&self, bases: &Bases<'_>, solved: &Solved) -> Vec<f64> {
        let items = self.ground.circuit.wire_item.iter();
        items.map(|&item| bases.current(solved, item).abs()).collect()
    }

    /// A wire after a current for a time (`None`: for ever).
    pub fn hot(&self, id: WireId, current: f64, time: Option<f64>) -> Hot {
        let (conductor, around) = (&self.ground.wires.conductors[id.0], &self.around[id.0]);
        let Surroundings { air, bundles, start, .. } = around;
        let reaches_c = match time {
            None => wire::steady(conductor, current, *air, bundles).map(|s| s.inside),
            Some(t) => Some(wire::after(conductor, current, *air, bundles, *start, t))
                .filter(|&c| c < wire::HOTTEST),
        };
        let adiabatic_c = time
            .filter(|&t| t <= BRIEF)
            .and_then(|t| Some(adiabatic(conductor, current, *start, t)).filter(|&c| c < 1000.0));
        Hot {
            wire: id,
            current_a: current,
            time_s: time,
            start_c: *start,
            reaches_c,
            adiabatic_c,
            limit_c: limit_for(around, time),
        }
    }

    /// Switches, contactors, slip rings, contacts and bus bars beyond their rating.
    pub fn strained(&self, bases: &Bases<'_>, solved: &Solved) -> Vec<Strained> {
        let (robot, circuit) = (self.ground.robot, &self.ground.circuit);
        let mut all = Vec::new();
        let mut push = |what: String, current_a: f64, rating_a: f64| {
            if current_a > rating_a {
                all.push(Strained { what, current_a, rating_a });
            }
        };
        for (part, e, item) in elements(circuit) {
            let name = || robot.parts[part.0].name.clone();
            let through = |item: usize| bases.current(solved, item).abs();
            match &robot.type_of(part).elements[e].kind {
                ElementKind::Switch(s) => {
                    push(name(), through(item), s.make_break.unwrap_or(s.rating).0)
                }
                ElementKind::Contactor(c) => {
                    push(name(), through(item + 1), c.make_break.unwrap_or(c.rating).0);
                }
                ElementKind::SlipRing(s) => {
                    for n in 0..s.circuits.len() {
                        push(format!("{} circuit {}", name(), n + 1), through(item + n), s.rating.0);
                    }
                }
                _ => {}
            }
        }
        for (&(plug, contact), &item) in &circuit.contact_item {
            if let Some(family) = robot.family_of(plug) {
                let name = format!("{} contact {contact}", robot.plugs[plug.0].name);
                push(name, bases.current(solved, item).abs(), family.rating.0);
            }
        }
        all
    }
}

/// When the first and the last device needed have opened: soonest and latest.
pub fn ends(opens: &[Opening], total: f64) -> (Option<f64>, Option<f64>) {
    let fuses = || opens.iter().filter(|o| o.what == Opens::Fuse);
    let carried: f64 = fuses().map(|o| o.current_a).sum();
    if carried < CARRIES * total {
        return (None, None);
    }
    let most = |time: fn(&Opening) -> Option<f64>| {
        fuses().map(time).try_fold(0.0f64, |m, t| t.map(|t| m.max(t)))
    };
    (most(|o| o.fastest_s), most(|o| o.slowest_s))
}

/// What insulation bears: its short-circuit limit up to 5 s, beyond that the lasting one.
fn limit_for(around: &Surroundings, time: Option<f64>) -> f64 {
    if time.is_some_and(|t| t <= BRIEF) { around.short_limit } else { around.limit }
}

/// Temperature of a conductor that keeps all its heat in the copper: I²·R₂₀·t per metre over the copper's
/// capacity, with R ∝ 234.5 + T (IEC 60949, adiabatic; IEC 60364-5-54, annex A, is the same with its k).
pub fn adiabatic(conductor: &Conductor, current: f64, start: f64, time: f64) -> f64 {
    let slope = current * current * conductor.cold / (COPPER_ZERO + 20.0);
    (COPPER_ZERO + start) * (slope * time / conductor.copper_capacity).exp() - COPPER_ZERO
}
