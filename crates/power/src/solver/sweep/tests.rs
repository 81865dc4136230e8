#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::circuit::Circuit;
use crate::circuit::values::Level;
use crate::operate::from_nothing;
use crate::testing::{ladder, measured};
use loomdeck_model::Robot;
use std::sync::Mutex;

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

/// Shorts solved together against each alone, by a sweep of its own: same outcome, same loads off, and
/// every unknown of the whole network. How many were solved.
fn together(robot: &Robot, pairs: impl Fn(&Circuit) -> Vec<(Place, Place)>) -> usize {
    let circuit = Circuit::of(robot, &measured(robot));
    let base = from_nothing(&circuit, robot, &robot.situations[0], Level::Mean, &circuit.cold);
    let ready = &base.ready;
    let sweep =
        || Sweep::of(&circuit.core, &circuit.pattern, &ready.netlist, &ready.fed, &base.point).unwrap();
    let (mut all, mut alone) = (sweep(), sweep());
    let pairs = pairs(&circuit);
    let mut visited = vec![0; pairs.len()];
    let mut solved = 0;
    all.each(&pairs, 0.002, |index, found| {
        visited[index] += 1;
        let (a, b) = pairs[index];
        match (found, alone.short(a, b, 0.002)) {
            (None, None) => {}
            (Some(Err(one)), Some(Err(other))) => assert_eq!(one, other),
            (Some(Ok(one)), Some(Ok(other))) => {
                solved += 1;
                let most = other.point.x.iter().fold(1.0f64, |most, x| most.max(x.abs()));
                let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * most;
                assert!(
                    close(one.current, other.current),
                    "{a:?} {b:?}: {} {}",
                    one.current,
                    other.current
                );
                assert_eq!(one.point.fraction, other.point.fraction);
                assert_eq!(one.point.x.len(), other.point.x.len());
                for (unknown, (&own, &other)) in one.point.x.iter().zip(&other.point.x).enumerate() {
                    assert!(close(own, other), "{a:?} {b:?}: unknown {unknown}: {own} against {other}");
                }
                let set =
                    |shed: &[usize]| shed.iter().copied().collect::<std::collections::BTreeSet<_>>();
                assert_eq!(set(&one.shed), set(&other.shed), "{a:?} {b:?}");
            }
            (one, other) => panic!("{a:?} {b:?}: {one:?} against {other:?}"),
        }
    });
    assert_eq!(visited, vec![1; pairs.len()]);
    // On two threads nothing else is found.
    let (once, twice) = (Mutex::new(BTreeMap::new()), Mutex::new(BTreeMap::new()));
    let keep = |into: &Mutex<BTreeMap<usize, _>>, index, found: Option<Result<&Shorted, Failure>>| {
        assert!(into.lock().unwrap().insert(index, found.map(|f| f.cloned())).is_none());
    };
    sweep().each(&pairs, 0.002, |index, found| keep(&once, index, found));
    sweep().each_on_two(&pairs, 0.002, |index, found| keep(&twice, index, found));
    let (once, twice) = (once.into_inner().unwrap(), twice.into_inner().unwrap());
    assert_eq!(once.len(), pairs.len());
    assert!(once == twice);
    solved
}

/// Ends and points along every wire against the return, and against the far end of the wire after it.
fn everywhere(robot: &Robot, circuit: &Circuit, minus: Place) -> Vec<(Place, Place)> {
    let mut pairs = Vec::new();
    for (w, wire) in robot.wires.iter().enumerate() {
        let item = circuit.wire_item[w];
        let next = &robot.wires[(w + 1) % robot.wires.len()];
        let far = Place::Node(circuit.node(robot, wire.to));
        let beside = Place::Node(circuit.node(robot, next.to));
        pairs.extend([0.0, 0.3, 1.0].map(|share| (Place::Along(item, share), minus)));
        pairs.extend([(far, minus), (minus, far), (far, beside)]);
        pairs.push((Place::Along(item, 0.2), Place::Along(item, 0.7)));
    }
    pairs
}

#[test]
fn shorts_solved_together_are_those_solved_alone() {
    for rungs in [1, 6, 30] {
        let robot = loomdeck_model::testing::robot(&ladder(rungs));
        let back = robot.wires.iter().find(|w| w.name == "w3").unwrap().from;
        let solved = together(&robot, |circuit| {
            everywhere(&robot, circuit, Place::Node(circuit.node(&robot, back)))
        });
        assert!(solved > 6 * robot.wires.len(), "{rungs}: {solved}");
    }
}

#[test]
fn what_is_not_linear_goes_alone() {
    // Converters, drivers and diodes: no block serves them.
    for name in ["samovar", "cart"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
        let robot = loomdeck_model::read(&loomdeck_model::Folder::load(&path).unwrap()).0.unwrap();
        let solved = together(&robot, |circuit| {
            let minus = Place::Node(circuit.node(&robot, robot.wires[1].to));
            everywhere(&robot, circuit, minus).into_iter().step_by(3).collect()
        });
        assert!(solved > 10, "{name}: {solved}");
    }
}
