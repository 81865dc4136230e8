//! What is drawn: the board, what is there, what comes, its wires, its fasteners, the reach of its tools.

use super::frame::{Sheet, is_near};
use super::{Comes, Scene};
use crate::face::{self, Matter, hatch, lane, outward, placement};
use crate::palette::insulation;
use crate::svg::{Canvas, Ink, Spot, weight};
use loomdeck_model::{Board, Face, PlugPlace, Subject, WireId};
use loomdeck_space::{FastenerKind, Leg};

/// Smallest mark of a screw or hole, and thinnest wire, mm of paper.
const LEAST_MARK: f64 = 0.55;
const LEAST_WIRE: f64 = 0.6;
/// Width of the pale band around a new wire, both sides together, mm of paper.
const BAND: f64 = 1.6;

/// The outline of a thing on a sheet, and the face it is on.
pub fn shape_of(matter: &Matter<'_>, sheet: &Sheet, subject: &Subject) -> Option<(Vec<Spot>, Face)> {
    let robot = matter.robot;
    match subject {
        Subject::Part(name) => {
            let part = robot.parts.iter().find(|p| p.name == *name)?;
            let face = placement(part)?.face;
            Some((face::footprint(robot, part, sheet.view), face))
        }
        Subject::Plug(name) => {
            let plug = robot.plugs.iter().find(|p| p.name == *name)?;
            match &plug.place {
                PlugPlace::Fixed(place) => {
                    face::plug_shape(matter, plug, sheet.view).map(|(shape, _)| (shape, place.face))
                }
                PlugPlace::Tail { face, at, .. } => Some((hanging(sheet, sheet.view.spot(*at)), *face)),
            }
        }
        _ => None,
    }
}

/// A plug on a tail as a small sign beyond the edge: its true size would need more paper than the board.
fn hanging(sheet: &Sheet, start: Spot) -> Vec<Spot> {
    let u = sheet.look.per_mm;
    let out = outward(sheet.board, start);
    let place = |along: f64, across: f64| {
        Spot::new(
            start.x + u * (out.x * along - out.y * across),
            start.y + u * (out.y * along + out.x * across),
        )
    };
    vec![place(1.6, -1.2), place(5.4, -1.2), place(5.4, 1.2), place(1.6, 1.2)]
}

/// The line from the edge of the board to a plug on a tail.
fn tail(matter: &Matter<'_>, sheet: &Sheet, subject: &Subject) -> Option<(Spot, Spot)> {
    let Subject::Plug(name) = subject else { return None };
    let plug = matter.robot.plugs.iter().find(|p| p.name == *name)?;
    let PlugPlace::Tail { at, .. } = &plug.place else { return None };
    let start = sheet.view.spot(*at);
    let sign = hanging(sheet, start);
    Some((start, sign[0].towards(sign[3], 0.5)))
}

/// The sheet with its openings and mounts.
pub fn board(canvas: &mut Canvas, matter: &Matter<'_>, sheet: &Sheet) {
    let Some(board) = &matter.robot.board else { return };
    let p = sheet.look.palette();
    canvas.group("board");
    canvas.corners(&sheet.view.corners(&board.outline.0), true, sheet.old_ink().filled(p.board));
    for pass in &board.passes {
        let faint = Ink::line(p.quiet, weight::DIMENSION * sheet.look.per_mm).filled(p.paper);
        face::opening(canvas, sheet.view, pass, faint);
    }
    for mount in &board.mounts {
        let r = (mount.thread.major().0 / 2.0).max(LEAST_MARK * sheet.look.per_mm);
        let faint = Ink::line(p.quiet, weight::DIMENSION * sheet.look.per_mm);
        canvas.circle(sheet.view.spot(mount.at), r, faint);
    }
    canvas.end();
}

/// Parts, plugs and wires that are there already.
pub fn there(canvas: &mut Canvas, matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) {
    let p = sheet.look.palette();
    canvas.group("there");
    for near in [false, true] {
        for subject in scene.there.iter().filter(|s| !scene.added.contains(s)) {
            let Some((shape, face)) = shape_of(matter, sheet, subject) else { continue };
            if is_near(sheet.view, face) != near {
                continue;
            }
            let ink = if near { sheet.old_ink().filled(p.paper) } else { sheet.look.far() };
            if let Some((a, b)) = tail(matter, sheet, subject) {
                canvas.line(a, b, if near { sheet.old_ink() } else { sheet.look.far() });
            }
            canvas.corners(&shape, true, ink);
        }
    }
    // Many wires in one path: they are only told apart where they are new.
    let quiet: Vec<String> = scene
        .wires_there
        .iter()
        .filter(|w| !scene.wires.contains(w))
        .flat_map(|w| stretches(matter, sheet, *w, true))
        .map(|lane| lane.path)
        .collect();
    if !quiet.is_empty() {
        canvas.path(&quiet.concat(), Ink::line(p.faint, weight::DETAIL * sheet.look.per_mm).rounded());
    }
    canvas.end();
}

