//! The loaded board on its way through the opening of the body: its shadow within the rim.

use super::frame::Sheet;
use super::says::Labels;
use super::{Sketch, finished};
use crate::face::{Look, Matter, View};
use crate::labels::Block;
use crate::palette::Theme;
use crate::svg::{Canvas, Ink, Spot, weight};
use loomdeck_model::{Face, Point, Severity, Subject};
use loomdeck_space::takeout::silhouette::{self, Piece, Whose};
use loomdeck_space::takeout::{Obstacle, Way};

/// Draws the opening with what travels through it, as seen by someone who waits outside. `None` without an
/// opening.
pub fn through(matter: &Matter<'_>, way: &Way, theme: Theme, room: (f64, f64)) -> Option<Sketch> {
    let board = matter.robot.board.as_ref()?;
    let opening = board.body_opening.as_ref()?;
    let spot = |p: Point| Spot::new(p.x, -p.y);
    let rim: Vec<Spot> = opening.outline.0.iter().map(|p| spot(*p)).collect();
    let shadow = silhouette::shadow(matter.robot, board, &matter.geometry.faces, way.leading);
    let pieces: Vec<(&Piece, Vec<Spot>)> = shadow
        .pieces
        .iter()
        .map(|p| (p, p.corners.iter().map(|c| spot(way.fit.pose.place(*c))).collect()))
        .collect();
    let all = rim.iter().chain(pieces.iter().flat_map(|(_, shape)| shape)).copied();
    let sheet = frame(Block::over(all)?, theme, room);
    let mut canvas = sheet.canvas(&format!("{}: {}", matter.robot.name, way.leading.words()));
    draw_rim(&mut canvas, &sheet, &rim);
    draw_pieces(&mut canvas, &sheet, &pieces, &way.in_the_way);
    let labels = names(&sheet, &pieces, &way.in_the_way);
    labels.paint(&mut canvas, &sheet);
    Some(finished(canvas, &sheet, labels.blocks(), Vec::new()))
}

fn frame(drawn: Block, theme: Theme, room: (f64, f64)) -> Sheet {
    let margin = 4.0;
    let wide = (drawn.width() / (room.0 - 2.0 * margin)).max(drawn.height() / (room.1 - 2.0 * margin));
    let per_mm = wide.max(1.0);
    let c = drawn.centre();
    let high = drawn.height() + 2.0 * margin * per_mm;
    let look = Look { per_mm, bare: true, ..Look::full_size(theme) };
    let frame = Block::around(c, room.0 * per_mm, high);
    Sheet { view: View::Face(Face::Front), look, board: drawn, frame }
}

/// The rim with short strokes on the side of the body.
fn draw_rim(canvas: &mut Canvas, sheet: &Sheet, rim: &[Spot]) {
    let u = sheet.look.per_mm;
    let p = sheet.look.palette();
    canvas.group("rim");
    canvas.corners(rim, true, Ink::line(p.ink, weight::OUTLINE * u).filled(p.board));
    for i in 0..rim.len() {
        let (a, b) = (rim[i], rim[(i + 1) % rim.len()]);
        let long = a.distance(b);
        if long < 1e-9 {
            continue;
        }
        // Counter-clockwise seen with y up is clockwise on paper: the body lies to the left of each side.
        let (dx, dy) = ((b.x - a.x) / long, (b.y - a.y) / long);
        let count = (long / (2.4 * u)).floor().max(1.0) as usize;
        for k in 0..count {
            let at = a.towards(b, (k as f64 + 0.5) / count as f64);
            let out = Spot::new(dy - 0.6 * dx, -dx - 0.6 * dy);
            let tip = Spot::new(at.x - 1.3 * u * out.x, at.y - 1.3 * u * out.y);
            canvas.line(at, tip, Ink::line(p.ink, weight::DIMENSION * u));
        }
    }
    canvas.end();
}

fn is_in_the_way(piece: &Piece, obstacles: &[Obstacle]) -> bool {
    obstacles.iter().any(|o| o.subject == piece.subject)
}

fn draw_pieces(
    canvas: &mut Canvas,
    sheet: &Sheet,
    pieces: &[(&Piece, Vec<Spot>)],
    obstacles: &[Obstacle],
) {
    let u = sheet.look.per_mm;
    let p = sheet.look.palette();
    canvas.group("shadow");
    for (piece, shape) in pieces {
        canvas.group_of("piece", piece.subject.name());
        let ink = match piece.whose {
            Whose::Sheet => sheet.new_ink().filled(sheet.look.theme.tint()),
            _ => Ink::line(p.accent, weight::DETAIL * u).rounded().filled(sheet.look.theme.tint()),
        };
        canvas.corners(shape, true, ink);
        canvas.end();
    }
    for (_, shape) in pieces.iter().filter(|(piece, _)| is_in_the_way(piece, obstacles)) {
        let bad = sheet.look.theme.severity(Severity::Fix);
        crate::face::hatch(canvas, shape, 1.2 * u, Ink::line(bad, weight::DIMENSION * u));
        canvas.corners(shape, true, Ink::line(bad, weight::OUTLINE * u).rounded());
    }
    canvas.end();
}

/// What is in the way, by name; else only the board.
fn names(sheet: &Sheet, pieces: &[(&Piece, Vec<Spot>)], obstacles: &[Obstacle]) -> Labels {
    let mut points: Vec<(String, Spot)> = Vec::new();
    for (piece, shape) in pieces.iter().filter(|(piece, _)| is_in_the_way(piece, obstacles)) {
        let name = match &piece.subject {
            Subject::Board => "sheet".to_owned(),
            other => other.name().to_owned(),
        };
        if points.iter().all(|(n, _)| *n != name) {
            points.extend(Block::over(shape.iter().copied()).map(|b| (name, b.centre())));
        }
    }
    Labels::at(sheet, &points, &[])
}
