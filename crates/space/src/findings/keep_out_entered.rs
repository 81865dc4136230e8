//! A part or a nut stands in a region to be kept free.

use super::layout::Layout;
use super::{marks, mm};
use crate::geometry::FastenerKind;
use crate::shape::{octagon, overlap, overlap_depth, pieces};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Finding, KeepOut, Page, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "keep-out-entered",
    severity: Severity::Fix,
    title: "Something stands in a region to be kept free",
    physics: "You stated a region of the board that something else needs: a rib of the body, a swinging \
        lever, a rail. With `above`, things up to that height may stand in it; without, nothing may. \
        The depth is the least distance by which the part must move to be out.",
    source: "The keep-out region of the board.",
    limits: "The region reaches straight up from the face.",
    before: super::robot!(
        "[[keep_out]]\nname = \"rib\"\nface = \"front\"\nsize_mm = [200, 20]\nat_mm = [0, 0]\nabove_mm = 10\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [60, 12]\n"
    ),
    after: super::robot!(
        "[[keep_out]]\nname = \"rib\"\nface = \"front\"\nsize_mm = [200, 20]\nat_mm = [0, 0]\nabove_mm = 10\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [60, 20.2]\n"
    ),
};

/// Looks at every region.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for k in &layout.board.keep_outs {
        let region = pieces(&k.outline);
        for view in layout.geometry.faces.iter().filter(|v| k.face.is_none_or(|f| f == v.face)) {
            for s in layout.near(view.face, &k.outline, 0.0) {
                if enters(k, s.body.top) && overlap(&s.pieces, &region) {
                    let depth = overlap_depth(&s.pieces, &region);
                    let remedy = layout.best_move(layout.moves_off(s, &region, 0.0));
                    let remedy = remedy.unwrap_or_else(|| advice(s.name(), depth));
                    let f = said(k, &s.subject, s.name(), depth, s.body.top);
                    let clash = marks::clash(view.face, &s.pieces, &region, marks::length(depth));
                    out.push(f.with_remedy(remedy).with_spot(view.face, s.middle()).with_marks(clash));
                }
            }
            for f in view.fasteners.iter().filter(|f| f.kind != FastenerKind::Mount && f.height.0 > 0.0)
            {
                let disc = [octagon(f.at, f.diameter.0 / 2.0)];
                if enters(k, f.height) && overlap(&disc, &region) {
                    let depth = overlap_depth(&disc, &region);
                    let name = format!("A nut or head of {}", f.subject.name());
                    let g = said(k, &f.subject, &name, depth, f.height);
                    let g = g.with_remedy(advice(f.subject.name(), depth)).with_spot(view.face, f.at);
                    out.push(g.with_marks(marks::clash(
                        view.face,
                        &disc,
                        &region,
                        marks::length(depth),
                    )));
                }
            }
        }
    }
}

fn enters(k: &KeepOut, height: Millimetres) -> bool {
    k.above <= Millimetres::ZERO || height > k.above
}

fn advice(name: &str, depth: f64) -> Remedy {
    Remedy::advice(format!("Move {name} by {} or more.", mm(depth)))
}

fn said(k: &KeepOut, subject: &Subject, name: &str, depth: f64, height: Millimetres) -> Finding {
    let what = format!("{name} reaches {} into the keep-out region {}.", mm(depth), k.name);
    let why = if k.above > Millimetres::ZERO {
        format!("It stands {height} off the face; only {} may stand there.", k.above)
    } else {
        "Nothing may stand there.".to_owned()
    };
    Finding::new(PAGE.slug, PAGE.severity, subject.clone(), what, why, PAGE.source)
        .with_subject(Subject::KeepOut(k.name.clone()))
        .with_value("depth_mm", depth)
        .with_value("height_mm", height.0)
        .with_limit("height_mm", k.above.0)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn depth_and_height_count() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "keep-out-entered").unwrap();
        assert!((f.values["depth_mm"] - 8.0).abs() < 1e-4);
        let lower = super::PAGE.before.replace("above_mm = 10", "above_mm = 20");
        assert_eq!(count(&lower, "keep-out-entered"), 0);
    }
}
