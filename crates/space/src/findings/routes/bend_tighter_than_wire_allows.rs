//! A wire bends more tightly than it bears.

use crate::findings::layout::Layout;
use crate::findings::mm;
use crate::geometry::{Gap, Leg};
use crate::route::path::turn;
use crate::shape::{minus, nearest_on_segment, unit};
use loomdeck_model::{Face, Finding, Page, Point, Remedy, Severity, Subject, WireId};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "bend-tighter-than-wire-allows",
    severity: Severity::Look,
    title: "A wire bends more tightly than it bears",
    physics: "Bent too tightly, insulation thins on the outside of the bend and strands work against each \
        other until they break. Away from the terminals the ways are laid with bends of six times the wire's \
        outside diameter where there is room. Where parts leave less, the bend gets tighter; below three \
        times the diameter it is told.",
    source: "NASA-STD-8739.4 (1998), paragraph 7.3.21: six times the outside diameter for a short time, ten for \
        long. AC 43.13-1B, paragraph 11-96: three times where the wire is supported (from memory).",
    limits: "Radius of the wire's middle line, in plan. Told only where things on both sides leave no room to lay \
        the bend wider by hand: R (1 - cos t/2) for a turn of t. The first and the last bend, at the terminals, \
        are looked at as bend room. Slight turns, below 20°, are left out: the wire takes them by itself.",
    before: crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [140, 60]\n\
         [[keep_out]]\nname = \"rib\"\nface = \"front\"\nsize_mm = [6, 140]\nat_mm = [90, 10]\n\
         [[keep_out]]\nname = \"rail\"\nface = \"front\"\nsize_mm = [6, 140]\nat_mm = [101, 0]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 2.5\n"
    ),
    after: crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [140, 60]\n\
         [[keep_out]]\nname = \"rib\"\nface = \"front\"\nsize_mm = [6, 110]\nat_mm = [90, 40]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 2.5\n"
    ),
};

/// Least radius over outside diameter.
const LEAST: f64 = 3.0;

/// Turns below this are no bends, rad: 20°.
const SLIGHT: f64 = 0.35;

/// Looks at every bend of every wire; tells the tightest of each.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let robot = layout.robot;
    let gaps = Gaps::new(layout);
    for run in &layout.geometry.wires {
        let wire = &robot.wires[run.wire.0];
        let width = wire.insulation.outside_diameter(wire.gauge).0;
        let least = LEAST * width;
        let bends = bends(&run.legs);
        let inner = bends.get(1..bends.len().saturating_sub(1)).unwrap_or_default();
        let tight = inner
            .iter()
            .filter(|b| b.radius < least - 1e-6 && hemmed_in(&gaps, run.wire, b, least, width));
        let tightest = tight.copied().reduce(|a, b| if b.radius < a.radius - 1e-9 { b } else { a });
        let Some(Bend { radius, face, at, .. }) = tightest else { continue };
        let what = format!(
            "{} bends with a radius of {} on the {}; it should not go below {}.",
            wire.name,
            mm(radius),
            face.word(),
            mm(least)
        );
        let why = "What stands beside the bend leaves no more room; tight bends thin the insulation and work the \
            strands loose.";
        let remedy = room(layout, &gaps, run.wire, face, at, least - radius).unwrap_or_else(|| {
            Remedy::advice(format!(
                "Leave {} more beside the bend, or lead {} another way with a pinned corner.",
                mm(least - radius),
                wire.name
            ))
        });
        out.push(
            Finding::new(
                PAGE.slug,
                PAGE.severity,
                Subject::Wire(wire.name.clone()),
                what,
                why,
                PAGE.source,
            )
            .with_value("radius_mm", radius)
            .with_limit("radius_mm", least)
            .with_remedy(remedy)
            .with_spot(face, at),
        );
    }
}

/// A bend of a wire's way.
#[derive(Clone, Copy)]
struct Bend {
    radius: f64,
    /// Angle it turns through, radians.
    turn: f64,
    face: Face,
    at: Point,
}

