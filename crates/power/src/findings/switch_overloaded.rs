//! A switch, relay, slip ring, diode, bus bar or protection carries too much.

use super::{All, help, shelf};
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "switch-overloaded",
    severity: Severity::Fix,
    title: "A switch or its like carries more than it bears",
    physics: "The contacts of switches and relays, the brushes of a slip ring, the metal of a bus bar and the junction of a diode are rated for a current that may flow for ever. Above it they run hot, contacts pit and weld, and a stop button that has welded no longer stops.",
    source: "The part's stated rating",
    limits: "Lasting situations, rms current. Making and breaking under load are not judged here.",
    before: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 6),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("ring", "slip-ring-6x2a"),
        part!("load", "heater"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed-1", "fuse.out", "ring.in-1", 0.75, 300),
        wire!("feed-2", "ring.out-1", "load.plus", 0.75, 300),
        wire!("return", "load.minus", "battery.minus", 2.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 6),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("ring", "slip-ring-6x10a"),
        part!("load", "heater"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed-1", "fuse.out", "ring.in-1", 2.5, 300),
        wire!("feed-2", "ring.out-1", "load.plus", 2.5, 300),
        wire!("return", "load.minus", "battery.minus", 2.5, 300),
        situation!("on")
    ),
};

/// Rating of an element with what it carries.
fn load(kind: &ElementKind, result: &ElementResult) -> Option<(Amperes, Amperes)> {
    match (kind, result) {
        (ElementKind::Switch(s), ElementResult::Path { rms, .. }) => Some((s.rating, *rms)),
        (ElementKind::Protection(s), ElementResult::Path { rms, .. }) => Some((s.rating, *rms)),
        (ElementKind::Contactor(s), ElementResult::Contactor { rms, .. }) => Some((s.rating, *rms)),
        (ElementKind::Diode(d), ElementResult::Diode { current, .. }) => Some((d.rating, current.abs())),
        (ElementKind::Bus(b), ElementResult::Bus { rms, .. }) => Some((b.rating, *rms)),
        (ElementKind::SlipRing(s), ElementResult::SlipRing { rms, .. }) => {
            Some((s.rating, rms.iter().copied().fold(Amperes(0.0), Amperes::max)))
        }
        _ => None,
    }
}

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let mut worst: Option<(Amperes, Amperes, SituationId)> = None;
        for s in all.study.situations.iter().filter(|s| all.robot.situations[s.situation.0].lasting) {
            if let Some((rating, amperes)) = load(kind, &s.parts[part.0].elements[e])
                && worst.is_none_or(|w| amperes > w.1)
            {
                worst = Some((rating, amperes, s.situation));
            }
        }
        if let Some((rating, amperes, situation)) = worst
            && amperes.0 > rating.0 * (1.0 + 1e-9)
        {
            out.push(finding(all, part, kind.word(), rating, amperes, situation));
        }
    }
}

fn finding(
    all: &All<'_>,
    part: PartId,
    word: &str,
    rating: Amperes,
    amperes: Amperes,
    situation: SituationId,
) -> Finding {
    let name = &all.robot.parts[part.0].name;
    let f = Finding::new(
        PAGE.slug,
        Severity::Fix,
        help::part(all.robot, part),
        format!("{name} carries {amperes} in `{}`; it bears {rating}.", help::name(all, situation)),
        format!("It is a {word}; everything behind it runs through it."),
        PAGE.source,
    )
    .with_value("current_a", amperes.0)
    .with_limit("current_a", rating.0)
    .with_situation(help::name(all, situation));
    let advice = "Use a larger one, or let a contactor carry the current and this switch its coil.";
    help::with_first(f, larger(all, part, amperes), Remedy::advice(advice))
}

/// The smallest switch or contactor that bears this and breaks no less.
fn larger(all: &All<'_>, part: PartId, amperes: Amperes) -> Option<Remedy> {
    let own = all.robot.type_of(part);
    let other = if let Some(s) = shelf::switch(own) {
        shelf::instead(all, part, |t| {
            let o = shelf::switch(t)?;
            (o.rating >= amperes && o.voltage >= s.voltage).then_some(o.rating.0)
        })
    } else {
        let c = shelf::contactor(own)?;
        shelf::instead(all, part, |t| {
            let o = shelf::contactor(t)?;
            let same = o.normally_closed == c.normally_closed
                && o.pull_in <= c.pull_in
                && o.coil_max >= c.coil_max;
            (same && o.rating >= amperes && o.voltage >= c.voltage).then_some(o.rating.0)
        })
    }?;
    Some(shelf::swap(all, &[part], other, &format!(", which bears {amperes}")))
}
