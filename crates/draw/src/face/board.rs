//! The sheet itself: its outline, regions to stay out of, openings, holes and mounts.

use super::view::{Look, Matter, View};
use crate::labels::Block;
use crate::svg::{Canvas, Ink, Outliner, Spot, weight};
use loomdeck_make::HoleShape;
use loomdeck_model::{Pass, PassShape, Point};

/// The sheet and the regions to stay out of.
pub fn sheet(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    let Some(board) = &matter.robot.board else { return };
    canvas.group("board");
    canvas.corners(&view.corners(&board.outline.0), true, look.outline().filled(look.palette().board));
    canvas.end();
    for keep in board.keep_outs.iter().filter(|k| k.face.is_none_or(|f| view.shows(f))) {
        canvas.group_of("keep-out", &keep.name);
        let corners = view.corners(&keep.outline.0);
        canvas.corners(&corners, true, look.far());
        hatch(
            canvas,
            &corners,
            3.0 * look.per_mm,
            Ink::line(look.palette().faint, look.per_mm * weight::DIMENSION),
        );
        canvas.end();
    }
}

/// Slanted lines within a closed outline.
pub fn hatch(canvas: &mut Canvas, corners: &[Spot], pitch: f64, ink: Ink<'_>) {
    let Some(b) = Block::over(corners.iter().copied()) else { return };
    let (from, to) = (b.low.x - b.high.y, b.high.x - b.low.y);
    // The lines x − y = c; a bounded number of them, however large the region.
    let pitch = pitch.max((to - from) / 400.0).max(1e-6);
    let mut c = (from / pitch).ceil() * pitch;
    while c < to {
        let mut cuts: Vec<Spot> = (0..corners.len())
            .filter_map(|i| {
                let (p, q) = (corners[i], corners[(i + 1) % corners.len()]);
                let (dp, dq) = (p.x - p.y - c, q.x - q.y - c);
                ((dp < 0.0) != (dq < 0.0)).then(|| p.towards(q, dp / (dp - dq)))
            })
            .collect();
        cuts.sort_by(|a, b| a.x.total_cmp(&b.x));
        for pair in cuts.chunks_exact(2) {
            canvas.line(pair[0], pair[1], ink);
        }
        c += pitch;
    }
}

/// Outline of a rounded slot on the drawing, shifted.
pub fn slot(view: View, at: Point, length: f64, width: f64, turn_degrees: f64, shift: Spot) -> String {
    let (s, c) = turn_degrees.to_radians().sin_cos();
    let r = width / 2.0;
    let half = (length / 2.0 - r).max(0.0);
    let place = |x: f64, y: f64| {
        let p = view.spot(Point::new(at.x + c * x - s * y, at.y + s * x + c * y));
        Spot::new(p.x + shift.x, p.y + shift.y)
    };
    // Counter-clockwise on the front is counter-clockwise on paper; the back's mirror turns it.
    let sweep = matches!(view.near(), loomdeck_model::Face::Back);
    let mut d = Outliner::default();
    d.start(place(-half, -r));
    d.to(place(half, -r));
    d.arc(r, sweep, place(half, r));
    d.to(place(-half, r));
    d.arc(r, sweep, place(-half, -r));
    d.close();
    d.finish()
}

/// Outline of a rectangle with rounded corners on the drawing.
pub fn rectangle(
    view: View,
    at: Point,
    (length, width): (f64, f64),
    turn_degrees: f64,
    corner: f64,
) -> String {
    let (s, c) = turn_degrees.to_radians().sin_cos();
    let place = |x: f64, y: f64| view.spot(Point::new(at.x + c * x - s * y, at.y + s * x + c * y));
    let (x, y) = (length / 2.0, width / 2.0);
    let r = corner.clamp(0.0, x.min(y));
    let sweep = matches!(view.near(), loomdeck_model::Face::Back);
    let mut d = Outliner::default();
    d.start(place(r - x, -y));
    // Each side, then the corner at its end.
    for (side, end) in [
        ((x - r, -y), (x, r - y)),
        ((x, y - r), (x - r, y)),
        ((r - x, y), (-x, y - r)),
        ((-x, r - y), (r - x, -y)),
    ] {
        d.to(place(side.0, side.1));
        if r > 0.0 {
            d.arc(r, sweep, place(end.0, end.1));
        }
    }
    d.close();
    d.finish()
}

