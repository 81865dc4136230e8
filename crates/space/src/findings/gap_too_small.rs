//! Two parts stand closer than the builder's least gap.

use super::layout::Layout;
use super::{marks, mm};
use crate::shape;
use loomdeck_model::{Finding, Page, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "gap-too-small",
    severity: Severity::Look,
    title: "Two parts stand very close together",
    physics: "The gap is the least distance between two outlines on the same face, where the parts \
        meet in height. Holes drilled by hand wander by half a millimetre and modules differ from \
        their drawings, so parts that stand closer than the gap of your limits may not go in side by \
        side; air and fingers want room too.",
    source: "Common practice, no source: 2 mm unless the robot's limits say otherwise.",
    limits: "Plan view only. Wires between the parts ask for more; that is checked with the wires.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [61, 50]\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [62.1, 50]\n"
    ),
};

/// Looks at every pair of bodies nearer than the gap.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let least = layout.robot.limits.gap.0;
    for a in layout.all() {
        let near = layout.near(a.face, &a.body.outline, least);
        for b in near.into_iter().filter(|b| b.index > a.index) {
            if !a.meets_in_height(b) || shape::overlap(&a.pieces, &b.pieces) {
                continue;
            }
            let gap = shape::distance(&a.pieces, &b.pieces);
            if gap >= least - 1e-6 {
                continue;
            }
            let what = format!(
                "{} and {} stand {} apart on the {}; your limit is {}.",
                a.name(),
                b.name(),
                mm(gap),
                a.face.word(),
                mm(least)
            );
            let why = "Hand-drilled holes wander by about half a millimetre, and modules differ from \
                their drawings.";
            let mut moves = layout.moves_off(a, &b.pieces, least);
            moves.extend(layout.moves_off(b, &a.pieces, least));
            let mut f =
                Finding::new(PAGE.slug, PAGE.severity, a.subject.clone(), what, why, PAGE.source)
                    .with_subject(b.subject.clone())
                    .with_value("gap_mm", gap)
                    .with_limit("gap_mm", least)
                    .with_spot(a.face, a.middle())
                    .with_marks(marks::gap(a.face, &a.pieces, &b.pieces, gap));
            f.remedies.extend(layout.best_move(moves));
            out.push(f);
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_gap_is_measured() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "gap-too-small").unwrap();
        assert!((f.values["gap_mm"] - 1.0).abs() < 1e-9);
        assert_eq!(f.limits["gap_mm"], 2.0);
    }
}
