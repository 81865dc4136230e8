//! An output does not suit the input it drives.

use super::{listener, worst_per_pair};
use crate::faults::Ground;
use crate::faults::upset::HIGH;
use crate::faults::upset::types::{Kind, Upset};
use crate::findings::help;
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "signal-level-wrong",
    severity: Severity::Danger,
    title: "A signal has the wrong level",
    physics: "An output that sends more than an input survives drives current through the input's protective diode until that gives way. One that sends less than the input takes as high is never understood, or only on a good day.",
    source: "The stated levels and damage voltages of the two terminals; 0.6 of the input's level as its lowest high: common practice (data sheets of CMOS parts give 0.6 to 0.7 of their supply)",
    limits: "Levels as the types state them. Resistors, dividers and level shifters between the two count only as parts of their own.",
    before: pair!(
        talker!("sender", "0.1", "0.1", "logic", "output", "5", "5.5"),
        talker!("listener", "0.2", "0.2", "logic", "input", "3.3", "3.6"),
        "listener.minus",
    ),
    after: pair!(
        talker!("sender", "0.1", "0.1", "logic", "output", "3.3", "5.5"),
        talker!("listener", "0.2", "0.2", "logic", "input", "3.3", "3.6"),
        "listener.minus",
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Upset, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    let over = |l: &super::Link| l.bears_v.map_or(0.0, |b| l.sends_v - b);
    for link in worst_per_pair(found, |l| over(l) > 0.0, over) {
        let bears = link.bears_v.unwrap_or(link.wants_v);
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Danger,
                listener(robot, link),
                format!(
                    "{} sends {:.1} to {}, which is destroyed above {:.1}.",
                    link.from_name,
                    Volts(link.sends_v),
                    link.to_name,
                    Volts(bears)
                ),
                "The two speak different levels.",
                PAGE.source,
            )
            .with_subject(help::place(robot, link.from))
            .with_value("voltage_v", link.sends_v)
            .with_limit("voltage_v", bears)
            .with_remedy(Remedy::advice(format!(
                "Put a level shifter or a divider between them that leaves at most {:.1}.",
                Volts(bears)
            ))),
        );
    }
    let short = |l: &super::Link| HIGH * l.wants_v - l.sends_v;
    for link in worst_per_pair(found, |l| l.kind == Kind::Logic && short(l) > 0.0, short) {
        let needs = HIGH * link.wants_v;
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Fix,
                listener(robot, link),
                format!(
                    "{} sends {:.1} to {}, which takes {:.1} and more as high.",
                    link.from_name,
                    Volts(link.sends_v),
                    link.to_name,
                    Volts(needs)
                ),
                "The two speak different levels.",
                PAGE.source,
            )
            .with_subject(help::place(robot, link.from))
            .with_value("voltage_v", link.sends_v)
            .with_limit("voltage_v", needs)
            .with_remedy(Remedy::advice("Put a level shifter between them.")),
        );
    }
}
