//! A threaded insert is longer than the board is thick.

use super::{Held, on_board};
use loomdeck_model::part_type::{FixingStyle, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Finding, Page, Remedy, Robot, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "insert-longer-than-board",
    severity: Severity::Fix,
    title: "A threaded insert is longer than the board is thick",
    physics: "A threaded insert is pressed or melted into a bore of the board. When it is longer than the board is thick it stands out of the far face, where something may lie flat against it, and its last turns hold nothing.",
    source: "Lengths on sale, short and usual: 3 and 4 mm for M2, 3.8 and 5.7 mm for M3, 4.7 and 8.1 mm for M4, 5.8 and 9.5 mm for M5 (common practice, no source; the insert at hand decides).",
    limits: "Makers differ; measure yours. It is a note while the short kind is no longer than the board is thick.",
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
thickness_mm = 4
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

/// Lengths in which inserts are commonly sold: the short kind and the usual one, mm.
const fn lengths(thread: Thread) -> (Millimetres, Millimetres) {
    let (short, usual) = match thread {
        Thread::M2 => (3.0, 4.0),
        Thread::M2_5 => (3.4, 5.7),
        Thread::M3 | Thread::No4 => (3.8, 5.7),
        Thread::No6 => (3.8, 7.1),
        Thread::M4 | Thread::No8 => (4.7, 8.1),
        Thread::M5 | Thread::No10 => (5.8, 9.5),
        Thread::M6 => (7.1, 12.7),
        Thread::M8 | Thread::M10 => (9.5, 12.7),
    };
    (Millimetres(short), Millimetres(usual))
}

/// One finding for each part whose usual inserts are too long: a note while the short kind does.
pub fn find(robot: &Robot) -> Vec<Finding> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut found = Vec::new();
    for held in on_board(robot) {
        let insert = held.fixing.style == FixingStyle::Insert;
        let Some(thread) = held.fixing.thread.filter(|_| insert) else {
            continue;
        };
        let (short, usual) = lengths(thread);
        if usual <= board.thickness {
            continue;
        }
        let f = if short <= board.thickness {
            take_the_short_kind(&held, thread, (short, usual), board.thickness)
        } else {
            too_long(&held, thread, short, board.thickness)
        };
        found.push(f.with_spot(held.placement.face, held.placement.at));
    }
    found
}

fn take_the_short_kind(
    held: &Held<'_>,
    thread: Thread,
    (short, usual): (Millimetres, Millimetres),
    board: Millimetres,
) -> Finding {
    let part = held.subject.name();
    let what = format!(
        "{part} wants {} inserts of the short kind, {short}: the usual ones of {usual} stand out of the board, \
         which is {board} thick.",
        thread.word()
    );
    let why = "The part of an insert that stands out holds nothing and is in the way on that face.";
    Finding::new(PAGE.slug, Severity::Note, held.subject.clone(), what, why, PAGE.source)
        .with_value("length_mm", usual.0)
        .with_limit("length_mm", board.0)
        .with_remedy(Remedy::advice(format!("Buy inserts no longer than {board}.")))
}

fn too_long(held: &Held<'_>, thread: Thread, short: Millimetres, board: Millimetres) -> Finding {
    let part = held.subject.name();
    let set = |text: &str, value: &str| held.refix(text, "fixing.style", value);
    let what = format!(
        "Even the short {} inserts of {part} are {short} long and stand {} out of the {} of the board, which is \
         {board} thick.",
        thread.word(),
        short - board,
        held.placement.face.other().word(),
    );
    let why = "The part of an insert that stands out holds nothing and is in the way on that face.";
    Finding::new(PAGE.slug, Severity::Fix, held.subject.clone(), what, why, PAGE.source)
        .with_value("length_mm", short.0)
        .with_limit("length_mm", board.0)
        .with_remedy(set("Fix it with bolts and nuts.", "bolt-and-nut"))
        .with_remedy(set("Fix it with captive nuts.", "captive-nut"))
}
