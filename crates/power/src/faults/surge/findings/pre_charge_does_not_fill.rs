//! A pre-charge resistor does not fill the capacitors, or does not bear it.

use crate::faults::surge::types::*;
use crate::findings::{All, help, shelf};
use loomdeck_model::element::ElementKind;
use loomdeck_model::part_type::PartType;
use loomdeck_model::units::Ohms;
use loomdeck_model::{Finding, Page, Remedy, Severity, library};

/// The page.
pub const PAGE: Page = Page {
    slug: "pre-charge-does-not-fill",
    severity: Severity::Fix,
    title: "The pre-charge resistor does not do its work",
    physics: "A resistor that bridges an open switch fills the capacitors behind it, so that the switch closes on nearly nothing. Whatever takes current behind it meanwhile keeps part of the voltage away: converters that wake up at half voltage pull it down again, and it never gets full. Each filling turns as much energy into heat as the capacitors then hold, ½·C·V², whatever the resistance; one that feeds a load meanwhile turns I²·R into heat besides.\n\nThe situation in which the switch is open and the resistor carries current is solved with everything that it feeds; what is missing to the full voltage is what the switch closes on.",
    source: "Energy of a capacitor; pulses of up to five seconds at six times the rated power for wire-wound resistors (short-time overload test at 2.5 times the rated voltage, IEC 60115-1, from memory)",
    limits: "Capacitance in modules that do not state it is assumed. The situation is taken to last until the capacitors get no fuller. 80 % as what is enough: common practice, no source.",
    before: small_robot!(
        load_with!("player", 4700, 20),
        switched_ring!("blade-15a", "isolator-key-100a", "player", 300),
        filled_first!("resistor-47ohm-25w", "activity = { load = { mean_a = 0.1 } }"),
    ),
    after: small_robot!(
        load_with!("player", 4700, 20),
        switched_ring!("blade-15a", "isolator-key-100a", "player", 300),
        filled_first!("resistor-10ohm-50w", "activity = { load = { mean_a = 0.1 } }"),
    ),
};

/// How full capacitors must be for the switch to close on little, %. Common practice, no source.
const FULL: f64 = 80.0;
/// Overload that a wire-wound resistor bears for [`PULSE`].
const OVERLOAD: f64 = 6.25;
/// s.
const PULSE: f64 = 5.0;
/// A shorter pulse than this is as hard as one of this time, s.
const LEAST_PULSE: f64 = 0.1;

pub(super) fn find(all: &All<'_>, found: &Surge, out: &mut Vec<Finding>) {
    for e in &found.events {
        let (Some(p), Some(s)) = (&e.present, e.filled_in) else { continue };
        let situation = &all.robot.situations[s.0].name;
        if p.filled_percent < FULL {
            out.push(too_little(all, e, p, situation));
        }
        out.extend(too_hot(all, p, situation));
    }
}

fn start(all: &All<'_>, p: &PreChargeUsed, situation: &str, what: String, why: String) -> Finding {
    Finding::new(PAGE.slug, Severity::Fix, help::part(all.robot, p.part), what, why, PAGE.source)
        .with_situation(situation)
}

fn too_little(all: &All<'_>, e: &SurgeEvent, p: &PreChargeUsed, situation: &str) -> Finding {
    let name = &all.robot.parts[p.part.0].name;
    let what = format!(
        "In `{situation}` {name} fills the capacitors behind {} only to {:.0}\u{2009}% of their voltage; from {FULL:.0}\u{2009}% on it closes on little.",
        e.name, p.filled_percent
    );
    let why = format!(
        "What lies behind {} takes current meanwhile, and {} of resistance cost its supply the rest.",
        e.name,
        Ohms(p.ohms)
    );
    // What is missing goes with the resistance.
    let most = p.ohms * (100.0 - FULL) / (100.0 - p.filled_percent);
    let f = start(all, p, situation, what, why)
        .with_value("percent", p.filled_percent)
        .with_limit("percent", FULL);
    help::with_first(
        f,
        other(all, p, |ohms| ohms <= most),
        Remedy::advice(
            "Keep what it feeds asleep until the switch is closed (an enable wire, a switch of its own).",
        ),
    )
}

fn too_hot(all: &All<'_>, p: &PreChargeUsed, situation: &str) -> Option<Finding> {
    let name = &all.robot.parts[p.part.0].name;
    let rated = format!("It is rated {:.0}\u{2009}W.", p.power_w);
    let f = if p.lasts_s.is_none() && p.lasting_w > p.power_w {
        let what = format!(
            "In `{situation}` {name} turns {:.0}\u{2009}W into heat as long as it lasts; it bears {:.0}\u{2009}W.",
            p.lasting_w, p.power_w
        );
        start(all, p, situation, what, rated)
            .with_value("power_w", p.lasting_w)
            .with_limit("power_w", p.power_w)
    } else {
        let (taken, bears) = pulse(p, p.ohms, p.power_w);
        if taken <= bears {
            return None;
        }
        let what = format!(
            "In `{situation}` {name} takes {taken:.1}\u{2009}J while it fills the capacitors; it bears {bears:.1}\u{2009}J in that time."
        );
        start(all, p, situation, what, rated).with_value("energy_j", taken).with_limit("energy_j", bears)
    };
    let advice = Remedy::advice(
        "Use one for more power, or one of a larger value where what it feeds takes nothing meanwhile.",
    );
    Some(help::with_first(f, other(all, p, |_| true), advice))
}

/// Heat in a resistor in place of the one that is there, and what one of this power bears meanwhile, J.
fn pulse(p: &PreChargeUsed, ohms: f64, power_w: f64) -> (f64, f64) {
    let time = p.time_s * ohms / p.ohms;
    let lasts = p.lasts_s.unwrap_or(0.0).max(time);
    // What is fed meanwhile draws its current through the resistor, whatever its value.
    let taken = p.energy_j + p.lasting_w * ohms / p.ohms * p.lasts_s.unwrap_or(0.0);
    let bears = if lasts > PULSE {
        (OVERLOAD * PULSE + (lasts - PULSE)) * power_w
    } else {
        OVERLOAD * power_w * lasts.max(LEAST_PULSE)
    };
    (taken, bears)
}

/// A resistor of the library that fills the capacitors and bears it.
fn other(all: &All<'_>, p: &PreChargeUsed, suits: impl Fn(f64) -> bool) -> Option<Remedy> {
    let kind = all.robot.type_of(p.part);
    let lands = |t: &PartType| kind.terminals.iter().all(|own| t.terminal(&own.name).is_some());
    let types = library::with_element("resistor");
    let fit = types.iter().filter(|t| t.elements.len() == 1 && t.name != kind.name && lands(t));
    let fit = fit.filter_map(|t| match &t.elements[0].kind {
        ElementKind::Resistor(r) => Some((t, r.ohms.0, r.power.0)),
        _ => None,
    });
    let now = 100.0 - p.filled_percent;
    let bears = |ohms: f64, power: f64| {
        let (taken, bears) = pulse(p, ohms, power);
        let lasting = p.lasting_w * ohms / p.ohms;
        taken <= bears && (p.lasts_s.is_some() || lasting <= power)
    };
    let best = fit
        .filter(|&(_, ohms, power)| {
            suits(ohms) && bears(ohms, power) && now * ohms / p.ohms <= 100.0 - FULL
        })
        // The largest makes the smallest current at first.
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(shelf::swap(all, &[p.part], best.0, ", which fills them and bears it"))
}
