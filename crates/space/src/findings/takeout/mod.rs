//! Taking the whole board out of the body.

mod board_does_not_come_out;
mod wires_tie_board_to_body;

use super::layout::Layout;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[board_does_not_come_out::PAGE, wires_tie_board_to_body::PAGE];

/// Everything this room finds.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let Some(take_out) = &layout.geometry.take_out else { return };
    board_does_not_come_out::find(layout, take_out, out);
    wires_tie_board_to_body::find(layout, take_out, out);
}
