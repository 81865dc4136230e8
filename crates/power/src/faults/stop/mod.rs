//! Stop: what each switch, stop button or lost radio link leaves live or moving.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Stopping {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> Stopping {
    Stopping::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &Stopping) -> Vec<Finding> {
    Vec::new()
}
