//! Heat in the body.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "body",
        "Heat in the body",
        "What every part turns into heat, and how warm the closed body gets over the day.",
    )
}
