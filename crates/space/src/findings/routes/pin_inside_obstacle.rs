//! A corner that a wire is to run through lies within something.

use crate::findings::layout::Layout;
use crate::findings::mm;
use crate::shape::{contains, edge_distance};
use loomdeck_model::{Edit, Finding, Page, Pin, Remedy, Severity, Subject};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "pin-inside-obstacle",
    severity: Severity::Fix,
    title: "A wire is to run through something that stands there",
    physics: "You can pin the way of a wire or a loom to corners that it must run through. A corner that \
        lies within a part, or nearer to it than half the wire's thickness, cannot be reached; the wire is \
        then led as if that corner were not there.",
    source: "Plane geometry.",
    limits: "Plan view: a wire over a low part is not considered.",
    before: crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [10, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [150, 60]\n\
         [[part]]\nname = \"lamp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 20]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\n\
         pins = [ { face = \"front\", at_mm = [100, 35] } ]\n"
    ),
    after: crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [10, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [150, 60]\n\
         [[part]]\nname = \"lamp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [80, 20]\n\
         [[wire]]\nname = \"one\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\n\
         pins = [ { face = \"front\", at_mm = [100, 58] } ]\n"
    ),
};

/// Looks at the pins of every wire and loom.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let robot = layout.robot;
    let half = |i: usize| {
        let w = &robot.wires[i];
        w.insulation.outside_diameter(w.gauge).0 / 2.0
    };
    for (i, wire) in robot.wires.iter().enumerate().filter(|(_, w)| !w.pins.is_empty()) {
        look(layout, Subject::Wire(wire.name.clone()), &wire.pins, half(i), out);
    }
    for (l, loom) in robot.looms.iter().enumerate().filter(|(_, l)| !l.pins.is_empty()) {
        let inside = |w: &&loomdeck_model::Wire| w.loom.is_some_and(|x| x.0 == l) && w.pins.is_empty();
        let thickest = robot
            .wires
            .iter()
            .filter(inside)
            .map(|w| w.insulation.outside_diameter(w.gauge).0 / 2.0)
            .fold(0.0, f64::max);
        look(layout, Subject::Loom(loom.name.clone()), &loom.pins, thickest, out);
    }
}

fn look(layout: &Layout, on: Subject, pins: &[Pin], half: f64, out: &mut Vec<Finding>) {
    for (k, pin) in pins.iter().enumerate() {
        let held = layout
            .near_circle(pin.face, pin.at, half)
            .into_iter()
            .map(|s| (s.outside(pin.at), s.subject.clone()))
            .filter(|(d, _)| *d < half)
            .reduce(|a, b| if b.0 < a.0 { b } else { a });
        let off = !contains(&layout.board.outline, pin.at);
        let over = off.then(|| (-edge_distance(&layout.board.outline, pin.at), Subject::Board));
        let Some((distance, by)) = over.or(held) else { continue };
        let place = format!("x {}, y {}", mm(pin.at.x), mm(pin.at.y));
        let what = if off {
            format!(
                "Corner {} of {}, at {place}, lies {} off the board.",
                k + 1,
                on.name(),
                mm(-distance)
            )
        } else {
            format!(
                "Corner {} of {}, at {place}, lies {} {}; its middle needs {} of room.",
                k + 1,
                on.name(),
                if distance < 0.0 {
                    format!("{} inside", mm(-distance))
                } else {
                    format!("{} from", mm(distance))
                },
                by.name(),
                mm(half)
            )
        };
        let why = "Wires run beside parts, not under or over them; this corner is left out.";
        let text = format!("Move the corner into the open, or leave the corners of {} out.", on.name());
        let remedy = Remedy::edit(text, vec![Edit::Unset { on: on.clone(), key: "pins".into() }]);
        out.push(
            Finding::new(PAGE.slug, PAGE.severity, on.clone(), what, why, PAGE.source)
                .with_subject(by)
                .with_value("distance_mm", distance)
                .with_limit("distance_mm", half)
                .with_remedy(remedy)
                .with_spot(pin.face, pin.at),
        );
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::PAGE;
    use crate::findings::tests::found;
    use crate::geometry::Leg;

    #[test]
    fn a_pin_in_the_open_is_run_through() {
        let (robot, _) = found(PAGE.after);
        let geometry = crate::study(&robot);
        let through = geometry.wires[0].legs.iter().any(|leg| match leg {
            Leg::Along { points, .. } => {
                points.iter().any(|p| p.distance(robot.wires[0].pins[0].at) < 1e-9)
            }
            _ => false,
        });
        assert!(through, "{:?}", geometry.wires[0].legs);
        let (_, all) = found(PAGE.before);
        let f = all.iter().find(|f| f.slug == PAGE.slug).unwrap();
        assert!((f.values["distance_mm"] + 15.0).abs() < 1e-6);
    }
}
