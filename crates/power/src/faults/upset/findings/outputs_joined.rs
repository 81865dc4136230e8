//! Two outputs drive one wire.

use crate::faults::Ground;
use crate::faults::upset::types::Upset;
use crate::findings::help;
use loomdeck_model::{Finding, Page, Remedy, Severity};
use std::collections::BTreeSet;

/// The page.
pub const PAGE: Page = Page {
    slug: "signal-outputs-joined",
    severity: Severity::Fix,
    title: "Two outputs drive one wire",
    physics: "When one output is high and the other low they close a short circuit through their transistors: tens of milliamperes, a level that is neither, and in time a dead output. Audio outputs load one another and mix badly.",
    source: "Common practice, no source",
    limits: "Outputs are told by their types. Open-collector outputs may share a wire: give such a terminal the direction `both`.",
    before: pair!(
        talker!("sender", "0.1", "0.1", "audio", "output", "1", "5"),
        talker!("listener", "0.2", "0.2", "audio", "output", "1", "5"),
        "listener.minus",
    ),
    after: pair!(
        talker!("sender", "0.1", "0.1", "audio", "output", "1", "5"),
        talker!("listener", "0.2", "0.2", "audio", "input", "1", "5"),
        "listener.minus",
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Upset, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    let mut seen = BTreeSet::new();
    for clash in &found.clashes {
        if !seen.insert(clash.parts) {
            continue;
        }
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Fix,
                help::part(robot, clash.parts[0]),
                format!("{} and {} are outputs on one wire.", clash.names[0], clash.names[1]),
                "Each forces its own level on it.",
                PAGE.source,
            )
            .with_subject(help::part(robot, clash.parts[1]))
            .with_remedy(Remedy::advice(
                "Give each its own input, or join them by a switch, a mixer or two resistors.",
            )),
        );
    }
}
