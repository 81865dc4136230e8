//! A wire finds no free way.

use super::layout::{Layout, SIDES};
use super::mm;
use crate::geometry::Blocked;
use crate::shape::{contains, edge_distance, segment_distance};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Face, Finding, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "wire-cannot-be-routed",
    severity: Severity::Fix,
    title: "A wire finds no free way",
    physics: "A wire runs on the face, beside parts and never under or over them, and keeps half its thickness \
        from everything that stands there. It comes out of its terminal along the terminal's exit, or \
        up and over its own part to another side. Between the faces it goes through a pass-through that \
        is wide enough for it. When there is no such way, its length is only known within a range.",
    source: "Shortest-path search over the corners of everything that stands on the face.",
    limits: "A wire could in truth be led over a low part, or round the edge of the board; the search does not \
        do that.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [170, 60]\n\
         [[pass]]\nname = \"pass-1\"\nat_mm = [95, 75]\ndiameter_mm = 12\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\n"
    ),
};

/// Says so for every wire without a way.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for b in &layout.geometry.blocked {
        let wire = &layout.robot.wires[b.wire.0];
        let what = match &b.by {
            Some(by) => format!(
                "{} finds no way on the {}: {} stands in it, and the wire needs a way {} wide.",
                wire.name,
                b.face.word(),
                by.name(),
                b.needs
            ),
            None => format!(
                "{} goes from one face to the other, and there is no pass-through it can use.",
                wire.name
            ),
        };
        let why = "Wires run beside parts, not under or over them.";
        let mut f = Finding::new(
            PAGE.slug,
            PAGE.severity,
            Subject::Wire(wire.name.clone()),
            what,
            why,
            PAGE.source,
        )
        .with_value("needed_mm", b.needs.0)
        .with_limit("needed_mm", 0.0)
        .with_spot(b.face, b.at);
        f.limits.clear();
        f.remedies.push(match &b.by {
            Some(by) => {
                f.subjects.push(by.clone());
                aside(layout, by, b)
            }
            None => opening(layout, b),
        });
        out.push(f);
    }
}

/// Moves what stands in the way.
fn aside(layout: &Layout, by: &Subject, b: &Blocked) -> Remedy {
    let advice = || Remedy::advice(format!("Leave a way of {} beside {}.", b.needs, by.name()));
    let Some(solid) = layout.solid(by) else { return advice() };
    let moves =
        [1.0, 2.0, 4.0].into_iter().flat_map(|k| SIDES.map(|d| (solid, d, k * b.needs.0))).collect();
    layout.best_move(moves).unwrap_or_else(advice)
}

/// A new opening between the ends of the wire, where both faces are free.
fn opening(layout: &Layout, b: &Blocked) -> Remedy {
    let diameter = (b.needs.0 + 4.0).ceil().max(12.0);
    let advice = || {
        let text = format!("Make room for a pass-through of {} on both faces.", mm(diameter));
        Remedy::advice(text)
    };
    let ends: Vec<Point> = layout.geometry.wires[b.wire.0]
        .legs
        .iter()
        .filter_map(|leg| match leg {
            crate::geometry::Leg::Along { points, .. } => Some(points.iter().copied()),
            _ => None,
        })
        .flatten()
        .collect();
    let (Some(a), Some(z)) = (ends.first(), ends.last()) else { return advice() };
    let middle = Point::new((a.x + z.x) / 2.0, (a.y + z.y) / 2.0);
    let mut places: Vec<Point> = (-20i32..=20)
        .flat_map(|i| (-20i32..=20).map(move |j| (i, j)))
        .map(|(i, j)| {
            Point::new(
                (middle.x + f64::from(i) * 10.0).round(),
                (middle.y + f64::from(j) * 10.0).round(),
            )
        })
        .collect();
    let detour = |p: &Point| a.distance(*p) + p.distance(*z);
    places.sort_by(|p, q| {
        detour(p).total_cmp(&detour(q)).then(middle.distance(*p).total_cmp(&middle.distance(*q)))
    });
    let Some(at) = places.into_iter().find(|p| free(layout, *p, diameter / 2.0)) else {
        return advice();
    };
    let mut name = "pass-1".to_owned();
    let mut n = 1;
    while layout.board.passes.iter().any(|p| p.name == name) {
        n += 1;
        name = format!("pass-{n}");
    }
    let keys = vec![
        ("at".to_owned(), EditValue::Point(at)),
        ("diameter".to_owned(), EditValue::Length(Millimetres(diameter))),
        ("grommet".to_owned(), EditValue::Flag(true)),
    ];
    let text = format!(
        "Add a pass-through of {} with a grommet at x {}, y {}.",
        mm(diameter),
        mm(at.x),
        mm(at.y)
    );
    Remedy::edit(text, vec![Edit::Add { on: Subject::Pass(name), keys }])
}

/// An opening could be cut here: on the board, clear of bodies and fasteners on both faces and of holes.
fn free(layout: &Layout, p: Point, r: f64) -> bool {
    let limits = &layout.robot.limits;
    contains(&layout.board.outline, p)
        && edge_distance(&layout.board.outline, p) >= r + limits.edge.0
        && Face::BOTH.into_iter().all(|f| {
            let margin = r + limits.gap.0;
            layout.near_circle(f, p, margin).iter().all(|s| s.outside(p) >= margin)
        })
        && layout
            .geometry
            .faces
            .iter()
            .flat_map(|v| &v.fasteners)
            .all(|f| f.at.distance(p) >= r + f.diameter.0 / 2.0)
        && layout
            .geometry
            .holes
            .iter()
            .all(|h| segment_distance(h.from, h.to, p, p) >= r + h.diameter.0 / 2.0 + limits.web.0)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};
    use loomdeck_model::{Edit, Severity};

    #[test]
    fn a_new_opening_is_offered() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "wire-cannot-be-routed").unwrap();
        assert_eq!(f.severity, Severity::Fix);
        assert!(matches!(f.remedies[0].edits[0], Edit::Add { .. }));
    }

    #[test]
    fn a_wall_to_wall_blocker_is_named() {
        let text = crate::findings::robot!(
            "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
             [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [140, 60]\n\
             [[keep_out]]\nname = \"rib\"\nsize_mm = [10, 150]\nat_mm = [90, 0]\n\
             [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\n"
        );
        let (_, all) = found(text);
        let f = all.iter().find(|f| f.slug == "wire-cannot-be-routed").unwrap();
        assert!(f.what.contains("rib"), "{}", f.what);
        assert_eq!(count(&text.replace("[10, 150]", "[10, 120]"), "wire-cannot-be-routed"), 0);
    }
}
