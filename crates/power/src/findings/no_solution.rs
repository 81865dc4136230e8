//! A situation asks for more than the wiring can carry.

use super::{All, help};
use crate::results::{EndOfBranch, Outcome, SituationResult};
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "no-solution",
    severity: Severity::Fix,
    title: "A situation has no steady state",
    physics: "A load of constant power draws more current as its voltage sinks. Behind a resistance R a source of V volts can give at most V²/4R; ask for more, and the voltage runs away downwards. Long before that a converter or driver may fall below its window and switch off; its load is gone, the voltage recovers, it starts again, and so on. The state is followed from no load upwards, and the fraction of the load at which it ends is given, with the part that ends it.",
    source: "Circuit theory (maximum power transfer); the branch is followed by continuation in the fraction of load",
    limits: "All consumers are raised together in proportion. Capacitors that carry a consumer through moments are left out.",
    before: small_robot!(
        load_type!("heater", "power", "power", 12, 2, 20, 9),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-15a\" }"),
        part!("load", "heater"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "load.plus", 0.75, 10000),
        wire!("return", "load.minus", "battery.minus", 0.75, 10000),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "power", 12, 2, 20, 9),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-15a\" }"),
        part!("load", "heater"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "load.plus", 4, 10000),
        wire!("return", "load.minus", "battery.minus", 4, 10000),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for s in &all.study.situations {
        if s.outcome != Outcome::Solved {
            out.extend(finding(all, s, &s.outcome, Severity::Fix, ""));
        } else if s.peak_outcome != Outcome::Solved {
            out.extend(finding(all, s, &s.peak_outcome, Severity::Look, " with all loads at their peak"));
        }
    }
}

fn finding(
    all: &All<'_>,
    s: &SituationResult,
    outcome: &Outcome,
    severity: Severity,
    when: &str,
) -> Option<Finding> {
    let situation = help::name(all, s.situation);
    let named = |part: &Option<loomdeck_model::PartId>| {
        part.map_or("A consumer", |p| all.robot.parts[p.0].name.as_str()).to_owned()
    };
    let (subject, what, why, fraction) = match outcome {
        Outcome::Solved => return None,
        Outcome::Ends { fraction, part, how } => {
            let name = named(part);
            let what = match how {
                EndOfBranch::Collapses => format!("{name} starves in `{situation}`{when}: at {:.0}\u{2009}% of the load its voltage collapses.", 100.0 * fraction),
                EndOfBranch::Limits => format!("{name} cannot feed its rail in `{situation}`{when}: at {:.0}\u{2009}% of the load it is at its limit, and its voltage collapses.", 100.0 * fraction),
                EndOfBranch::DropsOut => format!("{name} drops out in `{situation}`{when}: at {:.0}\u{2009}% of the load its supply falls below its window.", 100.0 * fraction),
                EndOfBranch::Opens => format!("{name} opens in `{situation}`{when}: at {:.0}\u{2009}% of the load its current reaches the limit.", 100.0 * fraction),
                EndOfBranch::Chatters => format!("{name} lets go in `{situation}`{when}: at {:.0}\u{2009}% of the load its coil no longer holds.", 100.0 * fraction),
            };
            let subject = part.map_or(Subject::Situation(situation.to_owned()), |p| help::part(all.robot, p));
            (subject, what, "The figures shown for this situation are those just before.".to_owned(), Some(*fraction))
        }
        Outcome::Chatters { part } => (
            help::part(all.robot, *part),
            format!("{} cannot decide in `{situation}`: whichever way it is, it changes.", all.robot.parts[part.0].name),
            "What it switches takes away, or brings, what made it switch.".to_owned(),
            None,
        ),
        Outcome::Unsolved { at } => (
            Subject::Situation(situation.to_owned()),
            format!("`{situation}` could not be computed."),
            format!("The equations break down near {at}."),
            None,
        ),
    };
    let mut f = Finding::new(PAGE.slug, severity, subject, what, why, PAGE.source)
        .with_situation(situation)
        .with_limit("percent", 100.0);
    if let Some(fraction) = fraction {
        f = f.with_value("percent", 100.0 * fraction);
    }
    Some(f.with_remedy(Remedy::advice(
        "Use thicker or shorter wires on its way, a stronger battery, or ask for less at once.",
    )))
}
