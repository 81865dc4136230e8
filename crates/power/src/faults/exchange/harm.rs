//! What goes wrong in a network that does not go wrong in the robot as it is meant to be.

use super::scene::{NOTHING, Scene};
use super::types::{Harm, HarmKind};
use crate::circuit::CHANNEL_ITEMS;
use crate::circuit::motors::Wish;
use crate::faults::Ground;
use crate::fuse::curve::{fastest, slowest};
use crate::fuse::withstand::lasting_limit;
use crate::heat::wire;
use crate::operate::elements;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::{Amperes, Celsius, Seconds, Volts};
use loomdeck_model::wiring::Landing;
use loomdeck_model::{PartId, WireId};
use std::collections::BTreeSet;

/// How far the output of a converter may be lifted before it counts as pushed back, as a factor
/// (common practice, no source).
const LIFTED: f64 = 1.1;
/// A signal pin bears this much beyond its level when its type says nothing, V (common practice for
/// logic: supply plus 0.3 to 0.5 V).
pub const BEYOND: f64 = 0.5;
/// Share of its nominal voltage from which a motor turns (common practice, no source).
const TURNS: f64 = 0.05;

/// Compares a network with the one it should be.
pub struct Judge<'a> {
    /// The robot.
    pub ground: &'a Ground<'a>,
    /// As it should be.
    pub base: &'a Scene<'a>,
    /// As it is.
    pub case: &'a Scene<'a>,
}

