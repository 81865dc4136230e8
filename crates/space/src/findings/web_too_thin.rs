//! Too little material is left between two holes.

use super::layout::{Layout, SIDES, Solid};
use super::{marks, mm};
use crate::geometry::BoardHole;
use crate::hole_size::MERGE_WITHIN;
use crate::shape::{Convex, octagon, segment_distance};
use loomdeck_model::{Face, Finding, Mark, Outline, Page, Point, Remedy, Severity, Subject};
use std::collections::BTreeMap;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "web-too-thin",
    severity: Severity::Fix,
    title: "Too little board is left between two holes",
    physics: "Holes go through the board, so holes of parts on the two faces, of mounts and of \
        pass-throughs all meet in the same sheet. The web is the material between the rims of two of \
        them: the distance of their centres, or of the centre lines of slots, less both radii. A thin \
        web breaks out under the drill or cracks later under the screws. Two holes with the same \
        centre are one hole.",
    source: "Common practice, no source: 3 mm unless the robot's limits say otherwise; sheet-metal \
        practice asks for three diameters from centre to centre (from memory).",
    limits: "Holes are taken as drilled, with the bit of the hole table: a clearance hole for a through \
        bolt, the insert's hole, the pilot of a wood screw. Strength of the material is not computed.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[pass]]\nname = \"hatch\"\nat_mm = [54, 45]\ndiameter_mm = 12\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[pass]]\nname = \"hatch\"\nat_mm = [54, 36]\ndiameter_mm = 12\n"
    ),
};

/// Looks at every pair of holes that come near each other.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let least = layout.robot.limits.web.0;
    let holes = &layout.geometry.holes;
    // The thinnest web of each two things.
    let mut thinnest: BTreeMap<(&Subject, &Subject), (f64, &BoardHole, &BoardHole)> = BTreeMap::new();
    for (i, a) in holes.iter().enumerate() {
        let around = Outline(vec![a.from, a.to]);
        let near = layout.holes_near(&around, a.diameter.0 / 2.0 + least);
        for b in near.into_iter().filter(|j| *j > i).map(|j| &holes[j]) {
            let round = a.from == a.to && b.from == b.to;
            if round && a.from.distance(b.from) <= MERGE_WITHIN {
                continue;
            }
            let web = segment_distance(a.from, a.to, b.from, b.to) - (a.diameter + b.diameter).0 / 2.0;
            let known = thinnest.get(&(&a.subject, &b.subject)).map_or(least - 1e-6, |k| k.0);
            if web < known {
                thinnest.insert((&a.subject, &b.subject), (web, a, b));
            }
        }
    }
    out.extend(thinnest.into_values().map(|(web, a, b)| finding(layout, a, b, web)));
}

fn finding(layout: &Layout, a: &BoardHole, b: &BoardHole, web: f64) -> Finding {
    let least = layout.robot.limits.web.0;
    let (one, two) = (a.subject.name(), b.subject.name());
    let what = if web < 0.0 {
        format!(
            "The holes of {one} and {two} run into each other by {}; your limit is {} of board between \
             them.",
            mm(-web),
            mm(least)
        )
    } else {
        format!(
            "Only {} of board is left between the holes of {one} and {two}; your limit is {}.",
            mm(web),
            mm(least)
        )
    };
    let why = format!("The holes are {} and {} wide and go through both faces.", a.diameter, b.diameter);
    let need = least - web;
    let mut moves: Vec<(&Solid, Point, f64)> = Vec::new();
    for (this, other) in [(a, b), (b, a)] {
        let Some(solid) = layout.solid(&this.subject) else { continue };
        let away = crate::shape::unit(crate::shape::minus(this.from, other.from));
        moves.extend(away.map(|d| (solid, d, need)));
        // Square to the board: far enough that the rims are clear in any case.
        let reach = this.from.distance(other.from) + need;
        moves.extend(SIDES.map(|d| (solid, d, reach)));
    }
    // A part that moves takes all its holes along: keep only moves that leave no thin web.
    moves.retain(|(solid, d, t)| webs_hold(layout, solid, *d, *t + 0.2));
    let remedy = layout.best_move(moves).unwrap_or_else(|| {
        Remedy::advice(format!(
            "Move one of the two holes by {}, or use a thinner screw or a smaller opening.",
            mm(need)
        ))
    });
    let mut f = Finding::new(PAGE.slug, PAGE.severity, a.subject.clone(), what, why, PAGE.source)
        .with_value("web_mm", web)
        .with_limit("web_mm", least)
        .with_remedy(remedy)
        .with_spot(Face::Front, a.from)
        .with_marks(mark(a, b, web));
    if a.subject != b.subject {
        f = f.with_subject(b.subject.clone());
    }
    f
}

