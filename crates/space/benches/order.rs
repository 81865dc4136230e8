//! Speed of the order of work and of the least removals.

#[path = "../src/order/samples.rs"]
#[allow(dead_code)]
mod drawn;
#[path = "../src/samples.rs"]
#[allow(dead_code)]
mod samples;

use loomdeck_model::testing::robot;
use loomdeck_model::{Folder, Robot, read};
use loomdeck_space::Geometry;
use loomdeck_space::order::build::Model;
use loomdeck_space::order::least::least;
use loomdeck_space::order::locked::waivers;
use loomdeck_space::order::puzzle::{Condition, Puzzle, Thing};
use loomdeck_space::order::{self, service_of};
use std::path::Path;

fn main() {
    divan::main();
}

fn demo(name: &str) -> Option<(Robot, Geometry)> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    let robot = read(&Folder::load(&path).ok()?).0?;
    let geometry = loomdeck_space::study(&robot);
    Some((robot, geometry))
}

/// The least that must come off, for everything on the board.
#[divan::bench(args = ["samovar", "samovar-first-try", "cart"])]
fn removal_sets(bencher: divan::Bencher, name: &str) {
    let Some((robot, geometry)) = demo(name) else { return };
    bencher.bench_local(|| {
        let model = Model::new(divan::black_box(&robot), &geometry);
        order::build::owners(&robot).into_iter().filter_map(|o| service_of(&model, o)).count()
    });
}

/// Everything: removal sets, order of assembly, what locks itself.
#[divan::bench(args = ["samovar", "samovar-first-try", "cart"])]
fn whole_order(bencher: divan::Bencher, name: &str) {
    let Some((robot, geometry)) = demo(name) else { return };
    bencher.bench_local(|| order::study(divan::black_box(&robot), &geometry));
}

/// The same for boards made by rule.
#[divan::bench(args = [(40, 90), (300, 1000), (1000, 3000)], sample_count = 5)]
fn whole_order_of_rows(bencher: divan::Bencher, (parts, wires): (usize, usize)) {
    let robot = robot(&samples::rows(parts, wires));
    let geometry = loomdeck_space::study(&robot);
    bencher.bench_local(|| order::study(divan::black_box(&robot), &geometry));
}

fn puzzle(parts: usize, crowd: usize, sound: bool, seed: u64) -> Puzzle {
    let drawn = drawn::board(parts, parts * 3 / 2, crowd, sound, seed);
    let things = drawn.into_iter().map(|(weight, conditions)| {
        let conditions = conditions.into_iter().map(|(price, ways)| Condition { price, ways });
        Thing { weight, conditions: conditions.collect() }
    });
    Puzzle { things: things.collect() }
}

/// Boards drawn to be hard: every part of one, by how many parts it has.
#[divan::bench(args = [20, 40, 60], sample_count = 20)]
fn least_of_drawn_boards(bencher: divan::Bencher, parts: usize) {
    let p = puzzle(parts, 2, true, 7);
    bencher.bench_local(|| (0..parts).filter_map(|t| least(divan::black_box(&p), t, 4_000_000)).count());
}

/// The fewest fasteners to change, of thirty boards of which about half lock themselves.
#[divan::bench(args = [20, 40, 60], sample_count = 20)]
fn fewest_to_unlock(bencher: divan::Bencher, parts: usize) {
    let all: Vec<Puzzle> = (0..30).map(|seed| puzzle(parts, 2, false, seed)).collect();
    bencher.bench_local(|| {
        divan::black_box(&all).iter().map(|p| waivers(p, 5_000).waived.len()).sum::<usize>()
    });
}
