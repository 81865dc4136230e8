//! Writes every drawing of a robot's folder into another folder, to look at.
//!
//! `cargo run --release -p loomdeck-draw --example preview -- demos/cart /tmp/preview`

#![allow(clippy::print_stderr, reason = "a program for the command line")]

use loomdeck_draw::face::Reach;
use loomdeck_draw::{Theme, diagram, palette};
use loomdeck_model::{Face, Folder};
use std::path::Path;
use std::time::Instant;

/// Room of a small picture, mm of paper.
const ROOM: (f64, f64) = (84.0, 62.0);

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let args: Vec<String> = std::env::args().collect();
    let [_, folder, out] = &args[..] else { return Err("preview FOLDER OUT".into()) };
    let folder = Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let study = loomdeck_study::Study::of_folder(&folder).map_err(|p| format!("{p:?}"))?;
    let out = Path::new(out);
    std::fs::create_dir_all(out)?;
    for (theme, tone) in [(Theme::Paper, "paper"), (Theme::Slate, "slate")] {
        for face in Face::BOTH {
            let svg = loomdeck_draw::face_svg(&study, face, theme);
            std::fs::write(out.join(format!("{}-{tone}.svg", face.word())), svg)?;
        }
        for face in Face::BOTH {
            let svg = loomdeck_draw::face_with_reach_svg(&study, face, theme, Reach::Blocked);
            std::fs::write(out.join(format!("{}-blocked-{tone}.svg", face.word())), svg)?;
        }
        for (number, sketch) in loomdeck_draw::step_sketches(&study, theme, ROOM) {
            std::fs::write(out.join(format!("step-{number}-{tone}.svg")), sketch.svg)?;
        }
        for (number, sketch) in loomdeck_draw::drill_sketches(&study, theme, ROOM) {
            std::fs::write(out.join(format!("stage-{number}-{tone}.svg")), sketch.svg)?;
        }
        let svg = loomdeck_draw::see_through_svg(&study, theme);
        std::fs::write(out.join(format!("through-{tone}.svg")), svg)?;
        for (name, plot) in loomdeck_draw::plots(&study, theme) {
            std::fs::write(out.join(format!("{name}-{tone}.svg")), plot.svg)?;
        }
    }
    std::fs::write(
        out.join("diagram.svg"),
        loomdeck_draw::power_diagram_svg(&study, palette::Theme::Slate),
    )?;
    for face in Face::BOTH {
        std::fs::write(out.join(format!("{}.dxf", face.word())), loomdeck_draw::dxf(&study, face))?;
    }
    let start = Instant::now();
    std::fs::write(out.join("template.pdf"), loomdeck_draw::template_pdf(&study)?)?;
    eprintln!("template: {:?}", start.elapsed());
    let start = Instant::now();
    std::fs::write(out.join("book.pdf"), loomdeck_draw::book(&study)?)?;
    eprintln!("book: {:?}, {} nodes", start.elapsed(), {
        let graph: diagram::Graph = loomdeck_draw::book::diagram_graph(&study);
        graph.nodes.len()
    });
    Ok(())
}
