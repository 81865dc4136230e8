//! Switching on, a supply swings past what destroys the part.

use super::fill_first;
use crate::faults::surge::types::*;
use crate::findings::{All, help};
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "supply-swings-past-limit",
    severity: Severity::Danger,
    title: "Switched on, a supply swings past what a part bears",
    physics: "The inductance of a long supply wire goes on driving current when the capacitor at its end is already full: the voltage swings above the battery's, to almost twice as much where capacitor and wires have little resistance. Electronics rated close above the battery's voltage die when they are plugged in although the battery's voltage is right.\n\nThe voltage at each capacitor's terminals is followed in time, its series resistance included.",
    source: "Step response of a series circuit of inductance, capacitance and resistance (textbook); the part's stated limit",
    limits: "The inductance of wires that are not tied to their return is a default. A capacitor with more series resistance than assumed swings less.",
    before: small_robot!(
        ceramic!("player"),
        switched_ring!("blade-5a", "isolator-rotary-400a", "player", 2000)
    ),
    after: small_robot!(
        ceramic!("player"),
        switched_ring!("blade-5a", "isolator-rotary-400a", "player", 2000),
        part!("damper", "capacitor-4700uf-50v"),
        wire!("damper-1", "load.plus", "damper.plus", 1, 60),
        wire!("damper-2", "load.minus", "damper.minus", 1, 60)
    ),
};

pub(super) fn find(all: &All<'_>, found: &Surge, out: &mut Vec<Finding>) {
    let mut told = Vec::new();
    for e in &found.events {
        let Some(o) = &e.overshoot else { continue };
        let Some(limit) = o.limit_v.filter(|l| o.peak_v > *l && e.voltage_v <= *l) else { continue };
        if told.contains(&o.part) {
            continue;
        }
        told.push(o.part);
        let name = &all.robot.parts[o.part.0].name;
        let f = Finding::new(
            PAGE.slug,
            Severity::Danger,
            help::part(all.robot, o.part),
            format!(
                "When {} closes, the supply of {name} swings to {:.1} before it settles at {:.1}; it is destroyed above {:.1}.",
                e.name,
                Volts(o.peak_v),
                Volts(e.voltage_v),
                Volts(limit)
            ),
            format!(
                "The wires have {:.1}\u{2009}µH, and what they drive into its capacitor does not stop when that is full.",
                1e6 * e.loop_h
            ),
            PAGE.source,
        )
        .with_value("voltage_v", o.peak_v)
        .with_limit("voltage_v", limit)
        .with_remedy(Remedy::advice(format!(
            "Put an electrolytic capacitor of several times its value, whose series resistance damps the swing, beside {name}; tie its supply and return closely together.",
        )));
        out.push(match fill_first(e) {
            Some(remedy) => f.with_remedy(remedy),
            None => f,
        });
    }
}
