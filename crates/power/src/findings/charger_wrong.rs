//! A charger does not suit the battery.

use super::{All, help, shelf};
use crate::fuse::reach::Metal;
use loomdeck_model::element::{Battery, Charger, ElementKind};
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "charger-wrong-voltage",
    severity: Severity::Danger,
    title: "A charger does not suit the battery",
    physics: "A charger ends at a fixed voltage. Above what the battery's chemistry bears it overcharges: lead-acid gasses, lithium burns. Far below, the battery never fills. A charger for another chemistry is wrong even where the voltage happens to match, because it ends and holds differently.",
    source: "The battery's stated charge voltage per cell and the charger's stated voltage",
    limits: "Batteries in series count with the sum of their voltages. Balancing of cells is the battery-management system's task.",
    before: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("charger", "charger-24v-lead-3a"),
        wire!("heart", "battery.plus", "fuse.in", 1, 100),
        wire!("feed", "fuse.out", "charger.plus", 1, 300),
        wire!("return", "charger.minus", "battery.minus", 1, 300),
        "\n[[situation]]\nname = \"charging\"\npowered = [\"charger\"]\ncharge_percent = 30\nlasting = true\n"
    ),
    after: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-7-5a\" }"),
        part!("charger", "charger-12v-lead-1a"),
        wire!("heart", "battery.plus", "fuse.in", 1, 100),
        wire!("feed", "fuse.out", "charger.plus", 1, 300),
        wire!("return", "charger.minus", "battery.minus", 1, 300),
        "\n[[situation]]\nname = \"charging\"\npowered = [\"charger\"]\ncharge_percent = 30\nlasting = true\n"
    ),
};

/// How far below the battery's charge voltage a charger may end and still fill it.
const ENOUGH: f64 = 0.93;

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let metal = Metal::of(&all.circuit, all.robot);
    for (part, _, kind) in help::elements(all) {
        let ElementKind::Charger(charger) = kind else { continue };
        let plus = all.circuit.local(part, charger.plus);
        let Some(string) = metal.string_at(all.robot, plus) else { continue };
        let wanted: f64 = string.iter().map(|(_, b)| charge_voltage(b)).sum();
        let Some((first, battery)) = string.first() else { continue };
        out.extend(judge(all, part, charger, *first, battery, wanted));
    }
}

fn charge_voltage(b: &Battery) -> f64 {
    b.charge_voltage_per_cell.0 * f64::from(b.cells)
}

fn judge(
    all: &All<'_>,
    part: PartId,
    charger: &Charger,
    first: PartId,
    battery: &Battery,
    wanted: f64,
) -> Option<Finding> {
    let (name, other) = (&all.robot.parts[part.0].name, &all.robot.parts[first.0].name);
    let family = |b: loomdeck_model::element::Chemistry| (b.is_lead(), b.is_lithium());
    let strange = family(charger.chemistry) != family(battery.chemistry)
        || (charger.chemistry.is_lithium() && charger.chemistry != battery.chemistry);
    let over = charger.voltage.0 > wanted * 1.01;
    let under = charger.voltage.0 < wanted * ENOUGH;
    if !(strange || over || under) {
        return None;
    }
    let severity = if over || strange { Severity::Danger } else { Severity::Fix };
    let why = if strange {
        "It is made for another chemistry."
    } else if over {
        "It would overcharge the battery."
    } else {
        "The battery would never fill."
    };
    let fitting = shelf::instead(all, part, |t| {
        let c = shelf::charger(t)?;
        let suits =
            c.chemistry == battery.chemistry || (c.chemistry.is_lead() && battery.chemistry.is_lead());
        let ends = c.voltage.0 <= wanted * 1.01 && c.voltage.0 >= wanted * ENOUGH;
        // The strongest that the battery bears.
        (suits && ends && c.current <= battery.charge_limit).then_some(-c.current.0)
    });
    let fitting = fitting.map(|t| shelf::swap(all, &[part], t, ", made for this battery"));
    Some(help::with_first(
        Finding::new(
            PAGE.slug,
            severity,
            help::part(all.robot, part),
            format!("{name} ends at {:.1}; {other} wants {:.1}.", charger.voltage, Volts(wanted)),
            why,
            PAGE.source,
        )
        .with_subject(help::part(all.robot, first))
        .with_value("voltage_v", charger.voltage.0)
        .with_limit("voltage_v", wanted),
        fitting,
        Remedy::advice("Use a charger made for this chemistry and this number of cells."),
    ))
}