/// A wire along a face.
struct Lane {
    path: String,
    ends: [Spot; 2],
    width: f64,
}

/// Stretches of a wire along the near or the far face.
fn stretches(matter: &Matter<'_>, sheet: &Sheet, wire: WireId, near: bool) -> Vec<Lane> {
    let Some(run) = matter.geometry.wires.iter().find(|r| r.wire == wire) else { return Vec::new() };
    let w = &matter.robot.wires[wire.0];
    let width = w.insulation.outside_diameter(w.gauge).0;
    let view = sheet.view;
    let along = run.legs.iter().filter_map(|leg| match leg {
        Leg::Along { face, points, radii } if is_near(view, *face) == near && points.len() > 1 => {
            let ends = [view.spot(points[0]), view.spot(points[points.len() - 1])];
            Some(Lane { path: lane(view, points, radii, 2.5 * width), ends, width })
        }
        _ => None,
    });
    along.collect()
}

/// The space of the tools, lightly hatched on the face that is up.
pub fn reach(canvas: &mut Canvas, scene: &Scene<'_>, sheet: &Sheet) {
    let u = sheet.look.per_mm;
    let accent = sheet.look.palette().accent;
    let mut near = scene.reach.iter().filter(|t| is_near(sheet.view, t.face)).peekable();
    if near.peek().is_none() {
        return;
    }
    canvas.group("reach");
    // A spanner may swing beyond the picture.
    let room = sheet.room();
    canvas.clip(room.low, room.high);
    let mut drawn: Vec<Vec<Spot>> = Vec::new();
    for tool in near {
        for solid in &tool.solids {
            let corners = sheet.view.corners(&solid.outline.0);
            // A tool's solids often stand over one another on the same footprint.
            if drawn.contains(&corners) {
                continue;
            }
            let line = Ink::line(accent, weight::DIMENSION * u);
            hatch(canvas, &corners, 1.6 * u, line);
            canvas.corners(&corners, true, line.dashed(0.9 * u, 0.6 * u));
            drawn.push(corners);
        }
    }
    canvas.end();
    canvas.end();
}

/// Something that comes has a place on the sheet.
pub fn has_news(matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) -> bool {
    let placed = |s: &Subject| {
        matches!(s, Subject::Board | Subject::Pass(_) | Subject::BoardMount(_))
            || shape_of(matter, sheet, s).is_some()
    };
    let runs = |w: &WireId| {
        [true, false].into_iter().any(|near| !stretches(matter, sheet, *w, near).is_empty())
    };
    scene.added.iter().any(placed) || scene.wires.iter().any(runs) || !scene.holes.is_empty()
}

/// What comes in this step.
pub fn added(canvas: &mut Canvas, matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) {
    let u = sheet.look.per_mm;
    let tint = sheet.look.theme.tint();
    for subject in scene.added {
        canvas.group_of("added", subject.name());
        if let Some((shape, face)) = shape_of(matter, sheet, subject) {
            let near = is_near(sheet.view, face);
            let thin = Ink::line(sheet.look.palette().accent, weight::DETAIL * u).rounded();
            let ink = match (near, scene.comes) {
                (true, Comes::Whole) => sheet.new_ink().filled(tint),
                (true, Comes::Feet) => thin.dashed(0.6 * u, 0.9 * u),
                (false, _) => thin.dashed(1.8 * u, 1.2 * u),
            };
            if let Some((a, b)) = tail(matter, sheet, subject) {
                canvas.line(a, b, ink);
            }
            canvas.corners(&shape, true, ink);
        } else if let Some(board) = &matter.robot.board {
            open(canvas, board, subject, sheet);
        }
        canvas.end();
    }
}

/// Openings and mounts that are worked on.
fn open(canvas: &mut Canvas, board: &Board, subject: &Subject, sheet: &Sheet) {
    let ink = sheet.new_ink().filled(sheet.look.palette().paper);
    match subject {
        Subject::Board => canvas.corners(&sheet.view.corners(&board.outline.0), true, sheet.new_ink()),
        Subject::Pass(name) => {
            if let Some(pass) = board.passes.iter().find(|p| p.name == *name) {
                face::opening(canvas, sheet.view, pass, ink);
            }
        }
        Subject::BoardMount(name) => {
            if let Some(mount) = board.mounts.iter().find(|m| m.name == *name) {
                let r = (mount.thread.major().0 / 2.0).max(2.0 * LEAST_MARK * sheet.look.per_mm);
                canvas.circle(sheet.view.spot(mount.at), r, ink);
            }
        }
        _ => {}
    }
}

