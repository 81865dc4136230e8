//! A loom is thicker than the way it takes.

use super::layout::{Layout, Solid};
use super::mm;
use crate::geometry::TrunkStretch;
use crate::shape::{along, minus, unit};
use loomdeck_model::{Finding, Outline, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "loom-squeezed",
    severity: Severity::Look,
    title: "A loom is thicker than the way it takes",
    physics: "The way of a loom is laid out for its thickest wire. Tied together the wires are thicker, and the \
        loom moves aside where there is room. Where parts stand on both sides, the width between them is \
        measured square to the loom, every few millimetres; it must take the bundle's diameter.",
    source: "Diameter of the bundle: published packings of circles.",
    limits: "Plan view: a loom that is higher than the parts beside it may be let out over them. Stretches \
        shorter than the bundle is thick are left out: there the wires fan out to their terminals.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [140, 60]\n\
         [[keep_out]]\nname = \"top\"\nface = \"front\"\nsize_mm = [20, 72]\nat_mm = [90, 78]\n\
         [[part]]\nname = \"low\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 43]\n\
         [[keep_out]]\nname = \"bottom\"\nface = \"front\"\nsize_mm = [20, 43]\nat_mm = [90, 0]\n\
         [[part]]\nname = \"high\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 77.5]\n\
         [[loom]]\nname = \"across\"\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1\nloom = \"across\"\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1\nloom = \"across\"\n\
         [[wire]]\nname = \"three\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1\nloom = \"across\"\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [140, 60]\n\
         [[keep_out]]\nname = \"top\"\nface = \"front\"\nsize_mm = [20, 68]\nat_mm = [90, 82]\n\
         [[part]]\nname = \"low\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 43]\n\
         [[keep_out]]\nname = \"bottom\"\nface = \"front\"\nsize_mm = [20, 43]\nat_mm = [90, 0]\n\
         [[part]]\nname = \"high\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 82]\n\
         [[loom]]\nname = \"across\"\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1\nloom = \"across\"\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1\nloom = \"across\"\n\
         [[wire]]\nname = \"three\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1\nloom = \"across\"\n"
    ),
};

/// Distance between two measurements along a loom, mm.
const STEP: f64 = 4.0;

/// Looks at every stretch of every trunk; tells the narrowest place of each loom.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    for run in &layout.geometry.looms {
        let narrowest = run
            .trunk
            .iter()
            .filter(|s| s.wires.len() > 1 && s.from.distance(s.to) > s.diameter.0)
            .filter_map(|s| narrowest(layout, s).map(|n| (n.0 - s.diameter.0, n, s)))
            .filter(|(spare, ..)| *spare < -1e-6)
            .reduce(|a, b| if b.0 < a.0 { b } else { a });
        let Some((spare, (width, at, sides), stretch)) = narrowest else { continue };
        let [left, right] = sides;
        // In the order of their names, so that the words do not depend on which way the loom is walked.
        let mut sides = sides;
        sides.sort_by(|a, b| a.subject.cmp(&b.subject));
        let name = &layout.robot.looms[run.loom.0].name;
        let what = format!(
            "The loom {name} is {} thick where only {} are free between {} and {} on the {}.",
            mm(stretch.diameter.0),
            mm(width),
            sides[0].name(),
            sides[1].name(),
            stretch.face.word()
        );
        let why = format!("{} wires run tied together there.", stretch.wires.len());
        let across = Point::new(-(stretch.to.y - stretch.from.y), stretch.to.x - stretch.from.x);
        let moves = unit(across)
            .map(|n| vec![(left, n, -spare), (right, Point::new(-n.x, -n.y), -spare)])
            .unwrap_or_default();
        let remedy = layout.best_move(moves).unwrap_or_else(|| {
            Remedy::advice(format!("Make {} more room there, or split the loom in two.", mm(-spare)))
        });
        out.push(
            Finding::new(PAGE.slug, PAGE.severity, Subject::Loom(name.clone()), what, why, PAGE.source)
                .with_subject(sides[0].subject.clone())
                .with_subject(sides[1].subject.clone())
                .with_value("diameter_mm", stretch.diameter.0)
                .with_limit("diameter_mm", width)
                .with_remedy(remedy)
                .with_spot(stretch.face, at),
        );
    }
}

type Narrow<'l, 'a> = (f64, Point, [&'l Solid<'a>; 2]);

/// The narrowest place along a stretch that has a body on both sides: width, place, bodies to the
/// left and to the right.
fn narrowest<'l, 'a>(layout: &'l Layout<'a>, s: &TrunkStretch) -> Option<Narrow<'l, 'a>> {
    let d = unit(minus(s.to, s.from))?;
    let left = Point::new(-d.y, d.x);
    let right = Point::new(d.y, -d.x);
    let reach = s.diameter.0;
    let near = layout.near(s.face, &Outline(vec![s.from, s.to]), reach);
    let length = s.from.distance(s.to);
    let steps = (length / STEP).ceil().max(1.0) as usize;
    (1..steps)
        .map(|i| along(s.from, d, length * i as f64 / steps as f64))
        .filter_map(|p| {
            let (l, a) = first(&near, p, left, reach)?;
            let (r, b) = first(&near, p, right, reach)?;
            Some((l + r, p, [a, b]))
        })
        .reduce(|a, b| if b.0 < a.0 { b } else { a })
}

/// The first body along a ray, within reach.
fn first<'l, 'a>(
    near: &[&'l Solid<'a>],
    p: Point,
    d: Point,
    reach: f64,
) -> Option<(f64, &'l Solid<'a>)> {
    let far = along(p, d, reach);
    near.iter()
        .filter_map(|s| {
            let t = s.pieces.iter().filter_map(|c| c.clip(p, far)).map(|(t, _)| t).reduce(f64::min)?;
            Some((t * reach, *s))
        })
        .reduce(|a, b| if b.0 < a.0 { b } else { a })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_free_width_is_between_the_parts() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "loom-squeezed").unwrap();
        // One box ends at y = 73, the other begins at 77.5.
        assert!((f.limits["diameter_mm"] - 4.5).abs() < 1e-3, "{:?}", f.limits);
        assert!(f.values["diameter_mm"] > 4.5);
    }
}
