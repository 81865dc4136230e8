//! A battery gives more than it may.

use super::{All, help, shelf};
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "battery-discharge-too-high",
    severity: Severity::Fix,
    title: "A battery gives more than it may",
    physics: "Above its discharge limit a battery heats from inside, its voltage sags, and the protection of a lithium pack opens. Mean current counts where the situation lasts; peaks and short situations are held against twice the limit.",
    source: "The battery's stated discharge limit; twice that for seconds: common practice, no source",
    limits: "The limit of a cold or aged battery is lower.",
    before: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 24),
        ring!("lead-agm-12v-7ah", "blade-30a", "heater", 6, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 24),
        ring!("lead-agm-12v-12ah", "blade-30a", "heater", 6, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Battery(b) = kind else { continue };
        let mut worst: Option<(f64, Amperes, Amperes, SituationId)> = None;
        for s in &all.study.situations {
            let ElementResult::Battery { current, peak, .. } = &s.parts[part.0].elements[e] else {
                continue;
            };
            let lasting = all.robot.situations[s.situation.0].lasting;
            let mut see = |amperes: Amperes, limit: Amperes| {
                let share = amperes / limit;
                if share > 1.0 + 1e-9 && worst.is_none_or(|w| share > w.0) {
                    worst = Some((share, amperes, limit, s.situation));
                }
            };
            see(*current, if lasting { b.discharge_limit } else { b.discharge_limit * 2.0 });
            see(*peak, b.discharge_limit * 2.0);
        }
        let Some((_, amperes, limit, situation)) = worst else { continue };
        let name = &all.robot.parts[part.0].name;
        let least = b.discharge_limit * (amperes / limit);
        let other = shelf::other_battery(
            all,
            part,
            |o| o.discharge_limit >= least && o.capacity >= b.capacity,
            &format!(", which may give {least} and more"),
        );
        out.push(help::with_first(
            Finding::new(
                PAGE.slug,
                Severity::Fix,
                help::part(all.robot, part),
                format!(
                    "{name} gives {amperes} in `{}`; it may give {limit}.",
                    help::name(all, situation)
                ),
                "All consumers of this situation together ask for it.",
                PAGE.source,
            )
            .with_value("current_a", amperes.0)
            .with_limit("current_a", limit.0)
            .with_situation(help::name(all, situation)),
            other,
            Remedy::advice("Use a larger battery, or two of the same kind and age side by side."),
        ));
    }
}
