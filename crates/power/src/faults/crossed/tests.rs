#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::testing::measured;
use loomdeck_model::{Robot, Severity};

fn faults_of(robot: &Robot) -> (Crossed, Vec<Finding>) {
    let geometry = measured(robot);
    let power = crate::study(robot, &geometry);
    let ground = Ground::of(robot, &geometry, &power);
    let found = study(&ground);
    let findings = findings(&ground, &found);
    (found, findings)
}

fn found(text: &str) -> (Crossed, Vec<Finding>) {
    faults_of(&loomdeck_model::testing::robot(text))
}

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    for page in PAGES {
        let (rows, before) = found(page.before);
        let own: Vec<_> = before.iter().filter(|f| f.slug == page.slug).collect();
        assert!(!own.is_empty(), "{}: {before:?}\n{rows:#?}", page.slug);
        for f in own {
            assert!(f.severity > Severity::Fix || !f.remedies.is_empty());
            assert!(f.values.values().chain(f.limits.values()).all(|v| v.is_finite()), "{f:?}");
        }
        let (rows, after) = found(page.after);
        assert!(after.iter().all(|f| f.slug != page.slug), "{}: {after:?}\n{rows:#?}", page.slug);
    }
}

#[test]
fn every_change_of_the_files_removes_its_finding() {
    let mut tried = 0;
    for page in PAGES {
        for f in found(page.before).1.iter().filter(|f| f.slug == page.slug) {
            for remedy in f.remedies.iter().filter(|r| !r.edits.is_empty()) {
                let folder = loomdeck_model::Folder::single(page.before);
                let changed = loomdeck_model::edit::apply(&folder, &remedy.edits).unwrap();
                let after = found(&changed.files["robot.toml"]).1;
                assert!(!after.iter().any(|a| a.slug == f.slug), "{}: {}", page.slug, remedy.text);
                tried += 1;
            }
        }
    }
    assert!(tried >= 1);
}

#[test]
fn a_diode_that_blocks_is_named_as_what_protects() {
    for slug in ["battery-reversed", "charger-reversed"] {
        let page = PAGES.iter().find(|p| p.slug == slug).unwrap();
        let (rows, _) = found(page.after);
        assert!(rows.reversed.iter().any(|r| !r.held_by.is_empty()), "{slug}: {rows:#?}");
    }
}

#[test]
fn a_lost_return_divides_by_ohms_law() {
    // All of the amplifier's 12 A go through the signal's ground and back by the other part's return: with
    // no third way the current divider has but one branch.
    let page = PAGES.iter().find(|p| p.slug == "return-through-signal").unwrap();
    let (rows, _) = found(page.before);
    let robot = loomdeck_model::testing::robot(page.before);
    let amp = robot.wire("amp-minus").unwrap();
    let lost = rows.returns.iter().find(|l| l.wire == amp).unwrap();
    let ground = robot.wire("line-ground").unwrap();
    let detour = lost.detours.iter().find(|d| d.wire == ground).unwrap();
    assert!(detour.signal && (detour.current_a - 12.0).abs() < 0.01, "{detour:?}");
    // Two returns in parallel share by their conductances: the second carries what the first did.
    let (rows, _) = found(page.after);
    let robot = loomdeck_model::testing::robot(page.after);
    let lost = rows.returns.iter().find(|l| l.wire == robot.wire("amp-minus").unwrap()).unwrap();
    let again = robot.wire("amp-minus-again").unwrap();
    let detour = lost.detours.iter().find(|d| d.wire == again).unwrap();
    assert!(detour.current_a > 11.0 && detour.before_a > 5.5 && detour.before_a < 6.5, "{detour:?}");
}
