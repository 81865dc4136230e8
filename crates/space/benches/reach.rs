//! Speed of reach and bends.

#[path = "../src/samples.rs"]
mod samples;

use loomdeck_model::testing::robot;
use loomdeck_model::{Folder, Place, Robot, read};
use loomdeck_space::{Before, access, bend, faces};
use std::path::Path;

fn main() {
    divan::main();
}

const DEMOS: [&str; 2] = ["samovar", "samovar-first-try"];

fn demo(name: &str) -> Option<Robot> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    read(&Folder::load(&path).ok()?).0
}

#[divan::bench(args = DEMOS)]
fn reach(bencher: divan::Bencher, name: &str) {
    let Some(robot) = demo(name) else { return };
    let views = faces::faces(&robot);
    bencher.bench_local(|| access::access(divan::black_box(&robot), &views, None));
}

/// The same after one part was moved by a millimetre.
#[divan::bench(args = DEMOS)]
fn reach_after_a_move(bencher: divan::Bencher, name: &str) {
    let Some(robot) = demo(name) else { return };
    let (geometry, kept) = loomdeck_space::study_after(&robot, None);
    let mut moved = robot.clone();
    let on_board = moved.parts.iter_mut().find_map(|p| match &mut p.place {
        Place::Board(at) => Some(at),
        Place::Zone { .. } => None,
    });
    if let Some(at) = on_board {
        at.at.x += 1.0;
    }
    let views = faces::faces(&moved);
    let before = Before { robot: &robot, geometry: &geometry, kept: &kept };
    bencher.bench_local(|| access::access(divan::black_box(&moved), &views, Some(before)));
}

#[divan::bench(args = DEMOS)]
fn bends(bencher: divan::Bencher, name: &str) {
    let Some(robot) = demo(name) else { return };
    let views = faces::faces(&robot);
    bencher.bench_local(|| bend::bends(divan::black_box(&robot), &views));
}

/// Both, on boards made by rule: parts and wires.
#[divan::bench(args = [(100, 300), (300, 1000), (1000, 3000)], sample_count = 20)]
fn made_by_rule(bencher: divan::Bencher, (parts, wires): (usize, usize)) {
    let robot = robot(&samples::rows(parts, wires));
    let views = faces::faces(&robot);
    bencher.bench_local(|| {
        (access::access(divan::black_box(&robot), &views, None).0, bend::bends(&robot, &views))
    });
}

/// What is told about space.
#[divan::bench(args = DEMOS)]
fn findings_of_a_demo(bencher: divan::Bencher, name: &str) {
    let Some(robot) = demo(name) else { return };
    let geometry = loomdeck_space::study(&robot);
    bencher.bench_local(|| loomdeck_space::findings(divan::black_box(&robot), &geometry));
}