/// The web that is left; where none is left, what the holes share.
fn mark(a: &BoardHole, b: &BoardHole, web: f64) -> Vec<Mark> {
    let (one, two) = (hole_shape(a), hole_shape(b));
    if web < 0.0 {
        return marks::clash(Face::Front, &one, &two, marks::length(web));
    }
    marks::gap(Face::Front, &one, &two, web).into_iter().collect()
}

/// No hole of the body is too near a hole of something else after the move.
fn webs_hold(layout: &Layout, solid: &Solid, d: Point, t: f64) -> bool {
    let by = Point::new(d.x * t, d.y * t);
    layout.geometry.holes.iter().filter(|h| h.subject == solid.subject).all(|a| {
        let p = crate::shape::along(a.from, by, 1.0);
        let reach = a.diameter.0 / 2.0 + layout.robot.limits.web.0;
        let near = layout.holes_near(&Outline(vec![p]), reach);
        near.into_iter().map(|i| &layout.geometry.holes[i]).filter(|b| b.subject != solid.subject).all(
            |b| {
                let room = segment_distance(p, p, b.from, b.to) - (a.diameter + b.diameter).0 / 2.0;
                room >= layout.robot.limits.web.0 - 0.2
            },
        )
    })
}

/// A hole as a shape around it.
pub fn hole_shape(h: &BoardHole) -> Vec<Convex> {
    let r = h.diameter.0 / 2.0;
    if h.from == h.to {
        return vec![octagon(h.from, r)];
    }
    let corners = [octagon(h.from, r).corners, octagon(h.to, r).corners].concat();
    vec![Convex::new(crate::shape::hull(&corners))]
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn the_web_is_rim_to_rim() {
        // Bolt hole (54, 54), 3.4 at best and 3.5 as drilled; opening (54, 45), 12 wide: 9 - 1.75 - 6.
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "web-too-thin").unwrap();
        assert!((f.values["web_mm"] - 1.25).abs() < 1e-9);
        assert!(f.why.contains("3.5\u{2009}mm"), "{}", f.why);
    }

    #[test]
    fn holes_in_one_another_state_the_limit() {
        let text = super::PAGE.before.replace("at_mm = [54, 45]", "at_mm = [54, 48]");
        let (_, all) = found(&text);
        let f = all.iter().find(|f| f.slug == "web-too-thin").unwrap();
        assert!(f.what.contains("run into each other") && f.what.contains("your limit is 3\u{2009}mm"));
    }

    #[test]
    fn holes_of_both_faces_meet_and_shared_holes_are_one() {
        let back = |x: f64| {
            crate::findings::robot!(
                "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n"
            )
            .to_owned()
                + &format!(
                    "[[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [{x}, 50]\n"
                )
        };
        // On the back the box is mirrored: its hole (4, 4) comes out at x = at - 4.
        assert_eq!(count(&back(62.0), "web-too-thin"), 1);
        assert_eq!(count(&back(58.0), "web-too-thin"), 0);
        assert_eq!(count(&back(75.0), "web-too-thin"), 0);
    }
}
