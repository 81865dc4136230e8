//! What the builder must know before cutting and drilling. One file a finding.

use crate::making::Making;
use loomdeck_model::{Finding, Page, Robot};
use loomdeck_space::Geometry;

/// Everything `explain` can say about this crate's findings.
pub const PAGES: &[Page] = &[];

/// All findings of making, sorted worst first.
pub fn findings(_robot: &Robot, _geometry: &Geometry, _making: &Making) -> Vec<Finding> {
    Vec::new()
}
