//! The DXF says what the files say.

use super::plates;
use loomdeck_model::Face;

/// Group codes and values.
fn pairs(text: &str) -> Vec<(i32, String)> {
    let lines: Vec<&str> = text.lines().collect();
    lines.chunks_exact(2).map(|p| (p[0].trim().parse().unwrap_or(-1), p[1].to_owned())).collect()
}

fn circles(text: &str) -> Vec<(String, f64, f64, f64)> {
    let pairs = pairs(text);
    let starts = pairs.iter().enumerate().filter(|(_, p)| p.0 == 0 && p.1 == "CIRCLE").map(|(i, _)| i);
    let value = |from: usize, code: i32| {
        pairs[from + 1..].iter().take_while(|p| p.0 != 0).find(|p| p.0 == code).map(|p| p.1.clone())
    };
    let number = |from, code| value(from, code).and_then(|v| v.parse().ok()).unwrap_or(f64::NAN);
    starts
        .map(|i| (value(i, 8).unwrap_or_default(), number(i, 10), number(i, 20), number(i, 40)))
        .collect()
}

#[test]
fn every_line_pairs_with_a_code_and_sections_close() {
    let text = crate::dxf(&plates(), Face::Front);
    assert!(text.is_ascii());
    let pairs = pairs(&text);
    assert_eq!(text.lines().count(), 2 * pairs.len());
    assert!(pairs.iter().all(|(code, _)| *code >= 0));
    let count = |word: &str| pairs.iter().filter(|p| p.0 == 0 && p.1 == word).count();
    assert_eq!(count("SECTION"), count("ENDSEC"));
    assert_eq!(count("POLYLINE"), count("SEQEND"));
    assert_eq!(pairs.last(), Some(&(0, "EOF".to_owned())));
}

#[test]
fn the_front_is_as_drawn_and_the_back_is_its_mirror() {
    let study = plates();
    let front = circles(&crate::dxf(&study, Face::Front));
    let back = circles(&crate::dxf(&study, Face::Back));
    let at_hole = |c: &&(String, f64, f64, f64)| (c.1, c.2) == (40.0, 35.0);
    let layers: Vec<&str> = front.iter().filter(at_hole).map(|c| c.0.as_str()).collect();
    assert!(layers.contains(&"HOLES") && layers.iter().any(|l| l.starts_with("DRILL-")), "{layers:?}");
    let finished = |all: &[(String, f64, f64, f64)]| -> Vec<(f64, f64, f64)> {
        all.iter().filter(|c| c.0 == "HOLES").map(|c| (c.1, c.2, c.3)).collect()
    };
    let (front, back) = (finished(&front), finished(&back));
    assert_eq!(front.len(), study.making.holes.len());
    assert_eq!(front.len(), back.len());
    for (x, y, r) in &front {
        assert!(back.iter().any(|b| (200.0 - x - b.0).abs() < 1e-6 && b.1 == *y && b.2 == *r));
    }
}

#[test]
fn each_layer_has_as_many_things_as_the_plan_has_stops() {
    use loomdeck_make::plan::Lies;
    use std::collections::BTreeMap;
    for study in [plates(), super::demo("samovar"), super::demo("samovar-first-try")] {
        let unit = study.robot.book.unit;
        for face in Face::BOTH {
            let mut wanted: BTreeMap<String, usize> = BTreeMap::new();
            for stage in &study.making.plan.stages {
                let here = stage.lies == Lies::Up(face) || stage.lies == Lies::OnEdge;
                if let (true, Some(layer)) = (here, crate::dxf::layer_of(stage, unit)) {
                    let stops = stage.stops.iter().filter(|s| s.hole.is_some()).count();
                    *wanted.entry(layer).or_insert(0) += stops;
                }
            }
            wanted.retain(|_, n| *n > 0);
            let pairs = pairs(&crate::dxf(&study, face));
            let mut drawn: BTreeMap<String, usize> = BTreeMap::new();
            for (i, (code, kind)) in pairs.iter().enumerate() {
                if *code == 0 && ["CIRCLE", "POLYLINE", "POINT"].contains(&kind.as_str()) {
                    let layer = pairs[i + 1..].iter().find(|p| p.0 == 8).map(|p| p.1.clone());
                    *drawn.entry(layer.unwrap_or_default()).or_insert(0) += 1;
                }
            }
            drawn.retain(|layer, _| !["OUTLINE", "HOLES", "TEXT", "SIGHTS"].contains(&layer.as_str()));
            assert_eq!(drawn, wanted, "{}", face.word());
        }
    }
}

#[test]
fn a_slot_and_a_rectangle_are_closed_lines_of_their_size() {
    let study = loomdeck_study::Study::of(loomdeck_model::testing::robot(&format!(
        "{}\n[[pass]]\nname = \"window\"\nat_mm = [100, 60]\nlength_mm = 50\nwidth_mm = 30\ncorner_mm = 5\n",
        super::PLATES
    )));
    let pairs = pairs(&crate::dxf(&study, Face::Front));
    let cut = pairs.windows(2).position(|w| w[0].1 == "POLYLINE" && w[1].1 == "CUT");
    let line = &pairs[cut.unwrap_or_else(|| panic!("no cut")) + 2..];
    let line: Vec<&(i32, String)> = line.iter().take_while(|p| p.1 != "SEQEND").collect();
    let of = |code: i32| -> Vec<f64> {
        // The first is the line's own.
        line.iter().filter(|p| p.0 == code).skip(1).map(|p| p.1.parse().unwrap()).collect()
    };
    let (x, y, bulge) = (of(10), of(20), of(42));
    assert_eq!((x.len(), y.len()), (8, 8));
    let span = |v: &[f64]| {
        v.iter().copied().fold(f64::MIN, f64::max) - v.iter().copied().fold(f64::MAX, f64::min)
    };
    assert!((span(&x) - 50.0).abs() < 1e-6 && (span(&y) - 30.0).abs() < 1e-6, "{x:?} {y:?}");
    // Four quarter circles, counter-clockwise on the front: tan(90°/4).
    let arcs = line.iter().filter(|p| p.0 == 42 && p.1 != "0.0").count();
    assert_eq!(arcs, 4, "{bulge:?}");
    assert!(bulge.iter().all(|b| *b == 0.0 || (b - 0.414_214).abs() < 1e-6), "{bulge:?}");
}

#[test]
fn the_file_of_two_plates() {
    insta::assert_snapshot!(crate::dxf(&plates(), Face::Back));
}
