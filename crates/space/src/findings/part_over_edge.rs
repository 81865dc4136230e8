//! A part reaches over the edge of the board.

use super::layout::Layout;
use super::{marks, mm};
use crate::geometry::Owner;
use crate::shape::{norm, unit};
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "part-over-edge",
    severity: Severity::Fix,
    title: "A part reaches over the edge of the board",
    physics: "A part whose outline leaves the board is not carried there, its screws may miss the \
        board, and it catches on the body when the board slides in. The distance is how far its \
        outermost corner lies beyond the edge; where the board has a notch, how far it must move.",
    source: "Plane geometry.",
    limits: "Fixed plugs may reach over the edge: that is where their other half comes from.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [165, 50]\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [156.9, 50]\n"
    ),
};

/// Looks at every part.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for s in layout.all().filter(|s| matches!(s.body.owner, Owner::Part(_))) {
        let over = layout.over_edge(&s.body.outline);
        if over <= 1e-6 {
            continue;
        }
        let what = format!(
            "{} reaches {} over the edge of the board on the {}.",
            s.name(),
            mm(over),
            s.face.word()
        );
        let why = "It is not carried there, and it catches when the board slides in or out.";
        let by = layout.pull_in(&s.body.outline, layout.robot.limits.edge.0);
        let remedy = unit(by).and_then(|d| layout.move_remedy(s, d, norm(by)));
        let remedy = remedy.unwrap_or_else(|| {
            Remedy::advice(format!("Move {} onto the board; the near places are taken.", s.name()))
        });
        out.push(
            Finding::new(PAGE.slug, PAGE.severity, s.subject.clone(), what, why, PAGE.source)
                .with_value("over_mm", over)
                .with_limit("over_mm", 0.0)
                .with_remedy(remedy)
                .with_spot(s.face, s.middle())
                .with_marks(marks::over_edge(layout, s.face, &s.pieces, 0.0, marks::length(over))),
        );
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_outermost_corner_counts() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "part-over-edge").unwrap();
        assert!((f.values["over_mm"] - 5.0).abs() < 1e-9);
    }

    #[test]
    fn a_notch_in_the_board_is_outside() {
        let text = super::PAGE.before.replace(
            "size_mm = [200, 150]",
            "outline_mm = [[0, 0], [200, 0], [200, 40], [60, 40], [60, 100], [200, 100], [200, 150], [0, 150]]",
        );
        let text = text.replace("at_mm = [165, 50]", "at_mm = [50, 55]");
        let (_, all) = found(&text);
        let f = all.iter().find(|f| f.slug == "part-over-edge").unwrap();
        assert!((f.values["over_mm"] - 30.0).abs() < 1e-3, "{}", f.values["over_mm"]);
    }
}
