//! Something stands in the free circle of a bolt that holds the board.

use super::layout::Layout;
use super::{marks, mm};
use crate::geometry::FastenerKind;
use crate::shape::octagon;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "mount-blocked",
    severity: Severity::Fix,
    title: "Something stands where a bolt holds the board",
    physics: "Each bolt that holds the board needs a circle free on both faces: for its head, washer or \
        standoff, and for the rail or bracket it meets. A part, nut or head in that circle keeps the \
        board from sitting flat, or the tool from turning.",
    source: "The clear diameter stated for the mount.",
    limits: "The circle is free from the face up to any height.",
    before: super::robot!(
        "[[mount]]\nname = \"corner\"\nat_mm = [20, 20]\nthread = \"M5\"\nclear_mm = 16\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [25, 25]\n"
    ),
    after: super::robot!(
        "[[mount]]\nname = \"corner\"\nat_mm = [20, 20]\nthread = \"M5\"\nclear_mm = 16\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [28.2, 25]\n"
    ),
};

/// Looks at every mount on both faces.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for view in &layout.geometry.faces {
        for m in view.fasteners.iter().filter(|f| f.kind == FastenerKind::Mount) {
            let r = m.diameter.0 / 2.0;
            for s in layout.near_circle(view.face, m.at, r) {
                let overlap = r - s.outside(m.at);
                if overlap <= 1e-6 {
                    continue;
                }
                let moves = layout.moves_off(s, &[octagon(m.at, r)], 0.0);
                let remedy = layout.best_move(moves).unwrap_or_else(|| {
                    Remedy::advice(format!("Move {} by {} or the mount.", s.name(), mm(overlap)))
                });
                out.push(
                    said(m.subject.name(), s.name(), view.face.word(), overlap, m.diameter)
                        .with_subject(s.subject.clone())
                        .with_remedy(remedy)
                        .with_spot(view.face, m.at)
                        .with_marks(marks::clash(
                            view.face,
                            &s.pieces,
                            &[marks::disc(m)],
                            marks::length(overlap),
                        )),
                );
            }
            for f in view.fasteners.iter().filter(|f| f.kind != FastenerKind::Mount && f.height.0 > 0.0)
            {
                let overlap = r + f.diameter.0 / 2.0 - m.at.distance(f.at);
                if overlap > 1e-6 {
                    let name = format!("a nut or head of {}", f.subject.name());
                    let advice = format!("Move {} by {}.", f.subject.name(), mm(overlap));
                    out.push(
                        said(m.subject.name(), &name, view.face.word(), overlap, m.diameter)
                            .with_subject(f.subject.clone())
                            .with_remedy(Remedy::advice(advice))
                            .with_spot(view.face, m.at)
                            .with_marks(marks::clash(
                                view.face,
                                &[marks::disc(m)],
                                &[marks::disc(f)],
                                marks::length(overlap),
                            )),
                    );
                }
            }
        }
    }
}

fn said(mount: &str, what: &str, face: &str, overlap: f64, clear: Millimetres) -> Finding {
    let told = format!(
        "{what} reaches {} into the free circle of the mount {mount} on the {face}.",
        mm(overlap)
    );
    let why = format!("The circle is {clear} wide, for the head and the tool.");
    let subject = loomdeck_model::Subject::BoardMount(mount.to_owned());
    Finding::new(PAGE.slug, PAGE.severity, subject, told, why, PAGE.source)
        .with_value("overlap_mm", overlap)
        .with_limit("overlap_mm", 0.0)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn overlap_is_radius_less_distance() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "mount-blocked").unwrap();
        assert!((f.values["overlap_mm"] - (8.0 - 50f64.sqrt())).abs() < 1e-9);
    }
}
