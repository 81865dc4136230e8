//! A supply is higher than a part survives, or the wrong way round.

use super::{All, help, shelf};
use crate::results::ElementResult;
use loomdeck_model::element::{Driver, ElementKind};
use loomdeck_model::part_type::TerminalRole;
use loomdeck_model::units::Volts;
use loomdeck_model::{
    Edit, EditValue, Finding, Landing, MovedBy, Page, PartId, Remedy, Severity, SituationId, WireId,
};

/// The page.
pub const PAGE: Page = Page {
    slug: "supply-destroys-part",
    severity: Severity::Danger,
    title: "A supply destroys a part",
    physics: "Every part has a voltage that it does not survive. A rail rises above the battery's nominal voltage when the battery is full, when it is being charged, and when the motors are turned from outside: all situations are looked at. A part that is fed the wrong way round conducts through its internal diodes until something burns.",
    source: "The part's stated damage voltage or absolute maximum; the solved network",
    limits: "Steady voltages of the described situations; spikes when switching are not in it.",
    before: small_robot!(
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-2a\" }"),
        part!("lamp", "lamp-led-12v-5w"),
        wire!("link", "battery-a.plus", "battery-b.minus", 4, 100),
        wire!("heart", "battery-b.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "lamp.plus", 0.75, 300),
        wire!("return", "lamp.minus", "battery-a.minus", 0.75, 300),
        situation!("on", "activity = { lamp = \"on\" }")
    ),
    after: small_robot!(
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-2a\" }"),
        part!("lamp", "lamp-led-24v-10w"),
        wire!("link", "battery-a.plus", "battery-b.minus", 4, 100),
        wire!("heart", "battery-b.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "lamp.plus", 0.75, 300),
        wire!("return", "lamp.minus", "battery-a.minus", 0.75, 300),
        situation!("on", "activity = { lamp = \"on\" }")
    ),
};

/// Limit and voltage of an element.
fn stands(kind: &ElementKind, result: &ElementResult) -> Option<(Volts, Volts)> {
    match (kind, result) {
        (ElementKind::Load(l), ElementResult::Load { voltage, peak_voltage, .. }) => {
            Some((l.damage, voltage.max(*peak_voltage)))
        }
        (ElementKind::Converter(c), ElementResult::Converter { input_voltage, .. }) => {
            Some((c.absolute_max, *input_voltage))
        }
        (ElementKind::Driver(d), ElementResult::Driver { voltage, .. }) => {
            Some((d.absolute_max, *voltage))
        }
        (ElementKind::Meter(m), ElementResult::Meter { voltage, .. }) => Some((m.voltage, *voltage)),
        (ElementKind::Capacitor(c), ElementResult::Capacitor { voltage }) => Some((c.voltage, *voltage)),
        (ElementKind::Contactor(c), ElementResult::Contactor { coil_voltage, .. }) => {
            Some((c.coil_max, coil_voltage.abs()))
        }
        (ElementKind::Diode(d), ElementResult::Diode { voltage, .. }) => Some((d.reverse, -*voltage)),
        _ => None,
    }
}

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let mut high: Option<(Volts, Volts, SituationId)> = None;
        let mut reversed: Option<(Volts, SituationId)> = None;
        for s in &all.study.situations {
            // A driver lifted by its own motors is told of in `pushed-bus-too-high`.
            let pushed = all.robot.situations[s.situation.0].moved_by == MovedBy::Hand;
            if pushed && matches!(kind, ElementKind::Driver(_)) {
                continue;
            }
            let Some((limit, v)) = stands(kind, &s.parts[part.0].elements[e]) else { continue };
            if v > limit && high.is_none_or(|h| v > h.1) {
                high = Some((limit, v, s.situation));
            }
            let can_reverse = !matches!(kind, ElementKind::Diode(_) | ElementKind::Contactor(_));
            if can_reverse && v.0 < -0.5 && reversed.is_none_or(|r| v < r.0) {
                reversed = Some((v, s.situation));
            }
        }
        if let Some((limit, v, situation)) = high {
            out.push(too_high(all, part, limit, v, situation));
        }
        if let Some((v, situation)) = reversed {
            out.push(wrong_way(all, part, v, situation));
        }
    }
}

fn too_high(all: &All<'_>, part: PartId, limit: Volts, v: Volts, situation: SituationId) -> Finding {
    let name = &all.robot.parts[part.0].name;
    let f = Finding::new(
        PAGE.slug,
        Severity::Danger,
        help::part(all.robot, part),
        format!(
            "{name} gets {v:.1} in `{}`; above {limit} it is destroyed.",
            help::name(all, situation)
        ),
        "Its rail stands that high in this situation.",
        PAGE.source,
    )
    .with_value("voltage_v", v.0)
    .with_limit("voltage_v", limit.0)
    .with_situation(help::name(all, situation));
    let other = shelf::other_converter(
        all,
        part,
        |o| o.absolute_max > v && o.window_high > v && o.window_low < v,
        ", which bears this voltage",
    )
    .or_else(|| {
        let bears = |o: &Driver| o.absolute_max > v && o.window_high > v && o.window_low < v;
        shelf::other_driver(all, part, bears, ", which bears this voltage")
    });
    let advice = Remedy::advice("Use a part made for this rail, or feed it through a converter.");
    help::with_first(f, other, advice)
}

fn wrong_way(all: &All<'_>, part: PartId, v: Volts, situation: SituationId) -> Finding {
    let name = &all.robot.parts[part.0].name;
    let f = Finding::new(
        PAGE.slug,
        Severity::Danger,
        help::part(all.robot, part),
        format!("{name} is fed the wrong way round in `{}`: {v:.1}.", help::name(all, situation)),
        "Its positive terminal is joined to the return and its return to the supply.",
        PAGE.source,
    )
    .with_value("voltage_v", v.0)
    .with_limit("voltage_v", 0.0)
    .with_situation(help::name(all, situation));
    match exchanged(all, part) {
        Some(edits) => f.with_remedy(Remedy::edit(format!("Exchange the wires at {name}."), edits)),
        None => f.with_remedy(Remedy::advice("Exchange the two wires at it.")),
    }
}

/// Leads every wire on its positive terminal to its return and the other way round.
fn exchanged(all: &All<'_>, part: PartId) -> Option<Vec<Edit>> {
    let own = all.robot.type_of(part);
    let only = |role: TerminalRole| {
        let mut found = own.terminals.iter().enumerate().filter(|(_, t)| t.role == role);
        found.next().map(|t| t.0).filter(|_| found.next().is_none())
    };
    let (plus, minus) = (only(TerminalRole::Positive)?, only(TerminalRole::Return)?);
    let other = |end: Landing| match end {
        Landing::Part { part: p, terminal } if p == part && (terminal == plus || terminal == minus) => {
            Some(Landing::Part { part, terminal: plus + minus - terminal })
        }
        _ => None,
    };
    let mut edits = Vec::new();
    for (w, wire) in all.robot.wires.iter().enumerate() {
        for (key, end) in [("from", other(wire.from)), ("to", other(wire.to))] {
            let Some(end) = end else { continue };
            edits.push(Edit::Set {
                on: help::wire(all.robot, WireId(w)),
                key: key.to_owned(),
                value: EditValue::Text(all.robot.landing_word(end)),
            });
        }
    }
    (!edits.is_empty()).then_some(edits)
}
