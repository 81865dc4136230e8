//! Short circuits.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "short",
        "Short circuits",
        "Every wire, plug and load shorted to its return and to what lies beside it: what flows, what opens, when, and how warm the wire is by then.",
    )
}
