//! Hum and upset: millivolts on shared returns, level and polarity of signals, brown-out under stall.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Upset {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> Upset {
    Upset::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &Upset) -> Vec<Finding> {
    Vec::new()
}
