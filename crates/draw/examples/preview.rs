//! Writes every drawing of a robot's folder into another folder, to look at.
//!
//! `cargo run --release -p loomdeck-draw --example preview -- demos/cart /tmp/preview`

#![allow(clippy::print_stderr, reason = "a program for the command line")]

use loomdeck_draw::diagram;
use loomdeck_draw::face::{self, Look, Matter, VIEWS};
use loomdeck_draw::palette::Theme;
use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let args: Vec<String> = std::env::args().collect();
    let [_, folder, out] = &args[..] else { return Err("preview FOLDER OUT".into()) };
    let folder = loomdeck_model::Folder::load(Path::new(folder)).map_err(|p| format!("{p:?}"))?;
    let (robot, problems) = loomdeck_model::read(&folder);
    for p in &problems {
        eprintln!("{p:?}");
    }
    let robot = robot.ok_or("the folder cannot be read")?;
    let geometry = loomdeck_space::study(&robot);
    let making = loomdeck_make::study(&robot, &geometry);
    let mut findings = loomdeck_space::findings(&robot, &geometry);
    findings.extend(loomdeck_make::findings(&robot, &geometry, &making));
    loomdeck_model::Finding::sort(&mut findings);
    let matter = Matter { robot: &robot, geometry: &geometry, making: &making, findings: &findings };
    let out = Path::new(out);
    std::fs::create_dir_all(out)?;
    for (view, name) in VIEWS.iter().zip(["front", "back", "through"]) {
        for (theme, tone) in [(Theme::Paper, "paper"), (Theme::Slate, "slate")] {
            let d = face::draw(&matter, *view, Look { theme, per_mm: 1.0 });
            std::fs::write(out.join(format!("{name}-{tone}.svg")), d.svg)?;
        }
        let (d, scale) = face::fitted(&matter, *view, Theme::Paper, (273.0, 172.0));
        eprintln!("{name}: {:.0} × {:.0} mm at {scale:.3}", d.width, d.height);
        std::fs::write(out.join(format!("{name}-fitted.svg")), d.svg)?;
    }
    let given = diagram::Given {
        robot: &robot,
        currents: vec![None; robot.wires.len()],
        colours: (0..robot.wires.len()).map(|i| matter.colour(loomdeck_model::WireId(i))).collect(),
    };
    let graph = diagram::Graph::of(&given);
    let whole = diagram::draw(&graph, Theme::Paper, "Power diagram");
    eprintln!("diagram: {:.0} × {:.0} mm", whole.width, whole.height);
    std::fs::write(out.join("diagram.svg"), whole.svg)?;
    for (i, sheet) in diagram::cut(&graph, (330.0, 205.0)).iter().enumerate() {
        let d = diagram::draw(sheet, Theme::Paper, "Power diagram");
        eprintln!("sheet {}: {:.0} × {:.0} mm", i + 1, d.width, d.height);
        std::fs::write(out.join(format!("diagram-{}.svg", i + 1)), d.svg)?;
    }
    for face in loomdeck_model::Face::BOTH {
        for (i, page) in loomdeck_draw::template::pages(&matter, face).iter().enumerate() {
            std::fs::write(out.join(format!("template-{}-{i}.svg", face.word())), &page.svg)?;
        }
        std::fs::write(out.join(format!("{}.dxf", face.word())), loomdeck_draw::dxf::write(&matter, face))?;
    }
    Ok(())
}
