//! Parts and plugs as quiet outlines; those of the far face dashed.

use super::view::{Look, Matter, View};
use crate::labels::Block;
use crate::svg::{Canvas, Spot, rounded};
use loomdeck_model::{Part, Place, Placement, Plug, PlugPlace, Point, Robot};

/// Where a part sits, if it is on the board.
pub const fn placement(part: &Part) -> Option<&Placement> {
    match &part.place {
        Place::Board(placement) => Some(placement),
        Place::Zone { .. } => None,
    }
}

/// A part's footprint on the drawing.
pub fn footprint(robot: &Robot, part: &Part, view: View) -> Vec<Spot> {
    let Some(placement) = placement(part) else { return Vec::new() };
    let outline = &robot.types[part.kind.0].outline;
    outline.0.iter().map(|p| view.local(placement, *p)).collect()
}

/// Parts on the far face.
pub fn far(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    let far = view.near().other();
    for part in &matter.robot.parts {
        if placement(part).is_none_or(|p| p.face != far) {
            continue;
        }
        canvas.group_of("part far", &part.name);
        let ink = match view {
            View::Face(_) => look.far(),
            View::SeeThrough => {
                let quiet = look.far();
                crate::svg::Ink { line: quiet.line.map(|(_, w)| (look.palette().quiet, w)), ..quiet }
            }
        };
        canvas.corners(&footprint(matter.robot, part, view), true, ink);
        canvas.end();
    }
}

/// Parts on the near face, with their terminals.
pub fn near(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    for part in &matter.robot.parts {
        let Some(placement) = placement(part).filter(|p| p.face == view.near()) else { continue };
        let kind = &matter.robot.types[part.kind.0];
        canvas.group_of("part", &part.name);
        let fill = look.palette().paper;
        canvas.corners(&footprint(matter.robot, part, view), true, look.outline().filled(fill));
        for hole in &kind.holes {
            canvas.circle(view.local(placement, hole.at), hole.diameter.0 / 2.0, look.detail());
        }
        for terminal in &kind.terminals {
            let side = 0.9 * look.per_mm.min(2.0);
            let b = Block::around(view.local(placement, terminal.at), 2.0 * side, 2.0 * side);
            canvas.rectangle(b.low, b.high, 0.0, look.detail().filled(look.palette().board));
        }
        canvas.end();
    }
}

/// Outline of a plug on the drawing, and the place its name points to.
pub fn plug_shape(matter: &Matter<'_>, plug: &Plug, view: View) -> Option<(Vec<Spot>, Spot)> {
    let family = matter.robot.types.get(plug.family.0)?.plug_family.as_ref()?;
    let (l, w) = (family.length.0, family.width.0);
    match &plug.place {
        PlugPlace::Fixed(placement) => {
            let corner = |x: f64, y: f64| view.local(placement, Point::new(x, y));
            let shape = vec![
                corner(-l / 2.0, -w / 2.0),
                corner(l / 2.0, -w / 2.0),
                corner(l / 2.0, w / 2.0),
                corner(-l / 2.0, w / 2.0),
            ];
            Some((shape, corner(0.0, 0.0)))
        }
        PlugPlace::Tail { at, length, .. } => {
            let board = matter.robot.board.as_ref()?;
            let bounds = Block::over(view.corners(&board.outline.0))?;
            let start = view.spot(*at);
            let out = outward(bounds, start);
            let far = tail_reach(length.0);
            let from = Spot::new(start.x + out.x * far, start.y + out.y * far);
            let to = Spot::new(from.x + out.x * l, from.y + out.y * l);
            let side = Spot::new(-out.y * w / 2.0, out.x * w / 2.0);
            let shape = vec![
                Spot::new(from.x + side.x, from.y + side.y),
                Spot::new(to.x + side.x, to.y + side.y),
                Spot::new(to.x - side.x, to.y - side.y),
                Spot::new(from.x - side.x, from.y - side.y),
            ];
            Some((shape, from.towards(to, 0.5)))
        }
    }
}

/// Tails are drawn shortened, so that the drawing stays the board's.
fn tail_reach(length: f64) -> f64 {
    length.min(8.0)
}

/// The direction out of the board at a place near its edge: that of the nearest side.
pub fn outward(bounds: Block, at: Spot) -> Spot {
    let sides = [
        (at.x - bounds.low.x, Spot::new(-1.0, 0.0)),
        (bounds.high.x - at.x, Spot::new(1.0, 0.0)),
        (at.y - bounds.low.y, Spot::new(0.0, -1.0)),
        (bounds.high.y - at.y, Spot::new(0.0, 1.0)),
    ];
    sides.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)).map_or(Spot::new(1.0, 0.0), |(_, d)| d)
}

/// Plugs, fixed or on tails.
pub fn plugs(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    for plug in &matter.robot.plugs {
        let face = match &plug.place {
            PlugPlace::Fixed(placement) => placement.face,
            PlugPlace::Tail { face, .. } => *face,
        };
        let Some((shape, middle)) = plug_shape(matter, plug, view) else { continue };
        let seen = face == view.near();
        canvas.group_of(if seen { "plug" } else { "plug far" }, &plug.name);
        let ink = if seen { look.outline().filled(look.palette().board) } else { look.far() };
        if let PlugPlace::Tail { at, .. } = &plug.place {
            let start = view.spot(*at);
            let tail = rounded(&[start, shape[0].towards(shape[3], 0.5)], 2.0);
            canvas.path(&tail, if seen { look.outline() } else { look.far() });
        }
        canvas.corners(&shape, true, ink);
        // The line where its halves part.
        let part = (shape[0].towards(shape[1], 0.5), shape[3].towards(shape[2], 0.5));
        canvas.line(part.0, part.1, if seen { look.detail() } else { look.far() });
        if seen {
            canvas.circle(middle, 0.6 * look.per_mm, look.detail());
        }
        canvas.end();
    }
}
