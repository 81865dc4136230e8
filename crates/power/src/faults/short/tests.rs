#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::faults::testing::Room;
use crate::heat::wire::Conductor;
use crate::testing::measured;
use loomdeck_model::Robot;
use loomdeck_model::element::ElementKind;
use loomdeck_model::wire::{COPPER_DENSITY, COPPER_HEAT, COPPER_RESISTIVITY};
use std::collections::BTreeSet;

const ROOM: Room<Short> = Room { pages: PAGES, study, findings };

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    ROOM.keeps_its_pages();
}

#[test]
fn every_change_of_the_files_removes_its_finding() {
    let tried = ROOM.edits_cure(|before, after| before.subjects[0] == after.subjects[0]);
    let tried = BTreeSet::from_iter(tried);
    assert!(tried.len() >= 4, "{tried:?}");
}

/// Copper by its constants, in PVC.
fn copper(mm2: f64) -> Conductor {
    let any =
        Conductor::of(loomdeck_model::wire::Gauge::Metric(mm2), loomdeck_model::wire::Insulation::Pvc70);
    let cold = COPPER_RESISTIVITY / mm2;
    Conductor { cold, copper_capacity: mm2 * 1e-6 * COPPER_DENSITY * COPPER_HEAT, ..any }
}

#[test]
fn adiabatic_heating_agrees_with_the_published_factors() {
    // IEC 60364-5-54 (2011), tables A.54.2 and A.54.4 (from memory): k in A·√s/mm² for copper. Ours may
    // differ by 1.5 % in k: our heat capacity of copper is 0.8 % below the standard's 3.45e6 J/(K·m³).
    for (k, start, end) in
        [(143.0, 30.0, 160.0), (115.0, 70.0, 160.0), (176.0, 30.0, 250.0), (143.0, 90.0, 250.0)]
    {
        for (mm2, time) in [(1.5, 0.1), (10.0, 1.0), (35.0, 5.0)] {
            let reaches = |k: f64| {
                let current = k * mm2 / f64::sqrt(time);
                adiabatic(&copper(mm2), current, start, time)
            };
            assert!(reaches(k * 0.985) < end && end < reaches(k * 1.015), "k = {k}: {}", reaches(k));
        }
    }
}

#[test]
fn a_worked_example_of_the_adiabatic_rule() {
    // The rule S >= I·√t/k of IEC 60364-5-54, 543.1.2: 1000 A for 0.4 s in PVC (k = 115, from 70 °C) asks
    // for 1000·√0.4/115 = 5.5 mm². So 4 mm² passes 160 °C and 6 mm² does not.
    assert!(adiabatic(&copper(4.0), 1000.0, 70.0, 0.4) > 160.0);
    assert!(adiabatic(&copper(6.0), 1000.0, 70.0, 0.4) < 160.0);
}

#[test]
fn a_battery_loop_obeys_ohms_law() {
    // I = E/(r + R): the battery's open-circuit voltage over its internal resistance and the loop's, the
    // textbook's prospective current. Loads aside, nothing else is in it.
    let text = short_robot(6.0, 300.0, "blade-30a");
    let robot = loomdeck_model::testing::robot(&text);
    let (rows, _) = ROOM.found_in(&robot);
    let row = rows.to_return.iter().find(|r| r.at == "load.plus").unwrap();
    let circuit = crate::circuit::Circuit::of(&robot, &measured(&robot));
    let battery = robot.types[robot.parts[0].kind.0].elements.iter().find_map(|e| match &e.kind {
        ElementKind::Battery(b) => Some(b),
        _ => None,
    });
    let battery = battery.unwrap();
    let geometry = measured(&robot);
    let power = crate::study(&robot, &geometry);
    let ohms = Ground::of(&robot, &geometry, &power).ohms(SituationId(0));
    let fuse = robot.types.iter().find_map(|t| t.fuse.as_ref()).unwrap();
    let holder = robot.types.iter().flat_map(|t| &t.elements).find_map(|e| match &e.kind {
        ElementKind::FuseWay(w) => Some(w.contact.0),
        _ => None,
    });
    let loop_ohms = battery.resistance.0 + ohms.iter().sum::<f64>() + fuse.cold.0 + holder.unwrap();
    let expected = crate::circuit::open_circuit(battery, 1.0) / (loop_ohms + JOINT_OHMS);
    assert_eq!(circuit.cold.len(), 3);
    assert!((row.full.current_a / expected - 1.0).abs() < 1e-6, "{} {expected}", row.full.current_a);
    assert!(row.low.current_a < row.full.current_a);
    // One fuse carries all of it, and opens within its band.
    let opening = &row.full.opens[0];
    assert!((opening.current_a / row.full.current_a - 1.0).abs() < 0.01);
    let curve = crate::fuse::curve::blade();
    let multiple = opening.current_a / 30.0;
    assert_eq!(opening.slowest_s, Some(crate::fuse::curve::slowest(&curve, multiple)));
    // ISO 8820-3: from six times the rating on, between 0.02 s and 0.1 s at most.
    assert!(multiple > 3.5 && opening.slowest_s.unwrap() < 0.5 && opening.fastest_s.unwrap() > 0.001);
}

