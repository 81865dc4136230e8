//! What the builder must know about the pack: one file per kind.

/// A load type of this many amperes at these volts.
macro_rules! takes {
    ($name:literal, $volts:literal, $amperes:literal) => {
        load_type!($name, "quiet", "current", $volts, 5, 34, $amperes)
    };
}

mod charge_takes_too_long;
mod nothing_cuts_off;
mod pack_unbalanced;
mod parallel_batteries;
mod stored_pack_drains;
mod unlike_batteries;

use super::types::Pack;
use crate::faults::Ground;
use crate::findings::help;
use loomdeck_model::part_type::PartType;
use loomdeck_model::{Edit, EditValue, Finding, Landing, Page, PartId, Remedy, Robot, Subject};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[
    charge_takes_too_long::PAGE,
    nothing_cuts_off::PAGE,
    pack_unbalanced::PAGE,
    parallel_batteries::PAGE,
    stored_pack_drains::PAGE,
    unlike_batteries::PAGE,
];

/// What the builder must know of it.
pub fn findings(ground: &Ground<'_>, found: &Pack) -> Vec<Finding> {
    let mut out = Vec::new();
    charge_takes_too_long::find(ground, found, &mut out);
    nothing_cuts_off::find(ground, found, &mut out);
    pack_unbalanced::find(ground, found, &mut out);
    parallel_batteries::find(ground, found, &mut out);
    stored_pack_drains::find(found, &mut out);
    unlike_batteries::find(ground, found, &mut out);
    out
}

/// A part as a subject.
fn part(robot: &Robot, id: PartId) -> Subject {
    Subject::Part(robot.parts[id.0].name.clone())
}

/// Whether every wire of a part finds its terminal on another type, and no terminal there needs a wire
/// more.
fn takes_its_wires(robot: &Robot, id: PartId, other: &PartType) -> bool {
    let own = robot.type_of(id);
    let on = |terminal: usize| {
        let here = Landing::Part { part: id, terminal };
        robot.wires.iter().filter(move |w| w.from == here || w.to == here)
    };
    let lands = own.terminals.iter().enumerate().all(|(i, t)| {
        on(i).next().is_none()
            || other.terminal(&t.name).map(|o| &other.terminals[o]).is_some_and(|o| {
                on(i).count() <= o.room_for as usize
                    && on(i).all(|w| help::goes_into(w.gauge, (o.thinnest, o.thickest)))
            })
    });
    let none_new = other.terminals.iter().all(|o| {
        o.optional || o.signal.is_some() || own.terminal(&o.name).is_some_and(|i| on(i).next().is_some())
    });
    lands && none_new
}

/// Changes the type of some parts.
fn swap(robot: &Robot, parts: &[PartId], other: &PartType, gain: &str) -> Remedy {
    let names: Vec<&str> = parts.iter().map(|p| robot.parts[p.0].name.as_str()).collect();
    let edits = parts.iter().map(|&p| Edit::Set {
        on: part(robot, p),
        key: "type".to_owned(),
        value: EditValue::Text(other.name.clone()),
    });
    Remedy::edit(
        format!("Use `{}` ({}) for {}{gain}.", other.name, other.title, names.join(" and ")),
        edits.collect(),
    )
}

/// Names, the first few of them.
fn some_names(robot: &Robot, parts: &[PartId]) -> String {
    const NAMED: usize = 4;
    let names: Vec<&str> = parts.iter().take(NAMED).map(|p| robot.parts[p.0].name.as_str()).collect();
    match (parts.len().saturating_sub(NAMED), names.split_last()) {
        (0, Some((last, first))) if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        (0, _) => names.join(", "),
        (more, _) => format!("{} and {more} more", names.join(", ")),
    }
}
