//! Speed of reach and bends.

#[path = "../src/samples.rs"]
mod samples;

use loomdeck_model::testing::robot;
use loomdeck_model::{Folder, Robot, read};
use loomdeck_space::{access, bend, faces};
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
        (access::access(divan::black_box(&robot), &views, None), bend::bends(&robot, &views))
    });
}
