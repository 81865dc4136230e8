//! The cone of a countersunk head comes too near to an edge or another hole.

use super::{Held, on_board};
use crate::making::{Hole, HoleShape, Making, Work};
use loomdeck_model::{Face, Finding, Page, Point, Robot, Severity};
use loomdeck_space::shape::{contains, edge_distance};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "countersink-breaks-out",
    severity: Severity::Look,
    title: "A countersink comes too near to an edge or another hole",
    physics: "The seat of a countersunk head is about twice as wide at the face as its hole. A hole that keeps its \
        distance may still have a seat that does not: the cutter then breaks through the edge or into the \
        neighbouring hole, and the head bears on one side only.",
    source: "The distances are the robot's own limits for rims of holes (common practice, no source). Width of the \
        seat: ISO 15065 (from memory), from the heads of ISO 7046-2 and ASME B18.6.3.",
    limits: "Only the widest circle of the cone is looked at, on the face it is cut from.",
    before: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 5.5
fixing = { style = "bolt-and-nut", thread = "M5", head = "countersunk", flange_mm = 2 }
[[part]]
name = "hub"
type = "plate"
face = "front"
at_mm = [3, 50]
"#,
    after: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 5.5
fixing = { style = "bolt-and-nut", thread = "M5", head = "countersunk", flange_mm = 2 }
[[part]]
name = "hub"
type = "plate"
face = "front"
at_mm = [10, 50]
"#,
};

/// What a seat comes too near to.
struct Near {
    to: String,
    left: f64,
    limit: f64,
    face: Face,
    at: Point,
}

/// One finding for each part: its worst seat.
pub fn find(robot: &Robot, making: &Making) -> Vec<Finding> {
    let Some(board) = &robot.board else { return Vec::new() };
    let near = |h| Some((h, nearest(robot, &board.outline, making, h)?));
    let near: Vec<(&Hole, Near)> = making.holes.iter().filter_map(near).collect();
    if near.is_empty() {
        return Vec::new();
    }
    let mut found = Vec::new();
    for held in on_board(robot) {
        let mine = near.iter().filter(|(h, _)| h.uses.iter().any(|u| u.subject == held.subject));
        let worst = mine.min_by(|(_, a), (_, b)| (a.left - a.limit).total_cmp(&(b.left - b.limit)));
        found.extend(worst.map(|(_, near)| finding(&held, near)));
    }
    found
}

fn nearest(
    robot: &Robot,
    outline: &loomdeck_model::Outline,
    making: &Making,
    hole: &Hole,
) -> Option<Near> {
    let seat = |w: &Work| match w {
        Work::Countersink { face, diameter, .. } => Some((*face, diameter.0)),
        _ => None,
    };
    let (face, wide) = hole.work.iter().find_map(seat)?;
    let more = (wide - hole.diameter().0) / 2.0;
    let mut all: Vec<Near> = Vec::new();
    if contains(outline, hole.at) {
        let left = edge_distance(outline, hole.at) - wide / 2.0;
        let to = "the edge of the board".to_owned();
        all.push(Near { to, left, limit: robot.limits.edge.0, face, at: hole.at });
    }
    for other in making.holes.iter().filter(|o| o.at != hole.at) {
        // A sawn opening's rim: its pass-through has findings of its own for holes near it.
        let HoleShape::Round(d) = other.shape else { continue };
        if other.depth.is_some() && other.side != face {
            continue;
        }
        let left = hole.at.distance(other.at) - (wide + d.0) / 2.0;
        let to =
            format!("a hole of {}", other.uses.first().map_or("another part", |u| u.subject.name()));
        all.push(Near { to, left, limit: robot.limits.web.0, face, at: hole.at });
    }
    // Where the plain hole is too near already, that is another finding.
    let only_the_seat = |n: &Near| n.left < n.limit - 1e-6 && n.left + more >= n.limit - 1e-6;
    all.into_iter().filter(only_the_seat).min_by(|a, b| a.left.total_cmp(&b.left))
}

fn finding(held: &Held<'_>, near: &Near) -> Finding {
    let mm = loomdeck_model::units::Millimetres;
    let name = held.subject.name();
    let what = if near.left < 0.0 {
        format!("A countersink of {name} cuts {} into {}.", mm(-near.left), near.to)
    } else {
        format!(
            "A countersink of {name} leaves {} of board to {}; your limit is {}.",
            mm(near.left),
            near.to,
            mm(near.limit)
        )
    };
    let why = "The hole itself keeps its distance; the seat of the head is wider.";
    Finding::new(PAGE.slug, PAGE.severity, held.subject.clone(), what, why, PAGE.source)
        .with_value("distance_mm", near.left)
        .with_limit("distance_mm", near.limit)
        .with_spot(near.face, near.at)
        .with_remedy(held.refix("Use pan heads.", "fixing.head", "pan"))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::of;

    #[test]
    fn the_distance_is_that_of_the_seat() {
        let (_, found) = of(super::PAGE.before);
        let f = found.iter().find(|f| f.slug == super::PAGE.slug).unwrap();
        // Centre 7 mm from the edge; M5: seat 5 + 2 · 2.7 + 0.2 = 10.6 mm wide.
        assert!((f.values["distance_mm"] - 1.7).abs() < 1e-9, "{:?}", f.values);
    }
}
