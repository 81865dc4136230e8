//! The build book and the stand-alone template, set by the typesetter from plain data.

mod world;

pub use world::{Desk, DrawProblem};
