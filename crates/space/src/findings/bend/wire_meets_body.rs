//! A wire's end and bend reach into the wall of the body.

use super::tried;
use crate::findings::access::tried::Tried;
use crate::findings::{mm, robot};
use loomdeck_model::part_type::Exit;
use loomdeck_model::{Finding, Outline, Page, Point, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "wire-meets-body",
    severity: Severity::Fix,
    title: "A wire's end and bend do not fit in the body",
    physics: "A wire that leaves its terminal straight off the face rises by its stiff end, a little that must stay \
        straight, and its bend, before it lies over the face again. All of that must end within the free \
        depth of the body. A wire that leaves outwards over the board's edge must end within the room \
        stated beyond it. The overlap is how far it reaches into the wall.",
    source: "The depths and the edge room stated for the board; bend radius: FAA AC 43.13-1B, 11-96 (from memory), \
        and NASA-STD-8739.4, 7.3.21.",
    limits: "Walls are flat and parallel to the board and its edges.",
    before: robot!(
        "[[type]]\nname = \"tall\"\ntitle = \"tall box\"\ngroup = \"boxes\"\nabout = \"Wires come out on top.\"\n\
         basis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 40\nmass_g = 50\nfixing = { style = \"adhesive\" }\n\
         terminal = [{ name = \"top\", at_mm = [20, 15], height_mm = 40, exit = \"off\", fitting = \"tab-6.3\", \
         ends = [\"receptacle-6.3\"], wire_mm2 = [0.5, 6], boot_mm = 12, boot_trimmed_mm = 6, role = \"passive\", optional = true }]\n\
         element = [{ kind = \"resistor\", a = \"top\", b = \"top\", ohms_ohm = 100, power_w = 1 }]\n\
         [[part]]\nname = \"horn\"\ntype = \"tall\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [120, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"horn.top\"\nto = \"amp.left\"\nsize_mm2 = 1.5\n"
    ),
    after: robot!(
        "[[type]]\nname = \"tall\"\ntitle = \"tall box\"\ngroup = \"boxes\"\nabout = \"Wires come out on top.\"\n\
         basis = \"made up\"\nsize_mm = [40, 30]\nheight_mm = 40\nmass_g = 50\nfixing = { style = \"adhesive\" }\n\
         terminal = [{ name = \"top\", at_mm = [20, 15], height_mm = 40, exit = \"off\", fitting = \"tab-6.3\", \
         ends = [\"receptacle-6.3\"], wire_mm2 = [0.5, 6], boot_mm = 12, boot_trimmed_mm = 6, role = \"passive\", optional = true }]\n\
         element = [{ kind = \"resistor\", a = \"top\", b = \"top\", ohms_ohm = 100, power_w = 1 }]\n\
         [[part]]\nname = \"horn\"\ntype = \"tall\"\nface = \"front\"\nat_mm = [30, 60]\n\
         [[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [120, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"horn.top\"\nto = \"amp.left\"\nsize_mm2 = 1.5\ntrim_from = true\n"
    ),
};

/// Looks at every wire end in use.
pub fn find(all: &Tried, out: &mut Vec<Finding>) {
    let layout = all.layout;
    for bend in layout.geometry.bends.iter().filter(|b| !b.is_free()) {
        let Some(way) = bend.ways.first() else { continue };
        let Some(wall) = way.blockers.iter().find(|b| b.by == Subject::Robot) else { continue };
        let overlap = wall.overlap.0;
        let (wire, place) = (tried::wire(all, bend), tried::place(all, bend));
        let high = way.solids.iter().map(|s| s.to.0).fold(0.0, f64::max);
        let depth = crate::faces::depth(layout.board, bend.face).0;
        let told = if high > depth {
            format!("reaches {} off the {}; the body leaves {}", mm(high), bend.face.word(), mm(depth))
        } else {
            let room = layout.board.edge_room.unwrap_or_default().0;
            format!(
                "reaches {} beyond the board's edge; the body leaves {}",
                mm(overlap + room),
                mm(room)
            )
        };
        let what = format!("{wire} at {place} {told}: {} too much.", mm(overlap));
        let subject = crate::faces::subject(layout.robot, bend.owner);
        let why = tried::made_of(bend);
        let mut f = Finding::new(PAGE.slug, PAGE.severity, subject.clone(), what, why, PAGE.source)
            .with_subject(Subject::Wire(wire.to_owned()))
            .with_value("overlap_mm", overlap)
            .with_limit("overlap_mm", 0.0)
            .with_spot(bend.face, bend.at)
            .with_marks(tried::marks(layout, bend));
        f.remedies.extend(tried::trim(all, bend));
        f.remedies.extend(tried::softer(all, bend));
        if let Some(own) = layout.solid(&subject) {
            let works = |thing: &crate::faces::Standing| tried::frees(all, bend, thing);
            if let (Exit::Along(_), Some(room)) = (bend.exit, layout.board.edge_room) {
                let corners: Vec<Point> =
                    way.solids.iter().flat_map(|s| s.outline.0.iter().copied()).collect();
                let by = layout.pull_in(&Outline(corners), -room.0);
                if let Some(d) = crate::shape::unit(by) {
                    f.remedies.extend(all.best_move(vec![(own, d, crate::shape::norm(by))], works));
                }
                f.remedies.extend(all.turn(own, works));
            }
        }
        if f.remedies.is_empty() {
            f.remedies.push(Remedy::advice(format!(
                "Make {} more room in the body there, or use an end that turns a right angle.",
                mm(overlap)
            )));
        }
        out.push(f);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::{count, found};

    #[test]
    fn the_rise_is_end_straight_radius_and_wire() {
        let (robot, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "wire-meets-body").unwrap();
        let d = robot.wires[0].insulation.outside_diameter(robot.wires[0].gauge).0;
        // 40 + 12 + (1 + 3 + 1) d against 60 mm; the facets of the bend reach no higher than it does.
        assert!((f.values["overlap_mm"] - (40.0 + 12.0 + 5.0 * d - 60.0)).abs() < 1e-9);
        assert!(f.remedies[0].text.starts_with("Trim"), "{:?}", f.remedies);
    }

    #[test]
    fn outwards_over_the_edge_it_needs_the_stated_room() {
        let out = super::PAGE
            .after
            .replace("exit = \"off\"", "exit = \"left\"")
            .replace("at_mm = [20, 15], height_mm = 40", "at_mm = [2, 15], height_mm = 20")
            .replace("at_mm = [30, 60]", "at_mm = [4, 60]");
        assert_eq!(count(&out, "wire-meets-body"), 0);
        let walled =
            out.replace("[[type]]\nname = \"tall\"", "edge_room_mm = 2\n[[type]]\nname = \"tall\"");
        let walled = walled.replace("edge_room_mm = 2\n", "").replacen(
            "depth_back_mm = 45\n",
            "depth_back_mm = 45\nedge_room_mm = 2\n",
            1,
        );
        assert_eq!(count(&walled, "wire-meets-body"), 1);
    }
}
