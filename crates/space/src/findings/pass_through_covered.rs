//! A part stands over a pass-through.

use super::layout::Layout;
use super::web_too_thin::hole_shape;
use super::{marks, mm};
use crate::shape::{overlap, overlap_depth};
use loomdeck_model::{Finding, Page, PassId, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "pass-through-covered",
    severity: Severity::Fix,
    title: "A part stands over a pass-through",
    physics: "Wires that change face come out of the pass-through, bend and run on along the face. A part \
        over the opening stops them; one that only reaches over its rim narrows it and chafes them. A \
        part on standoffs tall enough for the wires may stand there.",
    source: "Plane geometry.",
    limits: "Standoffs of at least the thickest wire and 2 mm count as tall enough.",
    before: super::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 70]\ndiameter_mm = 12\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [95, 60]\n"
    ),
    after: super::robot!(
        "[[pass]]\nname = \"hatch\"\nat_mm = [100, 70]\ndiameter_mm = 12\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [112, 60]\n"
    ),
};

/// Looks at every opening on both faces.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for (i, (pass, hole)) in layout.board.passes.iter().zip(layout.passes()).enumerate() {
        let shape = hole_shape(hole);
        let thickest =
            layout.geometry.fills.iter().filter(|f| f.pass == PassId(i)).flat_map(|f| &f.wires);
        let thickest = thickest
            .map(|w| {
                let w = &layout.robot.wires[w.0];
                w.insulation.outside_diameter(w.gauge).0
            })
            .fold(0.0, f64::max);
        for view in &layout.geometry.faces {
            let reach = hole.diameter.0 / 2.0 + hole.from.distance(hole.to);
            for s in layout.near_circle(view.face, pass.at, reach) {
                if s.body.base.0 >= thickest + 2.0 || !overlap(&s.pieces, &shape) {
                    continue;
                }
                let depth = overlap_depth(&s.pieces, &shape);
                let centre = s.outside(pass.at) < 0.0;
                let severity = if centre { Severity::Fix } else { Severity::Look };
                let what = format!(
                    "{} reaches {} over the pass-through {} on the {}{}.",
                    s.name(),
                    mm(depth),
                    pass.name,
                    view.face.word(),
                    if centre { ", past its middle" } else { "" }
                );
                let why = "Wires that come out there cannot bend away, or chafe on the part.";
                let remedy = layout.best_move(layout.moves_off(s, &shape, 0.0)).unwrap_or_else(|| {
                    Remedy::advice(format!("Move {} or the pass-through by {}.", s.name(), mm(depth)))
                });
                let subject = Subject::Pass(pass.name.clone());
                out.push(
                    Finding::new(PAGE.slug, severity, subject, what, why, PAGE.source)
                        .with_subject(s.subject.clone())
                        .with_value("overlap_mm", depth)
                        .with_limit("overlap_mm", 0.0)
                        .with_remedy(remedy)
                        .with_spot(view.face, pass.at)
                        .with_marks(marks::clash(view.face, &s.pieces, &shape, marks::length(depth))),
                );
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;
    use loomdeck_model::Severity;

    #[test]
    fn past_the_middle_is_worse() {
        let severity = |text: &str| {
            found(text).1.iter().find(|f| f.slug == "pass-through-covered").map(|f| f.severity)
        };
        assert_eq!(severity(super::PAGE.before), Some(Severity::Fix));
        let rim = super::PAGE.before.replace("at_mm = [95, 60]", "at_mm = [103, 60]");
        assert_eq!(severity(&rim), Some(Severity::Look));
    }
}
