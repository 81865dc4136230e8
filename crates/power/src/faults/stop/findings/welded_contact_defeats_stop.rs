//! A contact that welds defeats the only stop.

use super::{SOURCE, names};
use crate::faults::stop::Stopping;
use loomdeck_model::{Finding, Page, Remedy, Robot, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "welded-contact-defeats-stop",
    severity: Severity::Fix,
    title: "A welded contact defeats the only stop",
    physics: "Contactors close onto empty capacitors and open under motor current; both can weld their contact. The button then opens the coil, and nothing happens. The network is solved with the button pressed and the contact bridged: if motors keep their supply and no other switch takes it, one failure that nobody notices beforehand leaves the robot without a stop.",
    source: SOURCE,
    limits: "One failure at a time. How likely a contact welds is not computed.",
    before: contacted!("wired"),
    after: contacted!("isolated"),
};

pub(super) fn find(robot: &Robot, found: &Stopping, out: &mut Vec<Finding>) {
    let mut told = Vec::new();
    for f in found.failures.iter().filter(|f| f.left.is_empty()) {
        if told.contains(&f.part) {
            continue;
        }
        told.push(f.part);
        let mut finding = Finding::new(
            PAGE.slug,
            Severity::Fix,
            Subject::Part(robot.parts[f.part.0].name.clone()),
            format!("If {}, {} no longer stops {}, and no other switch does.", f.what, f.defeats, names(&f.moving)),
            "The stop works through this one contact alone.",
            PAGE.source,
        )
        .with_value("stops_count", 0.0)
        .with_limit("stops_count", 1.0)
        .with_remedy(Remedy::advice(
            "Keep a main switch that breaks the same supply by itself within reach, or put a second contactor in series whose coil the same button opens; try before every show that each opens.",
        ));
        if f.defeats != robot.parts[f.part.0].name {
            finding = finding.with_subject(Subject::Part(f.defeats.clone()));
        }
        out.push(finding);
    }
}
