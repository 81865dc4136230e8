//! Small pictures of the board for the order of work and the drill plan: what is there in quiet outline,
//! what comes in the accent colour, wires in their own.
//!
//! All pictures of one board have the same frame, so that the board stays in its place from step to step.
//! They are made to be read at about 80 × 60 mm in print.

mod frame;
mod paint;
mod says;
mod stand;
mod through;
mod tour;

pub use stand::laid;
pub use through::through;
pub use tour::tour;

use crate::face::{Matter, View};
use crate::labels::Block;
use crate::palette::Theme;
use crate::svg::Canvas;
use frame::Sheet;
use loomdeck_make::Step;
use loomdeck_make::steps::Group;
use loomdeck_model::{Face, Subject, WireId};
use loomdeck_space::access::ToolUse;

/// How much of the added things comes in this step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Comes {
    /// The things themselves.
    #[default]
    Whole,
    /// Only what holds them and stays on the board: standoffs, inserts, cleats. The thing itself is shown
    /// as an empty outline.
    Feet,
}

/// What one small picture shows.
#[derive(Clone, Debug, Default)]
pub struct Scene<'a> {
    /// The face that is up; `None`: the front is shown.
    pub face: Option<Face>,
    /// The board was turned over to get here.
    pub turned: bool,
    /// Parts, plugs and openings already there.
    pub there: &'a [Subject],
    /// Parts, plugs, openings and mounts that are added or worked on.
    pub added: &'a [Subject],
    /// Whether they come whole.
    pub comes: Comes,
    /// Wires already there.
    pub wires_there: &'a [WireId],
    /// Wires that are added.
    pub wires: &'a [WireId],
    /// Holes that are made or used, indices into the making's holes.
    pub holes: &'a [usize],
    /// Tools with the space they sweep.
    pub reach: Vec<&'a ToolUse>,
}

impl<'a> Scene<'a> {
    /// The scene of a step of the order of work.
    pub fn of(matter: &Matter<'a>, step: &'a Step) -> Self {
        let feet = matches!(step.group, Group::Set | Group::Stays);
        Self {
            face: step.face,
            turned: step.turn_over,
            there: &step.there,
            added: &step.adds,
            comes: if feet { Comes::Feet } else { Comes::Whole },
            wires_there: &step.wires_there,
            wires: &step.wires,
            holes: &step.holes,
            reach: says::reach(matter, step),
        }
    }
}

/// A finished small picture.
#[derive(Clone, Debug)]
pub struct Sketch {
    /// The SVG file, in millimetres of the board.
    pub svg: String,
    /// Width on paper, mm.
    pub width: f64,
    /// Height on paper, mm.
    pub height: f64,
    /// Boxes of its names and numbers, which never overlap.
    pub labels: Vec<Block>,
    /// What its numbers stand for, from 1; empty when the names themselves found room.
    pub keys: Vec<String>,
}

/// Draws a scene within this room, mm of paper; `None` without a board, and where nothing of what comes has
/// a place on it.
pub fn sketch(matter: &Matter<'_>, scene: &Scene<'_>, theme: Theme, room: (f64, f64)) -> Option<Sketch> {
    let view = View::Face(scene.face.unwrap_or(Face::Front));
    let sheet = Sheet::of(matter, view, theme, room)?;
    if !paint::has_news(matter, scene, &sheet) {
        return None;
    }
    let labels = says::place(matter, scene, &sheet);
    let mut canvas = sheet.canvas(&format!("{}: {}", matter.robot.name, view.words()));
    paint::board(&mut canvas, matter, &sheet);
    paint::there(&mut canvas, matter, scene, &sheet);
    paint::reach(&mut canvas, scene, &sheet);
    paint::added(&mut canvas, matter, scene, &sheet);
    paint::wires(&mut canvas, matter, scene, &sheet);
    paint::fasteners(&mut canvas, matter, scene, &sheet);
    labels.paint(&mut canvas, &sheet);
    sheet.strip(&mut canvas, scene.turned, "up");
    Some(finished(canvas, &sheet, labels.blocks(), labels.keys))
}

fn finished(canvas: Canvas, sheet: &Sheet, labels: Vec<Block>, keys: Vec<String>) -> Sketch {
    let u = sheet.look.per_mm;
    let (width, height) = (canvas.width() / u, canvas.height() / u);
    Sketch { svg: canvas.finish(), width, height, labels, keys }
}
