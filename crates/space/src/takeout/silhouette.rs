//! The shadow of the loaded board on the plane of the opening.
//!
//! What travels straight through a flat opening sweeps its shadow in the direction of travel; the
//! board passes when the shadow does. Parts, heads and plugs' board halves stand on the sheet and are
//! taken as solid down to it.

use super::Leading;
use crate::faces::{self, subject};
use crate::geometry::{Body, FaceView, FastenerKind, Owner};
use crate::shape::{along, direction};
use loomdeck_model::{Board, Face, Outline, PlugPlace, Point, Robot, Subject};

/// The shadow: pieces that hang together.
#[derive(Clone, Debug)]
pub struct Shadow {
    /// Its pieces, the sheet first.
    pub pieces: Vec<Piece>,
    /// The same shadow as polygons without what lies hidden in it.
    pub outlines: Vec<Vec<Point>>,
}

/// The shadow of one thing.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Whose.
    pub subject: Subject,
    /// What kind of thing.
    pub whose: Whose,
    /// Corners, counter-clockwise, in the plane of the opening.
    pub corners: Vec<Point>,
}

/// What kind of thing throws a shadow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Whose {
    Sheet,
    Part,
    Plug,
    Head,
}

/// Share of a mated plug's length that stays on the board when the body half is off: the halves reach into
/// one another by about a third (common practice, no source).
const BOARD_HALF: f64 = 2.0 / 3.0;

/// The shadow in a direction of travel, seen by someone who waits outside the opening.
pub fn shadow(robot: &Robot, board: &Board, faces: &[FaceView], leading: Leading) -> Shadow {
    let solids = solids(robot, faces);
    let pieces = if leading.flat() {
        flat(board, &solids, leading == Leading::Back)
    } else {
        upright(board, &solids, leading)
    };
    let outlines = if leading.flat() {
        pieces.iter().map(|p| p.corners.clone()).collect()
    } else {
        vec![profile(&pieces)]
    };
    Shadow { pieces, outlines }
}

/// The outline of upright rectangles that all span the sheet's thickness, counter-clockwise: up their right
/// sides, down their left. Where there is none in between, the sheet's own is taken.
fn profile(pieces: &[Piece]) -> Vec<Point> {
    let mut levels: Vec<f64> = pieces.iter().flat_map(|p| [p.corners[0].y, p.corners[2].y]).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    let sheet = (pieces[0].corners[0].x, pieces[0].corners[2].x);
    let steps: Vec<(f64, f64, f64, f64)> = levels
        .windows(2)
        .map(|l| {
            let middle = (l[0] + l[1]) / 2.0;
            let here = pieces.iter().filter(|p| p.corners[0].y < middle && middle < p.corners[2].y);
            let (left, right) = here
                .fold(sheet, |(left, right), p| (left.min(p.corners[0].x), right.max(p.corners[2].x)));
            (l[0], l[1], left, right)
        })
        .collect();
    let up = steps.iter().flat_map(|s| [Point::new(s.3, s.0), Point::new(s.3, s.1)]);
    let down = steps.iter().rev().flat_map(|s| [Point::new(s.2, s.1), Point::new(s.2, s.0)]);
    let mut out: Vec<Point> = Vec::new();
    for p in up.chain(down) {
        // Of three on one upright or level line the middle one says nothing.
        while let [.., a, b] = out.as_slice() {
            if (a.x == b.x && b.x == p.x) || (a.y == b.y && b.y == p.y) {
                out.pop();
            } else {
                break;
            }
        }
        out.push(p);
    }
    out
}

/// A thing on the board: outline and how far off which face.
struct Thing {
    subject: Subject,
    whose: Whose,
    outline: Vec<Point>,
    face: Face,
    top: f64,
}

fn solids(robot: &Robot, faces: &[FaceView]) -> Vec<Thing> {
    let mut out = Vec::new();
    for view in faces {
        for body in &view.bodies {
            let (whose, outline) = match body.owner {
                Owner::Part(_) => (Whose::Part, body.outline.0.clone()),
                Owner::Plug(_) => (Whose::Plug, board_half(robot, body)),
            };
            let subject = subject(robot, body.owner);
            out.push(Thing { subject, whose, outline, face: view.face, top: body.top.0 });
        }
        // The bolts of the mounts are out.
        for f in view.fasteners.iter().filter(|f| f.kind != FastenerKind::Mount && f.height.0 > 0.0) {
            let r = f.diameter.0 / 2.0 / (std::f64::consts::PI / 12.0).cos();
            let outline =
                (0..12).map(|k| along(f.at, direction(15.0 + 30.0 * f64::from(k)), r)).collect();
            let subject = f.subject.clone();
            out.push(Thing { subject, whose: Whose::Head, outline, face: view.face, top: f.height.0 });
        }
    }
    out
}

