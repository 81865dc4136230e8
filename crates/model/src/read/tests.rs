//! What the reader says about careless and hostile files.

use super::{Folder, read};
use crate::units::*;
use crate::wire::Gauge;
use crate::{Function, Landing, Place, testing};
use std::collections::BTreeMap;

/// Reads files and compares what is said with `expected`, line by line.
#[track_caller]
fn check(files: &[(&str, &str)], expected: &[&str]) {
    let files =
        files.iter().map(|(n, t)| ((*n).to_owned(), (*t).to_owned())).collect::<BTreeMap<_, _>>();
    let (robot, problems) = read(&Folder { files });
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    let expected: Vec<String> = expected.iter().map(|e| (*e).to_owned()).collect();
    assert_eq!(told, expected);
    assert_eq!(robot.is_some(), expected.is_empty());
}

const HEAD: &str = "format = 1\n[robot]\nname = \"R\"\n";

const SMALL: &str = r#"format = 1
[robot]
name = "R"
[[zone]]
name = "base"
[[part]]
name = "battery"
type = "lead-agm-12v-7ah"
zone = "base"
[[part]]
name = "lamp"
type = "lamp-led-12v-5w"
zone = "base"
[[wire]]
name = "plus"
from = "battery.plus"
to = "lamp.plus"
size_mm2 = 1.5
[[wire]]
name = "minus"
from = "lamp.minus"
to = "battery.minus"
size = "16 AWG"
length_in = 10
"#;

#[test]
fn a_small_robot_is_read() {
    let robot = testing::robot(SMALL);
    assert_eq!(robot.wires[1].gauge, Gauge::Awg(16));
    assert_eq!(robot.wires[1].length, Some(Millimetres(254.0)));
    assert_eq!(robot.wires[0].function, Function::Supply);
    assert_eq!(robot.wires[1].function, Function::Return);
    assert!(matches!(robot.parts[0].place, Place::Zone { .. }));
    assert!(matches!(robot.wires[0].from, Landing::Part { .. }));
    assert_eq!(robot.places[&crate::Subject::Wire("minus".into())].line, 20);
}

#[test]
fn every_mistake_of_a_folder_comes_at_once_with_its_place() {
    let board = "[board]\nsize_mm = [100, 0]\nthickness = 9\nmaterial = \"hdp\"\ndepth_front_mm = 50\ndepth_back_mm = 1e9\n";
    let wiring = "[[wire]]\nname = \"w\"\nfrom = \"battry.plus\"\nto = \"lamp.pls\"\nsize_mm2 = 1.5\nrotaton = 1\n";
    check(
        &[("robot.toml", SMALL), ("board.toml", board), ("wiring.toml", wiring)],
        &[
            "board.toml, line 2: Width and height must be above zero.",
            "board.toml, line 3: A number without its unit. Write `thickness_mm = …` if it is in mm, or a text with the unit.",
            "board.toml, line 4: `hdp` is not known here. Did you mean `hdpe`?",
            "board.toml, line 6: This is 1000000000 mm; a length from 0 to 100000 mm is expected.",
            "wiring.toml, line 3: There is no part or plug called `battry`. Did you mean `battery.plus`?",
            "wiring.toml, line 4: `lamp` (LED lamp, 12 V, 5 W) has no terminal `pls`. Did you mean `lamp.plus`?",
            "wiring.toml, line 6: `rotaton` is not known here. A wire has: name, from, to, size, insulation, colour, function, loom, cable, length, end_from, end_to, via, pins, slack, trim_from, trim_to.",
        ],
    );
}

#[test]
fn a_misspelt_key_gets_the_nearest_one() {
    let text = SMALL.replace("length_in = 10", "lenght_mm = 10");
    check(
        &[("robot.toml", &text)],
        &["robot.toml, line 24: `lenght_mm` is not known here. Did you mean `length_mm`?"],
    );
    let text = SMALL.replace("length_in = 10", "length_ohm = 10");
    check(
        &[("robot.toml", &text)],
        &[
            "robot.toml, line 24: `length_ohm` is not known here. `length` is written length, length_mm, length_cm, length_m, length_in.",
        ],
    );
}

#[test]
fn one_thing_is_not_said_twice() {
    let text = SMALL.replace("length_in = 10", "length_in = 10\nlength_mm = 254");
    check(
        &[("robot.toml", &text)],
        &["robot.toml, line 25: `length_in` already says this; `length_mm` says it a second time."],
    );
}

