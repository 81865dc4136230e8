//! A battery is shorted by the wiring itself.

use super::{All, help};
use crate::circuit::open_circuit;
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "dead-short",
    severity: Severity::Danger,
    title: "The wiring shorts a battery",
    physics: "When nothing but wire, fuse and switch lies between the two poles of a battery, or when two batteries are joined against each other, the current is limited only by the internal resistance: hundreds of amperes, until a fuse opens or something burns. The network is solved as it is drawn, fuses whole, so that the current before they open is seen.",
    source: "Ohm's law; the battery's stated internal resistance",
    limits: "The situations described; a short circuit that only a fault makes is another matter.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        wire!("mistake", "fuse.out", "battery.minus", 1.5, 100),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        situation!("on")
    ),
};

/// Fraction of the open-circuit voltage below which a battery counts as shorted.
const SHORTED: f64 = 0.7;

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Battery(b) = kind else { continue };
        let worst = all
            .study
            .situations
            .iter()
            .filter_map(|s| match &s.parts[part.0].elements[e] {
                ElementResult::Battery { current, voltage, charge, .. }
                    if current.0 > b.discharge_limit.0
                        && voltage.0 < SHORTED * open_circuit(b, *charge) =>
                {
                    Some((s, *current, *voltage))
                }
                _ => None,
            })
            .max_by(|a, b| a.1.0.total_cmp(&b.1.0));
        let Some((s, amperes, volts)) = worst else { continue };
        let name = &all.robot.parts[part.0].name;
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Danger,
            help::part(all.robot, part),
            format!(
                "{name} is shorted in `{}`: {amperes:.0} flow, and {volts:.1} are left at its poles.",
                help::name(all, s.situation)
            ),
            "Its poles are joined by metal, or against another battery.",
            PAGE.source,
        )
        .with_value("current_a", amperes.0)
        .with_limit("current_a", b.discharge_limit.0)
        .with_situation(help::name(all, s.situation));
        for w in s.wires.iter().filter(|w| w.current.0.abs() > 0.8 * amperes.0) {
            f = f.with_subject(help::wire(all.robot, w.wire));
        }
        out.push(f.with_remedy(Remedy::advice(
            "Follow the wires named here from plus to minus and take out the one that closes the ring.",
        )));
    }
}
