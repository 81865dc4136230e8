//! Holes of small boards, and laws that hold for any.

use super::*;
use loomdeck_model::Point;
use loomdeck_model::Robot;
use loomdeck_model::part_type::Thread;
use loomdeck_space::hardware::{self, Fit};
use loomdeck_space::hole_size::MERGE_WITHIN;
use proptest::prelude::*;
use std::fmt::Write;

fn board(extra: &str) -> String {
    format!(
        "format = 1\n[robot]\nname = \"tray\"\n[board]\nsize_mm = [400, 300]\nthickness_mm = 9\nmaterial = \"hdpe\"\n\
         depth_front_mm = 60\ndepth_back_mm = 40\n{extra}"
    )
}

const PLATE: &str = "[[type]]\nname = \"plate\"\nsize_mm = [40, 30]\nheight_mm = 12\nholes_mm = [[4, 4], [36, 26]]\n\
    hole_diameter_mm = 4.5\nfixing = { style = \"bolt-and-nut\", thread = \"M4\", head = \"countersunk\" }\n";

fn plate(name: &str, face: &str, x: f64, y: f64, turn: f64) -> String {
    format!(
        "[[part]]\nname = \"{name}\"\ntype = \"plate\"\nface = \"{face}\"\nat_mm = [{x:.4}, {y:.4}]\nturn_deg = {turn}\n"
    )
}

fn robot(extra: &str) -> Robot {
    loomdeck_model::testing::robot(&board(extra))
}

#[test]
fn a_hole_is_where_the_part_is() {
    let r = robot(&format!("{PLATE}{}", plate("a", "front", 100.0, 50.0, 90.0)));
    let (holes, _) = holes(&r);
    // (4, 4) and (36, 26) turned a quarter counter-clockwise about (100, 50).
    let at: Vec<Point> = holes.iter().map(|h| h.at).collect();
    assert_eq!(at, [Point::new(96.0, 54.0), Point::new(74.0, 86.0)]);
    assert_eq!(holes[0].diameter(), Millimetres(4.5));
    assert_eq!(holes[0].side, Face::Front);
}

#[test]
fn a_flush_head_is_countersunk_from_the_far_face() {
    let r = robot(&format!("{PLATE}{}", plate("a", "back", 100.0, 50.0, 0.0)));
    let (holes, _) = holes(&r);
    let sink = holes[0].work.iter().find_map(|w| match w {
        Work::Countersink { face, diameter, depth, .. } => Some((*face, *diameter, *depth)),
        _ => None,
    });
    // ISO 7046-2: M4 head 2.7 mm high, so 9.4 mm across where its cone is sharp; 0.1 mm below flush; a
    // 90° cone down to the 4.5 mm hole.
    let (face, diameter, depth) = sink.unwrap();
    assert_eq!(face, Face::Front);
    assert!((diameter.0 - 9.6).abs() < 1e-9 && (depth.0 - 2.55).abs() < 1e-9, "{diameter} {depth}");
}

#[test]
fn distances_grow_into_the_board_from_any_datum_corner() {
    for (datum, x, y) in
        [("[0, 0]", 104.0, 54.0), ("[400, 0]", 296.0, 54.0), ("[400, 300]", 296.0, 246.0)]
    {
        let r = robot(&format!("datum_mm = {datum}\n{PLATE}{}", plate("a", "front", 100.0, 50.0, 0.0)));
        let (holes, _) = holes(&r);
        let d = holes.iter().find(|h| h.at == Point::new(104.0, 54.0)).unwrap().from_datum;
        assert_eq!((d.x, d.y), (x, y), "{datum}");
    }
}

#[test]
fn parts_on_both_faces_share_a_bolt() {
    // The back part's holes are mirrored: 100 + 4 = 140 - 36.
    let r = robot(&format!(
        "{PLATE}{}{}",
        plate("a", "front", 100.0, 50.0, 0.0),
        plate("b", "back", 108.0, 50.0, 0.0)
    ));
    let (holes, place_of) = holes(&r);
    assert_eq!(holes.len(), 3);
    assert_eq!(place_of.len(), 4);
    let shared = holes.iter().find(|h| h.uses.len() == 2).unwrap();
    assert_eq!(shared.at, Point::new(104.0, 54.0));
}

