//! Heat in the closed body over the day of a show.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct BodyHeat {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> BodyHeat {
    BodyHeat::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &BodyHeat) -> Vec<Finding> {
    Vec::new()
}