/// A pass-through; one that only tools go through is crossed out, as a void is on a drawing.
pub fn opening(canvas: &mut Canvas, view: View, pass: &Pass, ink: Ink<'_>) {
    let centre = view.spot(pass.at);
    let (half_x, half_y, turn) = match pass.shape {
        PassShape::Round(d) => {
            canvas.circle(centre, d.0 / 2.0, ink);
            let half = d.0 / 2.0 * std::f64::consts::FRAC_1_SQRT_2;
            (half, half, 0.0)
        }
        PassShape::Slot { length, width, turn } => {
            canvas.path(&slot(view, pass.at, length.0, width.0, turn.0, Spot::default()), ink);
            (length.0 / 2.0 - width.0 * 0.15, width.0 * 0.35, turn.0)
        }
        PassShape::Rect { length, width, turn, corner } => {
            canvas.path(&rectangle(view, pass.at, (length.0, width.0), turn.0, corner.0), ink);
            let inset = corner.0 * (1.0 - std::f64::consts::FRAC_1_SQRT_2);
            (length.0 / 2.0 - inset, width.0 / 2.0 - inset, turn.0)
        }
    };
    if pass.tools_only {
        let (s, c) = turn.to_radians().sin_cos();
        let place =
            |x: f64, y: f64| view.spot(Point::new(pass.at.x + c * x - s * y, pass.at.y + s * x + c * y));
        let thin = Ink { line: ink.line.map(|(colour, w)| (colour, w * 0.5)), fill: None, ..ink };
        canvas.line(place(-half_x, -half_y), place(half_x, half_y), thin);
        canvas.line(place(-half_x, half_y), place(half_x, -half_y), thin);
    }
}

/// Openings, holes and mounts.
pub fn openings(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    let Some(board) = &matter.robot.board else { return };
    let paper = look.palette().paper;
    for pass in &board.passes {
        canvas.group_of("pass", &pass.name);
        opening(canvas, view, pass, look.outline().filled(paper));
        canvas.end();
    }
    for mount in &board.mounts {
        canvas.group_of("mount", &mount.name);
        let centre = view.spot(mount.at);
        canvas.circle(centre, mount.clear.0 / 2.0, look.far());
        canvas.circle(centre, mount.thread.major().0 / 2.0, look.outline().filled(paper));
        cross(canvas, centre, mount.thread.major().0 * 0.8, look.dimension());
        canvas.end();
    }
    canvas.group("holes");
    let openings = board.passes.iter().map(|p| p.at).chain(board.mounts.iter().map(|m| m.at));
    let drawn: Vec<Point> = openings.collect();
    for hole in &matter.making.holes {
        if drawn.iter().any(|p| p.distance(hole.at) < 1e-6) {
            continue;
        }
        let centre = view.spot(hole.at);
        match hole.shape {
            HoleShape::Round(d) => canvas.circle(centre, d.0 / 2.0, look.detail().filled(paper)),
            HoleShape::Slot { length, width, turn } | HoleShape::Rect { length, width, turn, .. } => {
                canvas.path(
                    &slot(view, hole.at, length.0, width.0, turn.0, Spot::default()),
                    look.detail().filled(paper),
                );
            }
        }
        cross(canvas, centre, hole.diameter().0 * 0.8, look.dimension());
    }
    canvas.end();
}

/// A small upright cross.
pub fn cross(canvas: &mut Canvas, at: Spot, reach: f64, ink: Ink<'_>) {
    canvas.line(Spot::new(at.x - reach, at.y), Spot::new(at.x + reach, at.y), ink);
    canvas.line(Spot::new(at.x, at.y - reach), Spot::new(at.x, at.y + reach), ink);
}
