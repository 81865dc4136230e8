#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::faults::testing::Room;

const ROOM: Room<Crossed> = Room { pages: PAGES, study, findings };

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    ROOM.keeps_its_pages();
}

#[test]
fn every_change_of_the_files_removes_its_finding() {
    assert!(!ROOM.edits_cure(|_, _| true).is_empty());
}

#[test]
fn a_diode_that_blocks_is_named_as_what_protects() {
    for slug in ["battery-reversed", "charger-reversed"] {
        let page = PAGES.iter().find(|p| p.slug == slug).unwrap();
        let (rows, _) = ROOM.found(page.after);
        assert!(rows.reversed.iter().any(|r| !r.held_by.is_empty()), "{slug}: {rows:#?}");
    }
}

#[test]
fn a_lost_return_divides_by_ohms_law() {
    // All of the amplifier's 12 A go through the signal's ground and back by the other part's return: with
    // no third way the current divider has but one branch.
    let page = PAGES.iter().find(|p| p.slug == "return-through-signal").unwrap();
    let (rows, _) = ROOM.found(page.before);
    let robot = loomdeck_model::testing::robot(page.before);
    let amp = robot.wire("amp-minus").unwrap();
    let lost = rows.returns.iter().find(|l| l.wire == amp).unwrap();
    let ground = robot.wire("line-ground").unwrap();
    let detour = lost.detours.iter().find(|d| d.wire == ground).unwrap();
    assert!(detour.signal && (detour.current_a - 12.0).abs() < 0.01, "{detour:?}");
    // Two returns in parallel share by their conductances: the second carries what the first did.
    let (rows, _) = ROOM.found(page.after);
    let robot = loomdeck_model::testing::robot(page.after);
    let lost = rows.returns.iter().find(|l| l.wire == robot.wire("amp-minus").unwrap()).unwrap();
    let again = robot.wire("amp-minus-again").unwrap();
    let detour = lost.detours.iter().find(|d| d.wire == again).unwrap();
    assert!(detour.current_a > 11.0 && detour.before_a > 5.5 && detour.before_a < 6.5, "{detour:?}");
}
