//! Shorts: at every wire, plug and load, to the return and to neighbours; what opens, when, and how warm the wire gets by then.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Short {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> Short {
    Short::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &Short) -> Vec<Finding> {
    Vec::new()
}
