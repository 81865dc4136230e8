//! Size and shape proposed for each pass-through, from what goes through it.
//!
//! The wires must fill no more of the opening than wires can be drawn through without damage, and the
//! end that is threaded last must still find room beside the wires that are in already: it lies on the
//! bundle of the others, so the opening must hold bundle and end side by side. A round hole is proposed
//! first; when it would take more than `LARGEST_ROUND` across, a slot as wide as the end asks; when
//! a wide end is what asks for it, a rectangle with corners as wide as an ordinary bit.

use crate::bit::Bit;
use crate::faces;
use crate::geometry::{BoardHole, PassFill, WireRun};
use crate::hole_size::HoleSize;
use crate::lengths::end_kind;
use crate::packing::bundle_diameter;
use crate::shape::{edge_distance, segment_distance};
use loomdeck_model::units::Millimetres;
use loomdeck_model::wire::EndKind;
use loomdeck_model::{Board, PassId, PassShape, Point, Robot, Subject, Wire, WireId};
use serde::Serialize;

/// Round openings larger than this need a hole saw of their own; common practice.
const LARGEST_ROUND: f64 = 38.0;
/// Air round an end that is threaded, mm; common practice.
const AIR: f64 = 1.0;
/// Radius of a rectangle's corners: that of a 6 mm bit.
const CORNER: f64 = 3.0;
/// What a grommet or edge trim takes from the opening on either side, mm; common practice.
const LINING: f64 = 1.5;
/// Distance of wires from the edge of a penetration below which it must be lined: 3/8 in
/// (AC 43.13-1B, paragraph 11-115).
pub const UNLINED: f64 = 9.525;

/// What is proposed for one pass-through.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OpeningAdvice {
    /// Which.
    pub pass: PassId,
    /// Wires that go through, in the robot's order.
    pub wires: Vec<WireId>,
    /// Sum of their cross-sections over the insulation, mm².
    pub wire_area_mm2: f64,
    /// Largest part of the opening that so many wires may fill, 0 to 1.
    pub fill_limit: f64,
    /// The end that is hardest to thread: whose, how wide, and how much room the other wires leave it.
    pub end: Option<EndThrough>,
    /// The shape it should have: the one it has when that does.
    pub shape: PassShape,
    /// It has to be changed for what goes through it.
    pub too_small: bool,
    /// What cuts it: the whole of a round one, the ends of a slot, the corners of a rectangle.
    pub bit: Bit,
    /// What its edge needs.
    pub edge: EdgeRelief,
    /// How far the wires, close together in the middle, stay from the edge.
    pub beside: Millimetres,
    /// Nearest other hole or edge of the board once it has that shape, with the material left between
    /// them; negative when they would meet.
    pub nearest: Option<(Subject, Millimetres)>,
}

/// The end of a wire that has to go through last.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct EndThrough {
    /// Whose end.
    pub wire: WireId,
    /// How wide it is.
    pub width: Millimetres,
    /// Width left for it beside the wires already in.
    pub room: Millimetres,
}

/// How the edge of an opening is made harmless.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum EdgeRelief {
    /// Nothing goes through: break the edge with a file.
    Deburr,
    /// Round the edges of both faces over.
    Rounded,
    /// A grommet (round) or edge trim (slot, rectangle).
    Lined,
}

/// Largest part of an opening that wires may fill, by their number (NFPA 70, chapter 9, table 1).
pub const fn fill_limit(wires: usize) -> f64 {
    match wires {
        0 | 1 => 0.53,
        2 => 0.31,
        _ => 0.40,
    }
}

/// Width of an end that must go through a hole: a ring is about twice its stud wide, a fork a little
/// less, a receptacle its tab and the rolled edges. Never less than the wire. Common practice.
pub fn end_width(end: EndKind, wire: &Wire) -> Millimetres {
    let outside = wire.insulation.outside_diameter(wire.gauge).0;
    let end = match end {
        EndKind::Ring(d) => 2.0 * d,
        EndKind::Fork(d) => 1.8 * d,
        EndKind::Receptacle(w) => w + 1.5,
        EndKind::Ferrule => outside + 1.0,
        EndKind::Contact => 3.0,
        EndKind::HeaderContact => 2.5,
        EndKind::Bare | EndKind::Soldered | EndKind::Lead => outside,
    };
    Millimetres(end.max(outside))
}

