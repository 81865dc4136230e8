#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::faults::testing::Room;

const ROOM: Room<Upset> = Room { pages: PAGES, study, findings };

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    ROOM.keeps_its_pages();
}

/// Star and chain by Ohm's law: the listener's 1 to 4 A through its own return of 1.5 mm², 1 m, lifts its ground by
/// I·R above the battery's, where the sender's return of 0.1 A hardly drops anything. Led to the listener
/// instead, the sender's ground follows: what is heard is a change, and its own current does not change.
#[test]
fn a_chain_drops_what_ohms_law_says_and_a_star_does_not() {
    let robot = loomdeck_model::testing::robot(PAGES[0].before);
    let (out, findings) = ROOM.found_in(&robot);
    let ohms = |name: &str| {
        let wire = &robot.wires[robot.wire(name).unwrap().0];
        wire.gauge.ohms_per_metre().0 * wire.length.unwrap().0 / 1000.0
    };
    let expected = 4.0 * ohms("return-listener") - 0.1 * ohms("return-sender");
    let changes = 3.0 * ohms("return-listener");
    let link = &out.links[0];
    let shift = link.worst().unwrap();
    // The wires are warmer than 20 °C by less than 60 K: copper gains 0.39 % per kelvin.
    let warm = shift.peak_mv / 1000.0 / expected;
    assert!((1.0..1.25).contains(&warm), "{} mV against {expected} V", shift.peak_mv);
    let heard = link.noticed_mv() / 1000.0 / changes;
    assert!((1.0..1.25).contains(&heard), "{} mV against {changes} V", link.noticed_mv());
    let cause = link.cause.as_ref().unwrap();
    assert_eq!(robot.wires[cause.wire.0].name, "return-listener");
    assert!((cause.current_a - 3.0).abs() < 0.01, "{cause:?}");
    let star = cause.star.as_ref().unwrap();
    assert_eq!(robot.wires[star.wire.0].name, "return-sender");
    // The sender's own current does not change: nothing is left but rounding.
    assert!(star.after_mv < 1e-3, "{star:?}");
    // 20·log10 of the voltage over 1 V full scale.
    let db = link.below_full_scale_db().unwrap();
    assert!((db - 20.0 * (link.noticed_mv() / 1000.0).log10()).abs() < 1e-9);
    let f = findings.iter().find(|f| f.slug == "ground-shared-hum").unwrap();
    assert!(!f.remedies[0].edits.is_empty(), "{f:?}");
}

#[test]
fn the_star_point_written_into_the_files_gives_what_was_foretold() {
    use loomdeck_model::Folder;
    let (out, findings) = ROOM.found(PAGES[0].before);
    let f = findings.iter().find(|f| f.slug == "ground-shared-hum").unwrap();
    let edited =
        loomdeck_model::edit::apply(&Folder::single(PAGES[0].before.to_owned()), &f.remedies[0].edits)
            .expect("edit");
    let robot = loomdeck_model::read(&edited).0.unwrap();
    let after = ROOM.found_in(&robot).0;
    let foretold = out.links[0].cause.as_ref().unwrap().star.as_ref().unwrap().after_mv;
    let now = after.links[0].noticed_mv();
    assert!((now - foretold).abs() < 1e-3, "{now} against {foretold}");
}

#[test]
fn a_balanced_input_hears_nothing_of_the_grounds() {
    let text =
        PAGES[0].before.replace("direction = \"input\"", "isolated = true, direction = \"input\"");
    let (out, findings) = ROOM.found(&text);
    assert!(out.links[0].isolated && out.links[0].shifts.is_empty());
    assert!(findings.is_empty(), "{findings:?}");
}
