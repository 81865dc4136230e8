//! Wires within the body whose length nobody stated.

use super::mm;
use crate::geometry::{Geometry, Leg, LengthBasis};
use loomdeck_model::{Finding, Page, Remedy, Robot, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "length-only-bounded",
    severity: Severity::Look,
    title: "The length of a wire within the body is not stated",
    physics: "Between two parts in one zone a wire is at least as long as the difference of their leads and at \
        most as long as their sum; between two zones, likewise with the paths from the board. Where you \
        do not state a length, resistance, drop and cut list take the longest.",
    source: "Plane geometry: the triangle inequality along the paths you stated.",
    limits: "Nothing is known here about the body between the zones.",
    before: super::robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 350\n\
         [[part]]\nname = \"lamp\"\ntype = \"box\"\nzone = \"leg\"\n\
         [[part]]\nname = \"horn\"\ntype = \"box\"\nzone = \"leg\"\n\
         [[wire]]\nname = \"one\"\nfrom = \"lamp.right\"\nto = \"horn.left\"\nsize_mm2 = 0.5\n"
    ),
    after: super::robot!(
        "[[zone]]\nname = \"leg\"\npath_mm = 350\n\
         [[part]]\nname = \"lamp\"\ntype = \"box\"\nzone = \"leg\"\n\
         [[part]]\nname = \"horn\"\ntype = \"box\"\nzone = \"leg\"\n\
         [[wire]]\nname = \"one\"\nfrom = \"lamp.right\"\nto = \"horn.left\"\nsize_mm2 = 0.5\nlength_mm = 180\n"
    ),
};

/// Looks at every wire that never touches the board and whose zones are measured.
pub fn find(robot: &Robot, geometry: &Geometry, out: &mut Vec<Finding>) {
    for run in &geometry.wires {
        let LengthBasis::Range { least, most } = run.basis else { continue };
        let stated =
            |leg: &Leg| matches!(leg, Leg::Body { zone, .. } if robot.zones[zone.0].path.is_some());
        let one_zone = run.legs.len() == 1;
        let body = run.legs.iter().all(|leg| matches!(leg, Leg::Body { .. }));
        if run.legs.is_empty() || !body || !(one_zone || run.legs.iter().all(stated)) {
            continue;
        }
        let name = &robot.wires[run.wire.0].name;
        if one_zone && goes_to_plug(robot, run.wire.0) {
            // Its length depends on the zone's path, and that is what the zone's finding asks for.
            continue;
        }
        let what =
            format!("{name} is between {} and {} long; nobody has stated it.", mm(least.0), mm(most.0));
        let why = "It runs within the body, of which only the paths from the board are known. Drop and cut \
            list take the longest.";
        let text = format!("Measure {name} with a piece of string and write it as `length_mm`.");
        out.push(
            Finding::new(PAGE.slug, PAGE.severity, Subject::Wire(name.clone()), what, why, PAGE.source)
                .with_value("length_mm", most.0)
                .with_value("shortest_mm", least.0)
                .with_remedy(Remedy::advice(text)),
        );
    }
}

fn goes_to_plug(robot: &Robot, wire: usize) -> bool {
    let w = &robot.wires[wire];
    [w.from, w.to].into_iter().any(|l| matches!(l, loomdeck_model::Landing::Plug { .. }))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_bounds_are_told() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "length-only-bounded").unwrap();
        // Two leads of 150 mm, the format's default.
        assert_eq!((f.values["shortest_mm"], f.values["length_mm"]), (0.0, 300.0));
    }
}
