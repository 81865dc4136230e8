//! A routing with what an earlier one left equals one without, bit for bit.
#![allow(clippy::unwrap_used)]

use crate::faces::faces;
use crate::route::{Kept, Routes, routes};
use crate::samples;
use loomdeck_model::{Folder, Place, PlugPlace, Point, Robot, read};
use proptest::prelude::*;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

/// The demos, some made by rule, and the small robots of the tests.
static ROBOTS: LazyLock<Vec<Robot>> = LazyLock::new(|| {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let demos = ["cart", "samovar"].map(|d| Folder::load(&root.join("demos").join(d)).unwrap());
    let made = [(12, 30), (40, 90), (100, 150)].map(|(p, w)| Folder::single(samples::rows(p, w)));
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
    let all = demos.into_iter().chain(made).chain(small);
    all.filter_map(|folder| read(&folder).0).filter(|r| r.board.is_some()).collect()
});

/// One edit, its choices as numbers that fit any robot.
#[derive(Clone, Debug)]
enum Edit {
    Move(usize, f64, f64),
    Turn(usize, f64),
    Over(usize),
    Plug(usize, f64, f64),
    Pass(usize, f64, f64),
    Size(usize, usize),
    Without(usize),
    Nothing,
}

fn edit() -> impl Strategy<Value = Edit> {
    let place = || (any::<usize>(), -40.0..40.0f64, -40.0..40.0f64);
    let step = || (any::<usize>(), -2..3i32, -2..3i32);
    prop_oneof![
        4 => step().prop_map(|(p, x, y)| Edit::Move(p, x.into(), y.into())),
        3 => place().prop_map(|(p, x, y)| Edit::Move(p, x, y)),
        2 => (any::<usize>(), 0..4u8).prop_map(|(p, t)| Edit::Turn(p, 90.0 * f64::from(t))),
        1 => (any::<usize>(), 0.0..360.0f64).prop_map(|(p, t)| Edit::Turn(p, t)),
        1 => any::<usize>().prop_map(Edit::Over),
        1 => place().prop_map(|(p, x, y)| Edit::Plug(p, x, y)),
        1 => place().prop_map(|(p, x, y)| Edit::Pass(p, x, y)),
        1 => (any::<usize>(), any::<usize>()).prop_map(|(w, g)| Edit::Size(w, g)),
        1 => any::<usize>().prop_map(Edit::Without),
        1 => Just(Edit::Nothing),
    ]
}

fn pick<T>(all: &mut [T], at: usize) -> Option<&mut T> {
    let n = all.len().max(1);
    all.get_mut(at % n)
}

fn apply(robot: &mut Robot, edit: &Edit) {
    let by = |p: &mut Point, x: f64, y: f64| *p = Point::new(p.x + x, p.y + y);
    let part = |robot: &mut Robot, p: usize, how: &dyn Fn(&mut loomdeck_model::Placement)| {
        if let Some(Place::Board(at)) = pick(&mut robot.parts, p).map(|p| &mut p.place) {
            how(at);
        }
    };
    match *edit {
        Edit::Move(p, x, y) => part(robot, p, &|at| by(&mut at.at, x, y)),
        Edit::Turn(p, angle) => part(robot, p, &|at| at.turn.0 = (at.turn.0 + angle) % 360.0),
        Edit::Over(p) => part(robot, p, &|at| {
            let [front, back] = loomdeck_model::Face::BOTH;
            at.face = if at.face == front { back } else { front };
        }),
        Edit::Plug(p, x, y) => match pick(&mut robot.plugs, p).map(|p| &mut p.place) {
            Some(PlugPlace::Fixed(at)) => by(&mut at.at, x, y),
            Some(PlugPlace::Tail { at, .. }) => by(at, x, y),
            None => {}
        },
        Edit::Pass(p, x, y) => {
            if let Some(pass) = robot.board.as_mut().and_then(|b| pick(&mut b.passes, p)) {
                by(&mut pass.at, x, y);
            }
        }
        Edit::Size(w, g) => {
            if let Some(wire) = pick(&mut robot.wires, w) {
                let mut series = wire.gauge.series();
                if let Some(gauge) = pick(&mut series, g) {
                    wire.gauge = *gauge;
                }
            }
        }
        // A keep-out more or less changes how many things stand on a face.
        Edit::Without(k) => {
            if let Some(board) = &mut robot.board
                && !board.keep_outs.is_empty()
            {
                let at = k % board.keep_outs.len();
                board.keep_outs.remove(at);
            }
        }
        Edit::Nothing => {}
    }
}

fn same(a: &Routes, b: &Routes) -> bool {
    a.wires == b.wires && a.looms == b.looms && a.gaps == b.gaps && a.blocked == b.blocked
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 160, max_shrink_iters: 60, ..ProptestConfig::default() })]
    #[test]
    fn with_what_was_kept_and_without_are_equal(
        which in any::<prop::sample::Index>(),
        edits in prop::collection::vec(edit(), 1..6),
    ) {
        let mut robot = ROBOTS[which.index(ROBOTS.len())].clone();
        let mut kept = routes(&robot, &faces(&robot), None).1;
        for edit in &edits {
            apply(&mut robot, edit);
            let faces = faces(&robot);
            let (with, next) = routes(&robot, &faces, Some(&kept));
            let (without, _) = routes(&robot, &faces, None);
            prop_assert!(same(&with, &without), "{edit:?} in {}", robot.name);
            kept = next;
        }
    }
}

/// The demos again, where most sights are, in small steps as a hand makes them.
#[test]
fn a_part_pushed_over_a_crowded_board() {
    for start in ROBOTS.iter().filter(|r| r.wires.len() > 25) {
        let mut robot = start.clone();
        let mut kept = Kept::default();
        for step in 0..12 {
            apply(&mut robot, &Edit::Move(step / 4 * 7 + 3, 3.0, -2.0));
            let faces = faces(&robot);
            let (with, next) = routes(&robot, &faces, Some(&kept));
            assert!(same(&with, &routes(&robot, &faces, None).0), "{} {step}", robot.name);
            kept = next;
        }
    }
}

/// It is handed from thread to thread with a study.
const fn may_be_shared<T: Send + Sync + Clone + std::fmt::Debug>() {}
const _: () = may_be_shared::<Kept>();
