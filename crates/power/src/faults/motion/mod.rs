//! Pushed, braked, lowered: motors as generators, the bus against speed, what the way back leaves live.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Motion {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> Motion {
    Motion::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &Motion) -> Vec<Finding> {
    Vec::new()
}
