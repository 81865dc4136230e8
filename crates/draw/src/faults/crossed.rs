//! Wrong wires.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "crossed",
        "Wrong wires",
        "A battery or a charger the wrong way round, and each return missing in turn.",
    )
}
