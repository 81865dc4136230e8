//! Pushed, braked, lowered.

use super::{Chapter, Matter};

/// The chapter.
pub(super) fn chapter(_m: &Matter<'_>) -> Chapter {
    Chapter::new(
        "motion",
        "Pushed, braked, lowered",
        "The motors as generators: what the bus sees while somebody pushes the robot, while it brakes, and when the battery lets go meanwhile.",
    )
}
