//! Nothing opens before the cells are damaged.

use super::super::types::{CutOff, Pack};
use super::{part, some_names, swap, takes_its_wires};
use crate::faults::Ground;
use crate::fuse::reach::battery;
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::part_type::PartType;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity, library};

/// The page.
pub const PAGE: Page = Page {
    slug: "nothing-cuts-off",
    severity: Severity::Fix,
    title: "Nothing opens before the cells are damaged",
    physics: "An empty battery that goes on giving is damaged: a lithium cell grows copper whiskers and may burn at the next charge, the weakest cell of a string is driven backwards, a lead plate sulphates. Converters and motor drivers stop below their window, mostly far too low; lamps, meters and amplifiers draw to the end. A battery-management system or a battery guard opens in time, when nothing but a meter passes it by.",
    source: "Damaging voltages per cell: lead 1.67, lithium iron phosphate 2.0, other lithium 2.5, nickel metal hydride 0.9 V (common practice, from memory)",
    limits: "Under load the voltage is lower than at rest; a weak battery reaches it sooner. A person who watches a meter counts as a meter.",
    before: small_robot!(
        takes!("player", 12, 1),
        part!("battery", "li-po-3s-11v1-5ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("switch", "rocker-10a"),
        part!("sound", "player"),
        wire!("heart", "battery.plus", "fuse.in", 2.5, 200),
        wire!("feed-1", "fuse.out", "switch.a", 1.5, 200),
        wire!("feed-2", "switch.b", "sound.plus", 1.5, 200),
        wire!("back", "sound.minus", "battery.minus", 2.5, 200),
        "\n[[situation]]\nname = \"on\"\nclosed = [\"switch\"]\ncharge_percent = 80\nlasting = true\n"
    ),
    after: small_robot!(
        takes!("player", 12, 1),
        part!("battery", "li-ion-3s-10v8-5ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("switch", "rocker-10a"),
        part!("sound", "player"),
        wire!("heart", "battery.plus", "fuse.in", 2.5, 200),
        wire!("feed-1", "fuse.out", "switch.a", 1.5, 200),
        wire!("feed-2", "switch.b", "sound.plus", 1.5, 200),
        wire!("back", "sound.minus", "battery.minus", 2.5, 200),
        "\n[[situation]]\nname = \"on\"\nclosed = [\"switch\"]\ncharge_percent = 80\nlasting = true\n"
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Pack, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    for string in &found.strings {
        let open: Vec<&CutOff> = found
            .cut_off
            .iter()
            .filter(|c| string.batteries.contains(&c.battery))
            .filter(|c| c.opened_by.is_none() && !c.goes_on.is_empty())
            .collect();
        let Some(first) = open.first() else { continue };
        let Some(data) = battery(robot, first.battery) else { continue };
        let severity = if data.chemistry.is_lithium() {
            Severity::Fix
        } else if first.metered {
            Severity::Note
        } else {
            Severity::Look
        };
        let parts: Vec<PartId> = open.iter().map(|c| c.battery).collect();
        let watch = if first.metered { "; only your eye on the meter does" } else { "" };
        let sinks = if parts.len() == 1 { "sinks" } else { "sink" };
        let go = if first.goes_on.len() == 1 { "goes" } else { "go" };
        let each = if parts.len() == 1 { "" } else { " each" };
        let mut f = Finding::new(
            PAGE.slug,
            severity,
            part(robot, first.battery),
            format!(
                "Nothing opens before {} {sinks} below {:.1}{each}, where cells are damaged{watch}: {} {go} on drawing.",
                some_names(robot, &parts),
                first.damage,
                some_names(robot, &first.goes_on)
            ),
            match first.last_to_stop {
                Some((p, v)) => format!(
                    "It should end at {:.1}. Of what stops by itself, {} is the last, at {v:.1}.",
                    first.stated, robot.parts[p.0].name
                ),
                None => format!("It should end at {:.1}.", first.stated),
            },
            PAGE.source,
        )
        .with_value("stated_voltage_v", first.stated.0)
        .with_limit("voltage_v", first.damage.0);
        for other in &parts[1..] {
            f = f.with_subject(part(robot, *other));
        }
        if let Some(remedy) = guarded(ground, &parts) {
            f = f.with_remedy(remedy);
        }
        out.push(f.with_remedy(Remedy::advice(if data.chemistry.is_lithium() {
            "Use a battery with a battery-management system of its own, or put one between cells and fuse."
        } else {
            "Put a battery guard behind the main fuse, so that all but the meter hang on it."
        })));
    }
}

/// A battery of the same kind with a protection of its own.
fn guarded(ground: &Ground<'_>, parts: &[PartId]) -> Option<Remedy> {
    let robot = ground.robot;
    let own = battery(robot, *parts.first()?)?;
    let most = ground.power.situations.iter().flat_map(|s| {
        parts.iter().flat_map(|p| &s.parts[p.0].elements).filter_map(|e| match e {
            ElementResult::Battery { current, peak, .. } => Some(current.0.max(peak.0 / 2.0)),
            _ => None,
        })
    });
    let most = most.fold(0.0, f64::max);
    let suits = |t: &PartType| {
        let cells = t.elements.iter().find_map(|e| match &e.kind {
            ElementKind::Battery(b) => Some(b),
            _ => None,
        });
        let protects = t
            .elements
            .iter()
            .any(|e| matches!(&e.kind, ElementKind::Protection(p) if p.opens_below.is_some()));
        protects
            && cells.is_some_and(|b| {
                b.chemistry == own.chemistry
                    && b.cells == own.cells
                    && b.capacity >= own.capacity
                    && b.discharge_limit.0 >= most
            })
            && parts.iter().all(|&p| takes_its_wires(robot, p, t))
    };
    let other = library::with_element("protection").into_iter().find(suits)?;
    Some(swap(robot, parts, &other, ", which opens by itself"))
}
