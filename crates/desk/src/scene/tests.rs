use super::*;
use crate::talk::LoadsOn;
use loomdeck_model::{Folder, read};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;

const DEMOS: [&str; 3] = ["cart", "samovar", "samovar-first-try"];

fn study(name: &str) -> Study {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    Study::live(read(&Folder::load(&folder).unwrap()).0.unwrap())
}

fn shown(study: &Study, known: Known) -> Value {
    let beside = Beside { folder: "f", known, ..Beside::default() };
    let all = sections(study, &beside).all;
    let texts = SECTIONS.iter().zip(&all).map(|(n, t)| format!("\"{n}\":{}", t.text()));
    serde_json::from_str(&format!("{{{}}}", texts.collect::<Vec<_>>().join(","))).unwrap()
}

fn names(list: &Value) -> Vec<&str> {
    list.as_array().unwrap().iter().map(|p| p["name"].as_str().unwrap()).collect()
}

#[test]
fn every_part_wire_and_situation_is_shown_in_the_robots_order() {
    for demo in DEMOS {
        let study = study(demo);
        let robot = &study.robot;
        let all = shown(&study, Known::default());
        let mut both = names(&all["parts"]);
        both.extend(names(&all["off_board"]));
        let parts: BTreeSet<&str> = robot.parts.iter().map(|p| p.name.as_str()).collect();
        assert_eq!((both.len(), both.into_iter().collect()), (robot.parts.len(), parts), "{demo}");
        let wires: Vec<&str> = robot.wires.iter().map(|w| w.name.as_str()).collect();
        assert_eq!(names(&all["wires"]), wires);
        let situations: Vec<&str> = robot.situations.iter().map(|s| s.name.as_str()).collect();
        assert_eq!(names(&all["situations"]), situations);
        assert_eq!(names(&all["plugs"]).len(), robot.plugs.len());
        assert_eq!(names(&all["looms"]).len(), robot.looms.len());
    }
}

#[test]
fn findings_have_keys_of_their_own_and_are_counted() {
    for demo in DEMOS {
        let live = study(demo);
        let deep = live.clone().deepened();
        let known = Known::of(&live, &deep);
        for (study, known) in [(&live, Known::default()), (&live, known.clone()), (&deep, known.clone())]
        {
            let all = shown(study, known);
            let findings = all["findings"].as_array().unwrap();
            let keys: BTreeSet<&str> = findings.iter().map(|f| f["key"].as_str().unwrap()).collect();
            assert_eq!(keys.len(), findings.len(), "{demo}");
            let counts = &all["robot"]["counts"];
            let sum: u64 =
                ["danger", "fix", "look", "note"].iter().map(|s| counts[s].as_u64().unwrap()).sum();
            assert_eq!(sum as usize, findings.len());
            assert!(findings.iter().all(|f| f["title"] != f["slug"]), "every kind has a title");
        }
        // While the hand moves, what the deep tier found stays, in the same order, marked.
        let during = shown(&live, known.clone());
        let rested = shown(&deep, known);
        assert_eq!(during["findings"], rested["findings"], "{demo}");
        assert_eq!(during["good_news"], rested["good_news"], "{demo}");
        let marked = rested["findings"].as_array().unwrap().iter().filter(|f| f["deep"] == true);
        assert_eq!(marked.count(), deep.findings.len() - live.findings.len(), "{demo}");
    }
}

#[test]
fn an_old_finding_about_what_is_gone_is_not_shown() {
    let live = study("samovar-first-try");
    let deep = live.clone().deepened();
    let known = Known::of(&live, &deep);
    let beyond =
        known.with(&live).into_iter().find(|(f, d)| *d && !f.subjects.is_empty()).unwrap().0.clone();
    let mut after = live.clone();
    after.robot.places.remove(&beyond.subjects[0]);
    let still =
        known.with(&after).into_iter().any(|(f, d)| d && f.subjects.contains(&beyond.subjects[0]));
    assert!(!still, "{}", beyond.slug);
}

#[test]
fn openings_are_drawn_as_large_as_they_are() {
    let study = study("samovar");
    let sheet = board::sheet(&study).unwrap();
    let model = study.robot.board.as_ref().unwrap();
    assert!(!sheet.passes.is_empty());
    for (shown, pass) in sheet.passes.iter().zip(&model.passes) {
        let outline = Outline(shown.outline.iter().map(|p| Point::new(p[0], p[1])).collect());
        let (area, _) = loomdeck_space::faces::opening(pass.shape);
        // Corners on the arc cut a little off: 32 of them take 0.65 % of a circle.
        let share = outline.signed_area() / area;
        assert!((0.99..=1.0).contains(&share), "{}: {share}", pass.name);
    }
    assert!(sheet.mounts.iter().all(|m| m.diameter_mm > 2.0));
}

