//! A supply loses too much on the way.

use super::{All, help};
use crate::results::DropResult;
use loomdeck_model::{Finding, Page, Remedy, Severity, SituationId};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "drop-too-large",
    severity: Severity::Look,
    title: "A supply loses too much on the way",
    physics: "Every wire, contact, fuse and switch between source and consumer loses I·R, on the way there and on the way back. What counts is the sum, against the voltage at the source: a power load may lose 5 % and logic, audio and radio 3 % unless you set other limits. A motor that loses a tenth turns a tenth slower; an audio amplifier hears the motors' current in its supply.",
    source: "Limits as the builder sets them (defaults: common practice; FAA AC 43.13-1B allows 2 % in main power, 1 V in 28 V for continuous loads); resistance by IEC 60228 limits at the wire's own temperature",
    limits: "Mean currents. The way is the shortest in number of joints; where two ways run side by side the loss is that of the solved voltages all the same.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 4),
        ring!("lead-agm-12v-12ah", "blade-7-5a", "lamp", 1, 6000),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 4),
        ring!("lead-agm-12v-12ah", "blade-7-5a", "lamp", 6, 6000),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let mut worst: BTreeMap<usize, (&DropResult, SituationId)> = BTreeMap::new();
    for s in &all.study.situations {
        for drop in s.drops.iter().filter(|d| d.fraction > d.limit) {
            let slot = worst.entry(drop.part.0).or_insert((drop, s.situation));
            if drop.fraction > slot.0.fraction {
                *slot = (drop, s.situation);
            }
        }
    }
    for (drop, situation) in worst.into_values() {
        let name = &all.robot.parts[drop.part.0].name;
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Look,
            help::part(all.robot, drop.part),
            format!(
                "{name} gets {:.2} of the {:.2} at its source in `{}`: {:.1}\u{2009}% is lost, {:.0}\u{2009}% is the limit.",
                drop.at_part,
                drop.source,
                help::name(all, situation),
                100.0 * drop.fraction,
                100.0 * drop.limit
            ),
            drop.worst_wire.map_or_else(
                || "Contacts, fuses and switches on the way lose it.".to_owned(),
                |w| format!("{} loses most of it: {:.2}.", all.robot.wires[w.0].name, drop.worst_drop),
            ),
            PAGE.source,
        )
        .with_value("percent", 100.0 * drop.fraction)
        .with_value("voltage_v", drop.at_part.0)
        .with_limit("percent", 100.0 * drop.limit)
        .with_situation(help::name(all, situation));
        if let Some(w) = drop.worst_wire {
            f = f.with_subject(help::wire(all.robot, w));
        }
        let excess = drop.source * (drop.fraction - drop.limit);
        if let Some(remedy) = help::thicken_way(all, drop, situation, excess * help::A_LITTLE_MORE) {
            f = f.with_remedy(remedy);
        }
        f = f.with_remedy(Remedy::advice("Shorten the way, or split the consumers over two feeds."));
        out.push(f);
    }
}
