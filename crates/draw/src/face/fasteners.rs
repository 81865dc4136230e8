//! Heads, nuts and ends of screws as they show on a face.

use super::board::cross;
use super::view::{Look, Matter, View};
use crate::svg::{Canvas, Ink, Spot};
use loomdeck_model::Face;
use loomdeck_space::{Fastener, FastenerKind};

/// All that show: those of the near face in full; seen through, those of the far face dashed.
pub fn all(canvas: &mut Canvas, matter: &Matter<'_>, view: View, look: Look) {
    if look.bare {
        return;
    }
    canvas.group("fasteners");
    if view == View::SeeThrough {
        for f in on(matter, view.near().other()) {
            canvas.circle(view.spot(f.at), f.diameter.0 / 2.0, look.far());
        }
    }
    for f in on(matter, view.near()) {
        one(canvas, view.spot(f.at), f, look);
    }
    canvas.end();
}

/// Those on a face; the free circle of a mount is drawn with the mount.
fn on<'a>(matter: &Matter<'a>, face: Face) -> impl Iterator<Item = &'a Fastener> {
    let here = matter.geometry.face(face).into_iter().flat_map(|f| &f.fasteners);
    here.filter(|f| f.kind != FastenerKind::Mount)
}

fn one(canvas: &mut Canvas, at: Spot, f: &Fastener, look: Look) {
    let r = f.diameter.0 / 2.0;
    let ink = look.detail().filled(look.palette().board);
    match f.kind {
        FastenerKind::Nut => {
            canvas.circle(at, r, ink);
            canvas.corners(&hexagon(at, 0.86 * r), true, look.detail());
        }
        FastenerKind::ScrewHead => {
            canvas.circle(at, r, ink);
            // A head that lies flush shows the rim of its seat.
            if f.height.0 <= 0.0 {
                canvas.circle(at, 0.7 * r, look.dimension());
            }
            cross(canvas, at, 0.4 * r, look.detail());
        }
        // What stays on the board under a part: a column, or an end that the part slides into.
        FastenerKind::Post => canvas.circle(at, r, look.detail()),
        FastenerKind::Foot => {
            canvas.rectangle(
                Spot::new(at.x - r, at.y - r),
                Spot::new(at.x + r, at.y + r),
                0.0,
                look.dimension(),
            );
        }
        FastenerKind::ScrewEnd => canvas.circle(at, r, Ink::fill(look.palette().ink)),
        FastenerKind::Mount => {}
    }
}

fn hexagon(at: Spot, radius: f64) -> Vec<Spot> {
    let corner = |i: i32| {
        let a = f64::from(i) * std::f64::consts::FRAC_PI_3;
        Spot::new(at.x + radius * a.cos(), at.y + radius * a.sin())
    };
    (0..6).map(corner).collect()
}
