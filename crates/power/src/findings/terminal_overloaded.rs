//! More current through a terminal than it bears.

use super::{All, help};
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Landing, Page, Remedy, Severity, SituationId, WireId};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "terminal-overloaded",
    severity: Severity::Fix,
    title: "A terminal carries more than it bears",
    physics: "A clamp, tab or pin has a contact resistance of some tenths of a milliohm to some milliohms; its heat grows with the square of the current. The current that counts is the rms current of each wire on it in the worst lasting situation.",
    source: "The terminal's stated current",
    limits: "Situations that do not last are left out: a terminal's thermal time is minutes.",
    before: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 24),
        part!("battery", "lead-agm-12v-7ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-30a\" }"),
        part!("load", "heater"),
        wire!("heart", "battery.plus", "fuse.in", 2.5, 100),
        wire!("feed", "fuse.out", "load.plus", 6, 300),
        wire!("return", "load.minus", "battery.minus", 2.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 24),
        ring!("lead-agm-12v-12ah", "blade-30a", "heater", 6, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let mut worst: BTreeMap<Landing, (Amperes, WireId, SituationId)> = BTreeMap::new();
    for s in all.study.situations.iter().filter(|s| all.robot.situations[s.situation.0].lasting) {
        for (wire, result) in all.robot.wires.iter().zip(&s.wires) {
            for end in [wire.from, wire.to] {
                let slot = worst.entry(end).or_insert((result.rms, result.wire, s.situation));
                if result.rms > slot.0 {
                    *slot = (result.rms, result.wire, s.situation);
                }
            }
        }
    }
    for (end, (amperes, wire, situation)) in worst {
        let Landing::Part { part, terminal } = end else { continue };
        let Some(limit) = all.robot.type_of(part).terminals[terminal].current else { continue };
        if amperes.0 <= limit.0 * (1.0 + 1e-9) {
            continue;
        }
        let word = all.robot.landing_word(end);
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Fix,
                help::part(all.robot, part),
                format!(
                    "{word} carries {amperes} in `{}`; it bears {limit}.",
                    help::name(all, situation)
                ),
                format!("{} brings it.", all.robot.wires[wire.0].name),
                PAGE.source,
            )
            .with_subject(help::wire(all.robot, wire))
            .with_value("current_a", amperes.0)
            .with_limit("current_a", limit.0)
            .with_situation(help::name(all, situation))
            .with_remedy(Remedy::advice(
                "Choose a part with a stronger terminal, or split what hangs on it.",
            )),
        );
    }
}