impl Judge<'_> {
    /// What goes wrong, worst first.
    pub fn harms(&self) -> Vec<Harm> {
        let mut out = Vec::new();
        self.voltages(&mut out);
        self.motors(&mut out);
        self.bridges(&mut out);
        self.signals(&mut out);
        self.currents(&mut out);
        out.sort_by(|a, b| (a.kind, &a.name).cmp(&(b.kind, &b.name)));
        out.dedup_by(|b, a| a.kind == b.kind && a.name == b.name);
        out
    }

    /// Parts that are fed, or motors that turn, as it should be and not as it is.
    pub fn dark(&self) -> Vec<PartId> {
        let mut dark = BTreeSet::new();
        for (part, e, _) in elements(self.case.circuit) {
            let at = |n| self.case.circuit.local(part, n);
            let (plus, minus, low) = match &self.case.robot.type_of(part).elements[e].kind {
                ElementKind::Load(l) => (at(l.plus), at(l.minus), l.brown_out.0),
                ElementKind::Converter(c) => (at(c.in_plus), at(c.in_minus), c.window_low.0),
                ElementKind::Driver(d) => (at(d.plus), at(d.minus), d.window_low.0),
                _ => continue,
            };
            let lives = |scene: &Scene<'_>| scene.across(plus, minus).is_some_and(|v| v >= low);
            if lives(self.base) && !lives(self.case) {
                dark.insert(part);
            }
        }
        for (part, e, _) in elements(self.case.circuit) {
            let ElementKind::Motor(m) = &self.case.robot.type_of(part).elements[e].kind else {
                continue;
            };
            let (a, b) = (self.case.circuit.local(part, m.a), self.case.circuit.local(part, m.b));
            let turns =
                |scene: &Scene<'_>| scene.across(a, b).is_some_and(|v| v.abs() > TURNS * m.nominal.0);
            if turns(self.base) && !turns(self.case) {
                dark.insert(part);
            }
        }
        dark.into_iter().collect()
    }

    fn part_name(&self, part: PartId) -> String {
        self.case.robot.parts[part.0].name.clone()
    }

    fn harm(&self, kind: HarmKind, part: PartId, value: f64, limit: f64, text: String) -> Harm {
        let unit = if kind == HarmKind::TooMuchCurrent { "A" } else { "V" };
        let (name, situation) = (self.part_name(part), self.case.id);
        Harm { kind, name, part: Some(part), value, limit, unit, situation, text }
    }

    /// Too much voltage, the wrong way round, pushed back.
    fn voltages(&self, out: &mut Vec<Harm>) {
        for (part, e, _) in elements(self.case.circuit) {
            let kind = &self.case.robot.type_of(part).elements[e].kind;
            let at = |n| self.case.circuit.local(part, n);
            let (plus, minus, limit) = match kind {
                ElementKind::Load(l) => (at(l.plus), at(l.minus), l.damage),
                ElementKind::Converter(c) => (at(c.in_plus), at(c.in_minus), c.absolute_max),
                ElementKind::Driver(d) => (at(d.plus), at(d.minus), d.absolute_max),
                ElementKind::Meter(m) => (at(m.plus), at(m.minus), m.voltage),
                ElementKind::Capacitor(c) => (at(c.plus), at(c.minus), c.voltage),
                ElementKind::Contactor(c) => (at(c.coil_plus), at(c.coil_minus), c.coil_max),
                // A diode bears its reverse voltage from cathode to anode.
                ElementKind::Diode(d) => (at(d.cathode), at(d.anode), d.reverse),
                _ => continue,
            };
            let Some(v) = self.case.across(plus, minus) else { continue };
            let was = self.base.across(plus, minus).unwrap_or(0.0);
            let coil = matches!(kind, ElementKind::Contactor(_));
            let (v, was) = if coil { (v.abs(), was.abs()) } else { (v, was) };
            let name = self.part_name(part);
            if v > limit.0 && was <= limit.0 {
                let text = format!("{name} gets {:.1}; above {limit} it is destroyed.", Volts(v));
                out.push(self.harm(HarmKind::TooMuchVoltage, part, v, limit.0, text));
            }
            let one_way = !matches!(kind, ElementKind::Contactor(_) | ElementKind::Diode(_));
            if one_way && v < -NOTHING && was >= -NOTHING {
                let text = format!("{name} is fed the wrong way round: {:.1}.", Volts(v));
                out.push(self.harm(HarmKind::Reversed, part, v, 0.0, text));
            }
            if let ElementKind::Converter(c) = kind {
                self.pushed_back(part, at(c.out_plus), at(c.out_minus), c.output.0, out);
            }
        }
        self.moved_loads(out);
    }

    fn pushed_back(&self, part: PartId, plus: usize, minus: usize, made: f64, out: &mut Vec<Harm>) {
        let limit = made * LIFTED;
        let v = self.case.across(plus, minus).unwrap_or(0.0);
        let was = self.base.across(plus, minus).unwrap_or(0.0);
        let name = self.part_name(part);
        if v > limit && was <= limit {
            let text =
                format!("{:.1} push into the output of {name}, made for {:.1}.", Volts(v), Volts(made));
            out.push(self.harm(HarmKind::PushedBack, part, v, made, text));
        } else if v < -NOTHING && was >= -NOTHING {
            let text = format!("The output of {name} is pulled to {:.1}.", Volts(v));
            out.push(self.harm(HarmKind::PushedBack, part, v, 0.0, text));
        }
    }

    /// Parts that move something while they are fed, fed where they should not be.
    fn moved_loads(&self, out: &mut Vec<Harm>) {
        for (part, e, _) in elements(self.case.circuit) {
            let kind = self.case.robot.type_of(part);
            let ElementKind::Load(l) = &kind.elements[e].kind else { continue };
            let (plus, minus) =
                (self.case.circuit.local(part, l.plus), self.case.circuit.local(part, l.minus));
            let lives =
                |s: &Scene<'_>| s.across(plus, minus).filter(|&v| v >= l.brown_out.0 && v > NOTHING);
            if let (true, Some(v), None) = (kind.moves, lives(self.case), lives(self.base)) {
                let text = format!(
                    "{} is fed with {:.1} while it should be off, and moves.",
                    self.part_name(part),
                    Volts(v)
                );
                out.push(self.harm(HarmKind::MovesByItself, part, v, 0.0, text));
            }
        }
    }

    /// Motors that turn by themselves, on another's command, or the other way.
    fn motors(&self, out: &mut Vec<Harm>) {
        let note = |scene: &Scene<'_>, item| {
            scene.solution.ready.motors.iter().find(|n| n.item == item).copied()
        };
        for (part, e, item) in elements(self.case.circuit) {
            let ElementKind::Motor(m) = &self.case.robot.type_of(part).elements[e].kind else {
                continue;
            };
            let (a, b) = (self.case.circuit.local(part, m.a), self.case.circuit.local(part, m.b));
            let (Some(now), Some(then)) = (note(self.case, item), note(self.base, item)) else {
                continue;
            };
            let (v, was) =
                (self.case.across(a, b).unwrap_or(0.0), self.base.across(a, b).unwrap_or(0.0));
            let turns = |v: f64| v.abs() > TURNS * m.nominal.0;
            let name = self.part_name(part);
            match (now.channel, then.channel) {
                (Some(here), there) if there != Some(here) => {
                    let driver = self.case.circuit.element_of(here).map(|(p, _)| self.part_name(p));
                    let text = format!(
                        "{name} hangs on an output of {} that commands something else, and turns when that is asked for.",
                        driver.unwrap_or_default()
                    );
                    out.push(self.harm(HarmKind::WrongCommand, part, v, 0.0, text));
                }
                (Some(_), Some(_)) if turns(v) && turns(was) && v * was < 0.0 => {
                    let text = format!(
                        "{name} turns the other way: {:.1} where {:.1} is meant.",
                        Volts(v),
                        Volts(was)
                    );
                    out.push(self.harm(HarmKind::RunsBackwards, part, v, was, text));
                }
                // Turned by hand or by the wheels it gives a voltage of its own.
                (None, _)
                    if turns(v)
                        && !turns(was)
                        && !matches!(now.wish, Wish::Off { turned } if turned != 0.0) =>
                {
                    let text =
                        format!("{name} gets {:.1} that no driver commands, and turns.", Volts(v));
                    out.push(self.harm(HarmKind::MovesByItself, part, v, 0.0, text));
                }
                (None, Some(_))
                    if turns(v) && !matches!(now.wish, Wish::Off { turned } if turned != 0.0) =>
                {
                    let text = format!(
                        "{name} gets {:.1} straight from the supply, and nothing stops it.",
                        Volts(v)
                    );
                    out.push(self.harm(HarmKind::MovesByItself, part, v, 0.0, text));
                }
                _ => {}
            }
        }
    }

    /// Outputs of drivers that lie on a supply or on its return.
    fn bridges(&self, out: &mut Vec<Harm>) {
        let Some(sources) = poles(self.case) else { return };
        for (part, driver) in self.case.drivers() {
            for channel in &driver.channels {
                for node in [channel.a, channel.b].map(|n| self.case.circuit.local(part, n)) {
                    let lies = |scene: &Scene<'_>| {
                        sources.iter().find(|(pole, _)| scene.metal.joined(*pole, node))
                    };
                    if let (Some((_, of)), None) = (lies(self.case), lies(self.base)) {
                        let text = format!(
                            "An output of {} lies on a pole of {}: its transistors close a short circuit when it switches on, and it is good for {:.0}.",
                            self.part_name(part),
                            self.part_name(*of),
                            driver.peak
                        );
                        let of = self.harm(HarmKind::BridgeShorted, part, 0.0, driver.peak.0, text);
                        out.push(Harm { unit: "A", ..of });
                    }
                }
            }
        }
    }

    /// Signals that get a supply or another's level.
    fn signals(&self, out: &mut Vec<Harm>) {
        let robot = self.case.robot;
        let mut senders: Vec<(usize, PartId, f64)> = Vec::new();
        let ends = || {
            (0..robot.parts.len()).map(PartId).flat_map(|part| {
                let terminals = robot.type_of(part).terminals.iter().enumerate();
                terminals.filter_map(move |(i, t)| Some((part, i, t.signal?)))
            })
        };
        for (part, terminal, signal) in ends() {
            if signal.direction == loomdeck_model::part_type::SignalDirection::Output {
                let node = self.case.circuit.node(robot, Landing::Part { part, terminal });
                senders.push((node, part, signal.level.0));
            }
        }
        for (part, terminal, signal) in ends() {
            let node = self.case.circuit.node(robot, Landing::Part { part, terminal });
            let word = robot.landing_word(Landing::Part { part, terminal });
            let limit = signal.damage.map_or(signal.level.0 + BEYOND, |d| d.0);
            let direct = |scene: &Scene<'_>| scene.across(node, scene.ground(part)?);
            let (v, was) = (direct(self.case).unwrap_or(0.0), direct(self.base).unwrap_or(0.0));
            let beyond = |v: f64| v > limit || v < -NOTHING;
            if beyond(v) && !beyond(was) {
                let text = format!("{:.1} lie on {word}, which bears {:.1}.", Volts(v), Volts(limit));
                out.push(self.harm(HarmKind::SignalDriven, part, v, limit, text));
                continue;
            }
            let new = |s: &&(usize, PartId, f64)| {
                (s.0, s.1) != (node, part)
                    && self.case.metal.joined(s.0, node)
                    && !self.base.metal.joined(s.0, node)
            };
            let output = signal.direction == loomdeck_model::part_type::SignalDirection::Output;
            for (_, from, level) in senders.iter().filter(new) {
                if output && from < &part {
                    let text = format!(
                        "The outputs of {} and {} drive one wire.",
                        self.part_name(*from),
                        self.part_name(part)
                    );
                    out.push(self.harm(HarmKind::OutputsJoined, part, *level, signal.level.0, text));
                } else if !output && *level > limit {
                    let text = format!(
                        "{} sends {:.1} to {word}, which bears {:.1}.",
                        self.part_name(*from),
                        Volts(*level),
                        Volts(limit)
                    );
                    out.push(self.harm(HarmKind::SignalDriven, part, *level, limit, text));
                }
            }
        }
    }

    /// Wires, contacts, diodes and fuses that carry more than they bear.
    fn currents(&self, out: &mut Vec<Harm>) {
        let opens = self.fuses(out);
        for w in (0..self.case.robot.wires.len()).map(WireId) {
            out.extend(self.hot(w, opens));
        }
        for (part, e, item) in elements(self.case.circuit) {
            match &self.case.robot.type_of(part).elements[e].kind {
                ElementKind::Driver(d) => {
                    for (c, _) in d.channels.iter().enumerate() {
                        let first = item + 1 + c * CHANNEL_ITEMS;
                        for diode in 1..CHANNEL_ITEMS {
                            self.diode(part, first + diode, d.continuous, out);
                        }
                    }
                }
                ElementKind::Diode(d) => self.diode(part, item, d.rating, out),
                _ => {}
            }
        }
        if opens.is_some() {
            return;
        }
        for (&(plug, contact), &item) in &self.case.circuit.contact_item {
            let Some(family) = self.case.robot.family_of(plug) else { continue };
            let (i, was) = (self.case.current(item).abs(), self.base.current(item).abs());
            if i > family.rating.0 && was <= family.rating.0 {
                let name = self.case.robot.plugs[plug.0].name.clone();
                let text = format!(
                    "Contact {contact} of {name} carries {:.1}; it is good for {}.",
                    Amperes(i),
                    family.rating
                );
                let (value, limit, situation) = (i, family.rating.0, self.case.id);
                let kind = HarmKind::TooMuchCurrent;
                out.push(Harm { kind, name, part: None, value, limit, unit: "A", situation, text });
            }
        }
    }

    fn diode(&self, part: PartId, item: usize, rating: Amperes, out: &mut Vec<Harm>) {
        let (i, was) = (self.case.current(item), self.base.current(item));
        if i > rating.0 && was <= rating.0 {
            let text = format!(
                "{:.0} flow through a diode of {}, which is good for {rating}.",
                Amperes(i),
                self.part_name(part)
            );
            out.push(self.harm(HarmKind::TooMuchCurrent, part, i, rating.0, text));
        }
    }

    /// Fuses that open, with the time by which the first has.
    fn fuses(&self, out: &mut Vec<Harm>) -> Option<f64> {
        let robot = self.case.robot;
        let mut first: Option<(f64, Harm)> = None;
        for (part, e, item) in elements(self.case.circuit) {
            let element = &robot.type_of(part).elements[e];
            let ElementKind::FuseWay(_) = element.kind else { continue };
            let fuse = robot.parts[part.0].fuses.get(&element.name);
            let Some(fuse) = fuse.and_then(|t| robot.types[t.0].fuse.as_ref()) else { continue };
            let (i, was) = (self.case.current(item).abs(), self.base.current(item).abs());
            let late = slowest(&fuse.curve, i / fuse.rating.0);
            if !late.is_finite() || slowest(&fuse.curve, was / fuse.rating.0).is_finite() {
                continue;
            }
            let early = fastest(&fuse.curve, i / fuse.rating.0);
            let time = |s: f64| {
                if s < 0.995 { format!("{:.2}", Seconds(s)) } else { format!("{:.0}", Seconds(s)) }
            };
            let text = format!(
                "The {} fuse of {} ({}) carries {:.0} and opens within {} to {}.",
                fuse.rating,
                self.part_name(part),
                element.name,
                Amperes(i),
                time(early),
                time(late)
            );
            let harm =
                Harm { unit: "A", ..self.harm(HarmKind::FuseOpens, part, i, fuse.rating.0, text) };
            if first.as_ref().is_none_or(|f| late < f.0) {
                first = Some((late, harm));
            }
        }
        let (late, harm) = first?;
        out.push(harm);
        Some(late)
    }

    /// A wire that gets too hot before a fuse opens, if one does.
    fn hot(&self, w: WireId, opens: Option<f64>) -> Option<Harm> {
        let (i, was) = (self.case.currents[w.0].abs(), self.base.currents[w.0].abs());
        if i < 1.2 * was + 0.2 {
            return None;
        }
        let conductor = &self.ground.wires.conductors[w.0];
        let before = self.ground.power.situations.get(self.case.id.0)?.wires.get(w.0)?;
        let bundles = self.ground.wires.bundles_of(w, &self.case.currents);
        let limit = lasting_limit(self.case.robot, w).0;
        let settled = wire::steady(conductor, i, before.ambient.0, &bundles).map(|s| s.inside);
        if settled.is_some_and(|t| t <= limit) {
            return None;
        }
        let start = before.temperature.unwrap_or(before.ambient).0;
        let insulation = self.case.robot.wires[w.0].insulation;
        let (t, limit) = match opens {
            Some(time) => {
                let bound = if time <= 5.0 { insulation.short_circuit_limit().0 } else { limit };
                (wire::after(conductor, i, before.ambient.0, &bundles, start, time), bound)
            }
            None => (settled.unwrap_or(wire::HOTTEST), limit),
        };
        if t <= limit {
            return None;
        }
        let name = self.case.robot.wires[w.0].name.clone();
        let more = if settled.is_none() && opens.is_none() { "more than " } else { "" };
        let text = format!(
            "The wire {name} carries {:.0} and reaches {more}{:.0}; it bears {:.0}.",
            Amperes(i),
            Celsius(t),
            Celsius(limit)
        );
        let (kind, situation) = (HarmKind::WireTooHot, self.case.id);
        Some(Harm { kind, name, part: None, value: t, limit, unit: "°C", situation, text })
    }
}

/// Poles of batteries, converters and chargers.
fn poles(scene: &Scene<'_>) -> Option<Vec<(usize, PartId)>> {
    let mut poles = Vec::new();
    for (part, e, _) in elements(scene.circuit) {
        let at = |n| scene.circuit.local(part, n);
        match &scene.robot.type_of(part).elements[e].kind {
            ElementKind::Battery(b) => poles.extend([(at(b.plus), part), (at(b.minus), part)]),
            ElementKind::Converter(c) => poles.push((at(c.out_plus), part)),
            _ => {}
        }
    }
    (!poles.is_empty()).then_some(poles)
}
