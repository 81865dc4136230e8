//! The pack: taps that unbalance it, charging, storage, cut-off, what happens when its protection opens.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Pack {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> Pack {
    Pack::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &Pack) -> Vec<Finding> {
    Vec::new()
}
