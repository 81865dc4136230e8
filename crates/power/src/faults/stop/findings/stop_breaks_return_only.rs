//! A stop that breaks only the return.

use super::{SOURCE, names};
use crate::faults::stop::{StopKind, Stopping};
use loomdeck_model::{Finding, Page, Remedy, Robot, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "stop-breaks-return-only",
    severity: Severity::Fix,
    title: "A stop breaks only the return",
    physics: "With the switch in the return, the drivers stay joined to the battery's positive pole when it is open. Every bare place of the motor circuit is still live, and any second way to the battery's negative pole (the chassis, the return of a signal, the screen of an audio cable) brings the motors back, with their current through a wire that is not made for it.",
    source: SOURCE,
    limits: "Ways that are not in the files (a chassis bond, a lead to a laptop) are not known.",
    before: return_switched!("minus"),
    after: return_switched!("plus"),
};

pub(super) fn find(_robot: &Robot, found: &Stopping, out: &mut Vec<Finding>) {
    let mut told: Vec<&str> = Vec::new();
    for row in found.rows.iter().filter(|r| r.kind == StopKind::Switch && r.return_only) {
        if told.contains(&row.name.as_str()) {
            continue;
        }
        told.push(&row.name);
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Fix,
                Subject::Part(row.name.clone()),
                format!(
                    "{} stops {} by breaking their return only; they stay joined to the battery's positive pole.",
                    row.name,
                    names(&row.stopped)
                ),
                "A second way to the negative pole, through the chassis or the return of a signal, brings them back.",
                PAGE.source,
            )
            .with_value("poles_count", 0.0)
            .with_limit("poles_count", 1.0)
            .with_situation(&row.situation)
            .with_remedy(Remedy::advice(
                "Lead the positive supply through the switch instead, and join the return without it.",
            )),
        );
    }
}
