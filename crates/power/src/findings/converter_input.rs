//! A converter or driver is fed outside its window.

use super::{All, help, shelf};
use crate::results::{ConverterState, ElementResult};
use loomdeck_model::element::{Converter, Driver, ElementKind};
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, MovedBy, Page, PartId, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "supply-outside-window",
    severity: Severity::Fix,
    title: "A converter or driver is fed outside its window",
    physics: "Below its window a converter or driver switches itself off; just above the output a converter that only steps down can no longer hold it, and the output follows the input down. Above its window it switches off or limps. The voltage that counts is the one at its own terminals, with everything running, at the charge that the situation states.",
    source: "The part's stated window; the solved network",
    limits: "Windows are taken as sharp.",
    before: small_robot!(
        load_type!("board", "logic", "power", 12, 9, 15, 0.5),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("converter", "converter-24v-12v-3a"),
        part!("load", "board"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("return", "converter.in-minus", "battery.minus", 1.5, 300),
        wire!("five", "converter.out-plus", "load.plus", 1.5, 100),
        wire!("five-return", "load.minus", "converter.out-minus", 1.5, 100),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("board", "logic", "power", 12, 9, 15, 0.5),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("converter", "converter-steady-12v-5a"),
        part!("load", "board"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("return", "converter.in-minus", "battery.minus", 1.5, 300),
        wire!("five", "converter.out-plus", "load.plus", 1.5, 100),
        wire!("five-return", "load.minus", "converter.out-minus", 1.5, 100),
        situation!("on")
    ),
};

/// A rail this far down is off, not low: the part is simply not fed.
const OFF: f64 = 0.2;

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let (low, high) = match kind {
            ElementKind::Converter(c) => (c.window_low, c.window_high),
            ElementKind::Driver(d) => (d.window_low, d.window_high),
            _ => continue,
        };
        let mut worst: Option<(f64, Volts, SituationId, bool)> = None;
        for s in &all.study.situations {
            let pushed = all.robot.situations[s.situation.0].moved_by == MovedBy::Hand;
            if pushed && matches!(kind, ElementKind::Driver(_)) {
                continue;
            }
            let (v, follows) = match &s.parts[part.0].elements[e] {
                ElementResult::Converter { input_voltage, state, .. } => {
                    (*input_voltage, *state == ConverterState::Following)
                }
                ElementResult::Driver { voltage, .. } => (*voltage, false),
                _ => continue,
            };
            if v.0 < OFF * low.0 {
                continue;
            }
            let beyond = (low.0 - v.0).max(v.0 - high.0);
            if (beyond > 0.0 || follows) && worst.is_none_or(|w| beyond > w.0) {
                worst = Some((beyond, v, s.situation, follows));
            }
        }
        if let Some((_, v, situation, follows)) = worst {
            out.push(finding(all, part, v, (low, high), situation, follows));
        }
    }
}

fn finding(
    all: &All<'_>,
    part: PartId,
    v: Volts,
    window: (Volts, Volts),
    situation: SituationId,
    follows: bool,
) -> Finding {
    let name = &all.robot.parts[part.0].name;
    let (low, high) = window;
    let (what, why) = if follows {
        (
            format!(
                "{name} gets {v:.1} in `{}` and cannot hold its output.",
                help::name(all, situation)
            ),
            "The input is closer to the output than it needs to regulate.",
        )
    } else {
        (
            format!(
                "{name} gets {v:.1} in `{}`; it runs from {low} to {high}.",
                help::name(all, situation)
            ),
            "Outside this window it switches itself off.",
        )
    };
    let f = Finding::new(PAGE.slug, Severity::Fix, help::part(all.robot, part), what, why, PAGE.source)
        .with_value("voltage_v", v.0)
        .with_limit("voltage_v", if v > high { high.0 } else { low.0 })
        .with_situation(help::name(all, situation));
    let advice = Remedy::advice("Use one made for this supply, or feed it from another rail.");
    help::with_first(f, made_for(all, part, v), advice)
}

/// A converter or driver that runs at this voltage and gives no less.
fn made_for(all: &All<'_>, part: PartId, v: Volts) -> Option<Remedy> {
    let own = all.robot.type_of(part);
    let gain = format!(", which runs at {v:.1}");
    if let Some(c) = shelf::converter(own) {
        let runs = |o: &Converter| {
            let regulates = o.drop_out.is_none_or(|d| v - d > o.output);
            regulates && o.limit >= c.limit && o.window_low < v && v < o.window_high
        };
        return shelf::other_converter(all, part, runs, &gain);
    }
    let d = shelf::driver(own)?;
    let runs = |o: &Driver| o.continuous >= d.continuous && o.window_low < v && v < o.window_high;
    shelf::other_driver(all, part, runs, &gain)
}
