//! The batteries as a pack.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "pack",
        "The batteries as a pack",
        "Balance, charging, storage, and who cuts off before a cell is harmed.",
    )
}
