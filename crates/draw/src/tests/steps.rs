//! Small pictures: steps, drill tours, the board laid down and on its way out.

use super::{demo, elements, plates};
use crate::book::matter;
use crate::face::{self, Look, Reach, View};
use crate::palette::Theme;
use crate::steps::{self, Comes, Scene, Sketch};
use loomdeck_model::{Face, Subject};
use loomdeck_study::Study;

const ROOM: (f64, f64) = (84.0, 62.0);

fn part(name: &str) -> Subject {
    Subject::Part(name.to_owned())
}

fn group<'a>(svg: &'a str, class: &str) -> &'a str {
    let start = svg.find(&format!("<g class=\"{class}\"")).unwrap_or_else(|| panic!("no {class}"));
    let rest = &svg[start..];
    let mut depth = 0;
    for (at, _) in rest.match_indices('<') {
        if rest[at..].starts_with("<g ") {
            depth += 1;
        } else if rest[at..].starts_with("</g>") {
            depth -= 1;
        }
        if depth == 0 {
            return &rest[..at];
        }
    }
    rest
}

fn sketch(study: &Study, scene: &Scene<'_>) -> Sketch {
    steps::sketch(&matter(study), scene, Theme::Paper, ROOM).unwrap_or_else(|| panic!("no board"))
}

#[test]
fn what_comes_is_in_colour_and_the_rest_in_outline() {
    let study = plates();
    let (there, added) = ([part("far-plate")], [part("near-plate")]);
    let scene = Scene { face: Some(Face::Front), there: &there, added: &added, ..Scene::default() };
    let s = sketch(&study, &scene);
    let accent = Theme::Paper.palette().accent;
    let new = group(&s.svg, "added");
    assert!(new.contains("data-name=\"near-plate\"") && new.contains(accent) && !new.contains("dash"));
    // The plate on the back is there, beneath: dashed and without colour.
    let old = group(&s.svg, "there");
    assert!(old.contains("stroke-dasharray") && !old.contains(accent));
    assert!(group(&s.svg, "labels").contains(">near-plate</text>"), "{}", s.svg);
    assert!(!s.svg.contains("far-plate") && s.keys.is_empty());
    // Its two screws at 40, 35 and 90, 65.
    let dots = elements(group(&s.svg, "fasteners"), "circle", ["cx", "cy"]);
    assert_eq!(dots, [[40.0, -35.0], [90.0, -65.0]]);
    assert!((s.width - ROOM.0).abs() < 1e-9 && s.height <= ROOM.1);
    insta::assert_snapshot!(s.svg);
}

#[test]
fn a_board_turned_over_carries_its_sign_and_shows_the_other_side_of_the_screws() {
    let study = plates();
    let added = [part("near-plate")];
    let scene = Scene { face: Some(Face::Back), added: &added, ..Scene::default() };
    let still = sketch(&study, &scene).svg;
    assert!(!still.contains("class=\"turned\"") && still.contains(">back up</text>"));
    assert!(group(&still, "added").contains("stroke-dasharray"));
    // The nuts of its screws show on the back, mirrored.
    let rings = elements(group(&still, "fasteners"), "circle", ["cx", "cy"]);
    assert_eq!((rings[0], rings[2]), ([-40.0, -35.0], [-90.0, -65.0]));
    let turned = sketch(&study, &Scene { turned: true, ..scene }).svg;
    assert!(turned.contains("class=\"turned\""));
}

#[test]
fn what_only_gets_its_feet_is_an_empty_outline() {
    let study = plates();
    let added = [part("near-plate")];
    let feet = Scene { added: &added, comes: Comes::Feet, ..Scene::default() };
    let svg = sketch(&study, &feet).svg;
    let new = group(&svg, "added");
    assert!(new.contains("stroke-dasharray") && !new.contains(Theme::Paper.tint()));
    assert_eq!(elements(group(&svg, "fasteners"), "circle", ["r"]).len(), 2);
}

