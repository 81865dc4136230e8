//! A part stands very near the edge of the board.

use super::layout::Layout;
use super::{marks, mm};
use crate::geometry::Owner;
use crate::shape::{norm, unit};
use loomdeck_model::{Finding, Page, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "part-near-edge",
    severity: Severity::Look,
    title: "A part stands very near the edge of the board",
    physics: "A part that stands nearer to the edge than your limit takes knocks when the board goes \
        in and out, and leaves no room for a wire or a rail along the edge.",
    source: "Common practice, no source: 3 mm unless the robot's limits say otherwise.",
    limits: "Fixed plugs are left out: they belong at the edge.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [159, 50]\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [156.9, 50]\n"
    ),
};

/// Looks at every part that lies on the board.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let least = layout.robot.limits.edge.0;
    for s in layout.all().filter(|s| matches!(s.body.owner, Owner::Part(_))) {
        let near = layout.near_edge(&s.body.outline);
        if near >= least - 1e-6 || layout.over_edge(&s.body.outline) > 1e-6 {
            continue;
        }
        let what = format!(
            "{} stands {} from the edge of the board on the {}; your limit is {}.",
            s.name(),
            mm(near),
            s.face.word(),
            mm(least)
        );
        let why = "It takes knocks there when the board goes in and out.";
        let by = layout.pull_in(&s.body.outline, least);
        let mut f = Finding::new(PAGE.slug, PAGE.severity, s.subject.clone(), what, why, PAGE.source)
            .with_value("distance_mm", near)
            .with_limit("distance_mm", least)
            .with_spot(s.face, s.middle())
            .with_marks(marks::to_edge(layout, s.face, &s.pieces, near));
        f.remedies.extend(unit(by).and_then(|d| layout.move_remedy(s, d, norm(by))));
        out.push(f);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_distance_is_measured() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "part-near-edge").unwrap();
        assert!((f.values["distance_mm"] - 1.0).abs() < 1e-9);
    }
}
