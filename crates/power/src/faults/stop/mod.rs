//! Stop: what each switch, stop button or lost radio link leaves live or moving.
//!
//! From every position of the switches in which something moves, each switch is opened, each plug
//! pulled and each coil cut in turn, and the network solved again with every motor let go: a motor can
//! still move when its driver runs (or when it is fed without one), whatever it is told to do. Then the
//! wheels turn by themselves, and the robot coasts against what its motors, now generators, hold.

mod findings;
mod radio;
mod trial;
mod types;

pub use findings::PAGES;
pub use types::*;

use super::Ground;
use super::motion::drag::{Coast, steepest};
use super::motion::driving_speed;
use super::motion::push::driven;
use crate::circuit::{Alteration, Circuit};
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::{MetresPerSecond, Seconds};
use loomdeck_model::{Finding, PartId, PlugId, Robot, Situation, SituationId};
use std::collections::BTreeSet;
use trial::{Alive, Tried, coasting, movers, pulled, welded};

/// Works it out.
pub fn study(ground: &Ground<'_>) -> Stopping {
    let robot = ground.robot;
    let mut found = Stopping {
        speed_m_s: driving_speed(robot),
        steepest_percent: 100.0 * steepest(robot),
        movers: movers(robot),
        ..Stopping::default()
    };
    for (id, base) in bases(robot) {
        let ohms = ground.ohms(id);
        let movers = found.movers.clone();
        Base::of(ground, &base, &ohms, &movers).look(&mut found);
    }
    found.hardware = hardware(robot, &found);
    for failure in &mut found.failures {
        failure.left = found.hardware.iter().filter(|h| **h != failure.defeats).cloned().collect();
    }
    found.rows.extend(radio::row(robot, &found));
    found.validity = validity(robot, &found);
    found.good_news = good_news(&found);
    found
}

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &Stopping) -> Vec<Finding> {
    findings::all(ground, found)
}

/// The situations in which something is driven, one for each position of the switches.
fn bases(robot: &Robot) -> Vec<(SituationId, Situation)> {
    let mut all: Vec<(SituationId, Situation)> = Vec::new();
    for (i, s) in robot.situations.iter().enumerate().filter(|(_, s)| driven(s)) {
        let same = |b: &(SituationId, Situation)| {
            (&b.1.closed, &b.1.unplugged, &b.1.powered) == (&s.closed, &s.unplugged, &s.powered)
        };
        if !all.iter().any(same) {
            all.push((SituationId(i), s.clone()));
        }
    }
    all
}

/// One position of the switches in which something moves.
struct Base<'a, 'g> {
    ground: &'g Ground<'a>,
    situation: &'g Situation,
    ohms: &'g [f64],
    movers: &'g [Mover],
}

impl<'a, 'g> Base<'a, 'g> {
    fn of(
        ground: &'g Ground<'a>,
        situation: &'g Situation,
        ohms: &'g [f64],
        movers: &'g [Mover],
    ) -> Self {
        Self { ground, situation, ohms, movers }
    }

    fn tried<'t>(&'t self, circuit: &'t Circuit, situation: Situation) -> Tried<'t> {
        Tried { robot: self.ground.robot, circuit, situation, ohms: self.ohms }
    }

    fn look(&self, found: &mut Stopping) {
        let robot = self.ground.robot;
        let whole = &self.ground.circuit;
        let now = self.tried(whole, self.situation.clone());
        let solved = now.at_rest();
        let before = now.alive(&solved, self.movers);
        if before.movers.is_empty() {
            return;
        }
        let coils = pulled(self.ground, &solved);
        let mut rows = Vec::new();
        for part in self.switches() {
            let opened = self.opened(part);
            let name = &robot.parts[part.0].name;
            let row = self.row(found, StopKind::Switch, name, &before, whole, opened.clone());
            // The contact that this switch lets go may have welded.
            for &(contactor, _, ends, ohms) in &coils {
                if contactor != part && !row.stopped.is_empty() {
                    let stuck = welded(self.ground, ends, ohms);
                    let tried = self.tried(&stuck, opened.clone());
                    let alive = tried.alive(&tried.at_rest(), self.movers);
                    let moving = self.names(
                        alive.movers.iter().filter(|p| row.stopped.contains(&robot.parts[p.0].name)),
                    );
                    if !moving.is_empty() {
                        let defeats = name.clone();
                        let what = format!("the contact of {} welds", robot.parts[contactor.0].name);
                        let left = Vec::new();
                        let failure = Failure { what, part: contactor, defeats, moving, left };
                        if !found.failures.contains(&failure) {
                            found.failures.push(failure);
                        }
                    }
                }
            }
            rows.push(row);
        }
        for &(contactor, coil, ..) in &coils {
            let cut = whole.altered(robot, &[Alteration::Cut { item: coil }]);
            let name = &robot.parts[contactor.0].name;
            rows.push(self.row(found, StopKind::Coil, name, &before, &cut, self.situation.clone()));
        }
        for (index, plug) in robot.plugs.iter().enumerate() {
            if self.situation.unplugged.contains(&PlugId(index)) {
                continue;
            }
            // Cut, because contacts that no situation of the files pulls count as always closed.
            let of_plug = whole.contact_item.iter().filter(|((p, _), _)| p.0 == index);
            let cuts: Vec<Alteration> = of_plug.map(|(_, &item)| Alteration::Cut { item }).collect();
            let pulled = whole.altered(robot, &cuts);
            let now = self.situation.clone();
            rows.push(self.row(found, StopKind::Plug, &plug.name, &before, &pulled, now));
        }
        rows.retain(|r| !r.stopped.is_empty() || !r.dark.is_empty());
        found.rows.extend(rows);
    }

