//! A converter or driver gives more than it may.

use super::{All, help};
use crate::results::{ConverterState, ElementResult, Outcome};
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::{Amperes, Volts};
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "converter-overloaded",
    severity: Severity::Fix,
    title: "A converter is asked for more than it gives",
    physics: "Beyond its limit a converter holds its current and lets its voltage fall: everything on its rail sags at once. When only the peaks exceed the limit, the rail dips with every peak.",
    source: "The converter's stated limit; the solved network",
    limits: "The limit is taken as sharp. Peaks of all loads are taken to come together.",
    before: small_robot!(
        load_type!("board", "logic", "power", 5, 4.5, 6, 3.4),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("converter", "converter-12v-5v-3a"),
        part!("load", "board"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("return", "converter.in-minus", "battery.minus", 1.5, 300),
        wire!("five", "converter.out-plus", "load.plus", 1.5, 100),
        wire!("five-return", "load.minus", "converter.out-minus", 1.5, 100),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("board", "logic", "power", 5, 4.5, 6, 3.4),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("converter", "converter-12v-5v-5a"),
        part!("load", "board"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "converter.in-plus", 1.5, 300),
        wire!("return", "converter.in-minus", "battery.minus", 1.5, 300),
        wire!("five", "converter.out-plus", "load.plus", 1.5, 100),
        wire!("five-return", "load.minus", "converter.out-minus", 1.5, 100),
        situation!("on")
    ),
};

/// How near the limit counts as at it.
const AT_LIMIT: f64 = 1e-3;

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Converter(c) = kind else { continue };
        let mut worst: Option<(Amperes, SituationId, bool, Volts)> = None;
        for s in &all.study.situations {
            let ElementResult::Converter { output_voltage, output_current, peak_output_current, state, .. } =
                &s.parts[part.0].elements[e]
            else {
                continue;
            };
            // A load of constant power has no state beyond the limit: then the state shown is the last
            // before it.
            let at_limit = |i: Amperes| i.0 >= c.limit.0 * (1.0 - AT_LIMIT);
            let ends = s.outcome != Outcome::Solved && at_limit(*output_current);
            let steady = *state == ConverterState::Limiting || ends;
            if !(steady || at_limit(*peak_output_current)) {
                continue;
            }
            if worst.is_none_or(|w| steady && !w.2) {
                worst = Some((*peak_output_current, s.situation, steady, *output_voltage));
            }
        }
        // A branch that ends because this converter's load cannot be raised further.
        if let Some((amperes, situation, steady, volts)) = worst {
            out.push(finding(all, part, c.limit, amperes, situation, steady, volts));
        }
    }
}

fn finding(
    all: &All<'_>,
    part: PartId,
    limit: Amperes,
    amperes: Amperes,
    situation: SituationId,
    steady: bool,
    volts: Volts,
) -> Finding {
    let name = &all.robot.parts[part.0].name;
    let what = if steady {
        format!("{name} is at its limit of {limit} in `{}`; its output sinks to {volts:.2}.", help::name(all, situation))
    } else {
        format!("{name} meets its limit of {limit} at the peaks of `{}`; its rail dips with each.", help::name(all, situation))
    };
    Finding::new(
        PAGE.slug,
        if steady { Severity::Fix } else { Severity::Look },
        help::part(all.robot, part),
        what,
        "What hangs on its output asks for more together.",
        PAGE.source,
    )
    .with_value("current_a", amperes.0)
    .with_limit("current_a", limit.0)
    .with_situation(help::name(all, situation))
    .with_remedy(Remedy::advice("Use a larger converter, or a second one for part of what hangs on it."))
}
