//! Wires in their own colour and width, and looms as one body with the wires fanning out of it.

use super::lane::lane;
use super::view::{Look, Matter, View};
use crate::palette::insulation;
use crate::svg::{Canvas, Ink, Spot, rounded, weight};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Point, WireId};
use loomdeck_space::{Leg, LoomRun};

/// Thinnest wire that is drawn, mm of paper, so that none is lost in print.
const LEAST: f64 = 0.45;

/// All wires and looms that the view shows: first the far face's, then the near one's.
pub fn all(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    for face in [view.near().other(), view.near()] {
        if !view.shows(face) {
            continue;
        }
        let far = face != view.near();
        canvas.group(if far { "wires far" } else { "wires" });
        for run in &matter.geometry.wires {
            wire(canvas, matter, view, look, run.wire, &run.legs, face);
        }
        for loom in &matter.geometry.looms {
            trunk(canvas, matter, view, look, loom, face);
        }
        canvas.end();
    }
}

fn outside(matter: &Matter<'_>, wire: WireId) -> Millimetres {
    let w = &matter.robot.wires[wire.0];
    w.insulation.outside_diameter(w.gauge)
}

fn wire(
    canvas: &mut Canvas,
    matter: &Matter<'_>,
    view: View,
    look: Look,
    id: WireId,
    legs: &[Leg],
    face: Face,
) {
    let width = outside(matter, id).0.max(LEAST * look.per_mm);
    let along = legs.iter().filter_map(|leg| match leg {
        Leg::Along { face: on, points, radii } if *on == face && points.len() > 1 => {
            Some(lane(view, points, radii, 2.5 * width))
        }
        _ => None,
    });
    let lanes: Vec<String> = along.collect();
    if lanes.is_empty() {
        return;
    }
    let colour = matter.colour(id);
    canvas.group_of("wire", &matter.robot.wires[id.0].name);
    for d in lanes {
        if face != view.near() {
            let (dash, gap) = (3.0 * look.per_mm, 1.2 * look.per_mm);
            let thin = Ink::line(insulation(colour.base), (width * 0.5).max(LEAST * look.per_mm));
            canvas.path(&d, thin.dashed(dash, gap));
            continue;
        }
        let edge = width + 2.0 * weight::DIMENSION * look.per_mm;
        canvas.path(&d, Ink::line(look.palette().ink, edge).rounded());
        canvas.path(&d, Ink::line(insulation(colour.base), width).rounded());
        if let Some(stripe) = colour.stripe {
            let (dash, gap) = (2.0 * width, 1.2 * width);
            canvas.path(&d, Ink::line(insulation(stripe), width * 0.4).dashed(dash, gap));
        }
    }
    canvas.end();
}

/// A piece of a loom as drawn: its line and its width.
struct Body {
    path: String,
    width: f64,
}

/// The loom as it is laid; from its stretches where it is not known how its bends lie.
fn bodies(loom: &LoomRun, face: Face, view: View) -> Vec<Body> {
    let laid = loom.bodies.iter().filter(|b| b.face == face && b.wires.len() > 1);
    let bodies: Vec<Body> = laid
        .map(|b| {
            let width = b.diameter.0;
            Body { path: lane(view, &b.points, &b.radii, 1.5 * width), width }
        })
        .collect();
    if bodies.is_empty() { joined(loom, face, view) } else { bodies }
}

/// Stretches that follow one another and are about as thick make one body.
fn joined(loom: &LoomRun, face: Face, view: View) -> Vec<Body> {
    let mut lines: Vec<(Vec<Spot>, f64)> = Vec::new();
    for stretch in loom.trunk.iter().filter(|s| s.face == face && s.wires.len() > 1) {
        let (from, to) = (view.spot(stretch.from), view.spot(stretch.to));
        let width = stretch.diameter.0;
        match lines.last_mut() {
            Some((line, w))
                if line.last().is_some_and(|l| l.distance(from) < 1e-3)
                    && (*w - width).abs() < 0.05 * width =>
            {
                line.push(to);
            }
            _ => lines.push((vec![from, to], width)),
        }
    }
    lines.into_iter().map(|(line, width)| Body { path: rounded(&line, 1.5 * width), width }).collect()
}

fn trunk(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look, loom: &LoomRun, face: Face) {
    let bodies = bodies(loom, face, view);
    if bodies.is_empty() {
        return;
    }
    canvas.group_of("loom", &matter.robot.looms[loom.loom.0].name);
    let p = look.palette();
    let far = face != view.near();
    for Body { path, width } in &bodies {
        if far {
            let (dash, gap) = (3.0 * look.per_mm, 1.2 * look.per_mm);
            canvas.path(path, Ink::line(p.faint, *width * 0.6).dashed(dash, gap));
        } else {
            canvas.path(path, Ink::line(p.ink, width + 2.0 * weight::DIMENSION * look.per_mm).rounded());
        }
    }
    if !far {
        // A second pass, so that the edges of one body do not cut through the next.
        for Body { path, width } in &bodies {
            canvas.path(path, Ink::line(p.sleeve, *width).rounded());
        }
        ties(canvas, view, look, loom, face);
    }
    canvas.end();
}

/// Ties as short bars across the loom, a little wider than it.
fn ties(canvas: &mut Canvas, view: View, look: Look, loom: &LoomRun, face: Face) {
    for tie in loom.ties.iter().filter(|t| t.face == face) {
        let (s, c) = tie.along.0.to_radians().sin_cos();
        let half = tie.bundle.0 / 2.0 + 0.5 * look.per_mm;
        let end =
            |sign: f64| view.spot(Point::new(tie.at.x - sign * half * s, tie.at.y + sign * half * c));
        let width = tie.width.0.clamp(weight::OUTLINE * look.per_mm, 1.2 * look.per_mm);
        canvas.line(end(1.0), end(-1.0), Ink::line(look.palette().ink, width));
    }
}

/// The middle of a wire's longest stretch on the board, for tags and names.
pub fn middle(matter: &Matter<'_>, wire: WireId) -> Option<(Face, Point)> {
    let run = matter.geometry.wires.iter().find(|r| r.wire == wire)?;
    let mut longest: Option<(f64, Face, Point)> = None;
    for leg in &run.legs {
        let Leg::Along { face, points, .. } = leg else { continue };
        for pair in points.windows(2) {
            let long = pair[0].distance(pair[1]);
            if longest.is_none_or(|(l, ..)| long > l + 1e-9) {
                let at = Point::new((pair[0].x + pair[1].x) / 2.0, (pair[0].y + pair[1].y) / 2.0);
                longest = Some((long, *face, at));
            }
        }
    }
    longest.map(|(_, face, at)| (face, at))
}
