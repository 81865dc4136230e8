//! Two things want a hole of different size at the same place.

use crate::holes::{Want, wanted};
use crate::making::{Hole, HoleUse, Making};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{
    Edit, EditValue, Face, Finding, Page, Place, Point, Remedy, Robot, Severity, Subject,
};
use loomdeck_space::hardware;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "holes-share-a-place",
    severity: Severity::Fix,
    title: "Two things want holes of different size at the same place",
    physics: "Holes whose centres are closer than a tenth of a millimetre are one hole, since no hand drills them apart. The larger size wins, and the smaller screw then sits loosely: it bears on one side, works loose and lets its part shift.",
    source: "Clearance holes: ISO 273 (1979). The distance within which holes are taken for one is ours.",
    limits: "Two parts that share a screw on purpose want the same thread on both faces; that is not reported.",
    before: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 10
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 5.5
fixing = { style = "bolt-and-nut", thread = "M5", flange_mm = 2 }
[[part]]
name = "hub"
type = "plate"
face = "front"
at_mm = [50, 50]
[[type]]
name = "tray"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 5.5
fixing = { style = "bolt-and-nut", thread = "M3", flange_mm = 2 }
[[part]]
name = "tray"
type = "tray"
face = "back"
at_mm = [58, 50]
"#,
    after: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 10
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 5.5
fixing = { style = "bolt-and-nut", thread = "M5", flange_mm = 2 }
[[part]]
name = "hub"
type = "plate"
face = "front"
at_mm = [50, 50]
[[type]]
name = "tray"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 5.5
fixing = { style = "bolt-and-nut", thread = "M5", flange_mm = 2 }
[[part]]
name = "tray"
type = "tray"
face = "back"
at_mm = [58, 50]
"#,
};

/// One finding for each pair of things that share a place, however many holes of theirs do.
pub fn find(robot: &Robot, making: &Making) -> Vec<Finding> {
    let mut seen: Vec<(&Subject, &Subject)> = Vec::new();
    let mut found = Vec::new();
    // What each use can live with stands in the wants; they are worked out only when uses meet.
    let mut wants: Option<Vec<Want>> = None;
    for hole in making.holes.iter().filter(|h| h.uses.len() > 1) {
        let wants = wants.get_or_insert_with(|| wanted(robot));
        let Some(large) = hole.uses.iter().max_by(|a, b| a.wants.0.total_cmp(&b.wants.0)) else {
            continue;
        };
        for small in hole.uses.iter().filter(|u| u.subject != large.subject) {
            let loose = |w: &Want| {
                w.purpose == *small && w.at.distance(hole.at) < 0.2 && w.size.most < hole.diameter()
            };
            let key = (&small.subject, &large.subject);
            if wants.iter().any(loose) && !seen.contains(&key) {
                seen.push(key);
                found.push(finding(robot, hole, small, large));
            }
        }
    }
    found
}

fn finding(robot: &Robot, hole: &Hole, small: &HoleUse, large: &HoleUse) -> Finding {
    let what = format!(
        "{} wants a hole of {} where {} wants one of {}; they are one hole, drilled to {}.",
        small.subject.name(),
        small.wants,
        large.subject.name(),
        large.wants,
        hole.diameter()
    );
    let why = format!(
        "The {} of {} sits loosely in it and lets the part shift.",
        small.what,
        small.subject.name()
    );
    let mut f = Finding::new(PAGE.slug, Severity::Fix, small.subject.clone(), what, why, PAGE.source)
        .with_subject(large.subject.clone())
        .with_value("diameter_mm", hole.diameter().0)
        .with_limit("diameter_mm", small.wants.0)
        .with_spot(Face::Front, hole.at);
    f.remedies.extend(same_thread(robot, small, large));
    f.remedies.extend(move_away(robot, small, large));
    if f.remedies.is_empty() {
        f.remedies
            .push(Remedy::advice("Move one of the two until the holes stand clear of each other."));
    }
    f
}

/// When the smaller part's own holes let the larger screw through.
fn same_thread(robot: &Robot, small: &HoleUse, large: &HoleUse) -> Option<Remedy> {
    let Subject::Part(name) = &small.subject else { return None };
    let thread = crate::stacks::fixing_of(robot, &large.subject)?.thread?;
    let own = &robot.type_of(robot.part(name)?).holes;
    let passes = |h: &loomdeck_model::part_type::MountHole| h.diameter > thread.major();
    (!own.is_empty() && own.iter().all(passes)).then(|| {
        let edit = Edit::Set {
            on: small.subject.clone(),
            key: "fixing.thread".to_owned(),
            value: EditValue::Text(thread.word().to_owned()),
        };
        Remedy::edit(format!("Hold {name} with {} screws too.", thread.word()), vec![edit])
    })
}

/// Moves the smaller one sideways until the web between the holes is what the builder wants.
fn move_away(robot: &Robot, small: &HoleUse, large: &HoleUse) -> Option<Remedy> {
    let Subject::Part(name) = &small.subject else { return None };
    let Place::Board(placement) = robot.parts[robot.part(name)?.0].place else { return None };
    let head = hardware::washer(robot.parts[robot.part(name)?.0].fixing.thread?).outside;
    let rims = (small.wants + large.wants) / 2.0 + robot.limits.web;
    let by = rims.max(head).0.ceil();
    let at = Point::new(placement.at.x + by, placement.at.y);
    let edit =
        Edit::Set { on: small.subject.clone(), key: "at".to_owned(), value: EditValue::Point(at) };
    Some(Remedy::edit(format!("Move {name} {} to the right.", Millimetres(by)), vec![edit]))
}