#[test]
fn wires_and_tails_begin_where_they_are_said_to() {
    let study = study("cart");
    for plug in plugs::plugs(&study) {
        if let Some(tail) = &plug.tail {
            assert_eq!(tail[0], plug.at_mm);
            // The battery's tail leaves to the left, and its plug hangs beyond the edge.
            assert!(plug.outline.iter().all(|p| p[0] < 0.0), "{:?}", plug.outline);
            assert_eq!(plug.turn_deg, 180.0);
        }
    }
    let wires = wiring::wires(&study);
    let laid = wires.iter().filter(|w| !w.legs.is_empty());
    assert!(laid.clone().count() > 5 && laid.clone().all(|w| w.cut_mm.is_some_and(|c| c > 20.0)));
    for w in &wires {
        // A lead that a part brings along is not cut at all.
        assert!(w.colour.starts_with('#') && w.cut_mm.is_some_and(|c| c >= 0.0), "{w:?}");
    }
}

#[test]
fn numbers_are_those_of_the_study() {
    let study = study("cart");
    let shown = electricity::situations(&study.robot);
    assert_eq!(shown.len(), study.power.situations.len());
    assert!(electricity::loads(&study, "no such").is_none());
    let mut most = 0.0_f64;
    for (s, of) in shown.iter().zip(&study.power.situations) {
        let s: LoadsOn = electricity::loads(&study, &s.name).unwrap();
        for w in &s.wires {
            let result = &of.wires[study.robot.wire(&w.name).unwrap().0];
            let near = |a: f64, b: f64, by: f64| assert!((a - b).abs() <= by, "{}: {a} for {b}", w.name);
            near(w.current_a, result.current.0, 0.5e-4 + 1e-12);
            near(w.drop_v, result.drop.0, 0.5e-5 + 1e-12);
            near(w.temperature_c.unwrap(), result.temperature.unwrap().0, 0.5e-2 + 1e-12);
            most = most.max(w.current_a.abs());
        }
        for p in &s.parts {
            let result = &of.parts[study.robot.part(&p.name).unwrap().0];
            assert!((p.power_w - result.power.0).abs() <= 0.5e-3 + 1e-12, "{}", p.name);
        }
    }
    assert!(most > 1.0, "something flows: {most} A");
}

#[test]
fn what_clashes_is_drawn_and_told_in_the_robots_unit() {
    let mut robot = study("cart").robot;
    robot.book.unit = loomdeck_model::LengthUnit::Inch;
    // Everything that can be at one place.
    let at = robot.parts.iter().find_map(|p| match p.place {
        loomdeck_model::Place::Board(at) => Some(at),
        loomdeck_model::Place::Zone { .. } => None,
    });
    for part in &mut robot.parts {
        if let loomdeck_model::Place::Board(place) = &mut part.place {
            *place = at.unwrap();
        }
    }
    let study = Study::live(robot);
    let all = shown(&study, Known::default());
    let overlap = |f: &&Value| f["slug"] == "parts-overlap";
    let found: Vec<&Value> = all["findings"].as_array().unwrap().iter().filter(overlap).collect();
    assert!(!found.is_empty());
    for f in found {
        let mark = &f["marks"][0];
        assert!(mark["kind"] == "clash" && mark["points"].as_array().unwrap().len() >= 3, "{mark}");
        assert!(mark["words"].as_str().unwrap().ends_with("in"), "{mark}");
    }
}

#[test]
fn the_room_wanted_is_that_of_every_bend_and_every_need() {
    for demo in DEMOS {
        let study = study(demo);
        let (bends, reach) = rooms(&study);
        assert_eq!(bends.len(), study.geometry.bends.len(), "{demo}");
        let blocked = study.geometry.bends.iter().filter(|b| !b.is_free()).count();
        assert_eq!(bends.iter().filter(|r| !r.by.is_empty()).count(), blocked, "{demo}");
        assert!(reach.len() > 20 && reach.iter().all(|r| !r.outlines.is_empty()), "{demo}");
        for name in reach.iter().map(|r| r.of.as_str()) {
            let robot = &study.robot;
            let mount = |m: &loomdeck_model::Board| m.mounts.iter().any(|m| m.name == name);
            let known = robot.part(name).is_some() || robot.plugs.iter().any(|p| p.name == name);
            assert!(known || robot.board.as_ref().is_some_and(mount), "{name}");
        }
    }
}
