//! Two parts take the same place.

use super::layout::Layout;
use super::{marks, mm};
use crate::shape;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "parts-overlap",
    severity: Severity::Fix,
    title: "Two parts take the same place",
    physics: "Every part and every fixed plug is a prism: its outline, from its standoff up to its \
        height. Two prisms on one face that share space cannot both be mounted.\n\nThe depth is the \
        least distance by which one of them must move, in any direction, until they only touch. It \
        is exact for convex outlines; for others it is the least over the directions square to their \
        edges.",
    source: "Plane geometry (separating axes).",
    limits: "A part is as tall everywhere as at its tallest point. A part under another's tall \
        standoffs is accepted; where the standoffs come down is another finding.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [82, 55]\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [92.2, 55]\n"
    ),
};

/// Looks at every pair of bodies whose boxes meet.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let gap = layout.robot.limits.gap.0;
    for solids in &layout.solids {
        for a in solids {
            let later = layout.near(a.face, &a.body.outline, 0.0);
            for b in later.into_iter().filter(|b| b.index > a.index) {
                if !a.meets_in_height(b) || !shape::overlap(&a.pieces, &b.pieces) {
                    continue;
                }
                let depth = shape::overlap_depth(&a.pieces, &b.pieces);
                let what = format!(
                    "{} and {} overlap by {} on the {}.",
                    a.name(),
                    b.name(),
                    mm(depth),
                    a.face.word()
                );
                let why = format!(
                    "{} stands from {} to {} above the face, {} from {} to {}.",
                    a.name(),
                    a.body.base,
                    a.body.top,
                    b.name(),
                    b.body.base,
                    b.body.top
                );
                let mut moves = layout.moves_off(a, &b.pieces, gap);
                moves.extend(layout.moves_off(b, &a.pieces, gap));
                let remedy = layout.best_move(moves).unwrap_or_else(|| {
                    Remedy::advice(format!(
                        "Make room: {} or {} must move by {} at least, and every near place is taken.",
                        a.name(),
                        b.name(),
                        mm(depth + gap)
                    ))
                });
                out.push(
                    Finding::new(PAGE.slug, PAGE.severity, a.subject.clone(), what, why, PAGE.source)
                        .with_subject(b.subject.clone())
                        .with_value("overlap_mm", depth)
                        .with_limit("overlap_mm", 0.0)
                        .with_remedy(remedy)
                        .with_spot(a.face, a.middle())
                        .with_marks(marks::clash(a.face, &a.pieces, &b.pieces, marks::length(depth))),
                );
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{found, place};

    #[test]
    fn the_depth_is_the_least_move_and_the_remedy_clears_it() {
        let (robot, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "parts-overlap").unwrap();
        // Boxes are 40 wide, 32 apart in x: 8 mm; 30 high, 5 apart in y: 25 mm.
        assert!((f.values["overlap_mm"] - 8.0).abs() < 1e-4);
        let mended = place(&robot, &f.remedies[0]);
        let geometry = crate::study(&mended);
        assert!(
            crate::findings(&mended, &geometry)
                .iter()
                .all(|f| f.slug != "parts-overlap" && f.slug != "gap-too-small")
        );
    }

    #[test]
    fn a_part_under_tall_standoffs_is_no_overlap() {
        let text = super::PAGE.before.replace(
            "at_mm = [82, 55]",
            "at_mm = [82, 55]\nfixing = { style = \"standoff\", thread = \"M3\", standoff_mm = 25 }",
        );
        let (_, all) = found(&text);
        assert!(all.iter().all(|f| f.slug != "parts-overlap"));
    }
}
