//! What happens in the first moments: surges into capacitors, load dump, dips, pre-charge.

use super::Ground;
use loomdeck_model::{Finding, Page};
use serde::Serialize;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// What this room worked out.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Surge {}

/// Works it out.
pub fn study(_ground: &Ground<'_>) -> Surge {
    Surge::default()
}

/// What the builder must know of it.
pub fn findings(_ground: &Ground<'_>, _found: &Surge) -> Vec<Finding> {
    Vec::new()
}
