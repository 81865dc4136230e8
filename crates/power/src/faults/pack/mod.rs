//! The pack: taps that unbalance it, charging, storage, cut-off, what happens when its protection opens.

mod balance;
pub mod charging;
mod cut_off;
mod findings;
mod parallel;
mod storage;
mod strings;
mod study;
mod types;

pub use balance::flat_in_show;
pub use findings::{PAGES, findings};
pub use parallel::balancing;
pub use storage::days;
pub use study::study;
pub use types::*;

#[cfg(test)]
mod tests;
