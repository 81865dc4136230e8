//! Hum and upset.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "upset",
        "Hum and upset",
        "Millivolts that currents put between the two ends of a signal’s return, and whether levels fit.",
    )
}
