//! Findings about the order of work, one kind a file. They belong to the deep tier.

mod no_order_of_work;
mod often_used_part_buried;
mod tries;
mod words;

use super::layout::Layout;
use crate::order::Order;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[no_order_of_work::PAGE, often_used_part_buried::PAGE];

/// Everything this room finds.
pub fn find(layout: &Layout, order: &Order, out: &mut Vec<Finding>) {
    no_order_of_work::find(layout, order, out);
    often_used_part_buried::find(layout, order, out);
}
