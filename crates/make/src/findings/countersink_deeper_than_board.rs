//! A countersunk head sinks too far into a thin board.

use super::on_board;
use loomdeck_model::part_type::{FixingStyle, Head};
use loomdeck_model::{Finding, Page, Robot, Severity};
use loomdeck_space::hardware;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "countersink-deeper-than-board",
    severity: Severity::Fix,
    title: "A countersunk head sinks too far into a thin board",
    physics: "A countersunk screw holds by the cone of its head. When the cone goes through the board it leaves a knife edge around the hole: the head pulls through, and in plastic the edge cracks. A third of the thickness is to remain below the head.",
    source: "A head must not be deeper than the sheet: AC 43.13-1B, chapter 4 (from memory); the third that remains is common practice, no source. Heads: ISO 7046-2, ASME B18.6.3.",
    limits: "A dimpled washer, or a sheet with its own strength such as aluminium, does with less.",
    before: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 4
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 6.6
fixing = { style = "bolt-and-nut", thread = "M6", head = "countersunk", flange_mm = 2 }
[[part]]
name = "hub"
type = "plate"
face = "front"
at_mm = [50, 50]
"#,
    after: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 4
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 6.6
fixing = { style = "bolt-and-nut", thread = "M6", head = "pan", flange_mm = 2 }
[[part]]
name = "hub"
type = "plate"
face = "front"
at_mm = [50, 50]
"#,
};

/// Fraction of the board that a head may take.
const DEEPEST: f64 = 2.0 / 3.0;

/// One finding for each part whose heads sink too far.
pub fn find(robot: &Robot) -> Vec<Finding> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut found = Vec::new();
    for held in on_board(robot) {
        let fixing = held.fixing;
        let sinks = fixing.head == Head::Countersunk
            && matches!(fixing.style, FixingStyle::BoltAndNut | FixingStyle::Standoff);
        let Some(thread) = fixing.thread.filter(|_| sinks) else { continue };
        let deep = hardware::head(thread, Head::Countersunk).height;
        let limit = board.thickness * DEEPEST;
        if deep <= limit {
            continue;
        }
        let what = format!(
            "The {} heads of {} sink {deep} into a board of {}; {limit} is the most that leaves an edge.",
            thread.word(),
            held.subject.name(),
            board.thickness
        );
        let why = "What is left under the head is too thin to hold it: it pulls through or cracks.";
        found.push(
            Finding::new(PAGE.slug, Severity::Fix, held.subject.clone(), what, why, PAGE.source)
                .with_value("depth_mm", deep.0)
                .with_limit("depth_mm", limit.0)
                .with_spot(held.placement.face, held.placement.at)
                .with_remedy(held.refix("Use pan heads.", "fixing.head", "pan")),
        );
    }
    found
}
