//! The holes of the board: who wants one where, which bit makes it, in which order.
//!
//! Everything through the board is drilled from the front, so that one template decides. Blind holes
//! are drilled from the face of their part, and a hole with a pocket for a captive nut from the pocket's
//! face, on a pilot hole from the front: a flat-bottomed bit wants wood under its point. The back's template is
//! laid on two holes already drilled, the registration holes. The order of drilling is the plan's
//! ([`crate::plan`]).

mod merge;
mod order;
pub mod rect;
pub mod seats;
mod wanted;

pub use wanted::{ACCESS, GROMMET, Long, Want, wanted};

use crate::bit::{Bit, Found};
use crate::making::{Datum, Hole, HoleShape, Work};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Board, Face, LengthUnit, Point, Robot};
use loomdeck_space::hole_size::slot_ends;

/// The datum corner with the senses in which distances from it grow into the board.
pub fn datum(board: &Board) -> Datum {
    let (low, high) = board.outline.bounds();
    let at = board.datum;
    Datum { at, from_right: at.x > (low.x + high.x) / 2.0, from_top: at.y > (low.y + high.y) / 2.0 }
}

/// All holes of a robot's board, by number, and where each want went.
///
/// The second list has an index of the first for each of [`wanted`]'s wants.
pub fn holes(robot: &Robot) -> (Vec<Hole>, Vec<usize>) {
    let Some(board) = &robot.board else { return (Vec::new(), Vec::new()) };
    let datum = datum(board);
    let wants = wanted(robot);
    let groups = merge::by_position(&wants, &datum);
    let mut place_of = vec![0; wants.len()];
    let mut holes: Vec<Hole> = Vec::with_capacity(groups.len());
    for (number, group) in groups.iter().enumerate() {
        for want in group {
            place_of[*want] = number;
        }
        let group: Vec<&Want> = group.iter().map(|i| &wants[*i]).collect();
        holes.push(hole(&group, robot.book.unit, &datum));
    }
    order::mark_registration(&mut holes);
    (holes, place_of)
}

/// Radius to which the edges of an opening without grommet are broken (common practice, no source).
const RELIEF: Millimetres = Millimetres(1.0);

/// The finished hole that serves every want of a group: as wide as the widest asks.
fn hole(group: &[&Want], unit: LengthUnit, datum: &Datum) -> Hole {
    let size = |w: &Want| (matches!(w.long, Some(Long::Rect { .. })), w.size.aim.0);
    let wider = |a: &&&Want, b: &&&Want| {
        let (p, q) = (size(a), size(b));
        p.0.cmp(&q.0).then(p.1.total_cmp(&q.1))
    };
    let widest = group.iter().max_by(wider).copied().unwrap_or(group[0]);
    let through = group.iter().any(|w| w.depth.is_none());
    let depth =
        if through { None } else { group.iter().filter_map(|w| w.depth).reduce(Millimetres::max) };
    let pocket = group.iter().find_map(|w| w.pocket);
    let side = match pocket {
        Some(pocket) => pocket.face,
        None if through => Face::Front,
        None => widest.face,
    };
    let made = Made::of(widest, unit, depth, pocket.is_some());
    Hole {
        at: widest.at,
        from_datum: datum.distances(widest.at),
        shape: made.shape,
        ends_from_datum: made.ends.map(|ends| ends.map(|p| datum.distances(p))),
        corners_from_datum: made.corners.map(|corners| corners.map(|p| datum.distances(p))),
        depth,
        side,
        work: finish(group, made.shape, made.work),
        uses: group.iter().map(|w| w.purpose.clone()).collect(),
        ordinary_bit: made.found.ordinary,
        bit_fits: made.found.fits,
        registration: false,
    }
}

/// A hole before its seats and edges.
struct Made {
    shape: HoleShape,
    found: Found,
    ends: Option<[Point; 2]>,
    corners: Option<[Point; 4]>,
    work: Vec<Work>,
}