/// Bends of a wire over all its legs in order. Slight ones count for the order, with no radius to complain
/// of.
fn bends(legs: &[Leg]) -> Vec<Bend> {
    let mut out = Vec::new();
    for leg in legs {
        let Leg::Along { face, points, radii } = leg else { continue };
        for (i, w) in points.windows(3).enumerate() {
            let turn = turn(w[0], w[1], w[2]).abs();
            let drawn = radii.get(i + 1).map_or(0.0, |r| r.0);
            let radius = if turn < SLIGHT { f64::INFINITY } else { drawn };
            out.push(Bend { radius, turn, face: *face, at: w[1] });
        }
    }
    out
}

/// How far from a bend a gap counts as beside it, mm.
const BESIDE: f64 = 20.0;

/// The gaps that each wire runs through, in their order.
struct Gaps<'a>(Vec<Vec<&'a Gap>>);

impl<'a> Gaps<'a> {
    fn new(layout: &Layout<'a>) -> Self {
        let mut through = vec![Vec::new(); layout.robot.wires.len()];
        for gap in &layout.geometry.gaps {
            for wire in &gap.wires {
                through[wire.0].push(gap);
            }
        }
        Self(through)
    }

    /// Gaps that the wire itself runs through; what stands beyond their sides does not hem it in.
    fn beside(&self, wire: WireId, face: Face, at: Point) -> impl Iterator<Item = &'a Gap> {
        // Most are far away, which is seen sooner than how far.
        let far = |p: f64, a: f64, b: f64| p < a.min(b) - BESIDE || p > a.max(b) + BESIDE;
        let about = move |g: &&Gap| !far(at.x, g.from.x, g.to.x) && !far(at.y, g.from.y, g.to.y);
        let near = move |g: &&Gap| at.distance(nearest_on_segment(at, g.from, g.to)) < BESIDE;
        self.0[wire.0].iter().copied().filter(move |g| g.face == face).filter(about).filter(near)
    }
}

/// There is no room to lay the bend wider than it is drawn. Round a corner of angle t, a bend of radius R
/// keeps clear of the corner when it lies R (1 - cos t/2) further out; so much must be free in every
/// gap beside it, besides the wires that are there.
fn hemmed_in(gaps: &Gaps, wire: WireId, bend: &Bend, radius: f64, width: f64) -> bool {
    let out = radius * (1.0 - (bend.turn / 2.0).cos());
    let taken = |g: &Gap| (g.need.0 / f64::from(g.layers.max(1))).max(width);
    gaps.beside(wire, bend.face, bend.at).any(|g| g.room.0 - taken(g) < out)
}

/// Moves one side of the narrowest gap beside the bend.
fn room(layout: &Layout, gaps: &Gaps, wire: WireId, face: Face, at: Point, by: f64) -> Option<Remedy> {
    let gap =
        gaps.beside(wire, face, at).reduce(|a, b| if b.room.0 < a.room.0 - 1e-9 { b } else { a })?;
    let d = unit(minus(gap.to, gap.from))?;
    let moves = [(&gap.between[0], Point::new(-d.x, -d.y)), (&gap.between[1], d)]
        .into_iter()
        .filter_map(|(s, d)| layout.solid(s).map(|solid| (solid, d, 2.0 * by)))
        .collect();
    layout.best_move(moves)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::PAGE;
    use crate::findings::tests::found;

    #[test]
    fn the_limit_is_three_diameters() {
        let (robot, all) = found(PAGE.before);
        let f = all.iter().find(|f| f.slug == PAGE.slug).unwrap();
        let d = robot.wires[0].insulation.outside_diameter(robot.wires[0].gauge).0;
        assert!((f.limits["radius_mm"] - 3.0 * d).abs() < 1e-9);
        assert!(f.values["radius_mm"] < 3.0 * d);
    }
}
