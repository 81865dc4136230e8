//! How long shorts take: `cargo bench -p loomdeck-power --bench faults`.
//!
//! Medians of 100 on an idle machine of two cores, 502 wires: one network solved from nothing 0.29 ms, one
//! operating point with all levels and warm wires 0.58 ms. All 502 shorts, with the factorisation they share:
//! their currents 2.9 ms, 9.9 and 5.0 times as long; with all unknowns of the whole network 5.0 ms on one
//! core, 17 and 8.7 times, and 4.1 ms on two threads (fastest 2.8), 14 and 7.1 times; each by itself 12 ms.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use loomdeck_model::Robot;
use loomdeck_power::circuit::Circuit;
use loomdeck_power::circuit::values::Level;
use loomdeck_power::faults::{Ground, short};
use loomdeck_power::heat::robot::Wires;
use loomdeck_power::operate::{Solution, from_nothing};
use loomdeck_power::solver::sweep::{Place, Sweep};
use loomdeck_power::testing::{ladder, measured};
use std::sync::atomic::{AtomicUsize, Ordering};

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

    fn factored(&self, at: &Solution) -> Sweep<'_> {
        let (netlist, fed) = (&at.ready.netlist, &at.ready.fed);
        Sweep::of(&self.circuit.core, &self.circuit.pattern, netlist, fed, &at.point).unwrap()
    }

    /// Each place with the return.
    fn pairs(&self, places: impl Iterator<Item = Place>) -> Vec<(Place, Place)> {
        let w = self.robot.wires.iter().find(|w| w.name == "w3").unwrap();
        let minus = Place::Node(self.circuit.node(&self.robot, w.from));
        places.map(|place| (place, minus)).collect()
    }

    /// The far end of every wire with the return.
    fn far_ends(&self) -> Vec<(Place, Place)> {
        self.pairs(self.robot.wires.iter().map(|w| Place::Node(self.circuit.node(&self.robot, w.to))))
    }

    /// Shorts all pairs, among them the factorisation they share; how many there were.
    fn sweep(&self, at: &Solution, pairs: &[(Place, Place)]) -> usize {
        let mut count = 0;
        self.factored(at).each(pairs, 1e-3, |_, found| {
            count += usize::from(matches!(divan::black_box(found), Some(Ok(_))));
        });
        count
    }

    /// [`Self::sweep`] on two threads.
    fn sweep_on_two(&self, at: &Solution, pairs: &[(Place, Place)]) -> usize {
        let count = AtomicUsize::new(0);
        self.factored(at).each_on_two(pairs, 1e-3, |_, found| {
            let solved = matches!(divan::black_box(found), Some(Ok(_)));
            count.fetch_add(usize::from(solved), Ordering::Relaxed);
        });
        count.into_inner()
    }

    /// [`Self::sweep`] with every short by itself, in memory of its own.
    fn one_by_one(&self, at: &Solution, pairs: &[(Place, Place)]) -> usize {
        let mut sweep = self.factored(at);
        pairs.iter().filter(|&&(a, b)| matches!(sweep.short(a, b, 1e-3), Some(Ok(_)))).count()
    }

    /// Only the currents, among them the factorisation they share.
    fn currents(&self, at: &Solution, pairs: &[(Place, Place)]) -> usize {
        let found = self.factored(at).currents(pairs, 1e-3);
        found.iter().filter(|found| matches!(found, Some(Ok(_)))).count()
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

/// One way to solve shorts.
type Way = fn(&Bench, &Solution, &[(Place, Place)]) -> usize;

/// All shorts of some pairs at one operating point.
fn shorts(bencher: divan::Bencher, pairs: fn(&Bench) -> Vec<(Place, Place)>, way: Way) {
    let bench = Bench::new();
    let (at, pairs) = (bench.operate(), pairs(&bench));
    assert_eq!(way(&bench, &at, &pairs), bench.robot.wires.len());
    bencher.bench_local(|| way(&bench, &at, &pairs));
}

/// The currents of one short per wire, from its far end to the return.
#[divan::bench]
fn short_currents(bencher: divan::Bencher) {
    shorts(bencher, Bench::far_ends, Bench::currents);
}

/// One short per wire, from its far end to the return, with all unknowns of each.
#[divan::bench]
fn short_sweep(bencher: divan::Bencher) {
    shorts(bencher, Bench::far_ends, Bench::sweep);
}

/// The same on two threads.
#[divan::bench]
fn short_sweep_on_two(bencher: divan::Bencher) {
    shorts(bencher, Bench::far_ends, Bench::sweep_on_two);
}

/// The same, every short by itself.
#[divan::bench]
fn shorts_one_by_one(bencher: divan::Bencher) {
    shorts(bencher, Bench::far_ends, Bench::one_by_one);
}

/// One short per wire, from its middle to the return.
#[divan::bench]
fn middle_sweep(bencher: divan::Bencher) {
    let middles =
        |bench: &Bench| bench.pairs(bench.circuit.wire_item.iter().map(|&item| Place::Along(item, 0.5)));
    shorts(bencher, middles, Bench::sweep);
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
