//! No fuse both carries the load and protects the wire.

use super::fuse_larger_than_wire_allows::thicken;
use super::{All, help};
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "fuse-window-empty",
    severity: Severity::Fix,
    title: "No fuse both carries the load and protects the wire",
    physics: "A fuse has a window: the smallest rating that carries everything it must, and the largest that still protects everything behind it. When the load is large and the wire thin, the first lies above the second, and no fuse is right. The wire has to become thicker, or the load smaller or shorter.",
    source: "As for `fuse-larger-than-wire-allows` and `fuse-smaller-than-load`",
    limits: "As for those two.",
    before: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 9),
        ring!("lead-agm-12v-18ah", "blade-15a", "heater", 0.75, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 9),
        ring!("lead-agm-12v-18ah", "blade-15a", "heater", 2.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for fuse in all.study.fuses.iter().filter(|f| f.fuse.is_some()) {
        let Some(least) = fuse.smallest else { continue };
        if fuse.largest.is_some_and(|most| most.0 >= least.0 * (1.0 - 1e-9)) {
            continue;
        }
        let name = &all.robot.parts[fuse.part.0].name;
        let most = fuse.largest.map_or_else(|| "none".to_owned(), |m| m.to_string());
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            help::part(all.robot, fuse.part),
            format!(
                "No fuse is right for {name} {}: the smallest that carries is {least}, the largest that protects is {most}.",
                fuse.way
            ),
            format!("{} Yet {}.", sentence(&fuse.smallest_because), fuse.largest_because),
            PAGE.source,
        )
        .with_value("rating_a", least.0)
        .with_limit("rating_a", fuse.largest.map_or(0.0, |m| m.0));
        if let Some(situation) = fuse.situation {
            f = f.with_situation(help::name(all, situation));
        }
        let gain = format!("a {least} fuse protects");
        f = f.with_remedy(thicken(all, fuse, |t| t.for_smallest, &gain).unwrap_or_else(|| {
            Remedy::advice("Replace what limits it by a larger one, or share the load between two ways.")
        }));
        out.push(f);
    }
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    format!("{first}{}.", letters.as_str())
}
