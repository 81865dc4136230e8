//! A board is too thin to take a captive nut flush.

use super::on_board;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Robot, Severity, Subject};
use loomdeck_space::{hardware, held};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "sunk-nut-stands-proud",
    severity: Severity::Look,
    title: "The board is too thin to sink a captive nut flush",
    physics: "A captive nut is sunk into a flat-bottomed pocket of the far face, and the screw pulls it \
        against the floor of that pocket. The floor must carry the pull; with less than one thread diameter \
        of board left, it dishes or breaks out. In a thin board the pocket ends before the nut is flush, and \
        what stands out is in the way of whatever lies on that face.",
    source: "Height of nuts: ISO 4032. A floor of one thread diameter: common practice, no source.",
    limits: "Strength of the material is not computed. A thin nut (ISO 4035) sinks deeper, and aluminium does with a \
        thinner floor.",
    before: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 6
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 4.5
fixing = { style = "captive-nut", thread = "M4", sunk = true, flange_mm = 2 }
[[part]]
name = "meter"
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
thickness_mm = 6
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 4.5
fixing = { style = "captive-nut", thread = "M3", sunk = true, flange_mm = 2 }
[[part]]
name = "meter"
type = "plate"
face = "front"
at_mm = [50, 50]
"#,
};

/// One finding for each part whose nuts stand proud.
pub fn find(robot: &Robot) -> Vec<Finding> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut found = Vec::new();
    for held in on_board(robot) {
        let face = held.placement.face;
        let Some(thread) = held.fixing.thread else { continue };
        let Some(pocket) = held::pocket(held.fixing, thread, face, board.thickness) else { continue };
        if pocket.proud.0 <= 1e-6 {
            continue;
        }
        let name = held.subject.name();
        let nut = hardware::nut(thread).height;
        let what = format!(
            "The sunk {} nuts of {name} stand {} out of the {}: they are {nut} high, and the board takes {}.",
            thread.word(),
            pocket.proud,
            pocket.face.word(),
            pocket.depth
        );
        let why = format!(
            "The board is {} thick, and {} of it must stay under the nut.",
            board.thickness,
            thread.major()
        );
        let remedy = match &held.subject {
            Subject::Part(_) => Remedy::edit(
                "Let the nuts lie on the board.",
                vec![Edit::Set {
                    on: held.subject.clone(),
                    key: "fixing.sunk".to_owned(),
                    value: EditValue::Flag(false),
                }],
            ),
            _ => Remedy::advice("Let the nuts lie on the board, or use a thinner thread."),
        };
        found.push(
            Finding::new(PAGE.slug, PAGE.severity, held.subject.clone(), what, why, PAGE.source)
                .with_value("proud_mm", pocket.proud.0)
                .with_limit("depth_mm", pocket.depth.0)
                .with_spot(pocket.face, held.placement.at)
                .with_remedy(remedy),
        );
    }
    found
}
