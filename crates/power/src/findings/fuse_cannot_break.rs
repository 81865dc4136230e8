//! A fuse cannot interrupt the current that a short circuit brings.

use super::{All, help};
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "fuse-cannot-break-short-circuit",
    severity: Severity::Danger,
    title: "A fuse cannot break the short-circuit current",
    physics: "Right behind the fuse a short circuit draws the battery's open-circuit voltage over its internal resistance and that of the way to the fuse: hundreds to thousands of amperes. A fuse interrupts up to its breaking capacity; above it the arc may go on inside, and the body may burst.",
    source: "The fuse's stated breaking capacity; the battery's stated internal resistance (Ohm's law)",
    limits: "Full battery, cold wires, no resistance in the fault itself and in the return: an upper bound. The inductance of the loop is left out.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-flooded-12v-40ah"),
        part!("fuse", "fuse-holder-tube", "fuses = { way = \"tube-5a\" }"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "fuse.in", 4, 20),
        wire!("feed", "fuse.out", "load.plus", 1.5, 300),
        wire!("return", "load.minus", "battery.minus", 4, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "load.plus", 1.5, 300),
        wire!("return", "load.minus", "battery.minus", 4, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for fuse in &all.study.fuses {
        let Some(data) = fuse.fuse.and_then(|t| all.robot.types[t.0].fuse.as_ref()) else { continue };
        if fuse.prospective.0 <= data.breaking_capacity.0 {
            continue;
        }
        let name = &all.robot.parts[fuse.part.0].name;
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Danger,
                help::part(all.robot, fuse.part),
                format!(
                    "A short circuit behind {name} {} draws up to {:.0}; its fuse can break {}.",
                    fuse.way, fuse.prospective, data.breaking_capacity
                ),
                "The battery's internal resistance and the short way to the fuse are all that holds the current back.",
                PAGE.source,
            )
            .with_value("current_a", fuse.prospective.0)
            .with_limit("current_a", data.breaking_capacity.0)
            .with_remedy(Remedy::advice(
                "Put a fuse of a kind with a larger breaking capacity between the battery and this one: strip and blade fuses break 1000 A and more.",
            )),
        );
    }
}
