//! Laws of a drill plan over boards with everything on them.

use super::*;
use crate::{Hole, Making, Work};
use loomdeck_model::{Folder, Robot};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::Path;

const BOARD: &str = "format = 1\n[robot]\nname = \"tray\"\n[board]\nsize_mm = [400, 300]\nthickness_mm = 9\n\
    material = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 40\n\
    [[type]]\nname = \"plate\"\nsize_mm = [40, 30]\nheight_mm = 12\nholes_mm = [[4, 4], [36, 26]]\n\
    hole_diameter_mm = 4.5\nfixing = { style = \"bolt-and-nut\", thread = \"M4\" }\n";

const FIXINGS: [&str; 8] = [
    "style = \"bolt-and-nut\", thread = \"M4\", head = \"countersunk\"",
    "style = \"bolt-and-nut\", thread = \"M6\"",
    "style = \"standoff\", thread = \"M3\", head = \"countersunk\", standoff_mm = 8, flange_mm = 1.6",
    "style = \"insert\", thread = \"M4\"",
    "style = \"captive-nut\", thread = \"M4\"",
    "style = \"captive-nut\", thread = \"M3\", sunk = true",
    "style = \"wood-screw\", thread = \"M4\"",
    "style = \"adhesive\"",
];

const PASSES: [&str; 5] = [
    "diameter_mm = 25",
    "diameter_mm = 16\ngrommet = true",
    "length_mm = 60\nwidth_mm = 20\nturn_deg = 30",
    "length_mm = 40\nwidth_mm = 30\ncorner_mm = 2",
    "length_mm = 70\nwidth_mm = 40\ncorner_mm = 5\nturn_deg = 90\ntools_only = true",
];

fn making(text: &str) -> (Robot, Making) {
    let robot = loomdeck_model::testing::robot(text);
    let making = crate::study(&robot, &loomdeck_space::study(&robot));
    (robot, making)
}

/// Plates fixed in every way, anywhere on both faces, and openings of every shape.
fn anything() -> impl Strategy<Value = String> {
    let plate = (0usize..FIXINGS.len(), any::<bool>(), 0.0f64..360.0, 0.0f64..260.0, 0u8..4);
    let pass = (0usize..PASSES.len(), 40.0f64..360.0, 40.0f64..260.0);
    (prop::collection::vec(plate, 1..16), prop::collection::vec(pass, 0..6)).prop_map(|(plates, passes)| {
        let mut text = BOARD.to_owned();
        for (i, (fixing, front, x, y, quarter)) in plates.into_iter().enumerate() {
            let face = if front { "front" } else { "back" };
            let turn = f64::from(quarter) * 90.0;
            let fixing = FIXINGS[fixing];
            let _ = write!(
                text,
                "[[part]]\nname = \"p{i}\"\ntype = \"plate\"\nface = \"{face}\"\nat_mm = [{x:.3}, {y:.3}]\n\
                 turn_deg = {turn}\nfixing = {{ {fixing} }}\n"
            );
        }
        for (i, (shape, x, y)) in passes.into_iter().enumerate() {
            let _ = write!(
                text,
                "[[pass]]\nname = \"o{i}\"\nat_mm = [{x:.3}, {y:.3}]\n{}\n",
                PASSES[shape]
            );
        }
        text
    })
}

