//! The board drawn at 1:1: front, back, and both seen through.
//!
//! One unit of the drawing is one millimetre of the board, x to the right and y down, so that the
//! drawing's coordinates are the board's own up to their sign: a point of the front lies at
//! (x, −y), one of the back at (−x, −y), as you see it after turning the board over about its
//! upright axis.

mod board;
mod fasteners;
mod frame;
mod lane;
mod names;
mod parts;
mod reach;
mod view;
mod wires;

pub use board::{cross, hatch, opening, slot};
pub use lane::lane;
pub use names::{forms, paint_name, spot_of, tag};
pub use parts::{footprint, outward, placement, plug_shape};
pub use reach::{used_way, way_uses};
pub use view::{Look, Matter, Reach, View};

use crate::labels::Block;
use crate::palette::Theme;
use crate::svg::{Canvas, Spot};
use loomdeck_model::Face;

/// A finished drawing with its size.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// The SVG file.
    pub svg: String,
    /// Width, mm of the board.
    pub width: f64,
    /// Height, mm of the board.
    pub height: f64,
    /// Boxes of all labels and tags that were placed.
    pub labels: Vec<Block>,
}

/// Draws a face, or the board seen through from its front.
pub fn draw(matter: &Matter<'_>, view: View, look: Look) -> Drawing {
    let Some(board) = &matter.robot.board else { return nothing(look) };
    let outline = view.corners(&board.outline.0);
    let Some(bounds) = Block::over(outline.iter().copied()) else { return nothing(look) };

    let names = names::place(matter, view, look, bounds);
    let extent = frame::extent(matter, look, bounds, &names);
    let title = frame::title(matter, view);
    let mut canvas = Canvas::new(extent.low, extent.high, &title);
    frame::ground(&mut canvas, look, extent);
    board::sheet(&mut canvas, matter, view, look);
    parts::far(&mut canvas, matter, view, look);
    board::openings(&mut canvas, matter, view, look);
    fasteners::all(&mut canvas, matter, view, look);
    parts::near(&mut canvas, matter, view, look);
    wires::all(&mut canvas, matter, view, look);
    parts::plugs(&mut canvas, matter, view, look);
    reach::all(&mut canvas, matter, view, look);
    names.paint(&mut canvas, look);
    frame::marks(&mut canvas, matter, view, look, bounds, extent);
    let labels = names.blocks();
    Drawing { width: canvas.width(), height: canvas.height(), svg: canvas.finish(), labels }
}

/// Draws so that letters come out right when the drawing is printed within this room, mm of paper.
/// Gives the drawing and the scale it is printed at: 1 or less.
pub fn fitted(matter: &Matter<'_>, view: View, theme: Theme, room: (f64, f64)) -> (Drawing, f64) {
    // Smaller print wants larger letters on the drawing, which want more room in turn: the largest
    // scale at which both agree wins.
    let mut scale: f64 = 1.0;
    loop {
        let drawing = draw(matter, view, Look { per_mm: 1.0 / scale, ..Look::full_size(theme) });
        let fits = (room.0 / drawing.width).min(room.1 / drawing.height).min(1.0);
        if fits >= scale * 0.98 || scale < 0.1 {
            return (drawing, fits);
        }
        // Never past what fits by more than a step, so that a better scale is not jumped over.
        scale *= (fits / scale).clamp(0.8, 0.96);
    }
}

/// Draws a picture without names and marks, to be printed within this room.
pub fn bare(matter: &Matter<'_>, view: View, theme: Theme, room: (f64, f64)) -> (Drawing, f64) {
    let first = draw(matter, view, Look { bare: true, ..Look::full_size(theme) });
    let scale = (room.0 / first.width).min(room.1 / first.height).min(1.0);
    let drawing = draw(matter, view, Look { per_mm: 1.0 / scale, bare: true, ..Look::full_size(theme) });
    let fits = (room.0 / drawing.width).min(room.1 / drawing.height).min(1.0);
    (drawing, fits)
}

fn nothing(look: Look) -> Drawing {
    let size = Spot::new(120.0, 30.0);
    let mut canvas = Canvas::new(Spot::new(0.0, 0.0), size, "No board yet");
    frame::ground(&mut canvas, look, Block::new(Spot::new(0.0, 0.0), size));
    let set = look.type_quiet().centred();
    canvas.text(Spot::new(60.0, 16.0), "No board yet: add [board] to the robot's files.", set);
    Drawing { width: size.x, height: size.y, svg: canvas.finish(), labels: Vec::new() }
}

/// The views of a board that a builder wants.
pub const VIEWS: [View; 3] = [View::Face(Face::Front), View::Face(Face::Back), View::SeeThrough];

/// A part sits on this face.
pub fn is_on(part: &loomdeck_model::Part, face: Face) -> bool {
    parts::placement(part).is_some_and(|p| p.face == face)
}
