//! Charging takes longer than the night.

use super::super::types::Pack;
use super::{part, swap, takes_its_wires};
use crate::faults::Ground;
use loomdeck_model::element::{Charger, ElementKind};
use loomdeck_model::part_type::PartType;
use loomdeck_model::{Finding, Page, Remedy, Severity, library};

/// From one evening to the next morning, s (common practice).
const NIGHT: f64 = 12.0 * 3600.0;

/// The page.
pub const PAGE: Page = Page {
    slug: "charge-takes-too-long",
    severity: Severity::Look,
    title: "Charging takes longer than the night",
    physics: "A charger gives a constant current until the battery reaches the voltage limit, and then holds the voltage while the current falls exponentially. Lithium: along its open-circuit curve and through its resistance, τ = 3600·R·C/(η·k), to a twentieth of the capacity. Lead-acid reaches the limit with about the share I/C of an hour missing and takes that as an exponential, to a fiftieth of the capacity. What was taken out on the planned day must go back in, with 1/0.85 of it for lead-acid.",
    source: "Constant current, constant voltage: the makers' usual charging regime; shares and ends: common practice, from memory",
    limits: "± 50 % for the end of a lead-acid charge. Nothing else may draw meanwhile.",
    before: small_robot!(
        takes!("heater", 12, 5),
        part!("battery", "lead-agm-12v-35ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("charge-fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("switch", "isolator-key-100a"),
        part!("heat", "heater"),
        part!("charger", "charger-12v-lead-1a"),
        wire!("heart", "battery.plus", "fuse.in", 4, 200),
        wire!("feed-1", "fuse.out", "switch.a", 4, 200),
        wire!("feed-2", "switch.b", "heat.plus", 4, 200),
        wire!("back", "heat.minus", "battery.minus", 4, 200),
        wire!("charge-heart", "battery.plus", "charge-fuse.in", 2.5, 200),
        wire!("charge", "charge-fuse.out", "charger.plus", 1, 200),
        wire!("charge-back", "charger.minus", "battery.minus", 1, 200),
        "\n[[situation]]\nname = \"on\"\nclosed = [\"switch\"]\ncharge_percent = 80\nlasting = true\n",
        "\n[[day]]\nsituation = \"on\"\nminutes = 240\n"
    ),
    after: small_robot!(
        takes!("heater", 12, 5),
        part!("battery", "lead-agm-12v-35ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("charge-fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("switch", "isolator-key-100a"),
        part!("heat", "heater"),
        part!("charger", "charger-12v-lead-4a"),
        wire!("heart", "battery.plus", "fuse.in", 4, 200),
        wire!("feed-1", "fuse.out", "switch.a", 4, 200),
        wire!("feed-2", "switch.b", "heat.plus", 4, 200),
        wire!("back", "heat.minus", "battery.minus", 4, 200),
        wire!("charge-heart", "battery.plus", "charge-fuse.in", 2.5, 200),
        wire!("charge", "charge-fuse.out", "charger.plus", 1, 200),
        wire!("charge-back", "charger.minus", "battery.minus", 1, 200),
        "\n[[situation]]\nname = \"on\"\nclosed = [\"switch\"]\ncharge_percent = 80\nlasting = true\n",
        "\n[[day]]\nsituation = \"on\"\nminutes = 240\n"
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Pack, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    for charge in found.charging.iter().filter(|c| c.time.0 > NIGHT) {
        let names = found.strings[charge.string].names.join(" and ");
        let own = robot.type_of(charge.charger);
        let stronger = charger(own).and_then(|own_data| {
            let wanted = own_data.current.0 * charge.time.0 / NIGHT;
            let chargers = library::with_element("charger");
            let best = chargers
                .into_iter()
                .filter(|t| takes_its_wires(robot, charge.charger, t))
                .filter_map(|t| Some((charger(&t)?.clone(), t)))
                .filter(|(c, _)| {
                    c.chemistry == own_data.chemistry
                        && (c.voltage.0 / own_data.voltage.0 - 1.0).abs() < 0.01
                        && c.current.0 > wanted
                        && c.current <= charge.limit
                })
                .min_by(|a, b| a.0.current.0.total_cmp(&b.0.current.0))?;
            Some(swap(robot, &[charge.charger], &best.1, ""))
        });
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Look,
            part(robot, charge.charger),
            format!(
                "{} needs {:.0} to {:.0}\u{2009}h to charge {names} after your day; a night has {:.0}\u{2009}h.",
                robot.parts[charge.charger.0].name,
                charge.time.0 / 3600.0,
                charge.up_to.0 / 3600.0,
                NIGHT / 3600.0
            ),
            format!(
                "It gives {:.1} into {:.0}\u{2009}% of charge left; they bear {:.1}.",
                charge.current,
                100.0 * charge.start,
                charge.limit
            ),
            PAGE.source,
        )
        .with_value("time_s", charge.time.0)
        .with_limit("time_s", NIGHT);
        if let Some(remedy) = stronger {
            f = f.with_remedy(remedy);
        }
        out.push(f.with_remedy(Remedy::advice(
            "Use a stronger charger, within what the batteries bear, or a second set of batteries.",
        )));
    }
}

fn charger(kind: &PartType) -> Option<&Charger> {
    kind.elements.iter().find_map(|e| match &e.kind {
        ElementKind::Charger(c) => Some(c),
        _ => None,
    })
}
