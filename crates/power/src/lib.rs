//! What the electricity does.
//!
//! Takes a [`loomdeck_model::Robot`] and where its wires run ([`loomdeck_space::Geometry`]) and says
//! for every situation which current flows where, how warm every wire gets, what every part is
//! fed with; which fuse suits each way; how long the batteries last; what is left for later.
//! It draws nothing and changes nothing: a thicker wire is a remedy it offers.

#[macro_use]
mod small_robots;

pub mod circuit;
pub mod energy;
pub mod faults;
pub mod findings;
pub mod fuse;
pub mod heat;
mod lanes;
pub mod netlist;
pub mod operate;
pub mod paths;
pub mod results;
mod situation;
pub mod solver;
mod spare;
mod study;
mod unjudged;

pub use faults::PAGES as FAULT_PAGES;
pub use findings::{PAGES, findings};
pub use results::*;
pub use study::{export, study};

pub mod testing;
#[cfg(test)]
mod tests;
