//! A load gets less than it needs.

use super::{All, help};
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, Page, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "load-browns-out",
    severity: Severity::Fix,
    title: "A load gets less voltage than it needs",
    physics: "Below its brown-out voltage a controller resets, a radio forgets, an amplifier crackles, a lamp dims. The rail is looked at twice: with mean currents, and with every load at its peak at the same time, at the state of charge of the situation. Stalled motors are seen in the situation that describes them.",
    source: "The part's stated brown-out voltage; the solved network",
    limits: "All peaks together is the worst case; how likely it is, the tool does not know. Capacitors that bridge a peak of milliseconds are left out.",
    before: small_robot!(
        load_type!("board", "logic", "power", 12, 11.5, 20, 5),
        ring!("lead-agm-12v-12ah", "blade-10a", "board", 0.75, 5000),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("board", "logic", "power", 12, 11.5, 20, 5),
        ring!("lead-agm-12v-12ah", "blade-10a", "board", 6, 1000),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Load(load) = kind else { continue };
        let mut worst: Option<(Volts, SituationId, bool)> = None;
        for s in &all.study.situations {
            let ElementResult::Load { voltage, peak_voltage, current, .. } =
                &s.parts[part.0].elements[e]
            else {
                continue;
            };
            // A rail that is off, or a load that wants nothing, is no brown-out.
            if current.0 < 1e-3 || voltage.0 < 0.2 * load.nominal.0 {
                continue;
            }
            let steady = *voltage < load.brown_out;
            // What hangs on a converter at its limit is told of in `converter-overloaded`.
            if help::limiting_feed(all, s, part, !steady).is_some() {
                continue;
            }
            let lowest = voltage.min(*peak_voltage);
            if lowest < load.brown_out && worst.is_none_or(|w| (steady, w.0) > (w.2, lowest)) {
                worst = Some((lowest, s.situation, steady));
            }
        }
        let Some((v, situation, steady)) = worst else { continue };
        let name = &all.robot.parts[part.0].name;
        let when = if steady { "" } else { " when all loads peak at once" };
        let mut f = Finding::new(
            PAGE.slug,
            if steady { Severity::Fix } else { Severity::Look },
            help::part(all.robot, part),
            format!(
                "{name} gets {v:.2} in `{}`{when}; below {} it fails.",
                help::name(all, situation),
                load.brown_out
            ),
            "The battery's resistance and the way to it take the rest.",
            PAGE.source,
        )
        .with_value("voltage_v", v.0)
        .with_limit("voltage_v", load.brown_out.0)
        .with_situation(help::name(all, situation));
        let drop = all.study.situations[situation.0].drops.iter().find(|d| d.part == part);
        if let Some(remedy) = drop.and_then(|d| {
            help::thicken_way(all, d, situation, (load.brown_out - v) * help::A_LITTLE_MORE)
        }) {
            f = f.with_remedy(remedy);
        }
        out.push(f.with_remedy(Remedy::advice(
            "Feed it through a converter that also steps up, or from a battery of its own.",
        )));
    }
}
