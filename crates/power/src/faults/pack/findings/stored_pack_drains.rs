//! With everything off, something still empties the batteries.

use super::super::types::Pack;
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// Between two shows, days (common practice).
const TWO_SHOWS: f64 = 14.0;
/// A winter, days (common practice).
const WINTER: f64 = 90.0;

/// The page.
pub const PAGE: Page = Page {
    slug: "stored-pack-drains",
    severity: Severity::Fix,
    title: "With everything off, something still empties the batteries",
    physics: "The robot is solved with every switch open and every plug mated. What still draws adds to what the battery loses by itself: t = C/(I + s·C), s for lead-acid about 3 % a month, lithium 2 %, nickel metal hydride 20 %. A lead-acid battery that stands empty for weeks does not come back; a lithium one may not be charged again.",
    source: "The solved network; self-discharge from memory of handbooks and makers' data",
    limits: "Full and new at the start, 25 °C. What a battery-management system takes for itself counts only where its type says so.",
    before: small_robot!(
        takes!("clock", 12, 0.02),
        part!("battery", "lead-agm-12v-7ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-2a\" }"),
        part!("always", "clock"),
        wire!("heart", "battery.plus", "fuse.in", 1.5, 200),
        wire!("feed", "fuse.out", "always.plus", 0.75, 200),
        wire!("back", "always.minus", "battery.minus", 0.75, 200),
        "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n"
    ),
    after: small_robot!(
        takes!("clock", 12, 0.02),
        part!("battery", "lead-agm-12v-7ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-2a\" }"),
        part!("switch", "rocker-10a"),
        part!("always", "clock"),
        wire!("heart", "battery.plus", "fuse.in", 1.5, 200),
        wire!("feed-1", "fuse.out", "switch.a", 0.75, 200),
        wire!("feed-2", "switch.b", "always.plus", 0.75, 200),
        wire!("back", "always.minus", "battery.minus", 0.75, 200),
        "\n[[situation]]\nname = \"on\"\nclosed = [\"switch\"]\ncharge_percent = 80\nlasting = true\n"
    ),
};

pub(super) fn find(found: &Pack, out: &mut Vec<Finding>) {
    let drained = found.storage.iter().filter(|s| s.flat_days < WINTER && s.draw.0 > 1e-6);
    let Some(first) = drained.min_by(|a, b| a.flat_days.total_cmp(&b.flat_days)) else { return };
    let drawing: Vec<String> =
        found.draws.iter().take(3).map(|d| format!("{} takes {:.2}", d.name, d.power)).collect();
    let mut f = Finding::new(
        PAGE.slug,
        if first.flat_days < TWO_SHOWS { Severity::Fix } else { Severity::Look },
        Subject::Part(first.name.clone()),
        format!(
            "With every switch off, {} is flat after {:.0} days and wants charging after {:.0}.",
            first.name, first.flat_days, first.recharge_days
        ),
        format!(
            "{:.0}\u{2009}mA go on flowing: {}.",
            1000.0 * first.draw.0,
            if drawing.is_empty() { "nothing that is a part".to_owned() } else { drawing.join(", ") }
        ),
        PAGE.source,
    )
    .with_value("time_s", first.flat_days * 86_400.0)
    .with_limit("time_s", WINTER * 86_400.0)
    .with_value("current_a", first.draw.0);
    for draw in found.draws.iter().take(3) {
        f = f.with_subject(Subject::Part(draw.name.clone()));
    }
    out.push(
        f.with_remedy(Remedy::advice(
            "Feed it from behind the main switch, or pull a plug or the fuse at the battery when you put the robot away.",
        ))
        .with_remedy(Remedy::advice(format!("Before a long rest: {}", first.advice))),
    );
}
