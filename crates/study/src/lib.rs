//! Every result computed from one robot, and the trial of remedies on a copy.
//!
//! A [`Study`] has tiers: [`Study::live`] is what follows every edit (where things are, operating points,
//! holes, cut list), [`Study::deepened`] adds what follows when the hand rests (order of assembly and of
//! work), and [`Study::of`] is both. All output is drawn from a study and nothing else. [`trial`] applies
//! remedies to a copy of the files, studies the copy, and tells which of them really remove their
//! finding.

mod after;
pub mod compare;
mod study;
pub mod testing;
pub mod trial;

pub use compare::{Comparison, compare};
pub use study::{Deep, Study};
pub use trial::{Attempt, Key, Outcome, Trial, attempt, key, trials};

use loomdeck_model::Page;

/// The explanations of all findings, by slug.
pub fn pages() -> Vec<&'static Page> {
    let rooms = loomdeck_space::PAGES.iter().copied();
    let faults = loomdeck_power::FAULT_PAGES.iter().copied();
    let all = rooms.chain([loomdeck_power::PAGES, loomdeck_make::PAGES]).chain(faults);
    let mut pages: Vec<&'static Page> = all.flatten().collect();
    pages.sort_by_key(|p| p.slug);
    pages
}
