//! A hole comes too near the edge of the board.

use super::layout::Layout;
use super::{marks, mm};
use crate::geometry::BoardHole;
use crate::shape::{along, contains, edge_distance, minus, nearest_on_edge, unit};
use loomdeck_model::{Face, Finding, Mark, Page, Point, Remedy, Severity};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "hole-near-edge",
    severity: Severity::Fix,
    title: "A hole comes too near the edge of the board",
    physics: "Holes are taken as drilled. The material between the rim of a hole and the edge of the board carries the screw. Too \
        little of it breaks out while you drill, or cracks when the robot is knocked.",
    source: "Common practice, no source: 3 mm unless the robot's limits say otherwise; plastics \
        practice asks for two to three diameters from the hole's centre (from memory).",
    limits: "Strength of the material is not computed. Brittle sheet such as acrylic wants more.",
    before: super::robot!(
        "[[mount]]\nname = \"corner\"\nat_mm = [5, 75]\nthread = \"M6\"\nclear_mm = 9\n"
    ),
    after: super::robot!(
        "[[mount]]\nname = \"corner\"\nat_mm = [7, 75]\nthread = \"M6\"\nclear_mm = 9\n"
    ),
};

/// Looks at every hole.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let least = layout.robot.limits.edge.0;
    let board = &layout.board.outline;
    for h in &layout.geometry.holes {
        let near =
            |p| if contains(board, p) { edge_distance(board, p) } else { -edge_distance(board, p) };
        let (at, centre) = [h.from, h.to]
            .map(|p| (p, near(p)))
            .into_iter()
            .reduce(|a, b| if b.1 < a.1 { b } else { a })
            .unwrap_or((h.from, 0.0));
        let left = centre - h.diameter.0 / 2.0;
        if left >= least - 1e-6 {
            continue;
        }
        let name = h.subject.name();
        let what = if left < 0.0 {
            format!("A hole of {name} runs {} over the edge of the board.", mm(-left))
        } else {
            format!(
                "Only {} of board is left between a hole of {name} and the edge; your limit is {}.",
                mm(left),
                mm(least)
            )
        };
        let why = format!("The hole is {} wide.", h.diameter);
        let inward = unit(minus(at, nearest_on_edge(board, at))).filter(|_| centre > 0.0);
        let solid = layout.solid(&h.subject);
        let remedy = solid.zip(inward).and_then(|(s, d)| layout.move_remedy(s, d, least - left));
        let remedy = remedy.unwrap_or_else(|| {
            let by = mm(least - left);
            Remedy::advice(format!("Move {name} inwards by {by}, or use a thinner screw."))
        });
        out.push(
            Finding::new(PAGE.slug, PAGE.severity, h.subject.clone(), what, why, PAGE.source)
                .with_value("distance_mm", left)
                .with_limit("distance_mm", least)
                .with_remedy(remedy)
                .with_spot(Face::Front, at)
                .with_marks(mark(layout, h, at, left)),
        );
    }
}

/// The board that is left between the hole and the edge; where none is left, the hole.
fn mark(layout: &Layout, hole: &BoardHole, at: Point, left: f64) -> Vec<Mark> {
    let to = nearest_on_edge(&layout.board.outline, at);
    match unit(minus(to, at)) {
        Some(d) if left > 0.0 => {
            let rim = along(at, d, hole.diameter.0 / 2.0);
            vec![marks::span(Face::Front, rim, to, marks::length(left))]
        }
        _ => {
            let shape = super::web_too_thin::hole_shape(hole);
            marks::whole(Face::Front, &shape, marks::length(left))
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn rim_to_edge() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "hole-near-edge").unwrap();
        // Centre 5 mm in, hole 6.6 wide at best (ISO 273 medium), 6.5 as drilled.
        assert!((f.values["distance_mm"] - 1.75).abs() < 1e-9);
    }
}
