//! Wire ends without room to bend, one kind a file.

mod bend_too_tight;
mod facing_wires_meet;
mod tried;
mod wire_meets_body;

use super::access::tried::Tried;
use super::layout::Layout;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[bend_too_tight::PAGE, wire_meets_body::PAGE, facing_wires_meet::PAGE];

/// Everything this room finds.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let tried = Tried::new(layout);
    for find in [bend_too_tight::find, wire_meets_body::find, facing_wires_meet::find] {
        find(&tried, out);
    }
}
