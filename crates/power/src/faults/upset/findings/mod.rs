//! What the builder must know of signals and their grounds.

#[macro_use]
mod bench;
mod ground_hum;
mod ground_shift;
mod level;
mod outputs_joined;
mod without_return;

use super::types::{Cause, Link, Upset};
use crate::faults::Ground;
use crate::findings::help;
use loomdeck_model::wire::Gauge;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Robot, Subject};
use std::collections::BTreeMap;

/// Explanations of this room's findings.
pub const PAGES: &[Page] =
    &[ground_hum::PAGE, ground_shift::PAGE, level::PAGE, outputs_joined::PAGE, without_return::PAGE];

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &Upset) -> Vec<Finding> {
    let mut out = Vec::new();
    ground_hum::find(ground, found, &mut out);
    ground_shift::find(ground, found, &mut out);
    level::find(ground, found, &mut out);
    outputs_joined::find(ground, found, &mut out);
    without_return::find(ground, found, &mut out);
    out
}

/// The part at the input of a link.
fn listener(robot: &Robot, link: &Link) -> Subject {
    help::place(robot, link.to)
}

/// Of the links between the same two parts that pass a test, the worst: one finding says it all.
fn worst_per_pair(
    found: &Upset,
    takes: impl Fn(&Link) -> bool,
    weight: impl Fn(&Link) -> f64,
) -> Vec<&Link> {
    let mut worst: BTreeMap<_, &Link> = BTreeMap::new();
    for link in found.links.iter().filter(|l| takes(l)) {
        let pair = (super::part_of(link.from), super::part_of(link.to));
        let slot = worst.entry(pair).or_insert(link);
        if weight(link) > weight(slot) {
            *slot = link;
        }
    }
    worst.into_values().collect()
}

/// Why the grounds are apart.
fn why(robot: &Robot, cause: Option<&Cause>) -> String {
    match cause {
        Some(c) => {
            let share = if c.share_percent < 99.5 {
                format!(", {:.0}\u{2009}% of the whole", c.share_percent)
            } else {
                String::new()
            };
            format!(
                "The wire {} lies between the two grounds and carries {:.1}\u{2009}A that have nothing to do with the signal: {:.0}\u{2009}mV drop along it{share}.",
                robot.wires[c.wire.0].name, c.current_a, c.drop_mv
            )
        }
        None => "Currents of other parts flow along the returns between them.".to_owned(),
    }
}

/// Moving a wire end to the star point, then a thicker wire, then advice.
fn remedies(robot: &Robot, f: Finding, cause: Option<&Cause>, after: impl Fn(f64) -> String) -> Finding {
    let mut f = f;
    if let Some(star) = cause.and_then(|c| c.star.as_ref()) {
        let wire = &robot.wires[star.wire.0];
        let edits = vec![Edit::Set {
            on: help::wire(robot, star.wire),
            key: star.end.to_owned(),
            value: EditValue::Text(star.landing_name.clone()),
        }];
        // A measured length was measured for the old way.
        let note = if wire.length.is_some() { " Measure its length again." } else { "" };
        f = f.with_remedy(Remedy::edit(
            format!(
                "Lead {} to {} instead: the grounds then differ by {}.{note}",
                wire.name,
                star.landing_name,
                after(star.after_mv)
            ),
            edits,
        ));
    }
    if let Some(c) = cause {
        let thicker = robot.wires[c.wire.0].gauge.thicker();
        if let Some(gauge) = thicker.and_then(Gauge::thicker).or(thicker) {
            f = f.with_remedy(help::resize(robot, c.wire, gauge, ", which drops less"));
        }
    }
    f.with_remedy(Remedy::advice(
        "Give each of them a return of its own to one common point near the battery, or use a balanced or isolated input.",
    ))
}

/// A thin wire between two landings.
fn new_wire(name: String, from: String, to: String) -> Edit {
    Edit::Add {
        on: Subject::Wire(name),
        keys: vec![
            ("from".to_owned(), EditValue::Text(from)),
            ("to".to_owned(), EditValue::Text(to)),
            ("size".to_owned(), EditValue::Gauge(Gauge::Metric(0.25))),
        ],
    }
}
