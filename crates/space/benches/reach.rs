//! Speed of reach and bends.

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
    bencher.bench_local(|| access::access(divan::black_box(&robot), &views));
}

#[divan::bench(args = DEMOS)]
fn bends(bencher: divan::Bencher, name: &str) {
    let Some(robot) = demo(name) else { return };
    let views = faces::faces(&robot);
    bencher.bench_local(|| bend::bends(divan::black_box(&robot), &views));
}
