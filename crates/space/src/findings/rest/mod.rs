//! The board at rest: how it lies, how it is held, how its sheet bends and grows.

mod board_sags;
mod board_too_weak;
mod mass_not_stated;
mod mounts_like_a_hinge;
mod remedies;
mod sheet_grows_against_mounts;
mod stands_on_delicate_part;
mod tips_when_laid_down;

use super::layout::Layout;
use loomdeck_model::{Finding, Page};

/// Explanations of this room's findings.
pub const PAGES: &[Page] = &[
    board_too_weak::PAGE,
    board_sags::PAGE,
    mounts_like_a_hinge::PAGE,
    sheet_grows_against_mounts::PAGE,
    stands_on_delicate_part::PAGE,
    tips_when_laid_down::PAGE,
    mass_not_stated::PAGE,
];

/// Everything this room finds.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let Some(rest) = &layout.geometry.rest else { return };
    for find in [
        board_too_weak::find,
        board_sags::find,
        mounts_like_a_hinge::find,
        sheet_grows_against_mounts::find,
        stands_on_delicate_part::find,
        tips_when_laid_down::find,
        mass_not_stated::find,
    ] {
        find(layout, rest, out);
    }
}

/// A small robot for a page of this room: a sheet 400 × 300 mm with what is said of it, and modules of
/// several masses.
macro_rules! laden {
    ($board:expr, $rest:expr) => {
        concat!(
            r#"format = 1
[robot]
name = "small"
about = "A board to lift."

[[type]]
name = "block"
title = "block, 3 kg"
group = "boxes"
about = "A heavy block with a flat top."
basis = "made up"
size_mm = [80, 60]
height_mm = 40
mass_kg = 3
holes_mm = [[6, 6], [74, 54]]
hole_diameter_mm = 4.5
fixing = { style = "insert", thread = "M4" }

[[type]]
name = "card"
title = "circuit board, 80 g"
group = "boards"
about = "A bare circuit board on standoffs."
basis = "made up"
size_mm = [60, 50]
height_mm = 50
mass_g = 80
holes_mm = [[4, 4], [56, 4], [4, 46], [56, 46]]
hole_diameter_mm = 3.2
fixing = { style = "standoff", thread = "M3", standoff_mm = 10, flange_mm = 1.6 }

[[type]]
name = "nameless"
title = "module of unknown mass"
group = "boxes"
about = "Nobody has weighed it."
basis = "made up"
size_mm = [40, 30]
height_mm = 20
fixing = { style = "adhesive" }

[board]
size_mm = [400, 300]
depth_front_mm = 90
depth_back_mm = 60
"#,
            $board,
            "\n",
            $rest
        )
    };
}
use laden;

/// Four mounts in the corners.
macro_rules! corners {
    () => {
        r#"
[[mount]]
name = "lower-left"
at_mm = [15, 15]
thread = "M5"
[[mount]]
name = "lower-right"
at_mm = [385, 15]
thread = "M5"
[[mount]]
name = "upper-left"
at_mm = [15, 285]
thread = "M5"
[[mount]]
name = "upper-right"
at_mm = [385, 285]
thread = "M5"
"#
    };
}
use corners;
