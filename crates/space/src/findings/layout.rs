//! What the findings look at: every body with its pieces, found quickly by place; and moves that
//! were tried.

use super::mm;
use crate::faces;
use crate::geometry::*;
use crate::shape::{self, Convex, Half, dot, hull, pieces, pockets};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{
    Board, Edit, EditValue, Face, Outline, Place, PlugPlace, Point, Remedy, Robot, Subject,
};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::collections::BTreeMap;

/// A body with what is asked of it.
pub struct Solid<'a> {
    /// The body.
    pub body: &'a Body,
    /// Place in its face's list.
    pub index: usize,
    /// Its name.
    pub subject: Subject,
    /// Its face.
    pub face: Face,
    /// Its outline in convex pieces.
    pub pieces: Vec<Convex>,
}

impl Solid<'_> {
    /// Name for sentences.
    pub fn name(&self) -> &str {
        self.subject.name()
    }
    /// Middle of its box.
    pub fn middle(&self) -> Point {
        let (low, high) = self.body.outline.bounds();
        Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0)
    }
    /// How far a point is outside (positive) or inside (negative) its outline.
    pub fn outside(&self, p: Point) -> f64 {
        let d = shape::edge_distance(&self.body.outline, p);
        if shape::contains(&self.body.outline, p) { -d } else { d }
    }
    /// The two meet in height.
    pub fn meets_in_height(&self, other: &Self) -> bool {
        let low = self.body.base.max(other.body.base);
        self.body.top.min(other.body.top) > low
    }
}

type Box2 = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// A robot's board as the findings look at it.
pub struct Layout<'a> {
    /// The robot.
    pub robot: &'a Robot,
    /// Its board.
    pub board: &'a Board,
    /// What was found about space.
    pub geometry: &'a Geometry,
    /// Bodies of both faces.
    pub solids: [Vec<Solid<'a>>; 2],
    boxes: [RTree<Box2>; 2],
    fasteners: [RTree<Box2>; 2],
    holes: RTree<Box2>,
    by_subject: BTreeMap<Subject, (usize, usize)>,
    pockets: Vec<Convex>,
    sides: Vec<Half>,
}

impl<'a> Layout<'a> {
    /// The layout of a robot with a board.
    pub fn new(robot: &'a Robot, geometry: &'a Geometry) -> Option<Self> {
        let board = robot.board.as_ref()?;
        let [front, back] = geometry.faces.as_slice() else { return None };
        let solids = [front, back].map(|view| {
            let solid = |(index, body): (usize, &'a Body)| Solid {
                body,
                index,
                subject: faces::subject(robot, body.owner),
                face: view.face,
                pieces: pieces(&body.outline),
            };
            view.bodies.iter().enumerate().map(solid).collect::<Vec<_>>()
        });
        let boxes = [0, 1].map(|f| {
            let all: &Vec<Solid> = &solids[f];
            RTree::bulk_load(all.iter().enumerate().map(|(i, s)| box_of(&s.body.outline, i)).collect())
        });
        let fasteners = [front, back].map(|view| {
            let disc = |(i, f): (usize, &Fastener)| box_around(f.at, f.at, f.diameter.0 / 2.0, i);
            RTree::bulk_load(view.fasteners.iter().enumerate().map(disc).collect())
        });
        let hole = |(i, h): (usize, &BoardHole)| box_around(h.from, h.to, h.diameter.0 / 2.0, i);
        let holes = RTree::bulk_load(geometry.holes.iter().enumerate().map(hole).collect());
        let by_subject = solids
            .iter()
            .enumerate()
            .flat_map(|(f, all)| all.iter().map(move |s| (s.subject.clone(), (f, s.index))))
            .collect();
        let sides = Convex::new(hull(&board.outline.0)).halves;
        let pockets = pockets(&board.outline);
        Some(Self {
            robot,
            board,
            geometry,
            solids,
            boxes,
            fasteners,
            holes,
            by_subject,
            pockets,
            sides,
        })
    }

