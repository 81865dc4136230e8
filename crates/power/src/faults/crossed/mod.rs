//! Wrong wires: a battery or charger reversed, a missing return whose current goes through a signal ground.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Crossed {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> Crossed {
    Crossed::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &Crossed) -> Vec<Finding> {
    Vec::new()
}