#[test]
fn openings_and_slots_have_their_own_work() {
    let r = robot(
        "[[pass]]\nname = \"slot\"\nat_mm = [200, 150]\nlength_mm = 60\nwidth_mm = 20\nturn_deg = 90\n\
         [[pass]]\nname = \"round\"\nat_mm = [100, 100]\ndiameter_mm = 25\n",
    );
    let (holes, _) = holes(&r);
    let slot = holes.iter().find(|h| matches!(h.shape, HoleShape::Slot { .. })).unwrap();
    let ends = slot.work.iter().find_map(|w| match w {
        Work::EndHoles { ends, .. } => Some(*ends),
        _ => None,
    });
    let [low, high] = ends.unwrap();
    assert!(
        low.distance(Point::new(200.0, 130.0)) < 1e-9 && high.distance(Point::new(200.0, 170.0)) < 1e-9
    );
    use crate::table::work_words;
    let words = work_words(slot, loomdeck_model::LengthUnit::Mm).replace('\u{2009}', " ");
    assert!(
        words.contains("end holes 20 mm saw-tooth bit at x 200 mm y 130 mm and x 200 mm y 170 mm"),
        "{words}"
    );
    assert!(slot.work.contains(&Work::Saw) && slot.work.contains(&Work::File));
    let round = holes.iter().find(|h| matches!(h.shape, HoleShape::Round(_))).unwrap();
    assert!(round.work.iter().any(|w| matches!(w, Work::Pilot { .. })));
    assert!(round.work.iter().any(|w| matches!(w, Work::Opening { .. })));
}

#[test]
fn a_slot_cut_wider_has_its_end_holes_nearer_together() {
    use loomdeck_model::LengthUnit;
    // 42 mm is not on sale: with 43 mm the end holes of a slot 90 mm long are 47 mm apart, and the
    // datum is the right edge of a board 400 mm wide.
    let r = robot(
        "datum_mm = [400, 0]\n[[pass]]\nname = \"slot\"\nat_mm = [200, 150]\nlength_mm = 90\nwidth_mm = 42\n",
    );
    let making = crate::study(&r, &loomdeck_space::study(&r));
    let ends = |unit, suffix: &str| {
        let t = crate::table::holes(&making, unit);
        ["1_x", "1_y", "2_x", "2_y"].map(|c| {
            let column = t.columns.iter().position(|n| *n == format!("end_{c}_{suffix}")).unwrap();
            match t.rows[0][column] {
                crate::csv::Cell::Number(n, _) => n,
                _ => f64::NAN,
            }
        })
    };
    assert_eq!(ends(LengthUnit::Mm, "mm"), [223.5, 150.0, 176.5, 150.0]);
    let inch = ends(LengthUnit::Inch, "in");
    assert!((inch[0] - 223.5 / 25.4).abs() < 1e-9 && (inch[3] - 150.0 / 25.4).abs() < 1e-9, "{inch:?}");
}

#[test]
fn a_wood_screw_stays_in_the_board_and_is_drilled_from_its_face() {
    let r = robot(&format!(
        "{}{}",
        PLATE.replace("bolt-and-nut", "wood-screw"),
        plate("a", "back", 100.0, 50.0, 0.0)
    ));
    let (holes, _) = holes(&r);
    assert_eq!(holes[0].depth, Some(Millimetres(8.0)));
    assert_eq!(holes[0].side, Face::Back);
    assert!(holes.iter().all(|h| !h.registration), "a blind hole registers nothing");
}

