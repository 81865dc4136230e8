//! Heat in the closed body over the day of a show.
//!
//! `sources` adds up what the operating points turn into heat, `shell` says what carries it out, and
//! `course` follows the air inside over the day.

pub mod course;
mod findings;
pub mod shell;
mod sources;
mod study;
mod types;

pub use findings::{PAGES, findings};
pub use study::{FACTORS, study};
pub use types::*;

#[cfg(test)]
mod tests;
