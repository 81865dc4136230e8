//! The surge at switch-on uses a fuse up.

use super::{because, fill_first};
use crate::faults::surge::events::{FUSE_BEARS, melting};
use crate::faults::surge::types::*;
use crate::findings::{All, help};
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, Remedy, Severity, library};

/// The page.
pub const PAGE: Page = Page {
    slug: "fuse-ages-at-switch-on",
    severity: Severity::Fix,
    title: "A fuse ages each time the robot is switched on",
    physics: "A surge that is over before a fuse's element can lose heat warms it by the integral of the squared current over time, I²·t. Near the I²·t that melts it the fuse opens at once; well below, each surge still stretches and bends the element, and after some hundreds it opens for no visible reason. Repeated surges are therefore kept to a part of the melting I²·t.\n\nThe integral is taken through every fuse in the way of every surge; the melting I²·t is that of the quickest specimen, from the fast edge of the fuse's curve at its largest current.",
    source: "Pulses up to 20 to 30 % of the melting I²·t for a fuse that is to last (common practice of makers of fuses); the fuse's stated curve",
    limits: "The stated curve ends at some tens of milliseconds. For shorter pulses the I²·t that melts changes little; the maker's own figure, where there is one, goes before.",
    before: small_robot!(
        load_with!("player", 22000, 20),
        switched_ring!("blade-2a", "isolator-rotary-400a", "player", 300)
    ),
    after: small_robot!(
        load_with!("player", 22000, 20),
        switched_ring!("blade-20a", "isolator-rotary-400a", "player", 300)
    ),
};

pub(super) fn find(all: &All<'_>, found: &Surge, out: &mut Vec<Finding>) {
    // Each fuse once, by the hardest of the surges that come with every switching on.
    let mut worst: Vec<(&SurgeEvent, &FusePulse)> = Vec::new();
    let daily = |e: &&SurgeEvent| matches!(e.closes, Closes::Switch | Closes::Contactor);
    for (e, f) in found.events.iter().filter(daily).flat_map(|e| e.fuses.iter().map(move |f| (e, f))) {
        match worst.iter_mut().find(|w| w.1.part == f.part && w.1.way == f.way) {
            Some(known) if f.percent > known.1.percent => *known = (e, f),
            Some(_) => {}
            None => worst.push((e, f)),
        }
    }
    for (e, f) in worst.into_iter().filter(|(_, f)| f.percent > FUSE_BEARS) {
        out.push(told(all, e, f));
    }
}

fn told(all: &All<'_>, e: &SurgeEvent, f: &FusePulse) -> Finding {
    let at_once = f.percent >= 100.0;
    let name = &all.robot.parts[f.part.0].name;
    let share = if f.percent < 999.0 {
        format!("{:.0}\u{2009}% of what melts it", f.percent)
    } else {
        format!("{:.0} times what melts it", f.percent / 100.0)
    };
    let end = if at_once {
        "It may open the first time"
    } else {
        "It ages each time and opens one day for no visible reason; a third is what it bears again and again"
    };
    let severity = if at_once { Severity::Fix } else { Severity::Look };
    let what = format!(
        "When {} closes, the surge brings the {} fuse in {name} {} to {share}. {end}.",
        e.name,
        Amperes(f.rating_a),
        f.way
    );
    let mut finding =
        Finding::new(PAGE.slug, severity, help::part(all.robot, f.part), what, because(e), PAGE.source)
            .with_value("percent", f.percent)
            .with_limit("percent", FUSE_BEARS);
    if let Some(remedy) = larger(all, e, f) {
        finding = finding.with_remedy(remedy);
    }
    if let Some(remedy) = fill_first(e) {
        finding = finding.with_remedy(remedy);
    }
    finding.with_remedy(Remedy::advice(
        "Choose a fuse of the same rating that opens more slowly, if its holder takes one.",
    ))
}

/// A fuse is chosen with this much in hand.
const IN_HAND: f64 = 1.05;

/// The smallest fuse of the same body that bears the surge and still protects what lies behind.
fn larger(all: &All<'_>, e: &SurgeEvent, f: &FusePulse) -> Option<Remedy> {
    let result = all.study.fuses.iter().find(|r| r.part == f.part && r.way == f.way)?;
    let own = all.robot.types[result.fuse?.0].fuse.as_ref()?;
    let limit = all.robot.type_of(f.part).elements.iter().find_map(|e| match &e.kind {
        ElementKind::FuseWay(way) if e.name == f.way => Some(way.limit),
        _ => None,
    })?;
    let most = result.largest?.min(limit);
    let types = library::fuses();
    let mut fits: Vec<_> = types
        .iter()
        .filter_map(|t| Some((t, t.fuse.as_ref()?)))
        .filter(|(_, fuse)| fuse.form == own.form && fuse.rating > own.rating && fuse.rating <= most)
        .filter(|(_, fuse)| {
            // What the capacitors leave as heat is given, so I²·t goes with one over the resistance, and a
            // larger fuse has less.
            let all_ohms = e.heat_j / e.i2t_a2s;
            let less = (own.cold.0 - fuse.cold.0).max(0.0);
            let lets = f.i2t_a2s * all_ohms / (all_ohms - less).max(0.1 * all_ohms);
            let melts = melting(fuse.rating.0, &fuse.curve);
            IN_HAND * lets <= FUSE_BEARS / 100.0 * melts
        })
        .collect();
    fits.sort_by(|a, b| a.1.rating.0.total_cmp(&b.1.rating.0));
    let (kind, fuse) = fits.first()?;
    Some(Remedy::edit(
        format!("Use a {} fuse there, which bears the surge and still protects the wires.", fuse.rating),
        vec![help::set_fuse(all.robot, f.part, &f.way, &kind.name)],
    ))
}