/// The narrower of a wire's two ends: the one that is threaded.
pub fn narrower_end(robot: &Robot, wire: WireId) -> Millimetres {
    let w = &robot.wires[wire.0];
    let from = end_width(end_kind(robot, w.from, w.end_from), w);
    let to = end_width(end_kind(robot, w.to, w.end_to), w);
    from.min(to)
}

/// One per pass-through, in the board's order.
pub fn openings(robot: &Robot, _wires: &[WireRun], fills: &[PassFill]) -> Vec<OpeningAdvice> {
    let Some(board) = &robot.board else { return Vec::new() };
    let holes = faces::holes(robot);
    fills.iter().map(|fill| advice(robot, board, &holes, fill)).collect()
}

fn advice(robot: &Robot, board: &Board, holes: &[BoardHole], fill: &PassFill) -> OpeningAdvice {
    let pass = &board.passes[fill.pass.0];
    let outside = |w: &WireId| {
        let w = &robot.wires[w.0];
        w.insulation.outside_diameter(w.gauge)
    };
    let circle = |d: f64| std::f64::consts::PI / 4.0 * d * d;
    let area: f64 = fill.wires.iter().map(|w| circle(outside(w).0)).sum();
    let limit = fill_limit(fill.wires.len());
    let lining = if pass.grommet { 2.0 * LINING } else { 0.0 };
    let (has, width) = faces::opening(pass.shape);
    // The widest end goes first, equal ones in the robot's order; each further one finds those before it
    // in its way. The one that asks for most is told.
    let asks = |w: &WireId| {
        let own = narrower_end(robot, *w);
        let first = |o: &&WireId| {
            let other = narrower_end(robot, **o);
            other > own || (other == own && *o < w)
        };
        let before: Vec<Millimetres> = fill.wires.iter().filter(first).map(&outside).collect();
        let across = own.0 + bundle_diameter(&before).0;
        (
            across,
            EndThrough {
                wire: *w,
                width: own,
                room: (extent(pass.shape) - Millimetres(lining)) - bundle_diameter(&before),
            },
        )
    };
    let worst = fill.wires.iter().map(asks).reduce(|a, b| if b.0 > a.0 + 1e-9 { b } else { a });
    let widest = fill.wires.iter().map(|w| narrower_end(robot, *w).0).fold(0.0, f64::max);
    let across = worst.map_or(0.0, |(across, _)| across + AIR) + lining;
    let by_area = (area / limit * 4.0 / std::f64::consts::PI).sqrt() + lining;
    let too_small = !fill.wires.is_empty()
        && (has * limit < area - 1e-9
            || width < widest - 1e-9
            || worst.is_some_and(|(_, e)| e.room < e.width));
    let shape = if too_small {
        proposed(robot, pass.shape, across.max(by_area), widest + AIR + lining, area / limit)
    } else {
        pass.shape
    };
    let bit = HoleSize::opening(cut_width(shape)).bit(robot.book.unit).bit;
    let beside = room_beside(shape, area / limit);
    let edge = match (fill.wires.is_empty(), pass.grommet) {
        (true, _) => EdgeRelief::Deburr,
        (_, true) => EdgeRelief::Lined,
        (false, false) if beside < UNLINED => EdgeRelief::Lined,
        (false, false) => EdgeRelief::Rounded,
    };
    OpeningAdvice {
        pass: fill.pass,
        wires: fill.wires.clone(),
        wire_area_mm2: area,
        fill_limit: limit,
        end: worst.map(|(_, e)| e),
        shape,
        too_small,
        bit,
        edge,
        beside: Millimetres(beside.max(0.0)),
        nearest: nearest(board, holes, &pass.name, pass.at, shape),
    }
}

/// The longest straight line across an opening.
fn extent(shape: PassShape) -> Millimetres {
    match shape {
        PassShape::Round(d) => d,
        PassShape::Slot { length, width, .. } | PassShape::Rect { length, width, .. } => {
            length.max(width)
        }
    }
}

