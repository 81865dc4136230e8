//! Speed of the drill plan and of the order of work.

use loomdeck_make::plan::tour;
use loomdeck_model::{Folder, Point, Robot};
use std::path::Path;

fn main() {
    divan::main();
}

fn samovar() -> Option<Robot> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
    loomdeck_model::read(&Folder::load(&folder).ok()?).0
}

/// All of making: holes, drill plan, fasteners, cuts, shopping.
#[divan::bench]
fn making(bencher: divan::Bencher) {
    let Some(robot) = samovar() else { return };
    let geometry = loomdeck_space::study(&robot);
    bencher.bench_local(|| loomdeck_make::study(divan::black_box(&robot), &geometry));
}

/// The order of work, once the order of assembly is known.
#[divan::bench]
fn steps(bencher: divan::Bencher) {
    let Some(robot) = samovar() else { return };
    let geometry = loomdeck_space::study(&robot);
    let making = loomdeck_make::study(&robot, &geometry);
    let order = loomdeck_space::order::study(&robot, &geometry);
    bencher.bench_local(|| loomdeck_make::steps(&robot, &geometry, divan::black_box(&order), &making));
}

/// A tour over holes of one bit, scattered.
#[divan::bench(args = [12, 80, 400, 4000])]
fn tour(bencher: divan::Bencher, holes: usize) {
    let points: Vec<Point> =
        (0..holes).map(|i| Point::new((i * 7919 % 997) as f64, (i * 104_729 % 991) as f64)).collect();
    bencher.bench_local(|| tour::open(Point::default(), divan::black_box(&points)));
}
