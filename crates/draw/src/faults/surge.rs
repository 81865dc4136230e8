//! The first moments.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "surge",
        "The first moments",
        "What flows while capacitors fill and motors start, and what the bus sees when the battery lets go.",
    )
}
