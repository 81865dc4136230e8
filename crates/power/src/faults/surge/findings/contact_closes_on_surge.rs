//! A switch or contactor closes on more current than it may make.

use super::{because, fill_first};
use crate::faults::surge::types::*;
use crate::findings::{All, help, shelf};
use loomdeck_model::part_type::PartType;
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "contact-closes-on-surge",
    severity: Severity::Fix,
    title: "A contact closes on a larger current than it may make",
    physics: "Converters, drivers and amplifiers have capacitors at their supply. When a switch closes, the empty capacitors are nearly a short circuit: the current rises as fast as the inductance of the wires lets it, up to what resistance allows, and has gone when they are full. Contacts bounce while it flows and small welds form; one day the contact stays closed, and one that should stop the robot no longer does.\n\nThe network with its capacitors, their series resistance, battery, fuses, contacts and the inductance of the wires is followed in time with a stiff integrator. More than 10 % above what the contact may make is worth a look; more than twice is to be mended.",
    source: "The part's stated make rating; Kirchhoff's laws; inductance of two-wire lines after Rosa (1908)",
    limits: "The rating is for a lasting current; capacitor surges are shorter but meet the contact while it bounces, so they are held against the same figure. The steps of 1.1 and 2 times, and five times the lasting rating where no make rating is stated: common practice, no source.",
    before: small_robot!(
        load_with!("player", 220, 20),
        switched_ring!("blade-15a", "toggle-20a", "player", 300)
    ),
    after: small_robot!(
        load_with!("player", 220, 20),
        switched_ring!("blade-15a", "isolator-key-100a", "player", 300)
    ),
};

/// Times the make rating from which a surge is worth a look.
const LOOK: f64 = 1.1;
/// And from which it is to be mended: the contact may weld.
const WELDS: f64 = 2.0;
/// Times the lasting rating from which a surge is worth a look where no make rating is stated.
const UNRATED: f64 = 5.0;

pub(super) fn find(all: &All<'_>, found: &Surge, out: &mut Vec<Finding>) {
    for e in &found.events {
        let (Closes::Switch | Closes::Contactor, Some(part)) = (e.closes, e.part) else { continue };
        let peak = Amperes(e.peak_a);
        match (e.make_a, e.rating_a) {
            (Some(make), _) if e.peak_a > LOOK * make => {
                let welds = e.peak_a > WELDS * make;
                let end = match (welds, e.stops_motors) {
                    (true, true) => " It may weld, and then no longer stops the motors.",
                    (true, false) => " It may weld, and then no longer switches off.",
                    (false, _) => "",
                };
                let what = format!(
                    "{} closes on a surge of {peak:.0}; it may make {:.0}.{end}",
                    e.name,
                    Amperes(make)
                );
                let severity = if welds { Severity::Fix } else { Severity::Look };
                out.push(told(all, e, part, severity, what, make));
            }
            (None, Some(rating)) if e.peak_a > UNRATED * rating => {
                let what = format!(
                    "{} closes on a surge of {peak:.0}; its maker does not say what it may make, and it carries {:.0} for ever.",
                    e.name,
                    Amperes(rating)
                );
                out.push(told(all, e, part, Severity::Look, what, UNRATED * rating));
            }
            _ => {}
        }
    }
}

fn told(
    all: &All<'_>,
    e: &SurgeEvent,
    part: PartId,
    severity: Severity,
    what: String,
    limit: f64,
) -> Finding {
    let mut f =
        Finding::new(PAGE.slug, severity, help::part(all.robot, part), what, because(e), PAGE.source)
            .with_value("current_a", e.peak_a)
            .with_limit("current_a", limit);
    for remedy in [stronger(all, part, Amperes(e.peak_a)), fill_first(e)].into_iter().flatten() {
        f = f.with_remedy(remedy);
    }
    f.with_remedy(Remedy::advice(
        "Put a surge limiter (a thermistor made for it) that bears the lasting current into the feed of the part with the largest capacitor.",
    ))
}

/// Beyond its surge a contact is chosen with this much in hand: the new one has less resistance.
const IN_HAND: f64 = 1.15;

/// The smallest switch or contactor that may make this.
fn stronger(all: &All<'_>, part: PartId, peak: Amperes) -> Option<Remedy> {
    let own = all.robot.type_of(part);
    let makes = |a: Option<Amperes>| a.is_some_and(|a| a.0 >= IN_HAND * peak.0);
    let other = if let Some(s) = shelf::switch(own) {
        shelf::instead(all, part, |t| {
            let o = shelf::switch(t)?;
            // A stop button is not exchanged for what is none.
            (is_stop(own) == is_stop(t)
                && makes(o.make_break)
                && o.rating >= s.rating
                && o.voltage >= s.voltage)
                .then_some(o.rating.0)
        })
    } else {
        let c = shelf::contactor(own)?;
        shelf::instead(all, part, |t| {
            let o = shelf::contactor(t)?;
            let same = o.normally_closed == c.normally_closed
                && o.pull_in <= c.pull_in
                && o.coil_max >= c.coil_max;
            (same && makes(o.make_break) && o.rating >= c.rating && o.voltage >= c.voltage)
                .then_some(o.rating.0)
        })
    }?;
    Some(shelf::swap(all, &[part], other, ", which may make this"))
}

/// Whether a switch is made to be hit: types say it in their name alone.
fn is_stop(kind: &PartType) -> bool {
    kind.name.contains("stop") || kind.title.contains("stop")
}
