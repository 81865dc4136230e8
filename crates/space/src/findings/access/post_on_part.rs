//! A standoff or foot stands where another part is.

use super::tried::Tried;
use crate::findings::{marks, mm, robot};
use crate::geometry::FastenerKind;
use crate::shape::{Convex, octagon};
use loomdeck_model::{Finding, Page, Point, Remedy, Severity, Subject};
use std::collections::BTreeMap;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "post-on-part",
    severity: Severity::Fix,
    title: "A standoff stands where another part is",
    physics: "A part on tall standoffs, such as a cover, may stand over lower parts; its standoffs go down to \
        the board all the same, and each needs its circle free of every part that is there. So do the feet \
        of clips, cleats and housings. The overlap is how far the other part reaches into the circle.",
    source: "Standoffs are as wide as the hexagon of their nut (ISO 4032), spacers as their washer (ISO 7089); \
        printed feet 2 mm wider all round than washer or head (common practice, no source).",
    limits: "Wires and openings are not looked at.",
    before: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"cover\"\ntype = \"box\"\nface = \"front\"\nat_mm = [84, 74]\n\
         fixing = { style = \"standoff\", standoff_mm = 30 }\n"
    ),
    after: robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"cover\"\ntype = \"box\"\nface = \"front\"\nat_mm = [90, 74]\n\
         fixing = { style = \"standoff\", standoff_mm = 30 }\n"
    ),
};

/// Looks at every post and foot.
pub fn find(tried: &Tried, out: &mut Vec<Finding>) {
    let layout = tried.layout;
    for view in &layout.geometry.faces {
        let stands = |k| matches!(k, FastenerKind::Post | FastenerKind::Foot);
        // The worst of the posts of one thing on another, and all of them for the remedy.
        let mut worst: BTreeMap<(&Subject, usize), (f64, Point, Vec<Convex>)> = BTreeMap::new();
        for f in view.fixtures.iter().filter(|f| stands(f.kind)) {
            let r = f.diameter.0 / 2.0;
            for s in
                layout.near_circle(view.face, f.at, r).into_iter().filter(|s| s.subject != f.subject)
            {
                let overlap = r - s.outside(f.at);
                let meets = s.body.top > f.base && f.height > s.body.base;
                if overlap <= 1e-6 || !meets {
                    continue;
                }
                let known = worst.entry((&f.subject, s.index)).or_insert((0.0, f.at, Vec::new()));
                known.2.push(octagon(f.at, r));
                if overlap > known.0 {
                    (known.0, known.1) = (overlap, f.at);
                }
            }
        }
        for ((subject, i), (overlap, at, posts)) in worst {
            let s = &layout.solids[view.face as usize][i];
            let name = subject.name();
            let what = format!(
                "A standoff or foot of {name} comes down on {} on the {}, {} inside it.",
                s.name(),
                s.face.word(),
                mm(overlap)
            );
            let why = format!(
                "{} stands from {} to {} above the face where the standoff goes down to the board.",
                s.name(),
                s.body.base,
                s.body.top
            );
            let mut f = Finding::new(PAGE.slug, PAGE.severity, subject.clone(), what, why, PAGE.source)
                .with_subject(s.subject.clone())
                .with_value("overlap_mm", overlap)
                .with_limit("overlap_mm", 0.0)
                .with_spot(view.face, at)
                .with_marks(marks::clash(view.face, &s.pieces, &posts, marks::length(overlap)));
            let mut moves = layout.moves_off(s, &posts, 0.0);
            if let Some(own) = layout.solid(subject) {
                moves.extend(
                    layout
                        .moves_off(s, &posts, 0.0)
                        .into_iter()
                        .map(|(_, d, t)| (own, Point::new(-d.x, -d.y), t)),
                );
            }
            let clear = |thing: &crate::faces::Standing| !posts_meet(tried, thing, subject, &s.subject);
            f.remedies.extend(tried.best_move(moves, clear));
            if f.remedies.is_empty() {
                f.remedies.push(Remedy::advice(format!(
                    "Move {name} or {} by {} at least.",
                    s.name(),
                    mm(overlap)
                )));
            }
            out.push(f);
        }
    }
}

/// A post of one still comes down on the other when a thing stands otherwise.
fn posts_meet(tried: &Tried, thing: &crate::faces::Standing, posts: &Subject, on: &Subject) -> bool {
    let views = tried.views(thing.clone());
    let robot = tried.layout.robot;
    views.iter().any(|view| {
        let body = view.bodies.iter().find(|b| crate::faces::subject(robot, b.owner) == *on);
        body.is_some_and(|body| {
            let pieces = crate::shape::pieces(&body.outline);
            let own = view.fixtures.iter().filter(|f| f.subject == *posts);
            own.filter(|f| matches!(f.kind, FastenerKind::Post | FastenerKind::Foot)).any(|f| {
                let heights = body.top > f.base && f.height > body.base;
                heights && crate::shape::overlap(&pieces, &[octagon(f.at, f.diameter.0 / 2.0)])
            })
        })
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn the_overlap_is_into_the_circle_of_the_standoff() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "post-on-part").unwrap();
        // The post at (88, 78) is 2 mm inside both edges of the box; M3 standoffs are 5.5 across flats.
        let r = 5.5 / 3f64.sqrt();
        assert!((f.values["overlap_mm"] - (2.0 + r)).abs() < 1e-6, "{}", f.values["overlap_mm"]);
        assert!(!f.remedies[0].edits.is_empty());
    }

    #[test]
    fn a_cover_over_a_lower_part_is_nothing_to_tell() {
        // Its posts stand at (48, 45) and (92, 87), clear of the box from (50, 50) to (90, 80).
        let over = super::PAGE
            .before
            .replace(
                "type = \"box\"\nface = \"front\"\nat_mm = [84, 74]",
                "type = \"lid\"\nface = \"front\"\nat_mm = [44, 41]",
            )
            .replace(
                "[[part]]\nname = \"amp\"",
                "[[type]]\nname = \"lid\"\ntitle = \"cover\"\ngroup = \"covers\"\nabout = \"A cover.\"\n\
                 basis = \"made up\"\nsize_mm = [52, 50]\nheight_mm = 3\nmass_g = 20\n\
                 holes_mm = [[4, 4], [48, 46]]\nhole_diameter_mm = 3.4\n\
                 fixing = { style = \"standoff\", thread = \"M3\", standoff_mm = 0 }\n\
                 [[part]]\nname = \"amp\"",
            );
        let (_, all) = found(&over);
        let told = ["post-on-part", "parts-overlap", "fastener-under-part", "screw-under-own-part"];
        assert!(all.iter().all(|f| !told.contains(&f.slug)), "{all:?}");
        assert_eq!(count(&over, "gap-too-small"), 0);
    }
}
