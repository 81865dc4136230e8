//! How long an edit takes to show: `cargo bench -p loomdeck-study --bench edit`.

use loomdeck_model::{Folder, Place, Robot, read};
use loomdeck_study::Study;
use std::path::Path;

fn main() {
    divan::main();
}

fn robot(name: &str) -> Option<Robot> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    read(&Folder::load(&folder).unwrap_or_default()).0
}

const DEMOS: [&str; 3] = ["cart", "samovar", "samovar-first-try"];

/// The live tier from nothing.
#[divan::bench(args = DEMOS)]
fn live(bencher: divan::Bencher, name: &str) {
    let robot = robot(name);
    bencher.with_inputs(|| robot.clone()).bench_values(|r| r.map(Study::live));
}

/// The live tier after one part was moved by a millimetre.
#[divan::bench(args = DEMOS)]
fn part_moved(bencher: divan::Bencher, name: &str) {
    let Some(robot) = robot(name) else { return };
    let study = Study::live(robot.clone());
    let mut moved = robot;
    let on_board = moved.parts.iter_mut().find_map(|p| match &mut p.place {
        Place::Board(at) => Some(at),
        Place::Zone { .. } => None,
    });
    if let Some(at) = on_board {
        at.at.x += 1.0;
    }
    bencher.with_inputs(|| moved.clone()).bench_values(|r| study.after(r));
}

/// The deep tier alone.
#[divan::bench(args = DEMOS)]
fn deep(bencher: divan::Bencher, name: &str) {
    let study = robot(name).map(Study::live);
    bencher.with_inputs(|| study.clone()).bench_values(|s| s.map(Study::deepened));
}
