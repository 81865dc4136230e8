//! A study after an edit equals one from scratch, bit for bit.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

use loomdeck_model::units::Millimetres;
use loomdeck_model::{Folder, Place, Robot, read};
use loomdeck_study::Study;
use proptest::prelude::*;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

/// The demos, and the small robots of the tests.
static ROBOTS: LazyLock<Vec<Robot>> = LazyLock::new(|| {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let demos = ["cart", "samovar"].map(|d| Folder::load(&root.join("demos").join(d)).unwrap());
    let mut folders = vec![root.join("tests/robots")];
    let mut files: Vec<PathBuf> = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "toml") {
                files.push(path);
            }
        }
    }
    files.sort();
    let small = files.iter().map(|f| Folder::single(std::fs::read_to_string(f).unwrap()));
    demos.into_iter().chain(small).filter_map(|folder| read(&folder).0).collect()
});

/// One edit, its choices as numbers that fit any robot.
#[derive(Clone, Debug)]
enum Change {
    Move(usize, f64, f64),
    Turn(usize),
    Size(usize, usize),
    Measure(usize, f64),
    Note(usize),
    Charge(usize),
}

fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        3 => (any::<usize>(), -40.0..40.0f64, -40.0..40.0f64).prop_map(|(p, x, y)| Change::Move(p, x, y)),
        1 => any::<usize>().prop_map(Change::Turn),
        1 => (any::<usize>(), any::<usize>()).prop_map(|(w, g)| Change::Size(w, g)),
        1 => (any::<usize>(), 50.0..900.0f64).prop_map(|(w, l)| Change::Measure(w, l)),
        1 => any::<usize>().prop_map(Change::Note),
        1 => any::<usize>().prop_map(Change::Charge),
    ]
}

fn pick<T>(all: &mut [T], at: usize) -> Option<&mut T> {
    let n = all.len().max(1);
    all.get_mut(at % n)
}

fn apply(robot: &mut Robot, change: &Change) {
    match *change {
        Change::Move(p, x, y) => {
            if let Some(Place::Board(at)) = pick(&mut robot.parts, p).map(|p| &mut p.place) {
                at.at.x += x;
                at.at.y += y;
            }
        }
        Change::Turn(p) => {
            if let Some(Place::Board(at)) = pick(&mut robot.parts, p).map(|p| &mut p.place) {
                at.turn.0 = (at.turn.0 + 90.0) % 360.0;
            }
        }
        Change::Size(w, g) => {
            if let Some(wire) = pick(&mut robot.wires, w) {
                let mut series = wire.gauge.series();
                if let Some(gauge) = pick(&mut series, g) {
                    wire.gauge = *gauge;
                }
            }
        }
        Change::Measure(w, length) => {
            if let Some(wire) = pick(&mut robot.wires, w) {
                wire.length = Some(Millimetres(length));
            }
        }
        Change::Note(p) => {
            if let Some(part) = pick(&mut robot.parts, p) {
                part.note.push('x');
            }
        }
        Change::Charge(s) => {
            if let Some(situation) = pick(&mut robot.situations, s) {
                situation.charge *= 0.9;
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, max_shrink_iters: 40, ..ProptestConfig::default() })]
    #[test]
    fn after_edits_in_a_row_a_study_equals_one_from_scratch(
        which in any::<prop::sample::Index>(),
        changes in prop::collection::vec(change(), 1..4),
    ) {
        let mut robot = ROBOTS[which.index(ROBOTS.len())].clone();
        let mut study = Study::of(robot.clone());
        for change in &changes {
            apply(&mut robot, change);
            study = study.after(robot.clone());
            prop_assert!(study == Study::live(robot.clone()), "{change:?} in {}", robot.name);
        }
        prop_assert!(study.deepened() == Study::of(robot));
    }
}

#[test]
fn a_part_of_the_largest_demo_moved_step_by_step() {
    let samovar = ROBOTS.iter().max_by_key(|r| r.wires.len()).unwrap();
    let mut robot = samovar.clone();
    let mut study = Study::live(robot.clone());
    for part in [3, 17] {
        for _ in 0..2 {
            apply(&mut robot, &Change::Move(part, 1.0, -0.5));
            study = study.after(robot.clone());
            assert!(study == Study::live(robot.clone()));
        }
    }
    // A study with both tiers goes back to the live one.
    assert!(study.clone().deepened().after(robot.clone()) == study);
}
