//! A situation asks for more than the wiring can carry.

use super::{All, help, shelf};
use crate::results::{DropResult, EndOfBranch, Outcome, SituationResult};
use loomdeck_model::element::{Converter, Driver};
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity, Subject};

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
        // A converter at its limit is told of in `converter-overloaded`.
        if s.outcome != Outcome::Solved {
            if help::limiting(all, s, false).is_none() {
                out.extend(finding(all, s, &s.outcome, Severity::Fix, ""));
            }
        } else if s.peak_outcome != Outcome::Solved && help::limiting(all, s, true).is_none() {
            out.extend(finding(
                all,
                s,
                &s.peak_outcome,
                Severity::Look,
                " with all loads at their peak",
            ));
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
    match outcome {
        Outcome::Solved => None,
        Outcome::Ends { fraction, part, how } => {
            Some(ends(all, s, (*fraction, *part, *how), severity, when))
        }
        Outcome::Chatters { part } => Some(
            new(
                all,
                s,
                severity,
                help::part(all.robot, *part),
                format!(
                    "{} cannot decide in `{}`: whichever way it is, it changes.",
                    all.robot.parts[part.0].name,
                    help::name(all, s.situation)
                ),
                "What it switches takes away, or brings, what made it switch.".to_owned(),
            )
            .with_value("percent", 0.0)
            .with_remedy(Remedy::advice("Feed its coil from before what it switches.")),
        ),
        Outcome::Unsolved { at } => Some(
            new(
                all,
                s,
                severity,
                Subject::Situation(help::name(all, s.situation).to_owned()),
                format!("`{}` could not be computed.", help::name(all, s.situation)),
                format!("The equations break down near {at}."),
            )
            .with_value("percent", 0.0)
            .with_remedy(Remedy::advice(format!("Look at what is joined to {at}."))),
        ),
    }
}

fn new(
    all: &All<'_>,
    s: &SituationResult,
    severity: Severity,
    subject: Subject,
    what: String,
    why: String,
) -> Finding {
    Finding::new(PAGE.slug, severity, subject, what, why, PAGE.source)
        .with_situation(help::name(all, s.situation))
        .with_limit("percent", 100.0)
}

fn ends(
    all: &All<'_>,
    s: &SituationResult,
    (fraction, part, how): (f64, Option<PartId>, EndOfBranch),
    severity: Severity,
    when: &str,
) -> Finding {
    let situation = help::name(all, s.situation);
    let name = part.map_or("A consumer", |p| all.robot.parts[p.0].name.as_str());
    let (does, end) = match how {
        EndOfBranch::Collapses => ("starves", "its voltage collapses"),
        EndOfBranch::Limits => ("cannot feed its rail", "it is at its limit and its voltage collapses"),
        EndOfBranch::DropsOut => ("drops out", "its supply falls below its window"),
        EndOfBranch::Opens => ("opens", "its current reaches the limit"),
        EndOfBranch::Chatters => ("lets go", "its coil no longer holds"),
    };
    let what = format!(
        "{name} {does} in `{situation}`{when}: at {:.0}\u{2009}% of the load {end}.",
        100.0 * fraction
    );
    let drop = part.and_then(|p| s.drops.iter().find(|d| d.part == p));
    // At the peak only the fraction is known of the state before the end, not its voltages.
    let drop = drop.filter(|_| when.is_empty());
    let why = drop.map_or_else(String::new, |d| {
        let most = d.worst_wire.map_or_else(String::new, |w| {
            format!(" {} loses most: {:.2}.", all.robot.wires[w.0].name, d.worst_drop)
        });
        format!("Of {:.2} at its source {:.2} are left.{most} ", d.source, d.at_part)
    });
    let subject = part.map_or(Subject::Situation(situation.to_owned()), |p| help::part(all.robot, p));
    let why = format!("{why}The figures shown for this situation are those just before.");
    let mut f = new(all, s, severity, subject, what, why).with_value("percent", 100.0 * fraction);
    if let Some(d) = drop {
        f = f.with_value("voltage_v", d.at_part.0).with_value("lost_v", (d.source - d.at_part).0);
        if let Some(w) = d.worst_wire {
            f = f.with_subject(help::wire(all.robot, w));
        }
        if how != EndOfBranch::Opens
            && let Some(remedy) = SHARES
                .iter()
                .find_map(|share| help::thicken_way(all, d, s.situation, gain(d, fraction, *share)))
        {
            f = f.with_remedy(remedy);
        }
    }
    if let Some(remedy) = part.and_then(|p| wider(all, p)).filter(|_| how == EndOfBranch::DropsOut) {
        f = f.with_remedy(remedy);
    }
    f.with_remedy(Remedy::advice(match how {
        EndOfBranch::Opens => format!(
            "Ask for no more than {:.0}\u{2009}% of this at once, or use a protection made for more.",
            100.0 * fraction
        ),
        _ => format!(
            "Ask for no more than {:.0}\u{2009}% of this at once, shorten the way, or use a stronger battery.",
            100.0 * fraction
        ),
    }))
}

/// How many times the allowed loss a remedy may leave on the way: what loses three times as much still
/// works, where the terminals take no thicker wire.
const SHARES: [f64; 3] = [1.0, 2.0, 3.0];

/// What the wires must lose less at the currents shown so that at full load the way loses no more than
/// this many times the share that is allowed.
fn gain(d: &DropResult, fraction: f64, share: f64) -> Volts {
    let limit = share * d.limit;
    // The same power at more voltage takes less current.
    let current = d.at_part / (d.source * (1.0 - limit)) / fraction;
    (d.source - d.at_part) - d.source * (limit / current)
}

/// A converter or driver that runs from a lower voltage.
fn wider(all: &All<'_>, part: PartId) -> Option<Remedy> {
    const GAIN: &str = ", which runs from a lower voltage";
    let own = all.robot.type_of(part);
    if let Some(c) = shelf::converter(own) {
        let suits = |o: &Converter| {
            o.limit >= c.limit
                && o.window_high >= c.window_high
                && o.window_low.0 < LOWER * c.window_low.0
        };
        return shelf::other_converter(all, part, suits, GAIN);
    }
    let d = shelf::driver(own)?;
    let suits = |o: &Driver| {
        o.continuous >= d.continuous
            && o.window_high >= d.window_high
            && o.window_low.0 < LOWER * d.window_low.0
    };
    shelf::other_driver(all, part, suits, GAIN)
}

/// Share of its window's lower end below which another one makes a difference.
const LOWER: f64 = 0.9;
