//! What the builder must know of motors that generate: one file per kind of finding.

mod braking_overcharges;
mod pushed_bus_too_high;
mod pushed_without_battery;
mod pushing_wakes_consumers;
mod rolls_away_on_slope;
mod way_back_overloaded;

use super::Motion;
use crate::faults::Ground;
use crate::findings::All;
use loomdeck_model::{Finding, Page};

/// A page per kind.
pub const PAGES: &[Page] = &[
    braking_overcharges::PAGE,
    pushed_bus_too_high::PAGE,
    pushed_without_battery::PAGE,
    pushing_wakes_consumers::PAGE,
    rolls_away_on_slope::PAGE,
    way_back_overloaded::PAGE,
];

/// All findings of this room.
pub fn all(ground: &Ground<'_>, found: &Motion) -> Vec<Finding> {
    let all = All {
        robot: ground.robot,
        study: ground.power,
        circuit: ground.circuit.clone(),
        wires: ground.wires.clone(),
    };
    let mut out = Vec::new();
    braking_overcharges::find(&all, found, &mut out);
    pushed_bus_too_high::find(&all, found, &mut out);
    pushed_without_battery::find(&all, found, &mut out);
    pushing_wakes_consumers::find(&all, found, &mut out);
    rolls_away_on_slope::find(&all, found, &mut out);
    way_back_overloaded::find(&all, found, &mut out);
    out
}

/// Some names in a sentence, the first few.
pub fn names<'a>(all: impl IntoIterator<Item = &'a str>) -> String {
    const NAMED: usize = 4;
    let all: Vec<&str> = all.into_iter().collect();
    match all.len() {
        0 => String::new(),
        1 => all[0].to_owned(),
        n if n <= NAMED => format!("{} and {}", all[..n - 1].join(", "), all[n - 1]),
        n => format!("{} and {} more", all[..NAMED].join(", "), n - NAMED),
    }
}
