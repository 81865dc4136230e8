//! What the builder must know of exchanged plugs.

#[macro_use]
mod bench;
mod fits_wrong_place;
mod left_out;
mod reversed;

use super::Exchange;
use super::types::{Deed, Harm, HarmKind};
use crate::faults::Ground;
use loomdeck_model::{Edit, EditValue, Finding, Page, PlugId, Robot, Severity, Subject};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[fits_wrong_place::PAGE, left_out::PAGE, reversed::PAGE];

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &Exchange) -> Vec<Finding> {
    let mut out = Vec::new();
    fits_wrong_place::find(ground, found, &mut out);
    reversed::find(ground, found, &mut out);
    left_out::find(ground, found, &mut out);
    out
}

fn plug(robot: &Robot, id: PlugId) -> Subject {
    Subject::Plug(robot.plugs[id.0].name.clone())
}

fn name(robot: &Robot, id: PlugId) -> &str {
    &robot.plugs[id.0].name
}

/// A harm's weight: a fuse that opens has done its work.
fn severity(harms: &[Harm]) -> Severity {
    let mild = |h: &Harm| matches!(h.kind, HarmKind::FuseOpens | HarmKind::OutputsJoined);
    if harms.iter().all(mild) { Severity::Fix } else { Severity::Danger }
}

/// The deed as the beginning of a sentence.
fn deed_words(robot: &Robot, deed: Deed) -> String {
    match deed {
        Deed::Wrong { body, board, reversed } => {
            let turned = if reversed { ", turned round" } else { "" };
            format!("The body half of {} goes into {}{turned}", name(robot, body), name(robot, board))
        }
        Deed::Swapped { one, other } => {
            format!("{} and {} can be swapped", name(robot, one), name(robot, other))
        }
        Deed::Reversed { plug } => format!("{} mates the wrong way round", name(robot, plug)),
        Deed::Out { plug } => format!("{} is left out while the rest is on", name(robot, plug)),
    }
}

/// The value with its unit in the key, and the limit, of a harm.
fn with_numbers(finding: Finding, harm: &Harm) -> Finding {
    let key = match harm.unit {
        "A" => "current_a",
        "°C" => "temperature_c",
        _ => "voltage_v",
    };
    finding.with_value(key, harm.value).with_limit(key, harm.limit)
}

fn set(on: Subject, key: &str, value: &str) -> Edit {
    Edit::Set { on, key: key.to_owned(), value: EditValue::Text(value.to_owned()) }
}