/// How often each operation should come to a hole, from its work alone.
fn expected(hole: &Hole) -> BTreeMap<Operation, usize> {
    let mut wanted = BTreeMap::new();
    let mut add = |o: Operation, n: usize| *wanted.entry(o).or_insert(0) += n;
    let entry = hole.work.iter().filter(|w| matches!(w, Work::EntryHole { .. })).count();
    let begun = own_holes(hole.shape) + entry;
    let cut = |bit: Bit| if bit.is_cutter() { None } else { Some(Operation::Drill) };
    for work in &hole.work {
        match work {
            Work::CentrePunch => add(Operation::Mark, begun),
            Work::Pilot { .. } => add(Operation::Pilot, begun),
            Work::Drill { depth: None, .. } if hole.registration => add(Operation::Register, 1),
            Work::Drill { depth: None, .. } => add(Operation::Drill, 1),
            Work::Drill { depth: Some(_), .. } => add(Operation::Blind, 1),
            Work::EndHoles { bit, .. } | Work::CornerHoles { bit, .. } | Work::EntryHole { bit, .. }
                if cut(*bit).is_some() =>
            {
                let n = if matches!(work, Work::EntryHole { .. }) { 1 } else { own_holes(hole.shape) };
                add(Operation::Drill, n);
            }
            Work::Opening { .. } | Work::EndHoles { .. } | Work::CornerHoles { .. } => {
                add(Operation::OpeningFirst, own_holes(hole.shape));
                add(Operation::OpeningSecond, own_holes(hole.shape));
            }
            Work::EntryHole { .. } => {
                add(Operation::OpeningFirst, 1);
                add(Operation::OpeningSecond, 1);
            }
            Work::Pocket { .. } => add(Operation::Pocket, 1),
            Work::Countersink { .. } => add(Operation::Countersink, 1),
            Work::Saw => add(Operation::Saw, 1),
            Work::File => add(Operation::File, 1),
            Work::EdgeRelief { .. } => add(Operation::EdgeRelief, 1),
            Work::Deburr => {
                let sinks = hole.work.iter().filter(|w| matches!(w, Work::Countersink { .. })).count();
                let late = hole.is_sawn() || hole.pocket_face() == Some(Face::Back);
                let rims = match (late, hole.depth) {
                    (true, _) | (false, Some(_)) => 1,
                    (false, None) => 2 - sinks,
                };
                if rims > 0 {
                    add(Operation::Deburr, rims);
                }
            }
            Work::SetInsert { .. } | Work::SetNut { .. } => {}
        }
    }
    wanted
}

fn hold_the_laws(making: &Making) -> Result<(), TestCaseError> {
    let plan = &making.plan;
    let mut got: Vec<BTreeMap<Operation, usize>> = vec![BTreeMap::new(); making.holes.len()];
    let mut once = BTreeSet::new();
    for stage in &plan.stages {
        for stop in &stage.stops {
            let Some(hole) = stop.hole else { continue };
            *got[hole].entry(stage.operation).or_insert(0) += 1;
            let face = format!("{:?}{:?}", stage.lies, stage.tool);
            prop_assert!(once.insert((stage.operation, face, hole, stop.piece)), "twice: {stop:?}");
        }
    }
    for (i, hole) in making.holes.iter().enumerate() {
        prop_assert_eq!(&got[i], &expected(hole), "hole {}: {:?}", i + 1, hole);
    }
    // Stages are numbered, never empty, and each way is what its stops come to.
    let mut up = None;
    let mut turns = 0;
    for (i, stage) in plan.stages.iter().enumerate() {
        prop_assert_eq!(stage.number, i + 1);
        prop_assert!(!stage.stops.is_empty());
        prop_assert!(stage.travel.0 <= stage.travel_by_number.0 + 1e-6);
        let inner = stage.stops.iter().filter(|s| s.hole.is_some()).map(|s| s.at);
        let points: Vec<Point> = inner.collect();
        let order: Vec<usize> = (0..points.len()).collect();
        let walked = tour::length(making.datum.at, &points, &order);
        prop_assert!((stage.travel.0 - walked).abs() < 1e-6);
        if let Lies::Up(face) = stage.lies {
            let turned = up.is_some_and(|before| before != face);
            prop_assert_eq!(stage.turn_over, turned);
            turns += usize::from(turned);
            up = Some(face);
        }
    }
    prop_assert_eq!(plan.turns, turns);
    prop_assert!(turns <= 1, "a board has two faces");
    in_order(making)
}

