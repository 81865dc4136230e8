//! More wires must go through a gap than there is room for.

use super::list;
use crate::findings::layout::Layout;
use crate::findings::{marks, mm};
use crate::geometry::Gap;
use crate::shape::{minus, unit};
use loomdeck_model::{Face, Finding, Page, Point, Remedy, Severity, Subject};
use std::collections::BTreeMap;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "gap-overfull",
    severity: Severity::Look,
    title: "More wires go through a gap than there is room for",
    physics: "Wires run side by side on the face, each as wide as it is thick and a little air, a loom as wide \
        as its bundle; in a gap they may lie in two layers where the board has the depth. When all wires \
        that want through a gap need more than that, the gap grows dear, and those that have \
        another way take it. What is told here is what is left after that: no other way is worth the \
        detour, or there is none.",
    source: "Width of wires from their insulation; bundles by published packings of circles. Two layers and \
        0.3 mm of air: common practice, no source.",
    limits: "Plan view. Wires that are thinner than their neighbours may lie in the valleys between \
        them, which is not counted. What the search goes round to avoid a full gap is a matter of price: some \
        tens of mm for every mm that is missing.",
    before: crate::findings::robot!(
        "[[keep_out]]\nname = \"top\"\nface = \"front\"\nsize_mm = [20, 70]\nat_mm = [90, 80]\n\
         [[keep_out]]\nname = \"bottom\"\nface = \"front\"\nsize_mm = [20, 74.5]\nat_mm = [90, 0]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [140, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 4\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 4\n\
         [[wire]]\nname = \"three\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 4\n"
    ),
    after: crate::findings::robot!(
        "[[keep_out]]\nname = \"top\"\nface = \"front\"\nsize_mm = [20, 66]\nat_mm = [90, 84]\n\
         [[keep_out]]\nname = \"bottom\"\nface = \"front\"\nsize_mm = [20, 74.5]\nat_mm = [90, 0]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [140, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 4\n\
         [[wire]]\nname = \"two\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 4\n\
         [[wire]]\nname = \"three\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 4\n"
    ),
};

/// Looks at every gap; of several places between the same two things the worst is told.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let mut worst: BTreeMap<(Face, [Subject; 2]), &Gap> = BTreeMap::new();
    for gap in layout.geometry.gaps.iter().filter(|g| g.missing().0 > 1e-6) {
        let mut between = gap.between.clone();
        between.sort();
        let entry = worst.entry((gap.face, between)).or_insert(gap);
        if gap.missing().0 > entry.missing().0 + 1e-9 {
            *entry = gap;
        }
    }
    for ((face, between), gap) in worst {
        let need = gap.need / f64::from(gap.layers.max(1));
        let names = list(gap.wires.iter().map(|w| layout.robot.wires[w.0].name.as_str()));
        let [a, b] = &between;
        let what = format!(
            "{names} need {} between {} and {} on the {}, where {} are free.",
            mm(need.0),
            a.name(),
            b.name(),
            face.word(),
            mm(gap.room.0)
        );
        let layers =
            if gap.layers > 1 { "even in two layers" } else { "in the one layer there is depth for" };
        let why = format!(
            "Side by side they are {} wide, so they do not fit {layers}; another way is not worth its detour.",
            mm(gap.need.0)
        );
        let middle = Point::new((gap.from.x + gap.to.x) / 2.0, (gap.from.y + gap.to.y) / 2.0);
        let mut f = Finding::new(PAGE.slug, PAGE.severity, a.clone(), what, why, PAGE.source)
            .with_subject(b.clone())
            .with_value("width_mm", need.0)
            .with_limit("width_mm", gap.room.0)
            .with_remedy(wider(layout, gap))
            .with_spot(face, middle)
            .with_marks([marks::span(face, gap.from, gap.to, marks::length(gap.room.0))]);
        for w in &gap.wires {
            f = f.with_subject(Subject::Wire(layout.robot.wires[w.0].name.clone()));
        }
        out.push(f);
    }
}

/// Moves one side away from the other by what is missing.
fn wider(layout: &Layout, gap: &Gap) -> Remedy {
    let missing = gap.missing().0;
    let moves = unit(minus(gap.to, gap.from)).map_or_else(Vec::new, |d| {
        [(&gap.between[0], Point::new(-d.x, -d.y)), (&gap.between[1], d)]
            .into_iter()
            .filter_map(|(s, d)| layout.solid(s).map(|solid| (solid, d, missing)))
            .collect()
    });
    layout.best_move(moves).unwrap_or_else(|| {
        Remedy::advice(format!(
            "Make the gap {} wider, or lead some of the wires over the other face through a pass-through.",
            mm(missing)
        ))
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::PAGE;
    use crate::findings::tests::{count, found};

    #[test]
    fn need_and_room_are_told() {
        let (robot, all) = found(PAGE.before);
        let f = all.iter().find(|f| f.slug == PAGE.slug).unwrap();
        let w = &robot.wires[0];
        let d = w.insulation.outside_diameter(w.gauge).0;
        assert!((f.limits["width_mm"] - 5.5).abs() < 1e-6, "{:?}", f.limits);
        assert!((f.values["width_mm"] - 3.0 * (d + 0.3) / 2.0).abs() < 1e-6, "{:?}", f.values);
    }

    /// With another way round, the wires that do not fit take it.
    #[test]
    fn with_another_way_nobody_complains() {
        let text = PAGE.before.replace("[20, 74.5]\nat_mm = [90, 0]", "[20, 60]\nat_mm = [90, 14.5]");
        assert_eq!(count(&text, PAGE.slug), 0);
    }
}
