//! A charger the wrong way round shorts the battery.

use crate::faults::Ground;
use crate::faults::crossed::{Crossed, FLOWS, Which};
use crate::findings::help;
use loomdeck_model::units::{Amperes, Seconds};
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "charger-reversed",
    severity: Severity::Look,
    title: "A charger put on the wrong way round shorts the battery",
    physics: "The output of a charger ends in a rectifier. Put on backwards, the battery drives its current through that rectifier, held back by the wires alone: a short with a charger in it. A diode at the inlet lets the charging current in and nothing out, so that a wrong charger, a bent pin or a coin in the inlet does nothing.",
    source: "The solved network with the charger's leads joined by 20 mΩ (common practice, no source)",
    limits: "Chargers with a reverse protection of their own are not known to the files. A diode costs the charger some 0.5 V: choose its voltage for that.",
    before: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("charger", "charger-12v-lead-1a"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "charger.plus", "fuse.out", 1.5, 500),
        wire!("return", "charger.minus", "battery.minus", 1.5, 500),
        situation!("charging", "powered = [\"charger\"]")
    ),
    after: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("diode", "schottky-20a-60v"),
        part!("charger", "charger-12v-lead-1a"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("inlet", "charger.plus", "diode.anode", 1.5, 300),
        wire!("feed", "diode.cathode", "fuse.out", 1.5, 200),
        wire!("return", "charger.minus", "battery.minus", 1.5, 500),
        situation!("charging", "powered = [\"charger\"]")
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Crossed, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    for r in found.reversed.iter().filter(|r| r.which == Which::Charger) {
        let Some(current) = r.current_a.filter(|&a| a > FLOWS) else { continue };
        let Some(&charger) = r.parts.first() else { continue };
        let name = &robot.parts[charger.0].name;
        let (severity, ends) = match &r.opens {
            Some((part, way, time)) => (
                Severity::Look,
                format!(
                    "the fuse in {} {way} opens within {}",
                    robot.parts[part.0].name,
                    Seconds(*time)
                ),
            ),
            None => (Severity::Fix, "no fuse opens".to_owned()),
        };
        out.push(
            Finding::new(
                PAGE.slug,
                severity,
                help::part(robot, charger),
                format!(
                    "With {name} the wrong way round the battery drives {:.0} through it; {ends}.",
                    Amperes(current)
                ),
                "Nothing at the charging inlet keeps current from flowing out.",
                PAGE.source,
            )
            .with_value("current_a", current)
            .with_situation(&robot.situations[r.situation.0].name)
            .with_remedy(Remedy::advice(
                "Put a diode made for the charger's current into the inlet's plus lead, with its band towards the battery, and a fuse there; use an inlet that fits one way only.",
            )),
        );
    }
}
