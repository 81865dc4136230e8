//! A fuse is used above its voltage.

use super::{All, help};
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "fuse-voltage-too-low",
    severity: Severity::Danger,
    title: "A fuse is used above its voltage",
    physics: "When a fuse opens, an arc burns across its gap until the voltage can no longer keep it alight. Above the rated voltage it may burn on. What counts is the highest voltage that the rail has in any situation: with the charger on, or with the motors turned by hand, not the battery's nominal one.",
    source: "The fuse's stated voltage; rail voltages of all situations",
    limits: "Only the situations described are looked at. Nothing is said of the overshoot when an inductive load is switched off.",
    before: small_robot!(
        "\n[[type]]\nname = \"weak-fuse\"\ntitle = \"fuse for 6 V\"\ngroup = \"fuses\"\nabout = \"A fuse.\"\nbasis = \"Invented for this page.\"\n[type.fuse]\nform = \"blade\"\nrating_a = 5\nvoltage_v = 6\nbreaking_capacity_a = 1000\ncold_mohm = 18\ncurve = [{ percent = 110, fastest_s = 360000 }, { percent = 135, fastest_s = 0.75, slowest_s = 600 }, { percent = 200, fastest_s = 0.15, slowest_s = 5 }]\n",
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "weak-fuse", "lamp", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for fuse in &all.study.fuses {
        let Some(data) = fuse.fuse.and_then(|t| all.robot.types[t.0].fuse.as_ref()) else { continue };
        if fuse.voltage.0 <= data.voltage.0 {
            continue;
        }
        let name = &all.robot.parts[fuse.part.0].name;
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Danger,
                help::part(all.robot, fuse.part),
                format!(
                    "{name} {} stands at up to {:.1}; its fuse may interrupt {}.",
                    fuse.way,
                    Volts(fuse.voltage.0),
                    data.voltage
                ),
                "This is the highest voltage of its feed in any situation.",
                PAGE.source,
            )
            .with_value("voltage_v", fuse.voltage.0)
            .with_limit("voltage_v", data.voltage.0)
            .with_remedy(Remedy::advice(
                "Use a fuse made for a higher voltage, with a holder to match.",
            )),
        );
    }
}
