//! Logic and servos hang on one rail.

use super::{All, help};
use crate::paths::{Finder, Source};
use loomdeck_model::element::{ElementKind, Load};
use loomdeck_model::part_type::NoiseClass;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "rail-shared-by-logic-and-servos",
    severity: Severity::Look,
    title: "Logic shares its rail with something that peaks",
    physics: "A servo that starts or jams draws many times its mean current for a fraction of a second. A controller or radio on the same converter sees the dip through the common wires and the converter's own regulation, and resets or forgets. The voltages computed here may look fine: converters take a millisecond or so to answer, and that is not computed.",
    source: "Common practice, no source",
    limits: "A hint, not a computation: it looks at who shares a converter and at stated peaks of at least three times the mean and half an ampere.",
    before: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("converter", "converter-12v-6v-10a"),
        part!("servos", "servo-group-6v-4"),
        part!("receiver", "radio-receiver-5v"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 2.5, 300),
        wire!("return", "converter.in-minus", "battery.minus", 2.5, 300),
        wire!("six", "converter.out-plus", "servos.plus", 0.75, 100),
        wire!("six-return", "servos.minus", "converter.out-minus", 0.75, 100),
        wire!("radio", "servos.plus", "receiver.plus", 0.5, 100),
        wire!("radio-return", "servos.minus", "receiver.minus", 0.5, 100),
        situation!("on")
    ),
    after: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("converter", "converter-12v-6v-10a"),
        part!("servos", "servo-group-6v-4"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 2.5, 300),
        wire!("return", "converter.in-minus", "battery.minus", 2.5, 300),
        wire!("six", "converter.out-plus", "servos.plus", 0.75, 100),
        wire!("six-return", "servos.minus", "converter.out-minus", 0.75, 100),
        situation!("on")
    ),
};

fn peaks(load: &Load) -> bool {
    load.activities.iter().any(|a| a.peak.0 >= 0.5 && a.peak.0 >= 3.0 * a.mean.0)
}

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let mut netlist = all.circuit.template.clone();
    for item in &mut netlist.items {
        item.active = true;
    }
    let mut finder = Finder::of(&all.circuit, all.robot, &netlist, |_| true);
    let mut rails: BTreeMap<usize, (Source, Vec<PartId>, Vec<PartId>)> = BTreeMap::new();
    for (part, _, kind) in help::elements(all) {
        let ElementKind::Load(load) = kind else { continue };
        let (plus, minus) = (all.circuit.local(part, load.plus), all.circuit.local(part, load.minus));
        let Some(feed) = finder.feed(plus, minus).filter(|f| !f.source.battery) else { continue };
        let rail = rails.entry(feed.source.plus).or_insert((feed.source, Vec::new(), Vec::new()));
        let quiet = matches!(all.robot.type_of(part).noise, NoiseClass::Logic | NoiseClass::Radio);
        if quiet {
            rail.1.push(part);
        } else if peaks(load) {
            rail.2.push(part);
        }
    }
    for (source, logic, rough) in rails.into_values() {
        if logic.is_empty() || rough.is_empty() {
            continue;
        }
        let names = |parts: &[PartId]| {
            parts.iter().map(|p| all.robot.parts[p.0].name.as_str()).collect::<Vec<_>>().join(", ")
        };
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Look,
            help::part(all.robot, source.part),
            format!(
                "{} feeds {} and also {}, whose current peaks.",
                all.robot.parts[source.part.0].name,
                names(&logic),
                names(&rough)
            ),
            "A dip of milliseconds is enough to reset a controller.",
            PAGE.source,
        );
        for p in logic.iter().chain(&rough) {
            f = f.with_subject(help::part(all.robot, *p));
        }
        out.push(
            f.with_remedy(Remedy::advice(format!("Give {} a converter of its own.", names(&logic)))),
        );
    }
}
