//! The first fuse is far from the battery.

use super::{All, help};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Finding, Page, Remedy, Severity};
use std::collections::BTreeMap;

/// Unsheathed: 7 inches along the wire.
const BARE: f64 = 7.0 * 25.4;
/// In a sheath or jacket, from the battery's own pole: 72 inches.
const SHEATHED: f64 = 72.0 * 25.4;

/// The page.
pub const PAGE: Page = Page {
    slug: "fuse-far-from-battery",
    severity: Severity::Fix,
    title: "The first fuse is far from the battery",
    physics: "The stretch from the battery's pole to the first fuse is protected by nothing but its own insulation. The longer it is, the more there is to chafe, pinch or drop a spanner on.",
    source: "ABYC E-11 (boats): 7 inches along the wire from the source, 72 inches in a sheath straight from a battery's pole, 40 inches in a sheath from any other source (from memory)",
    limits: "A wire counts as sheathed when it is the core of a cable. The stretch is measured from a battery's pole, so that the case of 40 inches, for wires from a bus bar, charger or generator, does not arise. A switch on the way is no protection.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "fuse.in", 4, 600),
        wire!("feed", "fuse.out", "load.plus", 1.5, 300),
        wire!("return", "load.minus", "battery.minus", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    // One finding per battery: the longest way, tagged at the wire next to the pole.
    let mut longest: BTreeMap<usize, &crate::results::UnfusedWire> = BTreeMap::new();
    for unfused in all.study.unfused.iter().filter(|u| u.towards_fuse) {
        let slot = longest.entry(unfused.battery.0).or_insert(unfused);
        if unfused.length > slot.length {
            *slot = unfused;
        }
    }
    for unfused in longest.into_values() {
        let wire = &all.robot.wires[unfused.wire.0];
        let limit = if wire.cable.is_some() { SHEATHED } else { BARE };
        if unfused.length.0 <= limit {
            continue;
        }
        let battery = &all.robot.parts[unfused.battery.0].name;
        let severity = if unfused.length.0 > 4.0 * limit { Severity::Fix } else { Severity::Look };
        out.push(
            Finding::new(
                PAGE.slug,
                severity,
                help::wire(all.robot, unfused.wire),
                format!(
                    "The first fuse lies {:.0} along the wire from {battery}; {:.0} is the usual limit.",
                    unfused.length,
                    Millimetres(limit)
                ),
                format!(
                    "Up to there a short circuit draws {:.0} and nothing opens.",
                    unfused.prospective
                ),
                PAGE.source,
            )
            .with_value("length_mm", unfused.length.0)
            .with_limit("length_mm", limit)
            .with_remedy(Remedy::advice(format!("Move the fuse next to {battery}.")))
            .with_remedy(Remedy::advice(
                "Where that cannot be, lead the unfused stretch in a sleeve of its own, away from metal.",
            )),
        );
    }
}
