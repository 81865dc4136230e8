//! How long shorts take: `cargo bench -p loomdeck-power --bench faults`.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use loomdeck_model::Robot;
use loomdeck_power::circuit::Circuit;
use loomdeck_power::circuit::values::Level;
use loomdeck_power::operate::{Solution, from_nothing};
use loomdeck_power::solver::sweep::{Place, Sweep};
use loomdeck_power::testing::{ladder, measured};

fn main() {
    divan::main();
}

/// A ladder with 502 wires, and what its sweeps need.
struct Bench {
    robot: Robot,
    circuit: Circuit,
}

impl Bench {
    fn new() -> Self {
        let robot = loomdeck_model::testing::robot(&ladder(100));
        let circuit = Circuit::of(&robot, &measured(&robot));
        Self { robot, circuit }
    }

    fn operate(&self) -> Solution {
        let situation = &self.robot.situations[0];
        from_nothing(&self.circuit, &self.robot, situation, Level::Mean, &self.circuit.cold)
    }

    /// Shorts each place, among them the factorisation they share; how many there were.
    fn sweep(&self, at: &Solution, places: impl Iterator<Item = Place>) -> usize {
        let (netlist, fed) = (&at.ready.netlist, &at.ready.fed);
        let mut sweep =
            Sweep::of(&self.circuit.core, &self.circuit.pattern, netlist, fed, &at.point).unwrap();
        let w = self.robot.wires.iter().find(|w| w.name == "w3").unwrap();
        let minus = Place::Node(self.circuit.node(&self.robot, w.from));
        places.filter(|&place| matches!(sweep.short(place, minus, 1e-3), Some(Ok(_)))).count()
    }
}

/// One operating point from nothing: what the sweeps are held against.
#[divan::bench]
fn operating_point(bencher: divan::Bencher) {
    let bench = Bench::new();
    bencher.bench_local(|| bench.operate());
}

/// One short per wire, from its far end to the return.
#[divan::bench]
fn short_sweep(bencher: divan::Bencher) {
    let bench = Bench::new();
    let at = bench.operate();
    let far = || {
        let wires = bench.robot.wires.iter();
        wires.map(|w| Place::Node(bench.circuit.node(&bench.robot, w.to)))
    };
    assert_eq!(bench.sweep(&at, far()), bench.robot.wires.len());
    bencher.bench_local(|| bench.sweep(&at, far()));
}

/// One short per wire, from its middle to the return.
#[divan::bench]
fn middle_sweep(bencher: divan::Bencher) {
    let bench = Bench::new();
    let at = bench.operate();
    let middle = || bench.circuit.wire_item.iter().map(|&item| Place::Along(item, 0.5));
    bencher.bench_local(|| bench.sweep(&at, middle()));
}
