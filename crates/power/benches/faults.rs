//! How long shorts take: `cargo bench -p loomdeck-power --bench faults`.
//!
//! Fastest of 60 on a shared machine of two cores, 502 wires: one network solved from nothing 0.22 ms, one
//! operating point with all levels and warm wires 0.42 ms; the currents of all 502 shorts on one core, with
//! the factorisation they share, 1.8 ms: 8.3 and 4.3 times as long. With all unknowns of the whole network
//! of every short it is more than ten times as long as either: that sweep spreads half a thousand solutions.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use loomdeck_model::Robot;
use loomdeck_power::circuit::Circuit;
use loomdeck_power::circuit::values::Level;
use loomdeck_power::faults::{Ground, short};
use loomdeck_power::heat::robot::Wires;
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

    /// Only the currents of shorts at all far ends, among them the factorisation they share.
    fn currents(&self, at: &Solution) -> usize {
        let (netlist, fed) = (&at.ready.netlist, &at.ready.fed);
        let mut sweep =
            Sweep::of(&self.circuit.core, &self.circuit.pattern, netlist, fed, &at.point).unwrap();
        let w = self.robot.wires.iter().find(|w| w.name == "w3").unwrap();
        let minus = Place::Node(self.circuit.node(&self.robot, w.from));
        let far =
            self.robot.wires.iter().map(|w| (Place::Node(self.circuit.node(&self.robot, w.to)), minus));
        let pairs: Vec<(Place, Place)> = far.collect();
        sweep.currents(&pairs, 1e-3).iter().filter(|found| matches!(found, Some(Ok(_)))).count()
    }
}

/// One network solved from nothing, at one level and given resistances.
#[divan::bench]
fn operating_point(bencher: divan::Bencher) {
    let bench = Bench::new();
    bencher.bench_local(|| bench.operate());
}

/// One operating point as the study takes it: all levels, wires iterated to their own temperature.
#[divan::bench]
fn all_levels(bencher: divan::Bencher) {
    let bench = Bench::new();
    let geometry = measured(&bench.robot);
    let wires = Wires::of(&bench.robot, &geometry);
    let situation = &bench.robot.situations[0];
    bencher.bench_local(|| {
        loomdeck_power::operate::all_levels(&bench.circuit, &bench.robot, &wires, situation)
    });
}

/// The currents of one short per wire, from its far end to the return.
#[divan::bench]
fn short_currents(bencher: divan::Bencher) {
    let bench = Bench::new();
    let at = bench.operate();
    assert_eq!(bench.currents(&at), bench.robot.wires.len());
    bencher.bench_local(|| bench.currents(&at));
}

/// One short per wire, from its far end to the return, with all unknowns of each.
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

/// The whole room: every short of a demo, judged.
#[divan::bench]
fn room(bencher: divan::Bencher) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
    let robot = loomdeck_model::read(&loomdeck_model::Folder::load(&folder).unwrap()).0.unwrap();
    let geometry = loomdeck_space::study(&robot);
    let power = loomdeck_power::study(&robot, &geometry);
    let ground = Ground::of(&robot, &geometry, &power);
    bencher.bench_local(|| short::study(&ground));
}
