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
    named_plots(study, theme).into_iter().map(|p| (p.name, p.plot)).collect()
}

/// A plot, by name and in words.
#[derive(Clone, Debug)]
pub struct NamedPlot {
    /// Its name: `currents`, `day`, `fuse-` with the way, the word of a chapter of faults with a number.
    pub name: String,
    /// What it shows.
    pub title: String,
    /// The plot.
    pub plot: Plot,
}

/// Every plot of a study: currents, the day, each fuse, what goes wrong.
pub fn named_plots(study: &Study, theme: Theme) -> Vec<NamedPlot> {
    let (robot, power) = (&study.robot, &study.power);
    let mut all = Vec::new();
    let mut add = |name: String, title: String, plot| all.push(NamedPlot { name, title, plot });
    if !power.situations.is_empty() {
        let plot = plot::currents(robot, power, theme, 170.0);
        add("currents".to_owned(), "Currents in every situation".to_owned(), plot);
    }
    if let Some(day) = &power.day {
        let plot = plot::day(robot, day, theme, (170.0, 88.0));
        add("day".to_owned(), "A day at a show".to_owned(), plot);
    }
    for f in power.fuses.iter().filter(|f| f.fuse.is_some()) {
        let part = &robot.parts[f.part.0].name;
        let plot = plot::fuse(robot, f, theme, (170.0, 100.0));
        add(format!("fuse-{part}-{}", f.way), format!("Fuse {} of {part}", f.way), plot);
    }
    for chapter in faults::chapters(study) {
        let each = faults::plots(&chapter, theme, (170.0, 88.0)).into_iter().enumerate();
        each.for_each(|(i, (title, plot))| add(format!("{}-{}", chapter.word, i + 1), title, plot));
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
