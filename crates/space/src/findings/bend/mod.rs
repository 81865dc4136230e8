//! Findings of this room, one kind a file.

use super::layout::Layout;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[];

/// Everything this room finds.
pub fn find(_layout: &Layout, _out: &mut Vec<Finding>) {}