#[test]
fn numbers_that_are_none_are_refused() {
    for bad in ["nan", "inf", "-inf", "1e999", "99999999999999999999"] {
        let text = SMALL.replace("length_in = 10", &format!("length_in = {bad}"));
        let (robot, problems) = read(&Folder::single(text));
        assert!(robot.is_none() && problems.len() == 1, "{bad}: {problems:?}");
        assert_eq!(problems[0].line, 24, "{bad}");
    }
}

#[test]
fn names_are_used_once() {
    let text = SMALL.replace("name = \"lamp\"", "name = \"battery\"");
    let (_, problems) = read(&Folder::single(text));
    assert_eq!(
        problems[0].to_string(),
        "robot.toml, line 11: A second part or plug is called `battery`; the first is in robot.toml, line 7. Give one of them another name."
    );
    // The same word in composed and decomposed letters is the same name.
    let text = format!("{HEAD}[[zone]]\nname = \"caf\u{e9}\"\n[[zone]]\nname = \"cafe\u{301}\"\n");
    let (_, problems) = read(&Folder::single(text));
    assert!(problems[0].to_string().contains("A second zone"), "{problems:?}");
}

#[test]
fn types_that_extend_each_other_in_a_circle_are_refused() {
    let text = format!(
        "{HEAD}[[type]]\nname = \"a\"\nextends = \"b\"\n[[type]]\nname = \"b\"\nextends = \"c\"\n[[type]]\nname = \"c\"\nextends = \"a\"\n"
    );
    let (_, problems) = read(&Folder::single(text));
    assert!(
        problems.iter().any(|p| p.to_string().contains("extends itself in a circle")),
        "{problems:?}"
    );
}

#[test]
fn a_type_may_extend_one_of_the_library() {
    let text = SMALL.replace("lamp-led-12v-5w", "my-lamp")
        + "[[type]]\nname = \"my-lamp\"\nextends = \"lamp-led-12v-5w\"\ntitle = \"my lamp\"\nheight_in = 1\n[[type.terminal]]\nname = \"plus\"\nboot_mm = 3\n";
    let robot = testing::robot(&text);
    let t = robot.type_of(robot.part("lamp").unwrap());
    assert_eq!((t.title.as_str(), t.height, t.own), ("my lamp", Millimetres(25.4), true));
    assert_eq!(t.terminals[t.terminal("plus").unwrap()].boot, Millimetres(3.0));
    assert!(!t.elements.is_empty() && t.terminals.len() == 2);
    // Its mistakes are found where they stand.
    let (_, problems) = read(&Folder::single(text.replace("boot_mm = 3", "boot_mm = -3")));
    assert_eq!(problems.len(), 1);
    assert!(problems[0].line > 23 && problems[0].message.contains("-3 mm"), "{problems:?}");
}

#[test]
fn a_type_of_ones_own_overrides_the_librarys() {
    let own = "[[type]]\nname = \"lamp-led-12v-5w\"\nextends = \"lamp-led-12v-5w\"\nmass_g = 7\n";
    let files = BTreeMap::from([
        ("robot.toml".to_owned(), SMALL.to_owned()),
        ("parts/lamp.toml".to_owned(), own.to_owned()),
    ]);
    let (robot, problems) = read(&Folder { files });
    assert_eq!(problems, []);
    let robot = robot.unwrap();
    assert_eq!(robot.type_of(robot.part("lamp").unwrap()).mass, Kilograms(0.007));
}

#[test]
fn outlines_must_enclose_something() {
    let board = "thickness_mm = 9\nmaterial = \"hdpe\"\ndepth_front_mm = 50\ndepth_back_mm = 50\n";
    for (outline, said) in [
        ("[]", "0 different corners"),
        ("[[0,0],[10,0],[20,0]]", "encloses nothing"),
        ("[[0,0],[10,10],[10,0],[0,12]]", "crosses itself"),
        ("[[0,0],[10,10],[10]]", "two are expected"),
    ] {
        let text = format!("{HEAD}[board]\noutline_mm = {outline}\n{board}");
        let (robot, problems) = read(&Folder::single(text));
        assert!(robot.is_none() && problems.len() == 1, "{outline}: {problems:?}");
        assert!(problems[0].message.contains(said), "{outline}: {problems:?}");
    }
}

#[test]
fn broken_toml_is_told_and_the_rest_is_still_read() {
    let text = format!("{HEAD}zone = [\n");
    let (robot, problems) = read(&Folder::single(text));
    assert!(robot.is_none());
    assert!(problems.iter().any(|p| p.message.starts_with("This is not TOML here")), "{problems:?}");
}