/// Plates anywhere, turned anyhow, on both faces.
fn anything() -> impl Strategy<Value = String> {
    let one = (0u8..2, 0.0f64..360.0, 0.0f64..260.0, 0u8..4);
    prop::collection::vec(one, 1..24).prop_map(|plates| {
        let mut text = PLATE.to_owned();
        for (i, (face, x, y, quarter)) in plates.into_iter().enumerate() {
            let face = if face == 0 { "front" } else { "back" };
            let _ = write!(text, "{}", plate(&format!("p{i}"), face, x, y, f64::from(quarter) * 90.0));
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn every_want_has_its_hole_and_every_hole_its_turn(text in anything()) {
        let r = robot(&text);
        let wants = wanted(&r);
        let (holes, place_of) = holes(&r);
        prop_assert_eq!(place_of.len(), wants.len());
        prop_assert_eq!(holes.iter().map(|h| h.uses.len()).sum::<usize>(), wants.len());
        for (want, hole) in wants.iter().zip(&place_of) {
            prop_assert!(want.at.distance(holes[*hole].at) <= MERGE_WITHIN + 1e-9);
        }
        // No two holes are the same place.
        for (i, a) in holes.iter().enumerate() {
            for b in &holes[i + 1..] {
                prop_assert!(a.at.distance(b.at) > MERGE_WITHIN / 2.0);
            }
        }
        // Numbers run in rows from the datum.
        for pair in holes.windows(2) {
            prop_assert!(pair[0].from_datum.y <= pair[1].from_datum.y + 0.02);
        }
        let making = crate::study(&r, &loomdeck_space::study(&r));
        let order = making.drilling;
        let mut sorted = order.clone();
        sorted.sort_unstable();
        prop_assert_eq!(sorted, (0..holes.len()).collect::<Vec<_>>());
        let pins: Vec<usize> = (0..holes.len()).filter(|i| holes[*i].registration).collect();
        prop_assert_eq!(pins.len(), 2);
        prop_assert!(order[..2].iter().all(|i| pins.contains(i)));
        // No two holes lie farther apart than the registration holes.
        let span = holes[pins[0]].at.distance(holes[pins[1]].at);
        for a in &holes {
            for b in &holes {
                prop_assert!(a.at.distance(b.at) <= span + 1e-6);
            }
        }
        for pair in order[2..].windows(2) {
            prop_assert!(holes[pair[0]].diameter() <= holes[pair[1]].diameter());
        }
    }
}

/// Thread; ISO 273 (1979) fine, medium, coarse; tap drill by the common chart (major less pitch).
const ISO_273: [(Thread, [f64; 3], f64); 6] = [
    (Thread::M2, [2.2, 2.4, 2.6], 1.6),
    (Thread::M2_5, [2.7, 2.9, 3.1], 2.05),
    (Thread::M3, [3.2, 3.4, 3.6], 2.5),
    (Thread::M4, [4.3, 4.5, 4.8], 3.3),
    (Thread::M5, [5.3, 5.5, 5.8], 4.2),
    (Thread::M6, [6.4, 6.6, 7.0], 5.0),
];

#[test]
fn sizes_are_those_of_iso_273_and_every_hole_stays_between_fine_and_coarse() {
    for (thread, [fine, medium, coarse], tap) in ISO_273 {
        let sizes = [Fit::Close, Fit::Normal, Fit::Loose].map(|f| hardware::clearance_hole(thread, f).0);
        assert_eq!(sizes, [fine, medium, coarse], "{}", thread.word());
        assert_eq!(hardware::tap_drill(thread).0, tap, "{}", thread.word());
        for unit in ["mm", "inch"] {
            let text = format!(
                "[[mount]]\nname = \"m\"\nat_mm = [50, 50]\nthread = \"{}\"\n[book]\nunit = \"{unit}\"\n",
                thread.word()
            );
            let (holes, _) = holes(&robot(&text));
            let d = holes[0].diameter().0;
            assert!((fine - 1e-6..=coarse + 1e-6).contains(&d), "{} {unit}: {d}", thread.word());
            assert!(holes[0].bit_fits);
        }
    }
}
