//! Stopping.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "stop",
        "Stopping",
        "What each switch, stop button and lost radio link leaves live or moving, and how far it rolls.",
    )
}
