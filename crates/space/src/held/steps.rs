//! What has to be reached, and on which face, to fit and to remove what is held at one hole.

use super::stack::{head_of, pan_for_flush, put_in_from, screws};
use crate::hardware;
use loomdeck_model::part_type::{Fixing, FixingStyle, Head, MountHole, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Point};
use serde::Serialize;

/// What has to be reached at one hole.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Steps {
    /// Before the part is there, all at once: what puts on the board the pieces that stay on it.
    /// Empty when nothing stays.
    pub prepare: Vec<Doing>,
    /// To fix the part and to take it off again: ways of doing it, each with all it needs at once.
    /// Empty when nothing has to be reached.
    pub hold: Vec<Vec<Doing>>,
}

/// One tool or hand at work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Doing {
    /// What it does.
    pub work: Work,
    /// On which face.
    pub face: Face,
    /// Where the tool bites, above that face: seat of the head, washer of the nut.
    pub seat: Millimetres,
    /// How far what is undone must come out along its axis.
    pub comes_out: Millimetres,
}

/// Kinds of work at a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Work {
    /// Turns a screw with this head.
    Screw(Head),
    /// Holds or turns a nut.
    Nut,
    /// Holds a standoff while its screw is turned.
    Standoff,
    /// Sets a threaded insert.
    Insert,
    /// Sets a captive nut.
    CaptiveNut,
    /// Opens a clip by hand.
    Clip,
}

/// Whether the screw at each of a type's holes is undone to take the part off. All are, but those of
/// cleats that the part slides out of: there only the end on the side it slides to comes off, which is
/// the holes furthest that way.
pub fn end_comes_off(fixing: &Fixing, holes: &[MountHole]) -> Vec<bool> {
    /// Holes that are level with the furthest within this belong to the same end, mm.
    const LEVEL: f64 = 1.0;
    let (FixingStyle::Cleat, Some(way)) = (fixing.style, fixing.slides) else {
        return vec![true; holes.len()];
    };
    let d = crate::shape::direction(way.0);
    let along = |p: Point| crate::shape::dot(p, d);
    let furthest = holes.iter().map(|h| along(h.at)).fold(f64::NEG_INFINITY, f64::max);
    holes.iter().map(|h| along(h.at) > furthest - LEVEL).collect()
}

/// What has to be reached at one hole of something on `face`.
///
/// `comes_off`: this hole's screw is undone to take the part off (see [`end_comes_off`]).
pub fn steps(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres, comes_off: bool) -> Steps {
    let screws = screws(fixing, thread, face, board);
    let seat = fixing.flange + fixing.standoff;
    let length = |i: usize| screws.get(i).map_or(Millimetres::ZERO, |s| s.length);
    let doing = |work, face, seat, comes_out| Doing { work, face, seat, comes_out };
    let zero = Millimetres::ZERO;
    let bolt = || {
        let from = put_in_from(fixing, face);
        let at = |side: Face| if side == face { seat } else { zero };
        let nut = hardware::washer(thread).thickness + hardware::nut(thread).height;
        vec![
            doing(Work::Screw(head_of(fixing)), from, at(from), length(0)),
            doing(Work::Nut, from.other(), at(from.other()), nut),
        ]
    };
    let near = |head| vec![vec![doing(Work::Screw(head), face, seat, length(0))]];
    match fixing.style {
        FixingStyle::Adhesive | FixingStyle::Loose => Steps::default(),
        FixingStyle::Standoff if fixing.standoff.0 > 0.0 => {
            let far = doing(Work::Screw(fixing.head), face.other(), zero, length(0));
            let held = doing(Work::Standoff, face, zero, fixing.standoff);
            let head = pan_for_flush(fixing.head);
            let screw = doing(Work::Screw(head), face, seat, length(1));
            // Undone from the far face, the standoffs come off with the part.
            Steps { prepare: vec![far, held], hold: vec![vec![screw], vec![far]] }
        }
        FixingStyle::BoltAndNut | FixingStyle::Standoff | FixingStyle::Housing => {
            Steps { prepare: Vec::new(), hold: vec![bolt()] }
        }
        FixingStyle::Cleat if comes_off => Steps { prepare: Vec::new(), hold: vec![bolt()] },
        FixingStyle::Cleat => Steps { prepare: bolt(), hold: Vec::new() },
        FixingStyle::Clip => {
            Steps { prepare: bolt(), hold: vec![vec![doing(Work::Clip, face, zero, seat)]] }
        }
        FixingStyle::Insert => Steps {
            prepare: vec![doing(Work::Insert, face, zero, hardware::insert_length(thread))],
            hold: near(fixing.head),
        },
        FixingStyle::CaptiveNut => Steps {
            prepare: vec![doing(Work::CaptiveNut, face.other(), zero, hardware::nut(thread).height)],
            hold: near(fixing.head),
        },
        FixingStyle::WoodScrew => Steps { prepare: Vec::new(), hold: near(fixing.head) },
    }
}
