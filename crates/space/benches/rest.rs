//! How long it takes to lay the board down, bend it and take it out.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use loomdeck_model::{Folder, Robot, read};
use loomdeck_space::faces::{self, faces};
use loomdeck_space::{rest, route, takeout};
use std::path::Path;

fn main() {
    divan::main();
}

fn samovar() -> Robot {
    let at = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
    read(&Folder::load(&at).unwrap()).0.unwrap()
}

/// All of the board at rest, as in every live study.
#[divan::bench]
fn at_rest(bencher: Bencher) {
    let robot = samovar();
    let faces = faces(&robot);
    let routes = route::routes(&robot, &faces, None).0;
    bencher.bench(|| rest::rest(black_box(&robot), &faces, &routes.wires, None));
}

/// The same once the sheet is known.
#[divan::bench]
fn at_rest_again(bencher: Bencher) {
    let robot = samovar();
    let faces = faces(&robot);
    let routes = route::routes(&robot, &faces, None).0;
    let kept = rest::rest(&robot, &faces, &routes.wires, None).1;
    bencher.bench(|| rest::rest(black_box(&robot), &faces, &routes.wires, Some(&kept)));
}

/// All ways through the opening, as in every live study.
#[divan::bench]
fn taken_out(bencher: Bencher) {
    let robot = samovar();
    let faces = faces::faces(&robot);
    bencher.bench(|| takeout::take_out(black_box(&robot), &faces));
}

/// The same through an opening with a bite out of its upper side, where places are searched too.
#[divan::bench]
fn taken_out_past_a_bite(bencher: Bencher) {
    let mut robot = samovar();
    if let Some(opening) = robot.board.as_mut().and_then(|b| b.body_opening.as_mut()) {
        let (low, high) = opening.outline.bounds();
        let at = |x: f64, y: f64| {
            let (w, h) = (high.x - low.x, high.y - low.y);
            loomdeck_model::Point::new(low.x + x * w, low.y + y * h)
        };
        let corners = [
            (0.0, 0.0),
            (1.0, 0.0),
            (1.0, 1.0),
            (0.6, 1.0),
            (0.6, 0.8),
            (0.4, 0.8),
            (0.4, 1.0),
            (0.0, 1.0),
        ];
        opening.outline = loomdeck_model::Outline(corners.map(|(x, y)| at(x, y)).to_vec());
    }
    let faces = faces::faces(&robot);
    bencher.bench(|| takeout::take_out(black_box(&robot), &faces));
}