/// Least distance that wires in the middle keep from the edge, when they lie close together.
fn room_beside(shape: PassShape, area: f64) -> f64 {
    let (_, width) = faces::opening(shape);
    (width - (area * 4.0 / std::f64::consts::PI).sqrt()) / 2.0
}

/// Width of what is cut first: the hole, the ends of a slot, the corners of a rectangle.
const fn cut_width(shape: PassShape) -> Millimetres {
    match shape {
        PassShape::Round(d) => d,
        PassShape::Slot { width, .. } => width,
        PassShape::Rect { corner, .. } => Millimetres(2.0 * corner.0),
    }
}

/// A round hole of the next size on sale; beyond [`LARGEST_ROUND`] a slot, and for an end wider than that
/// a rectangle. A shape that the builder chose is kept and made larger.
fn proposed(robot: &Robot, now: PassShape, across: f64, end: f64, area: f64) -> PassShape {
    let unit = robot.book.unit;
    let sold = |d: f64| {
        let d = Millimetres(d);
        let bit = Bit::for_hole(unit, d, d, d + Millimetres(2.0)).bit;
        Millimetres((bit.diameter().0 * 100.0).ceil() / 100.0)
    };
    let whole = |d: f64| Millimetres((d - 1e-9).ceil());
    match now {
        PassShape::Round(_) if across <= LARGEST_ROUND => PassShape::Round(sold(across)),
        PassShape::Rect { length, width, turn, corner } => {
            let width = whole(end.max(width.0));
            let length = whole(across.max(area / width.0 + 1.0).max(length.0));
            PassShape::Rect { length, width, turn, corner }
        }
        _ if end > LARGEST_ROUND => {
            let turn = turn_of(now);
            let width = whole(end);
            let length = whole(across.max(area / width.0 + 1.0).max(width.0));
            PassShape::Rect { length, width, turn, corner: Millimetres(CORNER) }
        }
        _ => {
            let old = match now {
                PassShape::Slot { width, .. } => width.0,
                _ => 0.0,
            };
            let width = sold(end.max(old).max(across / 2.5));
            let ends = std::f64::consts::PI / 4.0 * width.0 * width.0;
            let length = whole(across.max((area - ends) / width.0 + width.0).max(width.0));
            PassShape::Slot { length, width, turn: turn_of(now) }
        }
    }
}

const fn turn_of(shape: PassShape) -> loomdeck_model::units::Degrees {
    match shape {
        PassShape::Round(_) => loomdeck_model::units::Degrees(0.0),
        PassShape::Slot { turn, .. } | PassShape::Rect { turn, .. } => turn,
    }
}

/// Middle line and half width of an opening as a hole: a rectangle by the slot round its corners' box.
fn spine(at: Point, shape: PassShape) -> (Point, Point, f64) {
    match shape {
        PassShape::Round(d) => (at, at, d.0 / 2.0),
        PassShape::Slot { length, width, turn } | PassShape::Rect { length, width, turn, .. } => {
            let half = ((length.0 - width.0) / 2.0).max(0.0);
            let (s, c) = turn.0.to_radians().sin_cos();
            let end = |t: f64| Point::new(at.x + t * c, at.y + t * s);
            (end(-half), end(half), width.0 / 2.0)
        }
    }
}

/// The nearest hole or edge, with the material left.
fn nearest(
    board: &Board,
    holes: &[BoardHole],
    name: &str,
    at: Point,
    shape: PassShape,
) -> Option<(Subject, Millimetres)> {
    let (a, b, half) = spine(at, shape);
    let edge =
        [a, b].iter().map(|p| edge_distance(&board.outline, *p)).fold(f64::INFINITY, f64::min) - half;
    holes
        .iter()
        .filter(|h| !matches!(&h.subject, Subject::Pass(n) if n == name))
        .map(|h| {
            let left = segment_distance(a, b, h.from, h.to) - half - h.diameter.0 / 2.0;
            (h.subject.clone(), Millimetres(left))
        })
        .chain([(Subject::Board, Millimetres(edge))])
        .reduce(|x, y| if y.1 < x.1 { y } else { x })
}
