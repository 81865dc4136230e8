//! Findings about the order of work, one kind a file. They belong to the deep tier.

use super::layout::Layout;
use crate::order::Order;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// Everything this room finds.
pub fn find(_layout: &Layout, _order: &Order, _out: &mut Vec<Finding>) {}