fn short_robot(mm2: f64, mm: f64, fuse: &str) -> String {
    include_str!("ring.toml")
        .replace("MM2", &mm2.to_string())
        .replace("LONG", &mm.to_string())
        .replace("FUSE", fuse)
}

#[test]
fn a_longer_wire_never_draws_more_and_never_opens_sooner() {
    let mut last: Option<(f64, f64)> = None;
    for mm in [200.0, 500.0, 1000.0, 2000.0, 3000.0] {
        let (rows, _) = ROOM.found(&short_robot(1.5, mm, "blade-10a"));
        let row = rows.to_return.iter().find(|r| r.at == "load.plus").unwrap();
        let now = (row.full.current_a, row.full.opens[0].slowest_s.unwrap());
        assert!(last.is_none_or(|l| now.0 < l.0 && now.1 >= l.1), "{last:?} {now:?}");
        last = Some(now);
    }
}

#[test]
fn fuses_far_apart_are_told_as_sure_and_near_ones_not() {
    let at = |main: &str, branch: &str| {
        let page = PAGES.iter().find(|p| p.slug == "wrong-fuse-first").unwrap();
        let text = page.after.replace("blade-10a", main).replace("blade-2a", branch);
        ROOM.found(&text).0.selectivity[0].clone()
    };
    // Blade fuses differ by a factor of five between the fastest and the slowest: √5 = 2.24 in current.
    let far = at("blade-30a", "blade-5a");
    assert!(far.sure_to_a.is_some_and(|a| a >= far.most_a), "{far:?}");
    let near = at("blade-15a", "blade-10a");
    assert!(near.sure_to_a.is_none_or(|a| a < near.most_a) && near.times > 1.0, "{near:?}");
    let wrong = at("blade-5a", "blade-10a");
    assert!(wrong.times < 1.0 && wrong.upper_a == 5.0, "{wrong:?}");
}

#[test]
fn the_demos_repeat_bit_by_bit() {
    for name in ["samovar", "samovar-first-try", "cart"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
        let robot = loomdeck_model::read(&loomdeck_model::Folder::load(&path).unwrap()).0.unwrap();
        let geometry = loomdeck_space::study(&robot);
        let power = crate::study(&robot, &geometry);
        let ground = Ground::of(&robot, &geometry, &power);
        let once = study(&ground);
        assert!(once.to_return.len() > 20, "{name}");
        assert_eq!(once, study(&ground), "{name}");
    }
}

/// Shorts of a robot for which nothing was found though something stands between their places.
fn unsolved(robot: &Robot, geometry: &loomdeck_space::Geometry) -> Vec<String> {
    let power = crate::study(robot, geometry);
    let ground = Ground::of(robot, geometry, &power);
    let drivers = driven::outputs(&ground);
    let mut left = Vec::new();
    for id in switched(&ground) {
        let situation = robot.situations[id.0].clone();
        let mut bases = Bases::of(&ground.circuit, robot, id, situation, ground.ohms(id));
        for job in places::jobs(&ground.circuit, robot) {
            // What a driver's output does is not solved but taken from its data.
            if drivers.contains_key(&job.node) {
                continue;
            }
            let back = crate::solver::sweep::Place::Node(job.back);
            let live = bases.before(job.place, back).is_some_and(|v| v >= LIVE);
            if live && bases.short(job.place, back).is_none() {
                left.push(format!("{} in {}", job.at, robot.situations[id.0].name));
            }
        }
    }
    left
}

#[test]
fn every_short_finds_its_solution() {
    for page in PAGES {
        let robot = loomdeck_model::testing::robot(page.before);
        assert_eq!(unsolved(&robot, &measured(&robot)), Vec::<String>::new(), "{}", page.slug);
    }
    for name in ["samovar", "samovar-first-try", "cart"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
        let robot = loomdeck_model::read(&loomdeck_model::Folder::load(&path).unwrap()).0.unwrap();
        assert_eq!(unsolved(&robot, &loomdeck_space::study(&robot)), Vec::<String>::new(), "{name}");
    }
}