/// Nothing is done before what it stands on.
fn in_order(making: &Making) -> Result<(), TestCaseError> {
    let rank = |hole: usize, operation: Operation| {
        let on =
            |s: &&Stage| s.operation == operation && s.stops.iter().any(|stop| stop.hole == Some(hole));
        let stages: Vec<usize> = making.plan.stages.iter().filter(on).map(|s| s.number).collect();
        stages.first().copied().zip(stages.last().copied())
    };
    use Operation::*;
    let before = [
        (Mark, Pilot),
        (Mark, Drill),
        (Mark, Register),
        (Mark, Blind),
        (Mark, OpeningFirst),
        (Pilot, Pocket),
        (Pilot, Drill),
        (Pilot, Register),
        (Pilot, OpeningFirst),
        (Pocket, Drill),
        (Drill, Countersink),
        (Register, Countersink),
        (OpeningFirst, OpeningSecond),
        (Drill, Saw),
        (OpeningSecond, Saw),
        (Saw, File),
        (File, Deburr),
        (File, EdgeRelief),
        (Drill, Deburr),
        (Blind, Deburr),
    ];
    for hole in 0..making.holes.len() {
        for (first, then) in before {
            if let (Some((_, last)), Some((start, _))) = (rank(hole, first), rank(hole, then)) {
                prop_assert!(
                    last < start,
                    "hole {}: {first:?} in {last}, {then:?} in {start}",
                    hole + 1
                );
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn every_operation_of_every_hole_comes_once_and_in_order(text in anything()) {
        let (_, making) = making(&text);
        hold_the_laws(&making)?;
        let mut sorted = making.drilling.clone();
        sorted.sort_unstable();
        prop_assert_eq!(sorted, (0..making.holes.len()).collect::<Vec<_>>());
    }
}

#[test]
fn the_demos_hold_the_laws_too() {
    for name in ["cart", "samovar", "samovar-first-try"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
        let folder = Folder::load(&folder).unwrap_or_else(|p| panic!("{p:?}"));
        let (robot, problems) = loomdeck_model::read(&folder);
        let robot = robot.unwrap_or_else(|| panic!("{problems:#?}"));
        let making = crate::study(&robot, &loomdeck_space::study(&robot));
        assert!(making.plan.stages.len() > 5, "{name}");
        hold_the_laws(&making).unwrap_or_else(|e| panic!("{name}: {e}"));
    }
}

#[test]
fn registration_holes_carry_their_distance() {
    let text = format!(
        "{BOARD}[[part]]\nname = \"a\"\ntype = \"plate\"\nface = \"front\"\nat_mm = [20, 20]\n\
         [[part]]\nname = \"b\"\ntype = \"plate\"\nface = \"back\"\nat_mm = [380, 250]\n"
    );
    let (_, making) = making(&text);
    let pins = making.plan.registration.map(|r| r.apart.0).unwrap_or_default();
    // (24, 24) and (376, 276) less the back's mirrored hole: (380 - 4, 250 + 4) and (380 - 36, 250 + 26).
    let widest = making.holes.iter().flat_map(|a| making.holes.iter().map(|b| a.at.distance(b.at)));
    assert!((pins - widest.fold(0.0, f64::max)).abs() < 1e-9, "{pins}");
    let register = making.plan.stages.iter().find(|s| s.operation == Operation::Register);
    assert_eq!(register.map(|s| s.stops.len()), Some(2));
}

#[test]
fn a_sunk_nut_is_piloted_from_the_front_and_bored_from_its_face() {
    let text = format!(
        "{BOARD}[[part]]\nname = \"a\"\ntype = \"plate\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = {{ style = \"captive-nut\", thread = \"M4\", sunk = true }}\n"
    );
    let (_, making) = making(&text);
    let of = |o: Operation| making.plan.stages.iter().find(|s| s.operation == o).map(|s| s.lies);
    assert_eq!(of(Operation::Pilot), Some(Lies::Up(Face::Front)));
    assert_eq!(of(Operation::Pocket), Some(Lies::Up(Face::Back)));
    assert_eq!(of(Operation::Drill), Some(Lies::Up(Face::Back)));
    assert!(making.holes.iter().all(|h| !h.registration), "not its full size when the back is laid on");
}

#[test]
fn work_from_one_face_only_needs_no_turning() {
    let text = format!(
        "{BOARD}[[part]]\nname = \"a\"\ntype = \"plate\"\nface = \"back\"\nat_mm = [50, 50]\n\
         fixing = {{ style = \"wood-screw\", thread = \"M4\" }}\n"
    );
    let (_, making) = making(&text);
    assert_eq!(making.plan.turns, 0);
    assert!(making.plan.stages.iter().all(|s| s.lies != Lies::Up(Face::Front)));
}

#[test]
fn a_caution_tells_how_much_deeper_a_socket_head_goes() {
    let text = format!(
        "{BOARD}[[part]]\nname = \"a\"\ntype = \"plate\"\nface = \"front\"\nat_mm = [50, 50]\n\
         fixing = {{ style = \"bolt-and-nut\", thread = \"M5\", head = \"countersunk\" }}\n"
    );
    let (_, making) = making(&text);
    let sink = making.plan.stages.iter().find(|s| s.operation == Operation::Countersink);
    let cautions = sink.map(|s| s.cautions.join(" ")).unwrap_or_default();
    // ISO 10642 M5 k 3.10, ISO 7046-2 M5 k 2.70.
    assert!(cautions.contains("M5") && cautions.contains("0.4\u{2009}mm deeper"), "{cautions}");
    let none = making.plan.stages.iter().flat_map(|s| &s.cautions).any(|c| c.contains('!'));
    assert!(!none);
}
