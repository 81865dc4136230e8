#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::faults::testing::Room;
use loomdeck_model::Severity;

const ROOM: Room<Stopping> = Room { pages: PAGES, study, findings };

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    ROOM.keeps_its_pages();
}

#[test]
fn every_finding_has_numbers() {
    for f in ROOM.told_before() {
        assert!(!f.values.is_empty(), "{}", f.slug);
    }
}

#[test]
fn the_switch_takes_the_wheel_and_it_coasts_by_friction_alone() {
    ROOM.with(ROOM.page("no-stop-takes-the-motors-off").after, |_, found| {
        assert_eq!(found.hardware, ["switch"]);
        let row = found.rows.iter().find(|r| r.name == "switch").unwrap();
        assert_eq!(row.stopped, ["wheel"]);
        assert!(row.moving.is_empty() && !row.return_only);
        // Constant deceleration: s = v²/(2·a), a = rolling + k·i₀·N/(η·r)/m.
        let a = 9.806_65 * 0.025 + 0.068 * 0.8 * 25.0 / 0.75 / 0.1 / 40.0;
        let coast = row.flat.unwrap();
        assert!((coast.time_s.unwrap() - 0.4 / a).abs() < 1e-3 * 0.4 / a);
        assert!((coast.distance_m.unwrap() - 0.08 / a).abs() < 1e-3 * 0.08 / a);
    });
}

#[test]
fn a_button_stops_through_its_contactor_and_a_weld_defeats_it() {
    ROOM.with(ROOM.page("welded-contact-defeats-stop").before, |g, found| {
        assert_eq!(found.hardware, ["button"]);
        let coil = found.rows.iter().find(|r| r.kind == StopKind::Coil).unwrap();
        assert_eq!((coil.name.as_str(), coil.stopped.len()), ("contactor", 1));
        let failure = &found.failures[0];
        assert_eq!(g.robot.parts[failure.part.0].name, "contactor");
        assert_eq!(failure.moving, ["wheel"]);
        assert!(failure.left.is_empty());
    });
    ROOM.with(ROOM.page("welded-contact-defeats-stop").after, |_, found| {
        assert_eq!(found.failures[0].left, ["main"]);
    });
}

#[test]
fn a_pulled_plug_between_driver_and_motor_counts() {
    let text = ROOM.page("no-stop-takes-the-motors-off").after.replace(
        "name = \"motor-a\"\nfrom = \"driver.motor-a\"\nto = \"wheel.a\"",
        "name = \"motor-0\"\nfrom = \"driver.motor-a\"\nto = \"tail.board.1\"\nsize_mm2 = 2.5\nlength_mm = 100\n[[wire]]\nname = \"motor-a\"\nfrom = \"tail.body.1\"\nto = \"wheel.a\"",
    ) + "\n[[plug]]\nname = \"tail\"\nfamily = \"plug-power-2\"\nzone = \"body\"\nface = \"front\"\nat_mm = [0, 0]\n\n[board]\nsize_mm = [200, 100]\nthickness_mm = 6\nmaterial = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 40\n";
    ROOM.with(&text, |_, found| {
        let row = found.rows.iter().find(|r| r.kind == StopKind::Plug).unwrap();
        assert_eq!(
            (row.name.as_str(), row.stopped.as_slice()),
            ("tail", ["wheel".to_owned()].as_slice())
        );
    });
}

#[test]
fn the_link_commands_through_a_controller() {
    let page = ROOM.page("radio-loss-keeps-moving");
    ROOM.with(page.before, |g, found| {
        let (receiver, drivers) = radio::commanded(g.robot).unwrap();
        assert_eq!(g.robot.parts[receiver.0].name, "receiver");
        assert_eq!(drivers.len(), 1);
        assert!(found.rows.iter().any(|r| r.kind == StopKind::Radio));
    });
    let silent =
        |holds: &str| page.before.replace("\"holds\"", "\"silent\"").replace("name = \"Roller\"", holds);
    ROOM.with(&silent("name = \"Roller\""), |g, found| {
        let all = findings(g, found);
        // The library does not say what this driver does without commands.
        assert!(all.iter().any(|f| f.slug == page.slug && f.severity == Severity::Look));
    });
}

#[test]
fn noting_the_tried_setting_mends_it() {
    let page = ROOM.page("radio-loss-keeps-moving");
    let folder = loomdeck_model::Folder::single(page.before);
    let edits = ROOM.with(page.before, |g, found| {
        let all = findings(g, found);
        all.iter().find(|f| f.slug == page.slug).unwrap().remedies[0].edits.clone()
    });
    let changed = loomdeck_model::edit::apply(&folder, &edits).unwrap();
    let text = &changed.files["robot.toml"];
    ROOM.with(text, |g, found| assert!(findings(g, found).iter().all(|f| f.slug != page.slug)));
    // Where no `[motion]` stands yet it is made.
    let bare = page.before.replace("[motion]\nmass_kg = 40\nradio_loss = \"holds\"", "");
    let folder = loomdeck_model::Folder::single(&bare);
    let changed = loomdeck_model::edit::apply(&folder, &edits).unwrap();
    let (robot, problems) = loomdeck_model::read(&changed);
    assert!(problems.is_empty(), "{problems:?}");
    assert!(robot.unwrap().motion.radio_loss.is_some());
}

#[test]
fn a_pulled_plug_takes_only_what_hangs_on_it() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
    let (robot, _) = loomdeck_model::read(&loomdeck_model::Folder::load(&path).unwrap());
    let found = ROOM.found_in(&robot.unwrap()).0;
    let row =
        |name: &str| found.rows.iter().find(|r| r.kind == StopKind::Plug && r.name == name).unwrap();
    // The lid's plug carries the lid's motor and lights, and neither the amplifier nor the arm.
    assert_eq!(row("lid-plug").stopped, ["lid-motor"]);
    assert!(row("lid-plug").live.contains(&"amplifier".to_owned()));
    assert_eq!(row("left-plug").stopped, ["left-drive"]);
    // The hatch carries the stop circuit: everything on the contactor goes, sound and lights stay.
    assert!(row("hatch-plug").stopped.contains(&"left-drive".to_owned()));
    assert!(row("hatch-plug").live.contains(&"amplifier".to_owned()));
}