    /// Bodies of a face whose box comes within `margin` of an outline's, in order.
    pub fn near(&self, face: Face, outline: &Outline, margin: f64) -> Vec<&Solid<'a>> {
        let f = face as usize;
        located(&self.boxes[f], outline, margin).into_iter().map(|i| &self.solids[f][i]).collect()
    }

    /// Bodies near a circle.
    pub fn near_circle(&self, face: Face, at: Point, radius: f64) -> Vec<&Solid<'a>> {
        self.near(face, &Outline(vec![at]), radius)
    }

    /// The sides of the board's hull.
    pub fn sides(&self) -> &[Half] {
        &self.sides
    }

    /// What the board leaves out of its hull.
    pub fn pockets(&self) -> &[Convex] {
        &self.pockets
    }

    /// Every body, front first.
    pub fn all(&self) -> impl Iterator<Item = &Solid<'a>> {
        self.solids.iter().flatten()
    }

    /// How far an outline reaches over the board's edge; zero when it lies on the board.
    pub fn over_edge(&self, outline: &Outline) -> f64 {
        let board = &self.board.outline;
        let outside = outline.0.iter().filter(|p| !shape::contains(board, **p));
        let far = outside.map(|p| shape::edge_distance(board, *p)).fold(0.0, f64::max);
        if self.pockets.is_empty() {
            return far;
        }
        far.max(shape::overlap_depth(&pieces(outline), &self.pockets))
    }

    /// The shift that brings an outline `margin` within the board's hull.
    pub fn pull_in(&self, outline: &Outline, margin: f64) -> Point {
        let mut by = Point::default();
        for _ in 0..6 {
            let worst = self
                .sides
                .iter()
                .map(|h| {
                    let reach = outline.0.iter().map(|p| dot(h.n, *p)).fold(f64::NEG_INFINITY, f64::max);
                    (reach + dot(h.n, by) - h.c + margin, h.n)
                })
                .max_by(|a, b| a.0.total_cmp(&b.0));
            match worst {
                Some((over, n)) if over > 1e-9 => by = shape::along(by, n, -over),
                _ => break,
            }
        }
        by
    }

    /// A body moved by this much lies on the board, clear of other bodies, mounts, keep-outs,
    /// openings and of heads and nuts that stand higher than its standoff.
    pub fn free_after(&self, solid: &Solid, by: Point) -> bool {
        let outline = Outline(solid.body.outline.0.iter().map(|p| shape::along(*p, by, 1.0)).collect());
        self.free(solid.face, &Body { outline, ..solid.body.clone() })
    }

    /// The same of a body standing anywhere on a face.
    pub fn free(&self, face: Face, body: &Body) -> bool {
        let (outline, owner) = (&body.outline, body.owner);
        let shape = pieces(outline);
        let gap = self.robot.limits.gap.0;
        if matches!(owner, Owner::Part(_))
            && (self.over_edge(outline) > 1e-6
                || self.near_edge(outline) < self.robot.limits.edge.0 - 1e-6)
        {
            return false;
        }
        let meets = |o: &Body| body.top.min(o.top) > body.base.max(o.base);
        let clear_of_bodies = self
            .near(face, outline, gap)
            .iter()
            .filter(|o| o.body.owner != owner)
            .all(|o| !meets(o.body) || shape::distance(&shape, &o.pieces) >= gap - 1e-6);
        let outside = |p: Point| {
            let d = shape::edge_distance(outline, p);
            if shape::contains(outline, p) { -d } else { d }
        };
        let subject = faces::subject(self.robot, owner);
        clear_of_bodies
            && self.fasteners_near(face, outline).into_iter().all(|f| {
                let under = f.kind != FastenerKind::Mount && f.height <= body.base;
                under || f.subject == subject || outside(f.at) >= f.diameter.0 / 2.0 - 1e-6
            })
            && self
                .holes_near(outline, 0.0)
                .into_iter()
                .map(|i| &self.geometry.holes[i])
                .filter(|h| matches!(h.subject, Subject::Pass(_)))
                .all(|h| [h.from, h.to].into_iter().all(|p| outside(p) >= h.diameter.0 / 2.0 - 1e-6))
            && self.board.keep_outs.iter().filter(|k| k.face.is_none_or(|f| f == face)).all(|k| {
                (k.above > Millimetres::ZERO && body.top <= k.above)
                    || !shape::overlap(&shape, &pieces(&k.outline))
            })
    }

    /// Heads, nuts and mounts of a face whose box meets an outline's.
    pub fn fasteners_near(&self, face: Face, outline: &Outline) -> Vec<&Fastener> {
        let all = &self.geometry.faces[face as usize].fasteners;
        located(&self.fasteners[face as usize], outline, 0.0).into_iter().map(|i| &all[i]).collect()
    }

    /// Holes whose box comes within `margin` of an outline's: their place in the list.
    pub fn holes_near(&self, outline: &Outline, margin: f64) -> Vec<usize> {
        located(&self.holes, outline, margin)
    }

    /// Holes of the openings, in the board's order.
    pub fn passes(&self) -> impl Iterator<Item = &BoardHole> {
        self.geometry.holes.iter().filter(|h| matches!(h.subject, Subject::Pass(_)))
    }

    /// Least distance of an outline from the board's edge.
    pub fn near_edge(&self, outline: &Outline) -> f64 {
        shape::border_distance(outline, &self.board.outline)
    }

    /// A remedy that moves a body, when the place is free.
    pub fn move_remedy(&self, solid: &Solid, direction: Point, distance: f64) -> Option<Remedy> {
        // Up to the next tenth of a millimetre, so that rounding never leaves a rest.
        let distance = (distance * 10.0 - 1e-6).ceil().max(1.0) / 10.0 + 0.1;
        let by = Point::new(direction.x * distance, direction.y * distance);
        if !self.free_after(solid, by) {
            return None;
        }
        let old = self.placed_at(solid.body.owner)?;
        let at = Point::new(rounded(old.x + by.x), rounded(old.y + by.y));
        let way = way_word(by, solid.face);
        let text = format!(
            "Move {} by {} {way}, to x {}, y {}.",
            solid.name(),
            mm(distance),
            mm(at.x),
            mm(at.y)
        );
        let edit =
            Edit::Set { on: solid.subject.clone(), key: "at".into(), value: EditValue::Point(at) };
        Some(Remedy::edit(text, vec![edit]))
    }

    /// The first of some moves that works, the shortest first.
    pub fn best_move(&self, mut moves: Vec<(&Solid, Point, f64)>) -> Option<Remedy> {
        moves.sort_by(|a, b| a.2.total_cmp(&b.2));
        moves.into_iter().find_map(|(solid, d, t)| self.move_remedy(solid, d, t))
    }

    /// Ways to bring a body clear of a shape by at least `gap`.
    pub fn moves_off<'s>(
        &self,
        solid: &'s Solid<'a>,
        from: &[Convex],
        gap: f64,
    ) -> Vec<(&'s Solid<'a>, Point, f64)> {
        let grown: Vec<Convex> = from.iter().map(|p| p.inflate(gap)).collect();
        shape::ways_out(&solid.pieces, &grown).into_iter().map(|(d, t)| (solid, d, t)).collect()
    }

    /// Where a body's own frame sits.
    pub fn placed_at(&self, owner: Owner) -> Option<Point> {
        match owner {
            Owner::Part(p) => match self.robot.parts[p.0].place {
                Place::Board(at) => Some(at.at),
                Place::Zone { .. } => None,
            },
            Owner::Plug(p) => match self.robot.plugs[p.0].place {
                PlugPlace::Fixed(at) => Some(at.at),
                PlugPlace::Tail { .. } => None,
            },
        }
    }

    /// The body of a subject.
    pub fn solid(&self, subject: &Subject) -> Option<&Solid<'a>> {
        self.by_subject.get(subject).map(|(f, i)| &self.solids[*f][*i])
    }
}

