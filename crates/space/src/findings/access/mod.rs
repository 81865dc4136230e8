//! What hands and tools cannot get at, one kind a file.

mod edge_room_not_stated;
mod mount_out_of_reach;
mod no_room_in_body;
mod plug_latch_without_room;
mod post_on_part;
mod reach_blocked;
mod screw_under_own_part;
mod terminal_screw_blocked;
pub(super) mod tried;
pub(crate) mod words;

use super::layout::Layout;
use loomdeck_model::{Finding, Page};
use tried::Tried;

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[
    reach_blocked::PAGE,
    no_room_in_body::PAGE,
    mount_out_of_reach::PAGE,
    screw_under_own_part::PAGE,
    terminal_screw_blocked::PAGE,
    plug_latch_without_room::PAGE,
    post_on_part::PAGE,
    edge_room_not_stated::PAGE,
];

/// Everything this room finds.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let tried = Tried::new(layout);
    for find in [
        reach_blocked::find,
        no_room_in_body::find,
        mount_out_of_reach::find,
        screw_under_own_part::find,
        terminal_screw_blocked::find,
        plug_latch_without_room::find,
        post_on_part::find,
    ] {
        find(&tried, out);
    }
    edge_room_not_stated::find(layout, out);
}

/// The robot whose card reader is blocked.
#[cfg(test)]
pub(crate) fn reach_blocked_before() -> &'static str {
    reach_blocked::PAGE.before
}
