//! A threaded insert is longer than the board is thick.

use super::on_board;
use loomdeck_model::part_type::{FixingStyle, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Robot, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "insert-longer-than-board",
    severity: Severity::Fix,
    title: "A threaded insert is longer than the board is thick",
    physics: "A threaded insert is pressed or melted into a bore of the board. When it is longer than the board is thick it stands out of the far face, where something may lie flat against it, and its last turns hold nothing.",
    source: "Lengths of inserts on sale: 4 mm for M2, 5.7 mm for M2.5 and M3, 8.1 mm for M4, 9.5 mm for M5, 12.7 mm for M6 and larger (common practice, no source; the insert at hand decides).",
    limits: "Short inserts are sold for thin sheet; measure yours.",
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
fixing = { style = "insert", thread = "M4", flange_mm = 2 }
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
fixing = { style = "bolt-and-nut", thread = "M4", flange_mm = 2 }
[[part]]
name = "meter"
type = "plate"
face = "front"
at_mm = [50, 50]
"#,
};

/// Length of an insert as commonly sold.
const fn insert_length(thread: Thread) -> Millimetres {
    Millimetres(match thread {
        Thread::M2 => 4.0,
        Thread::M2_5 | Thread::M3 | Thread::No4 => 5.7,
        Thread::No6 => 7.1,
        Thread::M4 | Thread::No8 => 8.1,
        Thread::M5 | Thread::No10 => 9.5,
        Thread::M6 | Thread::M8 | Thread::M10 => 12.7,
    })
}

/// One finding for each part held by inserts that are too long.
pub fn find(robot: &Robot) -> Vec<Finding> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut found = Vec::new();
    for (part, placement) in on_board(robot) {
        let Some(thread) = part.fixing.thread.filter(|_| part.fixing.style == FixingStyle::Insert)
        else {
            continue;
        };
        let length = insert_length(thread);
        if robot.types[part.kind.0].holes.is_empty() || length <= board.thickness {
            continue;
        }
        let subject = Subject::Part(part.name.clone());
        let set = |value: &str| Edit::Set {
            on: subject.clone(),
            key: "fixing.style".to_owned(),
            value: EditValue::Text(value.to_owned()),
        };
        let what = format!(
            "The {} inserts of {} are {length} long and stand {} out of the {} of the board, which is {} thick.",
            thread.word(),
            part.name,
            length - board.thickness,
            placement.face.other().word(),
            board.thickness
        );
        let why = "The part of an insert that stands out holds nothing and is in the way on that face.";
        found.push(
            Finding::new(PAGE.slug, Severity::Fix, subject.clone(), what, why, PAGE.source)
                .with_value("length_mm", length.0)
                .with_limit("length_mm", board.thickness.0)
                .with_spot(placement.face, placement.at)
                .with_remedy(Remedy::edit("Fix it with bolts and nuts.", vec![set("bolt-and-nut")]))
                .with_remedy(Remedy::edit("Fix it with captive nuts.", vec![set("captive-nut")])),
        );
    }
    found
}
