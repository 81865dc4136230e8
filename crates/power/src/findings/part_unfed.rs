//! A part is meant to work and gets no supply.

use super::{All, help};
use crate::circuit::values::{Level, amperes};
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Finding, Landing, MotorTask, Page, PartId, Remedy, Severity, SituationId};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "part-unfed",
    severity: Severity::Fix,
    title: "A part gets no supply",
    physics: "A current needs a closed ring: from a source through wires, fuses and closed switches to the part, and back. Where the ring is open, the part's terminals have no voltage of their own: they are not at zero volts, they float. A part that no situation feeds is found, and one that a situation gives something to do while nothing feeds it.",
    source: "The structure of the network alone",
    limits: "Signal inputs are not looked at.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        part!("second", "lamp"),
        wire!("feed-2", "fuse.out", "second.plus", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let mut told: BTreeMap<PartId, (Severity, Option<SituationId>)> = BTreeMap::new();
    for (part, e, kind) in help::elements(all) {
        let consumer = matches!(
            kind,
            ElementKind::Load(_)
                | ElementKind::Converter(_)
                | ElementKind::Driver(_)
                | ElementKind::Motor(_)
        );
        if !consumer || all.study.situations.is_empty() {
            continue;
        }
        let unfed = |s: &crate::results::SituationResult| {
            matches!(s.parts[part.0].elements[e], ElementResult::Unfed)
        };
        if all.study.situations.iter().all(unfed) && !matches!(kind, ElementKind::Motor(_)) {
            told.insert(part, (Severity::Fix, None));
            continue;
        }
        let asked = all.study.situations.iter().find(|s| {
            let situation = &all.robot.situations[s.situation.0];
            let task = situation.motors.get(&part).is_some_and(|t| !matches!(t, MotorTask::Off));
            let island = s.unfed.iter().any(|u| u.parts.contains(&part));
            unfed(s) && island && (situation.activity.contains_key(&part) || task)
        });
        if let Some(s) = asked {
            told.entry(part).or_insert((Severity::Fix, Some(s.situation)));
        }
    }
    for (part, (severity, situation)) in told {
        let name = &all.robot.parts[part.0].name;
        let (what, why) = match situation {
            None => (format!("Nothing feeds {name} in any situation."), open_ends(all, part)),
            Some(s) => (
                format!("{name} has work to do in `{}`, and nothing feeds it.", help::name(all, s)),
                "A switch on its way is open, a plug is pulled or a converter is off.".to_owned(),
            ),
        };
        let mut f = Finding::new(PAGE.slug, severity, help::part(all.robot, part), what, why, PAGE.source)
            .with_remedy(Remedy::advice(format!(
                "Wire both supply terminals of {name} to a source and its return; close what the situation needs closed."
            )));
        f = numbers(all, part, f);
        if let Some(s) = situation {
            f = f.with_situation(help::name(all, s));
        }
        out.push(f);
    }
}

/// In how many situations it gets nothing, the most that it asks for, and the least voltage it works at.
fn numbers(all: &All<'_>, part: PartId, mut f: Finding) -> Finding {
    let unfed = |s: &&crate::results::SituationResult| {
        s.parts[part.0].elements.iter().any(|e| matches!(e, ElementResult::Unfed))
    };
    f = f.with_value("situation_count", all.study.situations.iter().filter(unfed).count() as f64);
    for element in &all.robot.type_of(part).elements {
        match &element.kind {
            ElementKind::Load(load) => {
                let most = all
                    .robot
                    .situations
                    .iter()
                    .map(|s| amperes(s, part, load, Level::Mean) * load.nominal.0)
                    .fold(0.0, f64::max);
                f = f.with_value("wanted_power_w", most).with_limit("voltage_v", load.brown_out.0);
            }
            ElementKind::Converter(c) => f = f.with_limit("voltage_v", c.window_low.0),
            ElementKind::Driver(d) => f = f.with_limit("voltage_v", d.window_low.0),
            _ => {}
        }
    }
    f
}

/// Which of its terminals have no wire.
fn open_ends(all: &All<'_>, part: PartId) -> String {
    let bare: Vec<&str> = all
        .robot
        .type_of(part)
        .terminals
        .iter()
        .enumerate()
        .filter(|&(terminal, t)| {
            let landing = Landing::Part { part, terminal };
            !t.optional
                && t.signal.is_none()
                && !all.robot.wires.iter().any(|w| w.from == landing || w.to == landing)
        })
        .map(|(_, t)| t.name.as_str())
        .collect();
    if bare.is_empty() {
        "Its wires lead to no source, or there is no way back.".to_owned()
    } else {
        format!("No wire lands on: {}.", bare.join(", "))
    }
}
