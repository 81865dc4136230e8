//! Taking the whole board out of the body. Part of the deep tier: an opening with a bite is long searched.

mod board_does_not_come_out;
mod wires_tie_board_to_body;

use super::layout::Layout;
use crate::order::Order;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[board_does_not_come_out::PAGE, wires_tie_board_to_body::PAGE];

/// Everything this room finds.
pub fn find(layout: &Layout, order: &Order, out: &mut Vec<Finding>) {
    let Some(take_out) = &order.take_out else { return };
    board_does_not_come_out::find(layout, take_out, out);
    wires_tie_board_to_body::find(layout, take_out, out);
}