    fn switches(&self) -> Vec<PartId> {
        let robot = self.ground.robot;
        let has = |p: &&PartId| {
            robot.type_of(**p).elements.iter().any(|e| matches!(e.kind, ElementKind::Switch(_)))
        };
        self.situation.closed.iter().filter(has).copied().collect()
    }

    fn opened(&self, part: PartId) -> Situation {
        let mut s = self.situation.clone();
        s.closed.remove(&part);
        s
    }

    fn names<'p>(&self, parts: impl IntoIterator<Item = &'p PartId>) -> Vec<String> {
        parts.into_iter().map(|p| self.ground.robot.parts[p.0].name.clone()).collect()
    }

    fn row(
        &self,
        found: &Stopping,
        kind: StopKind,
        name: &str,
        before: &Alive,
        circuit: &Circuit,
        situation: Situation,
    ) -> StopRow {
        let robot = self.ground.robot;
        let tried = self.tried(circuit, situation);
        let solved = tried.at_rest();
        let after = tried.alive(&solved, self.movers);
        let wheels: BTreeSet<PartId> = self.movers.iter().filter(|m| m.wheel).map(|m| m.part).collect();
        let rolls = before.movers.intersection(&wheels).next().is_some();
        let let_go = rolls && after.movers.intersection(&wheels).next().is_none();
        let (flat, slope, generated_a, bus_v) = if let_go && kind != StopKind::Plug {
            let (drag, given, bus) = tried.drag(found.speed_m_s);
            let (flat, slope) = coasting(robot, &drag, found.speed_m_s);
            (flat, slope, given, bus)
        } else {
            (None, None, 0.0, 0.0)
        };
        let stopped = self.names(before.movers.difference(&after.movers));
        let return_only = !stopped.is_empty() && tried.return_only(&solved);
        let mut row = StopRow {
            kind,
            name: name.to_owned(),
            situation: self.situation.name.clone(),
            stopped,
            moving: self.names(&after.movers),
            dark: self.names(before.others.difference(&after.others)),
            live: self.names(&after.others),
            flat,
            slope,
            generated_a,
            bus_v,
            return_only,
            told: String::new(),
        };
        row.told = told(&row, found);
        row
    }
}

/// A row as a sentence.
fn told(row: &StopRow, found: &Stopping) -> String {
    let list = super::motion::names;
    let takes = if row.stopped.is_empty() {
        "takes nothing that moves".to_owned()
    } else {
        format!("takes {}", list(row.stopped.iter().map(String::as_str)))
    };
    let leaves = if row.moving.is_empty() {
        "nothing can move any more".to_owned()
    } else {
        format!("{} can still move", list(row.moving.iter().map(String::as_str)))
    };
    let coast = |c: &Option<Coast>, where_: &str| match c {
        Some(Coast { time_s: Some(t), distance_m: Some(s), .. }) => format!(
            " From {:.1} it coasts {:.1}\u{2009}m in {:.1} {where_}.",
            MetresPerSecond(found.speed_m_s),
            s,
            Seconds(*t)
        ),
        Some(Coast { settles_m_s: Some(v), endless: false, .. }) => {
            format!(" It rolls on {where_}, at {:.1} in the end.", MetresPerSecond(*v))
        }
        Some(_) => format!(" It rolls on {where_}, faster and faster."),
        None => String::new(),
    };
    format!(
        "{} {takes}; {leaves}.{}{}",
        row.name,
        coast(&row.flat, "on the level"),
        coast(&row.slope, &format!("down {:.0}\u{2009}%", found.steepest_percent))
    )
}

/// Switches that take every motor's power in every position in which they are closed.
fn hardware(robot: &Robot, found: &Stopping) -> Vec<String> {
    let motors: BTreeSet<&str> =
        found.movers.iter().filter(|m| m.motor).map(|m| m.name.as_str()).collect();
    let mut all: Vec<String> = Vec::new();
    for part in &robot.parts {
        let mut rows =
            found.rows.iter().filter(|r| r.kind == StopKind::Switch && r.name == part.name).peekable();
        let some = rows.peek().is_some();
        let takes =
            |r: &StopRow| !r.stopped.is_empty() && !r.moving.iter().any(|m| motors.contains(m.as_str()));
        if some && rows.all(takes) {
            all.push(part.name.clone());
        }
    }
    all
}

fn validity(robot: &Robot, found: &Stopping) -> Vec<String> {
    let mut all = vec![
        "A motor counts as able to move while its driver has its supply, whatever it is told; what a program does is not known here.".to_owned(),
        "Whether a switch lies within reach of whoever sees the danger is for you to judge, and local rules decide.".to_owned(),
    ];
    if robot.motion.mass.is_none() && found.movers.iter().any(|m| m.wheel) {
        all.push(
            "How far it coasts is not known: the mass is not stated (`mass_kg` in `[motion]`)."
                .to_owned(),
        );
    } else if found.movers.iter().any(|m| m.wheel) {
        all.push("Coasting: rolling resistance, friction by the motors' no-load current and the gearbox efficiency, and the current the motors give; the spinning mass of motors and wheels, which lengthens it, is left out.".to_owned());
    }
    all
}

fn good_news(found: &Stopping) -> Vec<String> {
    let mut news = Vec::new();
    for row in
        found.rows.iter().filter(|r| r.kind == StopKind::Switch && found.hardware.contains(&r.name))
    {
        if row.moving.is_empty() {
            news.push(row.told.clone());
        }
    }
    for f in found.failures.iter().filter(|f| !f.left.is_empty()) {
        news.push(format!(
            "Should it happen that {}, {} still takes the motors' power.",
            f.what,
            super::motion::names(f.left.iter().map(String::as_str))
        ));
    }
    news.dedup();
    news
}

#[cfg(test)]
mod tests;
