//! A battery is charged faster than it may be.

use super::{All, help, shelf};
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "charge-current-too-high",
    severity: Severity::Fix,
    title: "A battery is charged too fast",
    physics: "Charged above its limit a lead-acid battery gasses and dries out, a lithium cell plates metal and ages or worse. The current may come from a charger that is too large, from another battery that is fuller or of a higher voltage, or from motors that are turned by hand.",
    source: "The battery's stated charge limit",
    limits: "At the state of charge that the situation states; short pushes by hand are held against twice the limit (common practice, no source).",
    before: small_robot!(
        part!("battery", "lead-agm-12v-7ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("charger", "charger-12v-lead-4a"),
        wire!("heart", "battery.plus", "fuse.in", 1.5, 100),
        wire!("feed", "fuse.out", "charger.plus", 1.5, 300),
        wire!("return", "charger.minus", "battery.minus", 1.5, 300),
        "\n[[situation]]\nname = \"charging\"\npowered = [\"charger\"]\ncharge_percent = 30\nlasting = true\n"
    ),
    after: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("charger", "charger-12v-lead-1a"),
        wire!("heart", "battery.plus", "fuse.in", 1, 100),
        wire!("feed", "fuse.out", "charger.plus", 1, 300),
        wire!("return", "charger.minus", "battery.minus", 1, 300),
        "\n[[situation]]\nname = \"charging\"\npowered = [\"charger\"]\ncharge_percent = 30\nlasting = true\n"
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Battery(b) = kind else { continue };
        let worst = all
            .study
            .situations
            .iter()
            .filter_map(|s| match &s.parts[part.0].elements[e] {
                ElementResult::Battery { current, .. } => {
                    let lasting = all.robot.situations[s.situation.0].lasting;
                    let limit = if lasting { b.charge_limit } else { b.charge_limit * 2.0 };
                    (-current.0 > limit.0 * (1.0 + 1e-9)).then_some((s.situation, -*current, limit))
                }
                _ => None,
            })
            .max_by(|a, b| a.1.0.total_cmp(&b.1.0));
        let Some((situation, amperes, limit)) = worst else { continue };
        let name = &all.robot.parts[part.0].name;
        let least = b.charge_limit * (amperes / limit);
        let other = shelf::other_battery(
            all,
            part,
            |o| o.charge_limit >= least && o.discharge_limit >= b.discharge_limit,
            &format!(", which bears {least}"),
        );
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            help::part(all.robot, part),
            format!(
                "{name} is charged with {amperes} in `{}`; it bears {limit}.",
                help::name(all, situation)
            ),
            "Nothing on the way limits the current to what this battery takes.",
            PAGE.source,
        )
        .with_value("current_a", amperes.0)
        .with_limit("current_a", limit.0)
        .with_situation(help::name(all, situation));
        for remedy in smaller_charger(all, situation, limit).into_iter().chain(other) {
            f = f.with_remedy(remedy);
        }
        out.push(f.with_remedy(Remedy::advice("Use a smaller charger, or a larger battery.")));
    }
}

/// The strongest charger of the same kind that stays below a limit, when one charger does it.
fn smaller_charger(all: &All<'_>, situation: SituationId, limit: Amperes) -> Option<Remedy> {
    let powered = &all.robot.situations[situation.0].powered;
    let mut parts = powered.iter().filter(|p| shelf::charger(all.robot.type_of(**p)).is_some());
    let (&part, None) = (parts.next()?, parts.next()) else { return None };
    let own = shelf::charger(all.robot.type_of(part))?;
    let other = shelf::instead(all, part, |t| {
        let c = shelf::charger(t)?;
        let same = c.chemistry == own.chemistry && c.voltage == own.voltage;
        (same && c.current <= limit).then_some(-c.current.0)
    })?;
    Some(shelf::swap(all, &[part], other, ", which charges more slowly"))
}