impl Made {
    fn of(want: &Want, unit: LengthUnit, depth: Option<Millimetres>, pocketed: bool) -> Self {
        match want.long {
            None => Self::round(want, unit, depth, pocketed),
            Some(Long::Slot { length, turn }) => Self::slot(want, unit, length, turn),
            Some(Long::Rect { length, width, turn, corner }) => {
                let cut = rect::cut(want.at, (length, width), turn, corner, unit);
                Self::rect(cut, unit, HoleShape::Rect { length, width, turn, corner })
            }
        }
    }

    fn round(want: &Want, unit: LengthUnit, depth: Option<Millimetres>, pocketed: bool) -> Self {
        let found = want.size.bit(unit);
        let bit = found.bit;
        let pilot = bit.pilot(unit).or_else(|| pocketed.then(|| small_pilot(unit)));
        let mut work = vec![Work::CentrePunch];
        work.extend(pilot.map(|bit| Work::Pilot { bit }));
        work.push(if bit.is_cutter() {
            Work::Opening { bit }
        } else {
            Work::Drill { bit, depth, fit: want.fit }
        });
        let shape = HoleShape::Round(bit.diameter());
        Self { shape, found, ends: None, corners: None, work }
    }

    fn slot(want: &Want, unit: LengthUnit, length: Millimetres, turn: Degrees) -> Self {
        let found = want.size.bit(unit);
        let width = found.bit.diameter();
        let ends = slot_ends(want.at, length, width, turn);
        let mut work = vec![Work::CentrePunch];
        work.extend(found.bit.pilot(unit).map(|bit| Work::Pilot { bit }));
        work.extend([Work::EndHoles { bit: found.bit, ends }, Work::Saw, Work::File]);
        let shape = HoleShape::Slot { length, width, turn };
        Self { shape, found, ends: Some(ends), corners: None, work }
    }

    fn rect(cut: rect::Cut, unit: LengthUnit, drawn: HoleShape) -> Self {
        let bit = cut.found.bit;
        let mut work = vec![Work::CentrePunch];
        work.extend(bit.pilot(unit).map(|bit| Work::Pilot { bit }));
        work.push(Work::CornerHoles { bit, corners: cut.corners, square: cut.square });
        work.extend(cut.entry.map(|(bit, at)| Work::EntryHole { bit, at }));
        work.extend([Work::Saw, Work::File]);
        let shape = match drawn {
            HoleShape::Rect { length, width, turn, .. } => {
                let corner = if cut.square { Millimetres::ZERO } else { bit.diameter() / 2.0 };
                HoleShape::Rect { length, width, turn, corner }
            }
            other => other,
        };
        // A corner may be rounder or sharper than drawn.
        let found = Found { fits: true, ..cut.found };
        Self { shape, found, ends: None, corners: Some(cut.corners), work }
    }
}

/// A pilot that leads from the template's face to the pocket's, for a bit that needs none to run true.
const fn small_pilot(unit: LengthUnit) -> Bit {
    match unit {
        LengthUnit::Mm => Bit::Metric(2.0),
        LengthUnit::Inch => Bit::Fraction(1, 16),
    }
}

/// Seats, edges, and what is set in.
fn finish(group: &[&Want], shape: HoleShape, mut work: Vec<Work>) -> Vec<Work> {
    let across = match shape {
        HoleShape::Round(d) => d,
        HoleShape::Slot { width, .. } | HoleShape::Rect { width, .. } => width,
    };
    let mut add = |step: Work| {
        if !work.contains(&step) {
            work.push(step);
        }
    };
    for want in group {
        if let Some(p) = want.pocket {
            add(Work::Pocket { face: p.face, diameter: p.diameter, depth: p.depth });
        }
        if let Some(sink) = want.countersink {
            add(Work::Countersink {
                face: sink.face,
                diameter: sink.diameter,
                depth: sink.depth_in(across),
                angle: sink.angle,
                below: sink.below,
            });
        }
    }
    add(Work::Deburr);
    if group.iter().any(|w| w.relief) {
        add(Work::EdgeRelief { radius: RELIEF });
    }
    for want in group {
        work.extend(want.then.clone());
    }
    work
}

#[cfg(test)]
mod tests;
