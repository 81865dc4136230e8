//! Speed of the study of space.

#[path = "../src/samples.rs"]
mod samples;

use loomdeck_model::testing::robot;
use loomdeck_model::{Folder, Place, Robot, read};
use loomdeck_space::{faces, route};
use std::path::Path;

fn main() {
    divan::main();
}

#[divan::bench(args = [(40, 90), (100, 300), (300, 1000), (1000, 3000)], sample_count = 10)]
fn study(bencher: divan::Bencher, (parts, wires): (usize, usize)) {
    let robot = robot(&samples::rows(parts, wires));
    bencher.bench_local(|| loomdeck_space::study(divan::black_box(&robot)));
}

/// The ways of all wires, settled over what room costs, and their lanes.
#[divan::bench(args = [(40, 90), (100, 300), (300, 1000), (1000, 3000)], sample_count = 3)]
fn routes(bencher: divan::Bencher, (parts, wires): (usize, usize)) {
    let robot = robot(&samples::rows(parts, wires));
    let faces = loomdeck_space::faces::faces(&robot);
    bencher.bench_local(|| loomdeck_space::route::routes(divan::black_box(&robot), &faces, None));
}

/// All wires in a few thick looms.
#[divan::bench(args = [(40, 90, 3), (300, 1000, 10), (1000, 3000, 20)], sample_count = 5)]
fn thick_looms(bencher: divan::Bencher, (parts, wires, looms): (usize, usize, usize)) {
    let robot = robot(&samples::rows_tied(parts, wires, looms, 1));
    bencher.bench_local(|| loomdeck_space::study(divan::black_box(&robot)));
}

#[divan::bench(args = [(40, 90), (300, 1000), (1000, 3000)], sample_count = 10)]
fn findings(bencher: divan::Bencher, (parts, wires): (usize, usize)) {
    let robot = robot(&samples::rows(parts, wires));
    let geometry = loomdeck_space::study(&robot);
    bencher.bench_local(|| loomdeck_space::findings(divan::black_box(&robot), &geometry));
}

/// The largest demo.
fn samovar() -> Option<Robot> {
    read(&Folder::load(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar")).ok()?).0
}

/// The largest demo from scratch.
#[divan::bench(sample_count = 100)]
fn routes_of_the_largest_demo(bencher: divan::Bencher) {
    let Some(robot) = samovar() else { return };
    let faces = faces::faces(&robot);
    bencher.bench_local(|| route::routes(divan::black_box(&robot), &faces, None));
}

/// The largest demo after one of its parts was moved by a step, with what the study before left.
#[divan::bench(args = [3, 12, 25], sample_count = 100)]
fn route_after_a_move(bencher: divan::Bencher, part: usize) {
    let Some(before) = samovar() else { return };
    let (_, kept) = route::routes(&before, &faces::faces(&before), None);
    let mut robot = before.clone();
    if let Place::Board(at) = &mut robot.parts[part].place {
        at.at.x += 1.0;
        at.at.y -= 0.5;
    }
    let faces = faces::faces(&robot);
    bencher.bench_local(|| route::routes(divan::black_box(&robot), &faces, Some(&kept)));
}
