//! Wrong plugs.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "exchange",
        "Wrong plugs",
        "Each plug put into each other place it fits, the wrong way round, and left out, with everything else on.",
    )
}
