//! A measured length is shorter than the way the wire takes.

use crate::geometry::{Geometry, LengthBasis};
use crate::lengths::of_legs;
use loomdeck_model::{Edit, Finding, Page, Remedy, Robot, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "length-shorter-than-route",
    severity: Severity::Fix,
    title: "A stated length is shorter than the way",
    physics: "You stated the length of a wire, and it is used for resistance and for the cut list. The way over \
        the board, past everything that stands on it, is longer: a wire cut to the stated length would \
        be strained across parts or not arrive.",
    source: "The route, which is the shortest free way (or joins its loom's trunk).",
    limits: "Up to 5 % or 10 mm less than the route are accepted: the route keeps its lane beside other wires and \
        bends no more tightly than it must, and a wire may cut across something low.",
    before: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [120, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\nlength_mm = 40\n"
    ),
    after: super::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [20, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [120, 60]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\nlength_mm = 80\n"
    ),
};

/// Accepted shortfall: fraction, and mm.
const TOLERANCE: (f64, f64) = (0.05, 10.0);

/// Looks at every wire with a stated length and a known way.
pub fn find(robot: &Robot, geometry: &Geometry, out: &mut Vec<Finding>) {
    for run in &geometry.wires {
        if run.basis != LengthBasis::Measured || geometry.blocked.iter().any(|b| b.wire == run.wire) {
            continue;
        }
        if !known(robot, run.legs.as_slice()) {
            continue;
        }
        let route = of_legs(&run.legs);
        if run.length.0 >= route.0 - (TOLERANCE.0 * route.0).max(TOLERANCE.1) {
            continue;
        }
        let name = &robot.wires[run.wire.0].name;
        let on = Subject::Wire(name.clone());
        let what = format!("{name} is stated as {} long, but its way is {}.", run.length, route);
        let why = "Cut to the stated length it does not arrive, or is strained across other parts.";
        let edit = Edit::Unset { on: on.clone(), key: "length".into() };
        out.push(
            Finding::new(PAGE.slug, PAGE.severity, on, what, why, PAGE.source)
                .with_value("length_mm", run.length.0)
                .with_limit("length_mm", route.0)
                .with_remedy(Remedy::edit(
                    format!("Measure {name} again along its way, or leave its length out."),
                    vec![edit],
                )),
        );
    }
}

/// It begins on the board (within the body nothing is routed), and every zone on its way has a
/// stated path.
fn known(robot: &Robot, legs: &[crate::geometry::Leg]) -> bool {
    legs.iter().any(|leg| matches!(leg, crate::geometry::Leg::Along { .. }))
        && legs.iter().all(|leg| match leg {
            crate::geometry::Leg::Body { zone, .. } => robot.zones[zone.0].path.is_some(),
            _ => true,
        })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::found;

    #[test]
    fn the_way_is_told() {
        let (_, all) = found(super::PAGE.before);
        let f = all.iter().find(|f| f.slug == "length-shorter-than-route").unwrap();
        // Terminals 64 mm apart, 8 mm up at either end.
        assert!((f.limits["length_mm"] - 80.0).abs() < 1e-6);
    }
}
