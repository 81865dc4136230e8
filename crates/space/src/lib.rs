//! Where things are: faces, clearances, routes. Knows nothing of volts and amperes.

pub mod geometry;
pub mod hardware;

pub use geometry::*;

use loomdeck_model::{Finding, Page, Robot};

/// Everything this crate finds out about where things are.
pub fn study(_robot: &Robot) -> Geometry {
    Geometry::default()
}

/// What the builder must know about it.
pub fn findings(_robot: &Robot, _geometry: &Geometry) -> Vec<Finding> {
    Vec::new()
}

/// Explanations of this crate's findings.
pub const PAGES: &[Page] = &[];
