//! Plots with direct labels: limits as hatched edges, working points marked and named.

mod axis;
mod currents;
mod day;
mod fuse;
mod lines;

pub use currents::currents;
pub use day::day;
pub use fuse::fuse;
pub use lines::{Curve, Edge, Lines, lines};

/// A finished plot.
#[derive(Clone, Debug)]
pub struct Plot {
    /// The SVG file.
    pub svg: String,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// Boxes of its labels, which never overlap.
    pub labels: Vec<crate::labels::Block>,
}
