//! Little room is left.

use super::{All, help};
use crate::results::SpareKind;
use loomdeck_model::{Finding, Page, Remedy, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "spare-low",
    severity: Severity::Note,
    title: "Little room is left for next year",
    physics: "The more of a fuse way, converter, plug contact or battery is used, the less can be added later without touching the wiring, and the sooner a tired part fails. What is used in the worst lasting situation is held against what may be used for long.",
    source: "The spare that the builder asks for (default 20 %): common practice, no source",
    limits: "Lasting situations only.",
    before: small_robot!(
        load_type!("lamp", "power", "current", 12, 5, 20, 3.4),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 2.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "current", 12, 5, 20, 1.5),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 2.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let wanted = 100.0 * all.robot.limits.spare;
    for row in &all.study.spare {
        // What is overloaded has a finding of its own.
        if row.headroom_percent >= wanted || row.headroom_percent < 0.0 {
            continue;
        }
        let subject = match (row.part, row.what) {
            (Some(part), _) => help::part(all.robot, part),
            (None, SpareKind::Contact) => {
                let plug = row.name.split(" contact ").next().unwrap_or(&row.name);
                Subject::Plug(plug.to_owned())
            }
            (None, _) => Subject::Robot,
        };
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Note,
            subject,
            format!(
                "{} uses {} of {}\u{2009}{}; {:.0}\u{2009}% are left.",
                row.name,
                loomdeck_model::units::three_digits(row.used),
                loomdeck_model::units::three_digits(row.limit),
                row.unit,
                row.headroom_percent
            ),
            format!("You want {wanted:.0}\u{2009}% spare."),
            PAGE.source,
        )
        .with_value("percent", row.headroom_percent)
        .with_limit("percent", wanted)
        .with_remedy(Remedy::advice("Keep it as it is, and add nothing here."));
        if let Some(situation) = row.situation {
            f = f.with_situation(help::name(all, situation));
        }
        out.push(f);
    }
}
