//! How long the live study of a robot takes: `cargo bench -p loomdeck-power`.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use loomdeck_model::{Folder, Robot, read};
use loomdeck_power::testing::{ladder, measured};
use std::path::Path;

fn main() {
    divan::main();
}

fn demo(name: &str) -> Robot {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    let mut files = Folder { files: Default::default() };
    for entry in std::fs::read_dir(folder).expect("demo") {
        let path = entry.expect("entry").path();
        if path.extension().is_some_and(|e| e == "toml") {
            let text = std::fs::read_to_string(&path).expect("text");
            files.files.insert(path.file_name().expect("name").to_string_lossy().into_owned(), text);
        }
    }
    read(&files).0.expect("robot")
}

#[divan::bench(args = ["cart", "samovar", "samovar-first-try"])]
fn study(bencher: divan::Bencher, name: &str) {
    let robot = demo(name);
    let geometry = measured(&robot);
    bencher.bench_local(|| loomdeck_power::study(&robot, &geometry));
}

#[divan::bench(args = ["samovar", "samovar-first-try"])]
fn findings(bencher: divan::Bencher, name: &str) {
    let robot = demo(name);
    let geometry = measured(&robot);
    let study = loomdeck_power::study(&robot, &geometry);
    bencher.bench_local(|| loomdeck_power::findings(&robot, &geometry, &study));
}

/// A generated robot: this many rungs of fuse way, switch, load, with three wires each.
#[divan::bench(args = [33, 100, 330], sample_count = 3)]
fn generated(bencher: divan::Bencher, rungs: usize) {
    let robot = loomdeck_model::testing::robot(&ladder(rungs));
    let geometry = measured(&robot);
    bencher.bench_local(|| loomdeck_power::study(&robot, &geometry));
}
