//! Where things are: faces, clearances, routes. Knows nothing of volts and amperes.

pub mod geometry;

pub use geometry::*;
