//! How long drawings and books take. `cargo bench -p loomdeck-draw`
#![allow(missing_docs, clippy::unwrap_used, reason = "a bench stops where it fails")]

use loomdeck_draw::Theme;
use loomdeck_model::{Face, Folder};
use loomdeck_study::Study;

fn main() {
    divan::main();
}

fn samovar() -> Study {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
    Study::of_folder(&Folder::load(&path).unwrap()).unwrap()
}

/// The typesetter remembers what it has set; a builder's first book has nothing to remember.
fn forget() {
    typst::comemo::evict(0);
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn book(bencher: divan::Bencher<'_, '_>) {
    let study = samovar();
    bencher.with_inputs(forget).bench_values(|()| loomdeck_draw::book(&study).unwrap());
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn template(bencher: divan::Bencher<'_, '_>) {
    let study = samovar();
    bencher.with_inputs(forget).bench_values(|()| loomdeck_draw::template_pdf(&study).unwrap());
}

#[divan::bench(args = [Face::Front, Face::Back])]
fn face(bencher: divan::Bencher<'_, '_>, face: Face) {
    let study = samovar();
    bencher.bench(|| loomdeck_draw::face_svg(&study, face, Theme::Paper));
}

#[divan::bench]
fn diagram(bencher: divan::Bencher<'_, '_>) {
    let study = samovar();
    bencher.bench(|| loomdeck_draw::power_diagram_svg(&study, Theme::Paper));
}

/// All small pictures of the order of work.
#[divan::bench]
fn steps(bencher: divan::Bencher<'_, '_>) {
    let study = samovar();
    bencher.bench(|| loomdeck_draw::step_sketches(&study, Theme::Paper, (84.0, 58.0)));
}
