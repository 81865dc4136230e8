#![allow(clippy::unwrap_used)]
use crate::geometry::*;
use crate::samples;
use loomdeck_model::testing::robot;

#[test]
fn every_wire_of_a_sample_finds_its_way() {
    let robot = robot(&samples::rows(40, 90));
    let geometry = crate::study(&robot);
    assert!(geometry.blocked.is_empty());
    assert!(geometry.wires.iter().all(|w| w.basis == LengthBasis::Routed));
}

use crate::route::{CLEARANCES, class_of};
use crate::shape::{self, Convex};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Face, Place, Point, Robot, Wire};
use proptest::prelude::*;

fn thickness(wire: &Wire) -> f64 {
    wire.insulation.outside_diameter(wire.gauge).0
}

/// Least distance of a polyline from a shape.
fn keeps_off(points: &[Point], shape: &[Convex]) -> f64 {
    points
        .windows(2)
        .map(|s| shape::distance(&[Convex::new(vec![s[0], s[1]])], shape))
        .fold(f64::INFINITY, f64::min)
}

/// Laws that hold for every wire that is not blocked; the number of stretches looked at.
pub(super) fn check_laws(robot: &Robot) -> usize {
    let geometry = crate::study(robot);
    let mut looked = 0;
    for run in &geometry.wires {
        let wire = &robot.wires[run.wire.0];
        if geometry.blocked.iter().any(|b| b.wire == run.wire) {
            continue;
        }
        let along: Vec<(Face, &[Point])> = run
            .legs
            .iter()
            .filter_map(|leg| match leg {
                Leg::Along { face, points, .. } => Some((*face, points.as_slice())),
                _ => None,
            })
            .collect();
        for (i, (face, points)) in along.iter().enumerate() {
            // The first and the last stretch of all lead out of the wire's own parts.
            let first = usize::from(i == 0);
            let last = points.len() - usize::from(i + 1 == along.len());
            if first >= last {
                continue;
            }
            let middle = &points[first..last];
            looked += middle.len() - 1;
            let view = geometry.face(*face).unwrap();
            for body in &view.bodies {
                let d = keeps_off(middle, &shape::pieces(&body.outline));
                assert!(
                    d > thickness(wire) / 2.0 - 1e-4,
                    "{} runs {d} mm from {:?}: {middle:?} {:?}",
                    wire.name,
                    body.owner,
                    body.outline
                );
            }
            for f in view.fasteners.iter().filter(|f| f.height.0 > 0.0) {
                let disc = [shape::octagon(f.at, f.diameter.0 / 2.0)];
                assert!(keeps_off(middle, &disc) > thickness(wire) / 2.0 - 1e-4, "{}", wire.name);
            }
        }
        let straight = along[0].1[0].distance(*along[along.len() - 1].1.last().unwrap());
        assert!(run.length.0 >= straight - 1e-9, "{}: {} < {straight}", wire.name, run.length.0);
        assert!((crate::lengths::of_legs(&run.legs).0 - run.length.0).abs() < 1e-6);
        assert!(run.cut.0 > run.length.0);
        let tied: f64 = run.bundles.iter().map(|b| b.length.0).sum();
        assert!(tied <= run.length.0 + 1e-6, "{} is tied over {tied}", wire.name);
        assert!(run.bundles.iter().all(|b| !b.with.is_empty() && b.diameter.0 > thickness(wire)));
    }
    looked
}

#[test]
fn laws_hold_for_samples() {
    for (parts, wires) in [(2, 1), (7, 15), (40, 90), (100, 300)] {
        let looked = check_laws(&robot(&samples::rows(parts, wires)));
        assert!(looked >= wires.saturating_sub(parts), "only {looked}");
    }
    check_laws(&robot(&samples::rows_tied(40, 90, 3, 1)));
}

/// Two boxes with a wall between them: the shortest way round is known.
#[test]
fn the_way_round_a_wall_is_the_shortest() {
    let text = format!(
        "{}{}",
        samples::TYPES,
        r#"
[board]
size_mm = [400, 300]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 60
[[keep_out]]
name = "wall"
size_mm = [20, 200]
at_mm = [190, 60]
[[part]]
name = "one"
type = "box"
face = "front"
at_mm = [50, 130]
[[part]]
name = "two"
type = "box"
face = "front"
at_mm = [310, 130]
[[wire]]
name = "w"
from = "one.c"
to = "two.a"
size_mm2 = 0.5
"#
    );
    let robot = robot(&text);
    let geometry = crate::study(&robot);
    // Terminals at (88, 140) and (312, 140); gates at the boxes' sides grown by the clearance; wall
    // from (190, 60) to (210, 260), its lower corners grown likewise.
    let c = CLEARANCES[class_of(thickness(&robot.wires[0]))];
    let gate = Point::new(90.0 + c, 140.0);
    // Round the corner of the wall the middle keeps half the wire and a little air; the bend is drawn into
    // the wall so far that its radius is six wires.
    let wire = thickness(&robot.wires[0]);
    let need = c.max(wire / 2.0 + 0.3);
    let radius = (6.0 * wire).max(need);
    let centre = Point::new(190.0 + (radius - need) / 2f64.sqrt(), 60.0 + (radius - need) / 2f64.sqrt());
    let far = gate.distance(centre);
    let tangent = (far * far - radius * radius).sqrt();
    // The stretch under the wall is level; the arc turns from the tangent's slope to that.
    let down = ((gate.y - centre.y) / (centre.x - gate.x)).atan() + (radius / far).asin();
    // At the gate it turns by the same angle, as wide as the stub allows.
    let stub = gate.x - 88.0;
    let bend = radius.min(stub / (down / 2.0).tan());
    let saved = 2.0 * bend * (down / 2.0).tan() - bend * down;
    let half = stub + tangent - saved + radius * down + (200.0 - centre.x);
    let expected = 2.0 * half + 2.0 * 8.0;
    let got = geometry.wires[0].length;
    assert!((got - Millimetres(expected)).abs().0 < 1e-4, "{} for {expected}", got.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    /// Whatever the files place where, nothing panics and every number is finite.
    #[test]
    fn any_layout_is_measured(
        seed in proptest::collection::vec((-400.0..400f64, -400.0..400f64, 0.0..360f64), 12),
        shrink in 0.0..1f64,
    ) {
        let mut robot = robot(&samples::rows(12, 40));
        for (part, (x, y, turn)) in robot.parts.iter_mut().zip(&seed) {
            if let Place::Board(p) = &mut part.place {
                p.at = Point::new(p.at.x + x * shrink, p.at.y + y * shrink);
                p.turn = Degrees(*turn);
            }
        }
        let geometry = crate::study(&robot);
        for run in &geometry.wires {
            prop_assert!(run.length.0.is_finite() && run.length.0 > 0.0 && run.cut.0 >= run.length.0);
        }
        for f in crate::findings(&robot, &geometry) {
            prop_assert!(f.values.values().chain(f.limits.values()).all(|v| v.is_finite()), "{:?}", f);
            prop_assert!(f.severity > loomdeck_model::Severity::Fix || !f.remedies.is_empty());
        }
        prop_assert_eq!(&geometry, &crate::study(&robot));
    }
}
