//! How things are held on the board: which screws, what of a fixing stands on which face, which pieces
//! stay there when the part comes off, and what has to be reached to fit and to remove it.
//!
//! The way of fixing decides all of it, and every room that asks gets the same answer here.

mod shown;
mod stack;
mod steps;
#[cfg(test)]
mod tests;

pub use shown::{Shown, shown};
pub use stack::{FLOOR, Pocket, ScrewChoice, head_of, pan_for_flush, pocket, put_in_from, screws};
pub use steps::{Doing, Steps, Work, end_comes_off, steps};
