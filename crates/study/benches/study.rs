//! How long reading and studying takes: `cargo bench -p loomdeck-study`.

use loomdeck_model::{Folder, Robot, read};
use loomdeck_study::Study;
use std::path::Path;

fn main() {
    divan::main();
}

const DEMOS: [&str; 3] = ["cart", "samovar", "samovar-first-try"];

fn folder(name: &str) -> Folder {
    Folder::load(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name))
        .unwrap_or_default()
}

fn robot(name: &str) -> Option<Robot> {
    read(&folder(name)).0
}

/// Text to robot.
#[divan::bench(args = DEMOS)]
fn reading(bencher: divan::Bencher, name: &str) {
    let folder = folder(name);
    bencher.bench(|| read(&folder));
}

/// Robot to study: the live tier.
#[divan::bench(args = DEMOS)]
fn live(bencher: divan::Bencher, name: &str) {
    let robot = robot(name);
    bencher.with_inputs(|| robot.clone()).bench_values(|r| r.map(Study::of));
}

#[divan::bench(args = DEMOS)]
fn space(bencher: divan::Bencher, name: &str) {
    let Some(robot) = robot(name) else { return };
    bencher.bench(|| loomdeck_space::study(&robot));
}

#[divan::bench(args = DEMOS)]
fn space_findings(bencher: divan::Bencher, name: &str) {
    let Some(robot) = robot(name) else { return };
    let geometry = loomdeck_space::study(&robot);
    bencher.bench(|| loomdeck_space::findings(&robot, &geometry));
}

#[divan::bench(args = DEMOS)]
fn power(bencher: divan::Bencher, name: &str) {
    let Some(robot) = robot(name) else { return };
    let geometry = loomdeck_space::study(&robot);
    bencher.bench(|| loomdeck_power::study(&robot, &geometry));
}

#[divan::bench(args = DEMOS)]
fn making(bencher: divan::Bencher, name: &str) {
    let Some(robot) = robot(name) else { return };
    let geometry = loomdeck_space::study(&robot);
    bencher.bench(|| loomdeck_make::study(&robot, &geometry));
}
