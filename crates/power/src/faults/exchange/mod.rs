//! Wrong plugs: one half in another's place, reversed, left out; and the keys that make it harmless.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Exchange {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> Exchange {
    Exchange::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &Exchange) -> Vec<Finding> {
    Vec::new()
}
