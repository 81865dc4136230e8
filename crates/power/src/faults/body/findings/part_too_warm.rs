//! A part stands in air that is warmer than it bears.

use super::super::types::{BodyHeat, PartWarmth};
use super::cures;
use crate::faults::Ground;
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "part-in-too-warm-air",
    severity: Severity::Fix,
    title: "A part stands in air that is warmer than it bears",
    physics: "Makers state the warmest air in which a part gives its rated current; above it a converter switches off, a driver limits, a battery ages several times as fast. The air in the body is computed over the day when the body is described; else what you assume for the body counts. A zone with a temperature of its own keeps at least that.",
    source: "The part's stated limit for the air around it; the air as under `body-warmer-than-assumed`",
    limits: "One temperature for all the air inside; it is warmer right above a warm part. Within the band of the estimate the finding is a `look`.",
    before: heated!("[body]\nsurface_m2 = 0.5\noutside_degc = 30\n", "4", "38"),
    after: heated!("[body]\nsurface_m2 = 0.5\noutside_degc = 30\nfan_m3_h = 60\n", "4", "38"),
};

pub(super) fn find(ground: &Ground<'_>, found: &BodyHeat, out: &mut Vec<Finding>) {
    let mut hot = found.parts.iter().filter(|p| p.air.high.0 > p.limit.0).peekable();
    let Some(worst) = hot.peek().copied() else { return };
    let others: Vec<&PartWarmth> = hot.skip(1).collect();
    let likely = worst.air.likely.0 > worst.limit.0;
    let situation = worst.situation.map(|s| ground.robot.situations[s.0].name.as_str());
    let place = situation.map_or_else(String::new, |s| format!(" in `{s}`"));
    let air = if worst.computed {
        format!(
            "the air in the body reaches {:.0}{place} ({:.0} to {:.0})",
            worst.air.likely, worst.air.low.0, worst.air.high
        )
    } else {
        format!("you assume {:.0} there{place}", worst.air.likely)
    };
    let rest = match others.as_slice() {
        [] => String::new(),
        [one] => format!(" {} is too warm as well ({:.0}).", one.name, one.limit),
        more => {
            let names: Vec<&str> = more.iter().take(4).map(|p| p.name.as_str()).collect();
            let left = more.len().saturating_sub(4);
            let left = if left > 0 { format!(" and {left} more") } else { String::new() };
            format!(" So are {}{left}.", names.join(", "))
        }
    };
    let mut f = Finding::new(
        PAGE.slug,
        if likely { Severity::Fix } else { Severity::Look },
        Subject::Part(worst.name.clone()),
        format!("{} may stand in air of {:.0} at most; {air}.{rest}", worst.name, worst.limit),
        "What all parts turn into heat warms the air that each of them stands in.",
        PAGE.source,
    )
    .with_value("temperature_c", worst.air.likely.0)
    .with_value("highest_temperature_c", worst.air.high.0)
    .with_limit("temperature_c", worst.limit.0);
    for other in others {
        f = f.with_subject(Subject::Part(other.name.clone()));
    }
    if let Some(situation) = situation {
        f = f.with_situation(situation);
    }
    if worst.computed {
        for remedy in cures(found.cure) {
            f = f.with_remedy(remedy);
        }
    }
    out.push(f.with_remedy(Remedy::advice(
        "Move it low down or near where cool air comes in, away from what gets warm, or choose a part that bears more.",
    )));
}