#[test]
fn an_empty_folder_says_what_is_missing() {
    check(
        &[("robot.toml", "")],
        &[
            "robot.toml, line 1: This file has no `format`. Version of the format; stands once, in `robot.toml`. This program writes 1.",
            "robot.toml, line 1: There is no `[robot]` table. The machine. Write `[robot]` and below it `name = \"…\"`.",
        ],
    );
    let newer = "format = 2\n[robot]\nname = \"R\"\n";
    check(&[("robot.toml", newer)], &["robot.toml, line 1: Here stands 2; only 1 is known."]);
}

#[test]
fn motors_and_loads_are_asked_for_what_they_can_do() {
    let text = SMALL.to_owned()
        + "[[situation]]\nname = \"s\"\nclosed = [\"lamp\"]\nactivity = { lamp = \"blue\", battery = \"x\" }\nmotors = { lamp = { off = true } }\n[[day]]\nsituation = \"t\"\nminutes = 5\n";
    let (_, problems) = read(&Folder::single(text));
    let told: Vec<String> = problems.iter().map(|p| p.message.clone()).collect();
    for said in [
        "has no switch",
        "no activity called `blue`",
        "has no activities",
        "is no motor",
        "no situation called `t`",
    ] {
        assert!(told.iter().any(|t| t.contains(said)), "{said}: {told:?}");
    }
}

#[test]
fn names_are_held_back_while_a_file_cannot_be_parsed() {
    let (robot, problems) = read(&Folder {
        files: BTreeMap::from([
            ("robot.toml".to_owned(), SMALL.to_owned()),
            ("board.toml".to_owned(), "[[part]\nname = \"x\"\n".to_owned()),
            (
                "wiring.toml".to_owned(),
                "[[wire]]\nname = \"w\"\nfrom = \"x.a\"\nto = \"x.b\"\nsize_mm2 = 1\n".to_owned(),
            ),
        ]),
    });
    assert!(robot.is_none());
    assert!(problems.iter().all(|p| !p.message.contains("There is no part or plug")), "{problems:#?}");
    assert!(problems.iter().any(|p| p.message.starts_with("This is not TOML here")), "{problems:#?}");
}

#[test]
fn of_many_names_that_stand_for_nothing_the_first_are_told() {
    let mut text = SMALL.to_owned();
    for i in 0..50 {
        text.push_str(&format!(
            "[[wire]]\nname = \"w{i}\"\nfrom = \"x.a\"\nto = \"lamp.plus\"\nsize_mm2 = 1\n"
        ));
    }
    let (_, problems) = read(&Folder::single(text));
    assert_eq!(problems.len(), 20);
    assert!(problems[19].to_string().ends_with("30 more names stand for nothing."), "{}", problems[19]);
}

#[test]
fn a_slip_is_told_once() {
    let text = SMALL.replace("size_mm2 = 1.5", "sise_mm2 = 1.5");
    check(
        &[("robot.toml", &text)],
        &["robot.toml, line 18: `sise_mm2` is not known here. Did you mean `size_mm2`?"],
    );
}

#[test]
fn a_long_chain_of_types_is_refused() {
    let mut text = HEAD.to_owned();
    for i in 0..3000 {
        text.push_str(&format!("[[type]]\nname = \"t{i}\"\nextends = \"t{}\"\n", i + 1));
    }
    let (robot, problems) = read(&Folder::single(text));
    assert!(robot.is_none());
    assert!(problems[0].message.contains("more than 16 links"), "{}", problems[0]);
    let itself = format!("{HEAD}[[type]]\nname = \"t\"\nextends = \"t\"\n");
    let (_, problems) = read(&Folder::single(itself));
    assert!(problems[0].message.contains("in a circle"), "{}", problems[0]);
}

#[test]
fn what_would_act_on_a_terminal_is_refused() {
    for bad in ["\\u001b[31m", "\\u0007", "\\u009b", "\\u202e", "a\\u2066b"] {
        let text = HEAD.replace("\"R\"", &format!("\"{bad}\""));
        let (robot, problems) = read(&Folder::single(text));
        assert!(
            robot.is_none() && problems[0].message.contains("cannot be printed"),
            "{bad}: {problems:?}"
        );
    }
}

