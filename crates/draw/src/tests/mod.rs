//! Facts about the drawings of small robots.

mod book;
mod dxf;
mod labels;
mod paper;
mod steps;
mod templates;

use loomdeck_study::Study;

/// A board of 200 × 120 mm with one plate on its front and one on its back.
const PLATES: &str = r#"
format = 1

[robot]
name = "Two plates"

[board]
size_mm = [200, 120]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 60

[[pass]]
name = "hatch"
at_mm = [150, 90]
diameter_mm = 25
grommet = true

[[mount]]
name = "corner"
at_mm = [12, 10]
thread = "M5"
clear_mm = 16

[[mount]]
name = "far-corner"
at_mm = [188, 110]
thread = "M5"
clear_mm = 16

[[type]]
name = "plate"
title = "plate"
group = "tests"
about = "A plate with two holes."
basis = "Made up."
size_mm = [60, 40]
height_mm = 10
mass_g = 50
holes_mm = [[5, 5], [55, 35]]
hole_diameter_mm = 3.4
noise = "quiet"

[type.fixing]
style = "bolt-and-nut"
thread = "M3"
head = "pan"
standoff_mm = 0
flange_mm = 2

[[part]]
name = "near-plate"
type = "plate"
face = "front"
at_mm = [35, 30]

[[part]]
name = "far-plate"
type = "plate"
face = "back"
at_mm = [180, 20]
"#;

fn plates() -> Study {
    Study::of(loomdeck_model::testing::robot(PLATES))
}

/// The same robot with another name for the robot and its first plate.
fn named(name: &str) -> Study {
    let mut robot = loomdeck_model::testing::robot(PLATES);
    robot.name = name.to_owned();
    robot.about = name.to_owned();
    robot.parts[0].name = name.to_owned();
    Study::of(robot)
}

/// A demo of the repository.
fn demo(name: &str) -> Study {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    let folder = loomdeck_model::Folder::load(&path);
    let folder = folder.unwrap_or_else(|p| panic!("{p:?}"));
    Study::of_folder(&folder).unwrap_or_else(|p| panic!("{p:?}"))
}

/// Numbers of an attribute in every element of a kind: (cx, cy, r) of circles and the like.
fn elements<const N: usize>(svg: &str, kind: &str, attributes: [&str; N]) -> Vec<[f64; N]> {
    let start = format!("<{kind} ");
    let each = svg.match_indices(&start).map(|(at, _)| {
        let element = svg[at..].split('>').next().unwrap_or_default();
        attributes.map(|a| {
            let key = format!(" {a}=\"");
            let value = element.split(&key).nth(1).and_then(|v| v.split('"').next());
            value.and_then(|v| v.parse().ok()).unwrap_or(f64::NAN)
        })
    });
    each.collect()
}