/// The part of a fixed plug that stays on the board.
fn board_half(robot: &Robot, body: &Body) -> Vec<Point> {
    let Owner::Plug(id) = body.owner else { return body.outline.0.clone() };
    let plug = &robot.plugs[id.0];
    let (PlugPlace::Fixed(at), Some(family)) = (plug.place, robot.family_of(id)) else {
        return body.outline.0.clone();
    };
    let (l, w) = (family.length.0, family.width.0);
    let half = Outline::rectangle(Point::new(-l / 2.0, -w / 2.0), l * BOARD_HALF, w);
    at.outline_to_board(&half).0
}

/// Face first: what hangs over the sheet's edge shows beside it.
fn flat(board: &Board, things: &[Thing], mirror: bool) -> Vec<Piece> {
    let seen = |p: &[Point]| {
        let flipped = p.iter().map(|q| Point::new(if mirror { -q.x } else { q.x }, q.y)).collect();
        Outline(flipped).counter_clockwise().0
    };
    let sheet = Piece { subject: Subject::Board, whose: Whose::Sheet, corners: seen(&board.outline.0) };
    let hanging = things.iter().filter(|t| !within(&board.outline, &t.outline));
    let hanging =
        hanging.map(|t| Piece { subject: t.subject.clone(), whose: t.whose, corners: seen(&t.outline) });
    [sheet].into_iter().chain(hanging).collect()
}

/// A polygon lies in an outline altogether.
fn within(outline: &Outline, corners: &[Point]) -> bool {
    corners.iter().all(|p| crate::shape::contains(outline, *p))
        && !super::fit::cross(&outline.0, corners)
}

/// Edge first: along the edge by height, seen as a profile of rectangles. The front is to the right of
/// someone who looks at the upper edge coming, with the left edge up.
fn upright(board: &Board, things: &[Thing], leading: Leading) -> Vec<Piece> {
    let sideways = matches!(leading, Leading::LeftEdge | Leading::RightEdge);
    let mirror = matches!(leading, Leading::RightEdge | Leading::LowerEdge);
    let axis = |p: &Point| if sideways { p.y } else { p.x };
    let t = board.thickness.0;
    let piece = |subject: Subject, whose, outline: &[Point], low: f64, high: f64| {
        let (a, b) = outline
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(axis(p)), b.max(axis(p))));
        let (low, high) = if mirror { (-high, -low) } else { (low, high) };
        let corners =
            vec![Point::new(low, a), Point::new(high, a), Point::new(high, b), Point::new(low, b)];
        Piece { subject, whose, corners }
    };
    let mut out = vec![piece(Subject::Board, Whose::Sheet, &board.outline.0, -t, 0.0)];
    for thing in things {
        // Down to the sheet, and through it: the shadow hangs together.
        let (low, high) = match thing.face {
            Face::Front => (-t, thing.top),
            Face::Back => (-t - thing.top, 0.0),
        };
        let new = piece(thing.subject.clone(), thing.whose, &thing.outline, low, high);
        out.push(new);
    }
    outermost(out)
}

/// Leaves out rectangles that lie within others.
fn outermost(pieces: Vec<Piece>) -> Vec<Piece> {
    let inside = |a: &Piece, b: &Piece| {
        a.corners[0].x >= b.corners[0].x
            && a.corners[0].y >= b.corners[0].y
            && a.corners[2].x <= b.corners[2].x
            && a.corners[2].y <= b.corners[2].y
    };
    let hidden: Vec<bool> = (0..pieces.len())
        .map(|i| {
            (0..pieces.len()).any(|j| {
                let equal = inside(&pieces[j], &pieces[i]);
                j != i && inside(&pieces[i], &pieces[j]) && (!equal || j < i)
            })
        })
        .collect();
    let mut keep = hidden.iter();
    pieces.into_iter().filter(|_| !keep.next().copied().unwrap_or(false)).collect()
}

/// Every body of a plug that is fixed, for the order of unplugging.
pub fn plugs_on(faces: &[FaceView]) -> impl Iterator<Item = (Face, &Body)> {
    faces.iter().flat_map(|v| {
        let plugs = v.bodies.iter().filter(|b| matches!(b.owner, Owner::Plug(_)));
        plugs.map(move |b| (v.face, b))
    })
}

/// Direction in which the body half of a fixed plug comes off.
pub fn pull(robot: &Robot, body: &Body) -> Option<Point> {
    let Owner::Plug(id) = body.owner else { return None };
    match robot.plugs[id.0].place {
        PlugPlace::Fixed(at) => Some(faces::plug_direction(at)),
        PlugPlace::Tail { .. } => None,
    }
}