#[test]
fn the_board_stays_in_its_place_from_picture_to_picture() {
    let study = demo("samovar");
    let parts = study.robot.parts.iter();
    let (all, away): (Vec<_>, Vec<_>) =
        parts.partition(|p| Face::BOTH.iter().any(|f| face::is_on(p, *f)));
    let all: Vec<Subject> = all.iter().map(|p| part(&p.name)).collect();
    let wires: Vec<_> = (0..study.robot.wires.len()).map(loomdeck_model::WireId).collect();
    for face in Face::BOTH {
        let first = Scene { face: Some(face), added: &all[..1], ..Scene::default() };
        let last = Scene { face: Some(face), there: &all, wires: &wires, ..Scene::default() };
        let (a, b) = (sketch(&study, &first), sketch(&study, &last));
        let head = |s: &str| s.lines().next().map(str::to_owned);
        assert_eq!(head(&a.svg), head(&b.svg));
        assert_eq!(group(&a.svg, "board"), group(&b.svg, "board"));
    }
    // What is put in elsewhere leaves nothing to draw.
    let elsewhere = [part(&away[0].name)];
    let scene = Scene { added: &elsewhere, there: &all, ..Scene::default() };
    assert!(steps::sketch(&matter(&study), &scene, Theme::Paper, ROOM).is_none());
}

#[test]
fn new_wires_have_their_own_colour_and_old_ones_none() {
    let study = demo("samovar");
    let m = matter(&study);
    let on_front = |w: &loomdeck_model::WireId| {
        let run = study.geometry.wires.iter().find(|r| r.wire == *w);
        let front = |l: &loomdeck_space::Leg| matches!(l, loomdeck_space::Leg::Along { face: Face::Front, points, .. } if points.len() > 1);
        run.is_some_and(|r| r.legs.iter().any(front))
    };
    let all = (0..study.robot.wires.len()).map(loomdeck_model::WireId);
    let wires: Vec<_> = all.filter(on_front).take(2).collect();
    let (new, old) = wires.split_at(1);
    let svg = sketch(&study, &Scene { wires: new, wires_there: old, ..Scene::default() }).svg;
    let colour = crate::palette::insulation(m.colour(new[0]).base);
    assert!(group(&svg, "wires").contains(colour));
    assert!(!group(&svg, "there").contains(colour) && group(&svg, "there").contains("<path"));
}

#[test]
fn many_new_things_carry_numbers_that_are_told() {
    let study = demo("samovar");
    let on = |p: &&loomdeck_model::Part| face::is_on(p, Face::Front);
    let added: Vec<Subject> = study.robot.parts.iter().filter(on).map(|p| part(&p.name)).collect();
    let s = sketch(&study, &Scene { added: &added, ..Scene::default() });
    let names: Vec<&str> = added.iter().map(Subject::name).collect();
    assert_eq!(s.keys, names);
    let labels = group(&s.svg, "labels");
    for i in 1..=names.len() {
        assert!(labels.contains(&format!(">{i}</text>")), "{i}");
    }
}

#[test]
fn a_tour_joins_its_holes_in_their_order() {
    let study = demo("samovar");
    let m = matter(&study);
    assert!(!study.making.plan.stages.is_empty());
    for stage in &study.making.plan.stages {
        let s = steps::tour(&m, stage, Theme::Paper, ROOM).unwrap_or_else(|| panic!("no board"));
        let way = group(&s.svg, "way");
        let d = way.split(" d=\"").nth(1).and_then(|d| d.split('"').next()).unwrap_or_default();
        let points: Vec<(f64, f64)> = d
            .split(['M', 'L'])
            .filter_map(|p| p.split_once(' '))
            .filter_map(|(x, y)| Some((x.parse().ok()?, y.parse().ok()?)))
            .collect();
        let back = stage.lies == loomdeck_make::plan::Lies::Up(Face::Back);
        let seen = |p: loomdeck_model::Point| (if back { -p.x } else { p.x }, -p.y);
        let expected = std::iter::once(study.making.datum.at).chain(stage.stops.iter().map(|s| s.at));
        let expected: Vec<(f64, f64)> = expected.map(seen).collect();
        assert_eq!(points.len(), expected.len());
        for (a, b) in points.iter().zip(&expected) {
            assert!((a.0 - b.0).hypot(a.1 - b.1) < 1e-3, "{a:?} {b:?}");
        }
        assert_eq!(super::labels::first_overlap(&s.labels), None);
    }
}

