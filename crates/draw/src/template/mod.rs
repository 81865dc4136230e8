//! Drilling templates at full size, cut into sheets of paper.
//!
//! Each page is one drawing of the size of its sheet, so that a millimetre of the file is a
//! millimetre of paper. The template of the back is mirrored as you see the back, and is laid on
//! two holes that were drilled from the front. Printers at home are off by up to 1 % (common
//! experience), so every sheet carries a long calibration line along both edges, and a first page
//! carries a square to measure.

mod operations;
mod page;
mod tiles;

pub use operations::operations;
pub use page::{calibration_page, tile_page};
pub use tiles::{OVERLAP, SheetSize, Tile, Tiling, margin, tiling};

use crate::face::{Matter, View};
use crate::labels::{Block, Form, Placed, Placer, Wish};
use crate::palette::Theme;
use crate::svg::{Outliner, Spot};
use crate::text;
use loomdeck_make::{Hole, HoleShape, Work};
use loomdeck_model::{Face, LengthUnit, Point};

/// A page of a template: an SVG of exactly the size of its sheet.
#[derive(Clone, Debug)]
pub struct Page {
    /// The drawing.
    pub svg: String,
    /// Size of the sheet.
    pub sheet: SheetSize,
    /// What it is, for the list of contents: `front template, sheet A1`.
    pub title: String,
}

/// All pages for one face: the calibration page first.
pub fn pages(matter: &Matter<'_>, face: Face) -> Vec<Page> {
    let Some(template) = Template::new(matter, face) else { return Vec::new() };
    let mut pages = vec![calibration_page(&template)];
    pages.extend(template.tiling.tiles.iter().map(|tile| tile_page(&template, tile)));
    pages
}

/// A template before it is cut into sheets.
pub struct Template<'a> {
    /// What is drawn.
    pub matter: Matter<'a>,
    /// The face it is laid on.
    pub face: Face,
    /// The view of that face.
    pub view: View,
    /// Outline of the board on the drawing.
    pub outline: Vec<Spot>,
    /// Its sheets.
    pub tiling: Tiling,
    /// Labels of the holes: index into the holes, and place.
    pub labels: Vec<(usize, Placed, Form)>,
}

impl<'a> Template<'a> {
    /// Lays out the template of a face; `None` without a board.
    pub fn new(matter: &Matter<'a>, face: Face) -> Option<Self> {
        let board = matter.robot.board.as_ref()?;
        let view = View::Face(face);
        let outline = view.corners(&board.outline.0);
        let bounds = Block::over(outline.iter().copied())?;
        let tiling = tiling(bounds.grown(2.0), matter.robot.book.paper);
        let labels = labels(matter, face, bounds);
        Some(Self { matter: *matter, face, view, outline, tiling, labels })
    }

    /// Unit that lengths are written in.
    pub const fn unit(&self) -> LengthUnit {
        self.matter.robot.book.unit
    }

    /// Colours: paper only, since a template is printed.
    pub const fn theme(&self) -> Theme {
        Theme::Paper
    }
}

/// Size of type on a template: capitals of 3 mm.
pub fn size() -> f64 {
    text::size_for_capitals(3.0)
}

/// Something is done at a hole from this face, beyond looking at it.
pub fn worked_from(hole: &Hole, face: Face) -> bool {
    hole.side == face
        || hole.work.iter().any(|w| match w {
            Work::Countersink { face: on, .. }
            | Work::Pocket { face: on, .. }
            | Work::SetInsert { face: on }
            | Work::SetNut { face: on } => *on == face,
            _ => false,
        })
}

/// How far the rings of a registration hole reach beyond its rim, mm.
const REGISTRATION: f64 = 2.0;

/// Half the length of the cross at a hole's centre, mm.
pub fn mark_reach(hole: &Hole) -> f64 {
    (hole.diameter().0 / 2.0 + 1.5).clamp(2.5, 8.0)
}

/// It shows on this face: it goes through, or is drilled from here.
pub fn shows_on(hole: &Hole, face: Face) -> bool {
    hole.depth.is_none() || hole.side == face
}

/// What is written at a hole: its number and, where it is drilled from this face, the bit.
pub fn label_of(number: usize, hole: &Hole, face: Face) -> String {
    let bit = (hole.side == face).then(|| hole.bit()).flatten();
    match bit {
        Some(bit) => format!("{number} · {bit}"),
        None => number.to_string(),
    }
}

/// Outline of a slot or rectangle as it is cut, shifted on the drawing; empty for a round hole.
fn outline_of(view: View, hole: &Hole, shift: Spot) -> String {
    let (length, width, turn, corner) = match hole.shape {
        HoleShape::Round(_) => return String::new(),
        HoleShape::Slot { length, width, turn } => (length, width, turn, width / 2.0),
        HoleShape::Rect { length, width, turn, corner } => (length, width, turn, corner),
    };
    let (s, c) = turn.0.to_radians().sin_cos();
    let place = |x: f64, y: f64| {
        let p = view.spot(Point::new(hole.at.x + c * x - s * y, hole.at.y + s * x + c * y));
        Spot::new(p.x + shift.x, p.y + shift.y)
    };
    let (x, y) = (length.0 / 2.0, width.0 / 2.0);
    let r = corner.0.clamp(0.0, x.min(y));
    // y of the drawing runs down; the back is mirrored once more.
    let sweep = view.near() == Face::Back;
    let mut d = Outliner::default();
    d.start(place(r - x, -y));
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

fn labels(matter: &Matter<'_>, face: Face, bounds: Block) -> Vec<(usize, Placed, Form)> {
    let view = View::Face(face);
    let holes = &matter.making.holes;
    let mut placer = Placer::new(bounds.grown(-0.5), 0.8);
    for hole in holes.iter().filter(|h| shows_on(h, face)) {
        let across = hole.length().0.max(hole.diameter().0);
        let rings = if hole.registration { REGISTRATION } else { 0.0 };
        // The cross reaches beyond the rim and stays free as well.
        let free = 2.0 * (across / 2.0 + rings).max(mark_reach(hole)) + 1.4;
        placer.keep_off(Block::around(view.spot(hole.at), free, free));
    }
    let mut placed = Vec::new();
    for (i, hole) in holes.iter().enumerate().filter(|(_, h)| shows_on(h, face)) {
        let forms = [label_of(i + 1, hole, face), (i + 1).to_string()].map(|line| Form {
            width: text::width(&line, size()) + 1.0,
            height: size(),
            upright: false,
            lines: vec![line],
        });
        let wish = Wish { target: view.spot(hole.at), home: None, forms: forms.to_vec() };
        let reach = [hole.diameter().0 / 2.0 + 9.0, 30.0, 70.0];
        // In the worst crowd a hole has its cross and circle only, and the hole table tells the rest.
        if let Some(p) = placer.near(i, &wish, &reach) {
            let form = wish.forms[p.form].clone();
            placed.push((i, p, form));
        }
    }
    placed
}