/// Four directions, for moves where nothing better is known.
pub const SIDES: [Point; 4] =
    [Point::new(1.0, 0.0), Point::new(0.0, 1.0), Point::new(-1.0, 0.0), Point::new(0.0, -1.0)];

/// To a hundredth of a millimetre.
fn rounded(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

/// A direction in words, as seen looking at the face.
pub fn way_word(by: Point, face: Face) -> String {
    let x = if face == Face::Front { by.x } else { -by.x };
    let (right, up) = (x.abs() > 0.1 * by.y.abs(), by.y.abs() > 0.1 * x.abs());
    let side = if x > 0.0 { "right" } else { "left" };
    let height = if by.y > 0.0 { "up" } else { "down" };
    match (right, up) {
        (true, true) => format!("{height} and to the {side}"),
        (true, false) => format!("to the {side}"),
        _ => height.to_owned(),
    }
}

fn box_of(outline: &Outline, i: usize) -> Box2 {
    let (low, high) = outline.bounds();
    GeomWithData::new(Rectangle::from_aabb(AABB::from_corners([low.x, low.y], [high.x, high.y])), i)
}

fn box_around(a: Point, b: Point, r: f64, i: usize) -> Box2 {
    let low = [a.x.min(b.x) - r, a.y.min(b.y) - r];
    let high = [a.x.max(b.x) + r, a.y.max(b.y) + r];
    GeomWithData::new(Rectangle::from_aabb(AABB::from_corners(low, high)), i)
}

/// Boxes that come within `margin` of an outline's, in order.
fn located(boxes: &RTree<Box2>, outline: &Outline, margin: f64) -> Vec<usize> {
    let (low, high) = outline.bounds();
    let around =
        AABB::from_corners([low.x - margin, low.y - margin], [high.x + margin, high.y + margin]);
    let mut found: Vec<usize> = boxes.locate_in_envelope_intersecting(around).map(|b| b.data).collect();
    found.sort_unstable();
    found
}