#[cfg(unix)]
#[test]
fn pipes_and_devices_are_not_read() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("robot.toml"), SMALL).unwrap();
    std::fs::create_dir(dir.path().join("parts")).unwrap();
    std::os::unix::fs::symlink("/dev/zero", dir.path().join("parts/z.toml")).unwrap();
    let problems = Folder::load(dir.path()).unwrap_err();
    assert_eq!(problems[0].message, "This is not a plain file, so it is not read.");
}

#[test]
fn as_built_overrides_the_plan() {
    let files = BTreeMap::from([
        ("robot.toml".to_owned(), SMALL.to_owned()),
        ("as-built.toml".to_owned(), "[[cut]]\nwire = \"plus\"\nlength_mm = 333\n".to_owned()),
    ]);
    let (robot, problems) = read(&Folder { files });
    assert_eq!(problems, []);
    assert_eq!(robot.unwrap().wires[0].length, Some(Millimetres(333.0)));
}

const BOARD: &str = r#"format = 1
[robot]
name = "R"
[[zone]]
name = "leg"
[board]
size_mm = [300, 200]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 45
edge_room_in = 1
[body_opening]
size_mm = [320, 90]
[[pass]]
name = "window"
at_mm = [150, 100]
length_mm = 40
width_mm = 20
corner_mm = 4
[[pass]]
name = "driver-hole"
at_mm = [20, 20]
diameter_mm = 8
tools_only = true
[[type]]
name = "tray"
size_mm = [50, 40]
height_mm = 20
holes_mm = [[5, 5]]
hole_diameter_mm = 3.2
fixing = { style = "cleat", thread = "M3", slides = "up" }
[[type.terminal]]
name = "plus"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
role = "passive"
room_for = 4
boot_mm = 15
boot_trimmed_mm = 9
[[type.terminal]]
name = "minus"
fitting = "tab-6.3"
wire_mm2 = [0.2, 6]
role = "passive"
[[type.element]]
kind = "resistor"
a = "plus"
b = "minus"
ohms_ohm = 100
power_w = 1
[[type.reach]]
what = "card"
at_mm = [50, 20]
towards = "right"
width_mm = 12
depth_mm = 30
tilt_deg = 20
in_place = true
[[part]]
name = "tray"
type = "tray"
face = "back"
at_mm = [60, 60]
fixing = { style = "bolt-and-nut", turned = true }
[[plug]]
name = "leg-plug"
family = "plug-power-2"
zone = "leg"
face = "front"
at_mm = [280, 100]
fixing = { style = "captive-nut", sunk = true }
[[loom]]
name = "leg"
slack = "moving"
pins = [{ face = "front", at_mm = [200, 100] }]
[[wire]]
name = "a"
from = "tray.plus"
to = "leg-plug.board.1"
size_mm2 = 1
loom = "leg"
slack = "fixed"
trim_from = true
[[wire.pins]]
face = "back"
at_in = [2, 2]
"#;

#[test]
fn fixings_openings_pins_and_slack_are_read() {
    use crate::part_type::{Exit, FixingStyle};
    use crate::{Face, PassShape, Pin, Point, Slack};
    let robot = testing::robot(BOARD);
    let board = robot.board.as_ref().unwrap();
    assert_eq!(board.edge_room, Some(Millimetres(25.4)));
    let opening = board.body_opening.as_ref().unwrap();
    assert_eq!((opening.outline.signed_area(), opening.gap.0), (320.0 * 90.0, 3.0));
    let rect = PassShape::Rect {
        length: Millimetres(40.0),
        width: Millimetres(20.0),
        turn: Degrees(0.0),
        corner: Millimetres(4.0),
    };
    assert_eq!(board.passes[0].shape, rect);
    assert!(board.passes[1].tools_only && !board.passes[0].tools_only);
    let kind = robot.type_of(crate::PartId(0));
    assert_eq!(kind.fixing.slides, Some(Degrees(90.0)));
    assert_eq!(kind.terminals[0].screw, Some(Exit::Up));
    assert_eq!(kind.terminals[0].trimmed_boot, Some(Millimetres(9.0)));
    assert_eq!(kind.terminals[1].screw, None);
    assert_eq!((kind.reach[0].tilt, kind.reach[0].in_place), (Degrees(20.0), true));
    let fixing = &robot.parts[0].fixing;
    assert_eq!((fixing.style, fixing.turned), (FixingStyle::BoltAndNut, true));
    let fixing = &robot.plugs[0].fixing;
    assert_eq!((fixing.style, fixing.sunk), (FixingStyle::CaptiveNut, true));
    assert_eq!(robot.looms[0].slack, Some(Slack::Moving));
    assert_eq!(robot.looms[0].pins, [Pin { face: Face::Front, at: Point::new(200.0, 100.0) }]);
    let wire = &robot.wires[0];
    assert_eq!((wire.slack, wire.trim_from, wire.trim_to), (Some(Slack::Fixed), true, false));
    assert_eq!(wire.pins, [Pin { face: Face::Back, at: Point::new(50.8, 50.8) }]);
}

