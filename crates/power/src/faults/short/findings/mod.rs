//! What the builder must know about shorts: one file per kind of finding.

mod converter_feeds_short;
mod driver_feeds_short;
mod held;
mod rails_touch;
mod short_never_cleared;
mod wire_burns_in_short;
mod wrong_fuse_first;

use super::Short;
use crate::faults::Ground;
use loomdeck_model::{Finding, Page};

/// A page per kind.
pub const PAGES: &[Page] = &[
    short_never_cleared::PAGE,
    wire_burns_in_short::PAGE,
    converter_feeds_short::PAGE,
    driver_feeds_short::PAGE,
    wrong_fuse_first::PAGE,
    rails_touch::PAGE,
];

/// All of them.
pub fn findings(ground: &Ground<'_>, found: &Short) -> Vec<Finding> {
    let mut out = Vec::new();
    short_never_cleared::find(ground, found, &mut out);
    wire_burns_in_short::find(ground, found, &mut out);
    converter_feeds_short::find(ground, found, &mut out);
    driver_feeds_short::find(ground, found, &mut out);
    wrong_fuse_first::find(ground, found, &mut out);
    rails_touch::find(ground, found, &mut out);
    out
}