#[test]
fn the_laid_board_shows_where_it_stands_and_its_weight() {
    let study = demo("samovar");
    let rest = study.geometry.rest.as_ref().unwrap_or_else(|| panic!("no board"));
    for laid in &rest.laid {
        let s = steps::laid(&matter(&study), laid, &rest.mass, Theme::Paper, ROOM);
        let svg = s.unwrap_or_else(|| panic!("no board")).svg;
        let sign = if laid.down == Face::Back { -1.0 } else { 1.0 };
        let feet = elements(group(&svg, "support"), "circle", ["cx", "cy"]);
        for (dot, foot) in feet.iter().zip(&laid.feet) {
            assert!((dot[0] - sign * foot.at.x).abs() < 1e-3 && (dot[1] + foot.at.y).abs() < 1e-3);
        }
        assert_eq!(feet.len(), 3);
        let c = elements(group(&svg, "centre-of-mass"), "circle", ["cx", "cy"])[0];
        assert!((c[0] - sign * rest.mass.centre.x).abs() < 1e-3);
        assert!((c[1] + rest.mass.centre.y).abs() < 1e-3);
    }
}

/// The two plates with an opening for a tool, a rectangle, and a tall block over the first screw.
fn crowded() -> Study {
    let more = r#"
[[pass]]
name = "tool-hole"
at_mm = [20, 100]
diameter_mm = 16
tools_only = true

[[pass]]
name = "window"
at_mm = [100, 100]
length_mm = 40
width_mm = 20
turn_deg = 90
corner_mm = 4
"#;
    Study::of(loomdeck_model::testing::robot(&format!("{}{more}", super::PLATES)))
}

#[test]
fn rectangles_have_their_corners_and_tool_holes_a_cross() {
    let svg = crate::face_svg(&crowded(), Face::Front, Theme::Paper);
    // 40 × 20 turned upright about 100, 100: from 90 to 110 and from 80 to 120, corners of 4 mm.
    let window = svg.split("data-name=\"window\"").nth(1).and_then(|s| s.split("</g>").next());
    let d = window.and_then(|w| w.split(" d=\"").nth(1)).and_then(|d| d.split('"').next());
    let d = d.unwrap_or_default();
    assert_eq!(d.matches("A4 4").count(), 4, "{d}");
    for corner in ["110 -84", "110 -116", "90 -116", "90 -84", "106 -80", "94 -120"] {
        assert!(d.contains(corner), "{corner} in {d}");
    }
    let tool = svg.split("data-name=\"tool-hole\"").nth(1).and_then(|s| s.split("</g>").next());
    assert_eq!(tool.map(|t| t.matches("<line").count()), Some(2));
    assert_eq!(window.map(|t| t.matches("<line").count()), Some(0));
}

#[test]
fn reach_is_drawn_when_asked_for() {
    let study = demo("samovar-first-try");
    let m = matter(&study);
    let draw = |reach| {
        let look = Look { reach, ..Look::full_size(Theme::Paper) };
        face::draw(&m, View::Face(Face::Front), look).svg
    };
    assert!(!draw(Reach::Hidden).contains("reach"));
    let (blocked, all) = (draw(Reach::Blocked), draw(Reach::All));
    assert!(!blocked.contains("reach-free"));
    let needs = &study.geometry.access.needs;
    let stuck = needs.iter().filter(|n| face::used_way(n).is_some_and(|w| !w.is_free())).count();
    assert_eq!(blocked.matches("class=\"reach-blocked\"").count(), stuck);
    assert_eq!(all.matches("class=\"reach-").count(), needs.len());
}
