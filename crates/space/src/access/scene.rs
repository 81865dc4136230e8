//! Everything that stands on the two faces, found quickly by place, and what of it stands in a space.

use super::kept::{Asked, Room};
use super::ways::Place;
use super::{Blocker, Solid};
use crate::faces;
use crate::geometry::{BoardHole, FaceView, Fastener, FastenerKind};
use crate::shape::{self, Convex, TOUCH, dot, octagon, pieces};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, Face, Outline, Point, Robot, Subject};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::cell::{OnceCell, RefCell};

type Box2 = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// Where and when a thing is done, for what counts as in its way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// On the bench: the board is out of the body.
    Bench,
    /// With the board in the body and the body's cover off, so that nothing is in front of the front.
    InPlace,
    /// A wire that lies there, with the board in the body.
    Wire,
}

/// One upright prism on a face.
struct Thing {
    subject: Subject,
    base: f64,
    top: f64,
    /// What of it is left when its part is off.
    bare: Option<f64>,
    /// It is only there with the board in the body.
    of_body: bool,
    /// Wires may cross it.
    crossed: bool,
    shape: Shape,
    pieces: OnceCell<Vec<Convex>>,
}

enum Shape {
    Outline(Outline),
    Disc(Point, f64),
}

impl Thing {
    fn is_body(&self) -> bool {
        matches!(self.shape, Shape::Outline(_))
    }

    fn pieces(&self) -> &[Convex] {
        self.pieces.get_or_init(|| match &self.shape {
            Shape::Outline(o) => pieces(o),
            Shape::Disc(at, r) => vec![octagon(*at, *r)],
        })
    }

    fn bounds(&self) -> Rectangle<[f64; 2]> {
        match &self.shape {
            Shape::Outline(o) => {
                let (low, high) = o.bounds();
                Rectangle::from_corners([low.x, low.y], [high.x, high.y])
            }
            Shape::Disc(at, r) => Rectangle::from_corners([at.x - r, at.y - r], [at.x + r, at.y + r]),
        }
    }
}

/// Everything on the two faces of a board.
pub struct Scene<'a> {
    /// The board.
    pub board: &'a Board,
    /// Its openings.
    pub openings: Vec<BoardHole>,
    /// Terminals with a wire, as indices of part and terminal, in order.
    pub in_use: Vec<(usize, usize)>,
    /// Spaces that were asked about since this was last emptied.
    pub asked: RefCell<Vec<Asked>>,
    board_pieces: Vec<Convex>,
    things: [Vec<Thing>; 2],
    boxes: [RTree<Box2>; 2],
}

impl<'a> Scene<'a> {
    /// The scene of a robot's board.
    pub fn new(robot: &Robot, board: &'a Board, views: &[FaceView]) -> Self {
        let things = Face::BOTH.map(|face| {
            let view = views.iter().find(|v| v.face == face);
            view.map_or_else(Vec::new, |v| things(robot, board, v))
        });
        let boxes = [0, 1].map(|f: usize| {
            let boxed = |(i, t): (usize, &Thing)| GeomWithData::new(t.bounds(), i);
            RTree::bulk_load(things[f].iter().enumerate().map(boxed).collect())
        });
        let openings = faces::openings(board, robot.book.unit).collect();
        let in_use = super::terminals::in_use(robot);
        let board_pieces = pieces(&board.outline);
        let asked = RefCell::default();
        Self { board, openings, in_use, asked, board_pieces, things, boxes }
    }

    /// What stands in some spaces on a face, worst first. What belongs to the thing itself does not count,
    /// but for its body where the place says so.
    pub fn in_the_way(&self, place: &Place, solids: &[Solid]) -> Vec<Blocker> {
        let f = place.face as usize;
        let mut met: Vec<(usize, Vec<Convex>)> = Vec::new();
        for solid in solids {
            let (low, high) = solid.outline.bounds();
            let room = Room::new([low.x, low.y, solid.from.0], [high.x, high.y, solid.to.0]);
            self.asked.borrow_mut().push((place.face, room));
            let around = AABB::from_corners([low.x, low.y], [high.x, high.y]);
            let mut shape: Option<Convex> = None;
            for i in self.boxes[f].locate_in_envelope_intersecting(around).map(|b| b.data) {
                let thing = &self.things[f][i];
                let own = place.own == Some(&thing.subject) && !(place.own_body && thing.is_body());
                let absent = match place.setting {
                    Setting::Bench => thing.of_body,
                    Setting::InPlace => false,
                    Setting::Wire => thing.crossed,
                };
                if own || absent || !meets(solid, thing.base, thing.top) {
                    continue;
                }
                let shape = shape.get_or_insert_with(|| Convex::new(solid.outline.0.clone()));
                if thing.pieces().iter().any(|p| p.overlaps(shape)) {
                    match met.iter_mut().find(|(k, _)| *k == i) {
                        Some((_, all)) => join(all, shape),
                        None => met.push((i, vec![shape.clone()])),
                    }
                }
            }
        }
        let mut out: Vec<Blocker> = self.board_in_the_way(solids).into_iter().collect();
        met.sort_unstable_by_key(|(i, _)| *i);
        for (i, spaces) in met {
            let thing = &self.things[f][i];
            let overlap = Millimetres(depth(&spaces, thing.pieces()));
            let stays = thing.bare.is_some_and(|top| solids.iter().any(|s| meets(s, thing.base, top)));
            match out.iter_mut().find(|b| b.by == thing.subject) {
                Some(known) => {
                    known.overlap = known.overlap.max(overlap);
                    known.stays |= stays;
                }
                None => out.push(Blocker { by: thing.subject.clone(), overlap, stays }),
            }
        }
        sort(&mut out);
        out
    }

