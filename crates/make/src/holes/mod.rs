//! The holes of the board: who wants one where, which bit makes it, in which order.
//!
//! Everything through the board is drilled from the front, so that one template decides; only blind
//! holes are drilled from the face of their part. The back's template is laid on two holes already
//! drilled, the registration holes.

mod merge;
mod order;
mod wanted;

pub use order::drilling;
pub use wanted::{GROMMET, Want, wanted};

use crate::bit::Bit;
use crate::making::{Datum, Hole, HoleShape, Work};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, Face, LengthUnit, Robot};
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

/// The finished hole that serves every want of a group: as wide as the widest asks.
fn hole(group: &[&Want], unit: LengthUnit, datum: &Datum) -> Hole {
    let widest =
        group.iter().max_by(|a, b| a.size.aim.0.total_cmp(&b.size.aim.0)).copied().unwrap_or(group[0]);
    let found = widest.size.bit(unit);
    let bit = found.bit;
    let through = group.iter().any(|w| w.depth.is_none());
    let depth =
        if through { None } else { group.iter().filter_map(|w| w.depth).reduce(Millimetres::max) };
    let side = if through { Face::Front } else { widest.face };
    let shape = match widest.slot {
        Some((length, turn)) => HoleShape::Slot { length, width: bit.diameter(), turn },
        None => HoleShape::Round(bit.diameter()),
    };
    Hole {
        at: widest.at,
        from_datum: datum.distances(widest.at),
        shape,
        ends_from_datum: widest.slot.map(|(length, turn)| {
            slot_ends(widest.at, length, bit.diameter(), turn).map(|end| datum.distances(end))
        }),
        depth,
        side,
        work: work(group, widest, bit, unit, depth),
        uses: group.iter().map(|w| w.purpose.clone()).collect(),
        ordinary_bit: found.ordinary,
        bit_fits: found.fits,
        registration: false,
    }
}

fn work(
    group: &[&Want],
    widest: &Want,
    bit: Bit,
    unit: LengthUnit,
    depth: Option<Millimetres>,
) -> Vec<Work> {
    let mut work = vec![Work::CentrePunch];
    if let Some((length, turn)) = widest.slot {
        work.push(Work::EndHoles { bit, ends: slot_ends(widest.at, length, bit.diameter(), turn) });
        work.extend([Work::Saw, Work::File]);
    } else {
        work.extend(bit.pilot(unit).map(|bit| Work::Pilot { bit }));
        work.push(if bit.is_cutter() {
            Work::Opening { bit }
        } else {
            Work::Drill { bit, depth, fit: widest.fit }
        });
    }
    for want in group {
        if let Some(sink) = want.countersink {
            let step = Work::Countersink {
                face: sink.face,
                diameter: sink.diameter,
                depth: sink.depth_in(bit.diameter()),
                angle: sink.angle,
            };
            if !work.contains(&step) {
                work.push(step);
            }
        }
    }
    work.push(Work::Deburr);
    for want in group {
        work.extend(want.then.clone());
    }
    work
}

#[cfg(test)]
mod tests;