/// Wires that are added, in their own colours on a pale band, without which a white one would be lost among
/// thin lines; on the far face dashed.
pub fn wires(canvas: &mut Canvas, matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) {
    let u = sheet.look.per_mm;
    canvas.group("wires");
    for lane in scene.wires.iter().flat_map(|w| stretches(matter, sheet, *w, true)) {
        let band = lane.width.max(LEAST_WIRE * u) + BAND * u;
        canvas.path(&lane.path, Ink::line(sheet.look.theme.tint(), band).rounded());
    }
    for near in [false, true] {
        for wire in scene.wires {
            for Lane { path: d, width, .. } in stretches(matter, sheet, *wire, near) {
                let width = width.max(LEAST_WIRE * u);
                let colour = matter.colour(*wire);
                let base = insulation(colour.base);
                if near {
                    let edge = width + 2.0 * weight::DIMENSION * u;
                    canvas.path(&d, Ink::line(sheet.look.palette().ink, edge).rounded());
                    canvas.path(&d, Ink::line(base, width).rounded());
                } else {
                    canvas.path(&d, Ink::line(base, width * 0.6).dashed(1.8 * u, 0.9 * u));
                }
                if let (true, Some(stripe)) = (near, colour.stripe) {
                    let ink = Ink::line(insulation(stripe), width * 0.4);
                    canvas.path(&d, ink.dashed(2.0 * width, 1.2 * width));
                }
            }
        }
    }
    canvas.end();
}

/// Where a wire begins and ends on the face that is up.
pub fn wire_ends(matter: &Matter<'_>, sheet: &Sheet, wire: WireId) -> Vec<Spot> {
    stretches(matter, sheet, wire, true).into_iter().flat_map(|lane| lane.ends).collect()
}

/// Screws and holes of what comes: solid on the face of the thing, rings where they come out on the other.
pub fn fasteners(canvas: &mut Canvas, matter: &Matter<'_>, scene: &Scene<'_>, sheet: &Sheet) {
    let u = sheet.look.per_mm;
    let p = sheet.look.palette();
    let solid = Ink::fill(p.accent);
    canvas.group("fasteners");
    for (at, diameter) in scene.added.iter().flat_map(|s| screws(matter, sheet, s)) {
        canvas.circle(at, (diameter / 2.0).max(LEAST_MARK * u), solid);
    }
    let ring = Ink::line(p.accent, weight::DETAIL * u).filled(p.paper);
    let here = matter.geometry.face(sheet.view.near());
    for fastener in here.into_iter().flat_map(|f| &f.fasteners) {
        let comes_through = matches!(
            fastener.kind,
            FastenerKind::Nut | FastenerKind::ScrewHead | FastenerKind::ScrewEnd
        );
        if !comes_through || !scene.added.contains(&fastener.subject) {
            continue;
        }
        let r = (fastener.diameter.0 / 2.0).max(1.6 * LEAST_MARK * u);
        canvas.circle(sheet.view.spot(fastener.at), r, ring);
        canvas.circle(sheet.view.spot(fastener.at), 0.4 * r, solid);
    }
    if scene.added.is_empty() && scene.wires.is_empty() {
        for hole in scene.holes.iter().filter_map(|h| matter.making.holes.get(*h)) {
            let r = (hole.diameter().0 / 2.0).max(LEAST_MARK * u);
            canvas.circle(sheet.view.spot(hole.at), r, solid);
        }
    }
    canvas.end();
}

/// Where a part on the face that is up is screwed down, with the diameter of its holes.
fn screws(matter: &Matter<'_>, sheet: &Sheet, subject: &Subject) -> Vec<(Spot, f64)> {
    let Subject::Part(name) = subject else { return Vec::new() };
    let Some(part) = matter.robot.parts.iter().find(|part| part.name == *name) else {
        return Vec::new();
    };
    let Some(place) = placement(part).filter(|at| is_near(sheet.view, at.face)) else {
        return Vec::new();
    };
    let holes = &matter.robot.types[part.kind.0].holes;
    holes.iter().map(|h| (sheet.view.local(place, h.at), h.diameter.0)).collect()
}