    /// The board itself, when a space dips into it: how deep.
    fn board_in_the_way(&self, solids: &[Solid]) -> Option<Blocker> {
        let dips = |s: &&Solid| s.from.0 < -TOUCH;
        let over = |s: &&Solid| {
            let shape = Convex::new(s.outline.0.clone());
            self.board_pieces.iter().any(|p| p.overlaps(&shape))
        };
        let deepest = solids.iter().filter(dips).filter(over).map(|s| -s.from.0).fold(0.0, f64::max);
        let overlap = Millimetres(deepest);
        (deepest > 0.0).then_some(Blocker { by: Subject::Board, overlap, stays: true })
    }
}

/// Adds a space to others, but for what lies within another: most spaces of a tool are round about the
/// same axis.
fn join(all: &mut Vec<Convex>, space: &Convex) {
    let within = |a: &Convex, b: &Convex| a.corners.iter().all(|p| b.depth(*p) >= -TOUCH);
    if all.iter().any(|known| within(space, known)) {
        return;
    }
    all.retain(|known| !within(known, space));
    all.push(space.clone());
}

/// Depth of an overlap. Of two convex shapes it is the least over the directions square to their edges;
/// several shapes must be looked at together.
fn depth(spaces: &[Convex], pieces: &[Convex]) -> f64 {
    let ([space], [piece]) = (spaces, pieces) else { return shape::overlap_depth(spaces, pieces) };
    let span = |c: &Convex, n| {
        let along = |p: &Point| dot(n, *p);
        let each = || c.corners.iter().map(along);
        (each().fold(f64::INFINITY, f64::min), each().fold(f64::NEG_INFINITY, f64::max))
    };
    let normals = space.halves.iter().chain(&piece.halves).map(|h| h.n);
    normals
        .map(|n| {
            let ((a0, a1), (b0, b1)) = (span(space, n), span(piece, n));
            (a1 - b0).min(b1 - a0) - TOUCH
        })
        .fold(f64::INFINITY, f64::min)
        .max(0.0)
}

/// Deepest first, then by name.
pub fn sort(blockers: &mut [Blocker]) {
    blockers.sort_by(|a, b| b.overlap.0.total_cmp(&a.overlap.0).then_with(|| a.by.cmp(&b.by)));
}

fn meets(solid: &Solid, base: f64, top: f64) -> bool {
    top - solid.from.0 > TOUCH && solid.to.0 - base > TOUCH
}

fn things(robot: &Robot, board: &Board, view: &FaceView) -> Vec<Thing> {
    let mut out: Vec<Thing> = Vec::new();
    for body in &view.bodies {
        out.push(Thing {
            subject: faces::subject(robot, body.owner),
            base: body.base.0,
            top: body.top.0,
            bare: None,
            of_body: false,
            crossed: false,
            shape: Shape::Outline(body.outline.clone()),
            pieces: OnceCell::new(),
        });
    }
    let disc = |f: &Fastener| Thing {
        subject: f.subject.clone(),
        base: f.base.0,
        top: f.height.0,
        bare: f.bare.map(|b| b.0),
        of_body: f.kind == FastenerKind::Mount,
        crossed: false,
        shape: Shape::Disc(f.at, f.diameter.0 / 2.0),
        pieces: OnceCell::new(),
    };
    let stands = |f: &&Fastener| f.height > f.base;
    out.extend(view.fasteners.iter().filter(stands).map(disc));
    out.extend(view.fixtures.iter().filter(stands).map(disc));
    let depth = faces::depth(board, view.face).0;
    for k in board.keep_outs.iter().filter(|k| k.face.is_none_or(|f| f == view.face)) {
        out.push(Thing {
            subject: Subject::KeepOut(k.name.clone()),
            base: k.above.0,
            top: depth.max(k.above.0),
            bare: None,
            of_body: true,
            crossed: k.wires_may_cross,
            shape: Shape::Outline(k.outline.clone()),
            pieces: OnceCell::new(),
        });
    }
    out
}
