#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::circuit::values::Level;
use crate::circuit::{Alteration, Circuit};
use crate::operate::{across, from_nothing, item_current};
use crate::testing::{ladder, measured};
use loomdeck_model::Robot;

/// Every far end of a robot's wires to the battery's negative pole: the sweep against the altered network
/// solved from nothing, where no part changes its state.
fn compare(robot: &Robot) -> usize {
    let circuit = Circuit::of(robot, &measured(robot));
    let situation = &robot.situations[0];
    let ohms = circuit.cold.clone();
    let base = from_nothing(&circuit, robot, situation, Level::Mean, &ohms);
    let mut sweep =
        Sweep::of(&circuit.core, &circuit.pattern, &base.ready.netlist, &base.ready.fed, &base.point)
            .unwrap();
    let minus = circuit.node(robot, robot.wires.iter().find(|w| w.name == "w3").unwrap().from);
    let mut compared = 0;
    for wire in &robot.wires {
        let far = circuit.node(robot, wire.to);
        let short = sweep.short(Place::Node(far), Place::Node(minus), 0.004).unwrap().unwrap();
        let altered = circuit.altered(robot, &[Alteration::Join { a: far, b: minus, ohms: 0.004 }]);
        let scratch = from_nothing(&altered, robot, situation, Level::Mean, &ohms);
        let same = scratch.states.running.iter().zip(&base.states.running).all(|(a, b)| a == b);
        if !same || scratch.point.fraction < 1.0 {
            continue;
        }
        let expected = item_current(&altered, &scratch, altered.template.items.len() - 1);
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-8 * expected.abs().max(1.0);
        assert!(close(short.current, expected), "{}: {} against {expected}", wire.name, short.current);
        for &item in &circuit.wire_item {
            let own = short.point.x[circuit.pattern.extra[item]];
            assert!(close(own, item_current(&altered, &scratch, item)), "{} in {item}", wire.name);
        }
        for v in 0..circuit.pattern.nodes {
            if let Some(volts) = across(&scratch, v, minus) {
                assert!(
                    close(short.point.x[v] - short.point.x[minus], volts),
                    "{}: node {v}",
                    wire.name
                );
            }
        }
        compared += 1;
    }
    compared
}

#[test]
fn a_sweep_gives_what_solving_from_nothing_gives() {
    let robot = loomdeck_model::testing::robot(&ladder(6));
    let n = compare(&robot);
    assert!(n >= 20, "{n} compared");
}

#[test]
fn the_ends_of_a_wire_are_places_along_it() {
    let robot = loomdeck_model::testing::robot(&ladder(3));
    let circuit = Circuit::of(&robot, &measured(&robot));
    let base = from_nothing(&circuit, &robot, &robot.situations[0], Level::Mean, &circuit.cold);
    let ready = &base.ready;
    let mut sweep =
        Sweep::of(&circuit.core, &circuit.pattern, &ready.netlist, &ready.fed, &base.point).unwrap();
    let minus = Place::Node(circuit.node(&robot, robot.wires[2].from));
    for (w, wire) in robot.wires.iter().enumerate() {
        let item = circuit.wire_item[w];
        let mut current = |place| sweep.short(place, minus, 0.01).unwrap().unwrap().current;
        let (from, to) = (circuit.node(&robot, wire.from), circuit.node(&robot, wire.to));
        for (along, node) in [(Place::Along(item, 0.0), from), (Place::Along(item, 1.0), to)] {
            let (here, there) = (current(along), current(Place::Node(node)));
            assert!(
                (here - there).abs() <= 1e-8 * there.abs().max(1.0),
                "{}: {here} {there}",
                wire.name
            );
        }
        let (near, middle, far) = (
            current(Place::Along(item, 0.0)).abs(),
            current(Place::Along(item, 0.5)).abs(),
            current(Place::Along(item, 1.0)).abs(),
        );
        // Nothing lies along a wire but copper.
        let (low, high) = (near.min(far), near.max(far));
        assert!(middle >= low * (1.0 - 1e-9) && middle <= high * (1.0 + 1e-9), "{}", wire.name);
    }
}