#[test]
fn keyings_of_plugs_are_read_and_held_to_their_family() {
    let text = |more: &str| {
        format!(
            "{HEAD}[[zone]]\nname = \"leg\"\n[board]\nsize_mm = [200, 100]\nthickness_mm = 9\nmaterial = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 40\n[[plug]]\nname = \"p\"\nfamily = \"plug-bayonet-2-20a\"\nzone = \"leg\"\nface = \"front\"\nat_mm = [190, 50]\n{more}"
        )
    };
    let plain = testing::robot(&text(""));
    let family = plain.family_of(crate::PlugId(0)).unwrap();
    assert_eq!(plain.plugs[0].arrangement(family), "N");
    assert_eq!(plain.plugs[0].pins_on, crate::Half::Board);
    let keyed = testing::robot(&text("keying = \"X\"\npins_on = \"body\"\ncolour = \"red\"\n"));
    let plug = &keyed.plugs[0];
    assert_eq!((plug.arrangement(family), plug.pins_on), ("X", crate::Half::Body));
    assert_eq!(plug.colour.map(|c| c.to_string()).as_deref(), Some("red"));
    check(
        &[("robot.toml", &text("keying = \"Q\"\n"))],
        &[
            "robot.toml, line 18: `plug-bayonet-2-20a` does not come in the arrangement `Q`. Its arrangements: N, W, X, Y, Z.",
        ],
    );
}

#[test]
fn openings_that_make_no_sense_are_refused() {
    let say = |from: &str, to: &str, expected: &str| {
        assert!(BOARD.contains(from), "{from}");
        check(&[("robot.toml", &BOARD.replace(from, to))], &[expected]);
    };
    say(
        "corner_mm = 4",
        "corner_mm = 12",
        "robot.toml, line 20: The corners of a rectangle are rounded by half its width at most; that is then a slot.",
    );
    say(
        "size_mm = [320, 90]",
        "gap_mm = 3",
        "robot.toml, line 13: The shape of the body's opening is not clear. Give `size_mm`, `diameter_mm` or `outline_mm`.",
    );
    say(
        "at_mm = [280, 100]",
        "at_mm = [280, 100]\ntail_mm = 120",
        "robot.toml, line 73: This plug hangs on a tail of 120\u{2009}mm; only one fixed to the board has a `fixing`.",
    );
}

#[test]
fn a_byte_order_mark_and_crlf_do_no_harm() {
    let text = format!("\u{feff}{}", SMALL.replace('\n', "\r\n"));
    let robot = testing::robot(&text);
    assert_eq!(robot.places[&crate::Subject::Wire("minus".into())].line, 20);
}

#[test]
fn a_long_list_is_cut_off_with_a_word() {
    let mut text = HEAD.to_owned();
    for i in 0..=crate::format::MAX_ENTRIES {
        text.push_str(&format!("[[loom]]\nname=\"l{i}\"\n"));
    }
    let (robot, problems) = read(&Folder::single(text));
    assert!(robot.is_none() && problems.len() == 1, "{}", problems.len());
    assert!(problems[0].message.contains("at most 20000"), "{problems:?}");
}

mod never_panics {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        /// A robot with any stretch of its text cut out or doubled, or any character changed, is
        /// read or refused, and every place lies in the text.
        #[test]
        fn on_damaged_robots(from in 0usize..600, length in 0usize..80, put in "[\\PC\n\"\\[\\]={}.#]{0,6}") {
            let mut text = SMALL.to_owned();
            let from = from.min(text.len());
            let to = (from + length).min(text.len());
            text.replace_range(from..to, &put);
            let (robot, problems) = read(&Folder::single(text.clone()));
            prop_assert_eq!(robot.is_none(), !problems.is_empty());
            for p in problems {
                prop_assert!(p.span.end <= text.len() && p.line <= text.lines().count() + 1);
            }
        }

        #[test]
        fn on_any_text(text in "\\PC{0,300}") {
            let (robot, problems) = read(&Folder::single(text));
            prop_assert_eq!(robot.is_none(), !problems.is_empty());
        }
    }
}
