//! Draws the lanes of a robot, or of one made by rule, as plain SVG, one face a file.
//!
//! `lanes FOLDER OUT` or `lanes rows PARTS WIRES OUT`.
#![allow(clippy::print_stderr, reason = "a tool for developers")]

#[path = "../src/samples.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod samples;

use loomdeck_model::{Folder, Point, Robot};
use loomdeck_space::route::path::{Piece, pieces};
use loomdeck_space::{Geometry, Leg};
use std::fmt::Write;
use std::path::Path;

fn main() -> std::io::Result<()> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let (folder, out) = match words.as_slice() {
        ["rows", parts, wires, out] => {
            let (p, w) = (parts.parse().unwrap_or(40), wires.parse().unwrap_or(90));
            (Folder::single(samples::rows(p, w)), *out)
        }
        [folder, out] => {
            (Folder::load(Path::new(folder)).map_err(|p| std::io::Error::other(format!("{p:?}")))?, *out)
        }
        _ => return Ok(()),
    };
    let (robot, problems) = loomdeck_model::read(&folder);
    let Some(robot) = robot else {
        eprintln!("{problems:?}");
        return Ok(());
    };
    let geometry = loomdeck_space::study(&robot);
    for (i, face) in ["front", "back"].into_iter().enumerate() {
        std::fs::write(format!("{out}-{face}.svg"), draw(&robot, &geometry, i))?;
    }
    Ok(())
}

fn draw(robot: &Robot, geometry: &Geometry, face: usize) -> String {
    let mut out = String::new();
    let Some(board) = &robot.board else { return out };
    let (low, high) = board.outline.bounds();
    let (w, h) = (high.x - low.x + 20.0, high.y - low.y + 20.0);
    let _ = writeln!(
        out,
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='{} {} {w} {h}' width='{}' height='{}'>\
         <rect x='{}' y='{}' width='{w}' height='{h}' fill='#f6f1e6'/><g transform='scale(1 -1)' fill='none' stroke='#233'>",
        low.x - 10.0,
        -high.y - 10.0,
        w * 3.0,
        h * 3.0,
        low.x - 10.0,
        -high.y - 10.0,
    );
    let polygon = |p: &[Point]| p.iter().map(|p| format!("{:.2},{:.2} ", p.x, p.y)).collect::<String>();
    let _ = writeln!(out, "<polygon points='{}' stroke-width='0.6'/>", polygon(&board.outline.0));
    let view = &geometry.faces[face];
    for body in &view.bodies {
        let _ = writeln!(
            out,
            "<polygon points='{}' stroke-width='0.3' fill='#fff'/>",
            polygon(&body.outline.0)
        );
    }
    for f in &view.fasteners {
        let _ = writeln!(
            out,
            "<circle cx='{}' cy='{}' r='{}' stroke-width='0.3'/>",
            f.at.x,
            f.at.y,
            f.diameter.0 / 2.0
        );
    }
    for hole in geometry.holes.iter().filter(|h| matches!(h.subject, loomdeck_model::Subject::Pass(_))) {
        let _ = writeln!(
            out,
            "<path d='M{} {}L{} {}' stroke='#ddd' stroke-linecap='round' stroke-width='{}'/>",
            hole.from.x,
            hole.from.y,
            hole.to.x + 0.01,
            hole.to.y,
            hole.diameter.0
        );
    }
    for run in &geometry.wires {
        let wire = &robot.wires[run.wire.0];
        let width = wire.insulation.outside_diameter(wire.gauge).0;
        let colour = ["#c33", "#36c", "#393", "#a50", "#639", "#088", "#333", "#b39"][run.wire.0 % 8];
        for leg in &run.legs {
            let Leg::Along { face: on, points, radii } = leg else { continue };
            if *on as usize == face {
                let d = path(points, radii);
                let _ = writeln!(
                    out,
                    "<path d='{d}' stroke='#222' stroke-width='{}'/><path d='{d}' stroke='{colour}' stroke-width='{}'><title>{}</title></path>",
                    width + 0.3,
                    width,
                    wire.name
                );
            }
        }
    }
    for body in geometry.looms.iter().flat_map(|l| &l.bodies) {
        if body.face as usize == face && body.wires.len() > 1 {
            let d = path(&body.points, &body.radii);
            let _ = writeln!(
                out,
                "<path d='{d}' stroke='#222' stroke-width='{}'/><path d='{d}' stroke='#9a8' stroke-width='{}'/>",
                body.diameter.0 + 0.3,
                body.diameter.0
            );
        }
    }
    for tie in geometry.looms.iter().flat_map(|l| &l.ties).filter(|t| t.face as usize == face) {
        let (s, c) = tie.along.0.to_radians().sin_cos();
        let r = tie.bundle.0 / 2.0 + 0.8;
        let _ = writeln!(
            out,
            "<path d='M{} {}L{} {}' stroke='#000' stroke-width='{}'/>",
            tie.at.x - s * r,
            tie.at.y + c * r,
            tie.at.x + s * r,
            tie.at.y - c * r,
            tie.width.0
        );
    }
    out.push_str("</g></svg>\n");
    out
}

fn path(points: &[Point], radii: &[loomdeck_model::units::Millimetres]) -> String {
    let mut d = String::new();
    for (i, piece) in pieces(points, radii).iter().enumerate() {
        let (from, to) = match piece {
            Piece::Line { from, to } | Piece::Arc { from, to, .. } => (from, to),
        };
        if i == 0 {
            let _ = write!(d, "M{:.3} {:.3}", from.x, from.y);
        }
        match piece {
            Piece::Line { .. } => {
                let _ = write!(d, "L{:.3} {:.3}", to.x, to.y);
            }
            Piece::Arc { radius, turn, .. } => {
                let _ = write!(
                    d,
                    "A{radius:.3} {radius:.3} 0 0 {} {:.3} {:.3}",
                    u8::from(*turn > 0.0),
                    to.x,
                    to.y
                );
            }
        }
    }
    d
}
