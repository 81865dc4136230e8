//! What lies on a face of the board over what is to come off: wires, heads and nuts.

use crate::geometry::{Geometry, Leg};
use crate::shape::{self, Convex, minus};
use loomdeck_model::{Face, Outline, Point, Robot, WireId};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

/// A straight stretch of a wire on a face.
struct Stretch {
    wire: WireId,
    from: Point,
    to: Point,
    diameter: f64,
}

/// Wires that lie on a face, and the heads and nuts there.
pub(super) struct Lying {
    stretches: Vec<Stretch>,
    boxes: RTree<Boxed>,
    heads: Vec<(Point, f64)>,
}

impl Lying {
    pub(super) fn new(robot: &Robot, geometry: &Geometry, face: Face) -> Self {
        let mut stretches = Vec::new();
        // The line of a wire that finds no way is no place where it lies.
        for run in geometry.wires.iter().filter(|r| geometry.blocked.iter().all(|b| b.wire != r.wire)) {
            let wire = &robot.wires[run.wire.0];
            for leg in &run.legs {
                let Leg::Along { face: f, points, .. } = leg else { continue };
                if *f != face {
                    continue;
                }
                stretches.extend(points.windows(2).map(|p| Stretch {
                    wire: run.wire,
                    from: p[0],
                    to: p[1],
                    diameter: wire.insulation.outside_diameter(wire.gauge).0,
                }));
            }
        }
        let boxes = RTree::bulk_load(
            stretches.iter().enumerate().map(|(i, s)| box_of(&Outline(vec![s.from, s.to]), i)).collect(),
        );
        let heads = geometry
            .face(face)
            .map_or_else(Vec::new, |v| v.fasteners.iter().map(|f| (f.at, f.diameter.0 / 2.0)).collect());
        Self { stretches, boxes, heads }
    }

    /// Radius of the head or nut there.
    pub(super) fn head_at(&self, at: Point) -> Option<f64> {
        self.heads.iter().find(|(p, _)| shape::norm(minus(*p, at)) < 0.01).map(|(_, r)| *r)
    }

    /// Wires whose middle runs over a shape whose underside is at `base`: those that do not fit beneath it.
    pub(super) fn wires_over<'s>(
        &'s self,
        shape: &'s [Convex],
        base: f64,
    ) -> impl Iterator<Item = WireId> + 's {
        let (low, high) = bounds(shape);
        let mut found: Vec<WireId> = self
            .boxes
            .locate_in_envelope_intersecting(AABB::from_corners([low.x, low.y], [high.x, high.y]))
            .map(|b| &self.stretches[b.data])
            .filter(|s| base == f64::INFINITY || s.diameter > base)
            .filter(|s| shape.iter().any(|c| c.clip(s.from, s.to).is_some()))
            .map(|s| s.wire)
            .collect();
        found.sort_unstable();
        found.dedup();
        found.into_iter()
    }
}

/// An upright box with the place in a list of what it is about.
pub(super) type Boxed = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// The box about an outline.
pub(super) fn box_of(outline: &Outline, i: usize) -> Boxed {
    let (low, high) = outline.bounds();
    GeomWithData::new(Rectangle::from_aabb(AABB::from_corners([low.x, low.y], [high.x, high.y])), i)
}

/// The corners of the box about a shape.
pub(super) fn bounds(shape: &[Convex]) -> (Point, Point) {
    Outline(shape.iter().flat_map(|p| [p.low, p.high]).collect()).bounds()
}
