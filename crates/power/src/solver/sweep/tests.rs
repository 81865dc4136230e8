#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::circuit::Circuit;
use crate::circuit::values::Level;
use crate::operate::from_nothing;
use crate::testing::{ladder, measured};
use loomdeck_model::Robot;

/// Every far end of a robot's wires shorted to the battery's negative pole: the sweep against the whole
/// network with the join in it, solved from a guess.
fn compare(robot: &Robot) -> usize {
    let circuit = Circuit::of(robot, &measured(robot));
    let ohms = circuit.cold.clone();
    let base = from_nothing(&circuit, robot, &robot.situations[0], Level::Mean, &ohms);
    let ready = &base.ready;
    let mut sweep =
        Sweep::of(&circuit.core, &circuit.pattern, &ready.netlist, &ready.fed, &base.point).unwrap();
    let minus = circuit.node(robot, robot.wires.iter().find(|w| w.name == "w3").unwrap().from);
    let far = robot.wires.iter().map(|w| Place::Node(circuit.node(robot, w.to)));
    let pairs: Vec<(Place, Place)> = far.map(|far| (far, Place::Node(minus))).collect();
    let currents = sweep.currents(&pairs, 0.004);
    for (wire, alone) in robot.wires.iter().zip(&currents) {
        let far = circuit.node(robot, wire.to);
        let short = sweep.short(Place::Node(far), Place::Node(minus), 0.004).unwrap().unwrap();
        let mut netlist = ready.netlist.clone();
        for &item in &short.shed {
            if let Device::Load { current_a, .. } = &mut netlist.items[item].device {
                *current_a = 0.0;
            }
        }
        let join = Device::Branch { a: far, b: minus, resistance_ohm: 0.004, emf_v: 0.0 };
        netlist.items.push(crate::netlist::Item { name: String::new(), active: true, device: join });
        let pattern = Pattern::of(&netlist);
        let core = crate::solver::core_of(&netlist, &pattern);
        let solver = crate::solver::Solver::of(&core, &netlist, &ready.fed.references);
        let start = crate::solver::guess(&netlist, &pattern, &ready.fed);
        let scratch = crate::solver::solve(&solver, &netlist, &start, 1.0).unwrap();
        let expected = scratch.x[pattern.extra[netlist.items.len() - 1]];
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-8 * expected.abs().max(1.0);
        let (alone, off) = alone.as_ref().unwrap().as_ref().unwrap();
        assert!(close(*alone, expected), "{}: {alone} against {expected}", wire.name);
        let set = |shed: &[usize]| shed.iter().copied().collect::<std::collections::BTreeSet<_>>();
        assert_eq!(set(off), set(&short.shed), "{}", wire.name);
        assert!(close(short.current, expected), "{}: {} against {expected}", wire.name, short.current);
        for unknown in 0..circuit.pattern.size {
            let (own, other) = (short.point.x[unknown], scratch.x[unknown]);
            assert!(close(own, other), "{}: unknown {unknown}: {own} against {other}", wire.name);
        }
    }
    robot.wires.len()
}

#[test]
fn a_sweep_gives_what_solving_from_nothing_gives() {
    for rungs in [1, 6, 30] {
        let robot = loomdeck_model::testing::robot(&ladder(rungs));
        assert_eq!(compare(&robot), 5 * rungs + 1);
    }
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
