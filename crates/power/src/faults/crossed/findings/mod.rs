//! What the builder must know about crossed and missing wires: one file per kind of finding.

mod battery_reversed;
mod charger_reversed;
mod return_through_signal;

use super::Crossed;
use crate::faults::Ground;
use loomdeck_model::{Finding, Page};

/// A page per kind.
pub const PAGES: &[Page] =
    &[return_through_signal::PAGE, battery_reversed::PAGE, charger_reversed::PAGE];

/// All of them.
pub fn findings(ground: &Ground<'_>, found: &Crossed) -> Vec<Finding> {
    let mut out = Vec::new();
    return_through_signal::find(ground, found, &mut out);
    battery_reversed::find(ground, found, &mut out);
    charger_reversed::find(ground, found, &mut out);
    out
}
