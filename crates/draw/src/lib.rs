//! Everything a builder looks at or prints: drawings, diagrams, plots, templates, the book.
//!
//! All of it is drawn from a study and nothing else, and no engineering result is computed here: a
//! number on paper is a number of the study. The same study gives the same bytes.

pub mod book;
pub mod diagram;
pub mod dxf;
pub mod face;
pub mod faults;
pub mod labels;
pub mod palette;
pub mod plot;
pub mod steps;
pub mod svg;
pub mod template;
mod text;
mod words;

pub use book::{DrawProblem, book, template_pdf};
pub use palette::Theme;

use face::{Look, Reach, View};
use loomdeck_model::Face;
use loomdeck_study::Study;
use plot::Plot;
use steps::{Scene, Sketch};

/// A face of the board at 1:1, as seen looking at it.
pub fn face_svg(study: &Study, face: Face, theme: Theme) -> String {
    face::draw(&book::matter(study), View::Face(face), Look::full_size(theme)).svg
}

/// A face with the space that tools and hands sweep: of what is blocked only, or of everything.
pub fn face_with_reach_svg(study: &Study, face: Face, theme: Theme, reach: Reach) -> String {
    let look = Look { reach, ..Look::full_size(theme) };
    face::draw(&book::matter(study), View::Face(face), look).svg
}

/// The small picture of each step of the order of work that has one, by the step's number, within this
/// room, mm of paper. Empty while the study has no deep tier.
pub fn step_sketches(study: &Study, theme: Theme, room: (f64, f64)) -> Vec<(usize, Sketch)> {
    let matter = book::matter(study);
    let steps = study.deep.iter().flat_map(|d| &d.steps);
    let each = steps.filter_map(|step| {
        let scene = Scene::of(&matter, step);
        Some((step.number, steps::sketch(&matter, &scene, theme, room)?))
    });
    each.collect()
}

/// The way over the holes of each stage of the drill plan, by the stage's number.
pub fn drill_sketches(study: &Study, theme: Theme, room: (f64, f64)) -> Vec<(usize, Sketch)> {
    let matter = book::matter(study);
    let stages = study.making.plan.stages.iter();
    stages.filter_map(|s| Some((s.number, steps::tour(&matter, s, theme, room)?))).collect()
}

/// Both faces at 1:1, seen through from the front.
pub fn see_through_svg(study: &Study, theme: Theme) -> String {
    face::draw(&book::matter(study), View::SeeThrough, Look::full_size(theme)).svg
}

/// The whole power diagram on one sheet, at full size.
pub fn power_diagram_svg(study: &Study, theme: Theme) -> String {
    diagram::draw(&book::diagram_graph(study), theme, "Power diagram", None).svg
}

/// Every plot with its name: `currents`, `day`, and `fuse-` with the way for each fuse.
pub fn plots(study: &Study, theme: Theme) -> Vec<(String, Plot)> {
    let (robot, power) = (&study.robot, &study.power);
    let mut all = Vec::new();
    if !power.situations.is_empty() {
        all.push(("currents".to_owned(), plot::currents(robot, power, theme, 170.0)));
    }
    if let Some(day) = &power.day {
        all.push(("day".to_owned(), plot::day(robot, day, theme, (170.0, 88.0))));
    }
    for f in power.fuses.iter().filter(|f| f.fuse.is_some()) {
        let name = format!("fuse-{}-{}", robot.parts[f.part.0].name, f.way);
        all.push((name, plot::fuse(robot, f, theme, (170.0, 100.0))));
    }
    for chapter in faults::chapters(study) {
        let each = faults::plots(&chapter, theme, (170.0, 88.0)).into_iter().enumerate();
        all.extend(each.map(|(i, (_, plot))| (format!("{}-{}", chapter.word, i + 1), plot)));
    }
    all
}

/// The board for a router or laser, one face, in millimetres.
pub fn dxf(study: &Study, face: Face) -> String {
    dxf::write(&book::matter(study), face)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests stop where they fail")]
mod tests;
