//! The book and the template as files.

use super::{demo, named, plates};
use crate::book::{book, template_pdf};
use crate::palette::Theme;
use loomdeck_model::{Face, Paper};

#[test]
fn the_same_study_gives_the_same_bytes() {
    let study = demo("cart");
    assert_eq!(book(&study), book(&study));
    assert_eq!(template_pdf(&study), template_pdf(&study));
    for face in Face::BOTH {
        assert_eq!(
            crate::face_svg(&study, face, Theme::Slate),
            crate::face_svg(&study, face, Theme::Slate)
        );
    }
}

#[test]
fn hostile_names_are_only_names() {
    for name in [
        "#panic(\"x\")",
        "\"]}) #import \"/etc/passwd\"",
        "$ x^2 $ *bold* _it_ `raw` @ref <label>",
        "</text><script>alert(1)</script>",
        "\u{202e}right to left\u{0}\u{7}\u{feff}",
        "漢字と絵文字🙂",
        "",
    ] {
        let study = named(name);
        let pdf = book(&study).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!(pdf.starts_with(b"%PDF"));
        let svg = crate::face_svg(&study, Face::Front, Theme::Paper);
        assert!(!svg.contains("<script"), "{name}");
        assert!(crate::dxf(&study, Face::Front).is_ascii());
    }
}

#[test]
fn a_robot_without_board_or_wires_still_has_a_book() {
    let text = "format = 1\n[robot]\nname = \"Sketch\"\n";
    let study = loomdeck_study::Study::of(loomdeck_model::testing::robot(text));
    assert!(book(&study).is_ok());
    assert!(template_pdf(&study).is_ok());
    assert!(crate::face_svg(&study, Face::Back, Theme::Slate).contains("No board yet"));
}

#[test]
fn letter_paper_and_inches_are_followed() {
    let mut robot = loomdeck_model::testing::robot(super::PLATES);
    robot.book.paper = Paper::Letter;
    robot.book.unit = loomdeck_model::LengthUnit::Inch;
    let study = loomdeck_study::Study::of(robot);
    let pages = crate::template::pages(&crate::book::matter(&study), Face::Front);
    let sheet = pages[0].sheet;
    assert!((sheet.width.min(sheet.height) - 215.9).abs() < 1e-9);
    assert!(pages[0].svg.contains("4\u{2009}in"));
    let group = pages[0].svg.split("calibration-square").nth(1).unwrap_or_default();
    assert_eq!(super::elements(group, "rect", ["width"])[0], [101.6]);
    assert!(book(&study).is_ok());
}

#[test]
fn the_front_of_two_plates() {
    insta::assert_snapshot!(crate::face_svg(&plates(), Face::Front, Theme::Paper));
}
