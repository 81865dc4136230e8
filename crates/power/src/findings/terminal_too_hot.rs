//! A conductor is too hot for what it ends in.

use super::{All, help};
use crate::fuse::withstand::landing_limit;
use loomdeck_model::units::Celsius;
use loomdeck_model::{Finding, Landing, Page, Remedy, Severity, SituationId, WireId};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "terminal-too-hot",
    severity: Severity::Fix,
    title: "A wire is hotter than its terminal bears",
    physics: "The end of a wire takes its heat into the terminal it is clamped or plugged into. Terminals usually go first: a wire with heat-resistant insulation may run at 150 °C where the plastic of the plug beside it softens at 90 °C. The conductor's temperature is computed as for the whole wire; near a cool, massive terminal the true one is a little lower.",
    source: "The terminal's stated temperature limit; wire temperature as in `wire-too-hot`",
    limits: "The heat that a poor contact makes by itself is not in it, nor the cooling by a massive terminal.",
    before: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 18),
        ring!("lead-agm-12v-18ah", "blade-20a", "heater", 0.75, 300, "insulation = \"silicone\""),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 18),
        ring!("lead-agm-12v-18ah", "blade-20a", "heater", 4, 300, "insulation = \"silicone\""),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let mut worst: BTreeMap<Landing, (f64, WireId, SituationId)> = BTreeMap::new();
    for id in (0..all.robot.wires.len()).map(WireId) {
        let wire = &all.robot.wires[id.0];
        let Some((situation, Some(t))) = help::worst_heat(all, id) else { continue };
        for end in [wire.from, wire.to] {
            let slot = worst.entry(end).or_insert((t.0, id, situation));
            if t.0 > slot.0 {
                *slot = (t.0, id, situation);
            }
        }
    }
    for (end, (t, id, situation)) in worst {
        let Some(limit) = landing_limit(all.robot, end).filter(|limit| t > limit.0) else { continue };
        let wire = &all.robot.wires[id.0];
        let result = &all.study.situations[situation.0].wires[id.0];
        let word = all.robot.landing_word(end);
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            help::place(all.robot, end),
            format!(
                "{} arrives at {word} with {:.0} in `{}`; the terminal is good for {limit:.0}.",
                wire.name,
                Celsius(t),
                help::name(all, situation)
            ),
            format!("It carries {} in {}, in air of {:.0}.", result.rms, wire.gauge, result.ambient),
            PAGE.source,
        )
        .with_subject(help::wire(all.robot, id))
        .with_value("temperature_c", t)
        .with_limit("temperature_c", limit.0)
        .with_situation(help::name(all, situation));
        f = match help::cool(all, id, situation) {
            Some(remedy) => f.with_remedy(remedy),
            None => {
                f.with_remedy(Remedy::advice("Take less current through it, or keep the air cooler."))
            }
        };
        out.push(f);
    }
}
