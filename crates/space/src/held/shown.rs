//! What of a fixing stands on either face, with the part on and with the part off.

use super::stack::{head_of, pan_for_flush, pocket, put_in_from, screws};
use crate::geometry::FastenerKind;
use crate::hardware;
use loomdeck_model::Face;
use loomdeck_model::part_type::{Fixing, FixingStyle, Thread};
use loomdeck_model::units::Millimetres;
use serde::Serialize;

/// One piece of a fixing on a face: an upright cylinder around the hole.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Shown {
    /// Which face.
    pub face: Face,
    /// What it is.
    pub kind: FastenerKind,
    /// Its diameter, or that of its washer, whichever is wider.
    pub diameter: Millimetres,
    /// Its lower end above the face.
    pub base: Millimetres,
    /// Its upper end above the face.
    pub top: Millimetres,
    /// Its upper end when the part is off; `None`: it comes off with the part.
    pub bare: Option<Millimetres>,
}

/// Printed feet leave this much round a washer (common practice, no source), mm.
const WALL: f64 = 2.0;

/// Everything of a fixing that stands on the faces at one hole of something on `face`: first what
/// shows on the other face, then what stands on the part's own.
///
/// `comes_off`: this hole's screw is undone to take the part off (see
/// [`end_comes_off`](super::end_comes_off)); only cleats have others.
pub fn shown(
    fixing: &Fixing,
    thread: Thread,
    face: Face,
    board: Millimetres,
    comes_off: bool,
) -> Vec<Shown> {
    let mut out = Vec::new();
    out.extend(far_side(fixing, thread, face, board, comes_off));
    near_side(fixing, thread, face, board, comes_off, &mut out);
    out
}

/// A bolt shows washer, nut and whatever of the chosen standard length stands out, or when it is
/// turned its head; a standoff the head of its far screw; a captive nut the same as a bolt, without
/// washer, or when it is sunk only the end of a screw that is longer than it need be. Inserts and wood
/// screws end within the board, unless no screw is short enough.
fn far_side(
    fixing: &Fixing,
    thread: Thread,
    face: Face,
    board: Millimetres,
    comes_off: bool,
) -> Option<Shown> {
    let screws = screws(fixing, thread, face, board);
    let screw = screws.first()?;
    let far = |kind, diameter, top, bare| {
        Some(Shown { face: face.other(), kind, diameter, base: Millimetres::ZERO, top, bare })
    };
    let stays = |top| holder_stays(fixing, comes_off).then_some(top);
    if screw.turned_from != face {
        let head = hardware::head(thread, head_of(fixing));
        let top = head.stands_off();
        let bare = if fixing.style == FixingStyle::Standoff { Some(top) } else { stays(top) };
        return far(FastenerKind::ScrewHead, head.diameter, top, bare);
    }
    let out = screw.length - (fixing.flange + fixing.standoff + board);
    let nut = hardware::nut(thread);
    match fixing.style {
        FixingStyle::Insert | FixingStyle::WoodScrew => {
            (out.0 > 1e-6).then(|| far(FastenerKind::ScrewEnd, thread.major(), out, None))?
        }
        FixingStyle::CaptiveNut => match pocket(fixing, thread, face, board) {
            Some(p) if p.proud.0 <= 1e-6 => {
                (out.0 > 1e-6).then(|| far(FastenerKind::ScrewEnd, thread.major(), out, None))?
            }
            sunk => {
                let high = sunk.map_or(nut.height, |p| p.proud);
                far(FastenerKind::Nut, nut.across_corners, high.max(out), Some(high))
            }
        },
        _ => {
            let washer = hardware::washer(thread);
            let top = (washer.thickness + nut.height).max(out);
            far(FastenerKind::Nut, nut.across_corners.max(washer.outside), top, stays(top))
        }
    }
}

/// A printed holder stays on the board when the part comes off.
fn holder_stays(fixing: &Fixing, comes_off: bool) -> bool {
    match fixing.style {
        FixingStyle::Clip => true,
        FixingStyle::Cleat => !comes_off,
        _ => false,
    }
}

/// What stands on the part's own face: post or foot under it, head or nut on its flange.
fn near_side(
    fixing: &Fixing,
    thread: Thread,
    face: Face,
    board: Millimetres,
    comes_off: bool,
    out: &mut Vec<Shown>,
) {
    let seat = fixing.flange + fixing.standoff;
    let (nut, washer) = (hardware::nut(thread), hardware::washer(thread));
    let mut near = |kind, diameter, base, top, bare| {
        out.push(Shown { face, kind, diameter, base, top, bare });
    };
    let pan = hardware::head(thread, pan_for_flush(fixing.head));
    let zero = Millimetres::ZERO;
    match fixing.style {
        FixingStyle::Adhesive | FixingStyle::Loose => {}
        FixingStyle::Standoff if fixing.standoff.0 > 0.0 => {
            let top = fixing.standoff;
            near(FastenerKind::Post, nut.across_corners, zero, top, Some(top));
            near(FastenerKind::ScrewHead, pan.diameter, seat, seat + pan.height, None);
        }
        FixingStyle::Clip | FixingStyle::Cleat | FixingStyle::Housing => {
            let stays =
                fixing.style == FixingStyle::Clip || (fixing.style == FixingStyle::Cleat && !comes_off);
            let turned = put_in_from(fixing, face) != face;
            let high = if turned { washer.thickness + nut.height } else { pan.height };
            let wide = washer.outside.max(pan.diameter) + Millimetres(2.0 * WALL);
            let top = seat + high;
            near(FastenerKind::Foot, wide, zero, top, stays.then_some(top));
        }
        _ => {
            if fixing.standoff.0 > 0.0 {
                near(FastenerKind::Post, washer.outside, zero, fixing.standoff, None);
            }
            let bolted = matches!(fixing.style, FixingStyle::BoltAndNut | FixingStyle::Standoff);
            if bolted && put_in_from(fixing, face) != face {
                let screws = screws(fixing, thread, face, board);
                let past = screws.first().map_or(zero, |s| s.length - (seat + board));
                let high = (washer.thickness + nut.height).max(past);
                let wide = nut.across_corners.max(washer.outside);
                near(FastenerKind::Nut, wide, seat, seat + high, None);
            } else {
                // A countersunk head sinks into the flange of the part.
                let head = hardware::head(thread, fixing.head);
                near(FastenerKind::ScrewHead, head.diameter, seat, seat + head.stands_off(), None);
            }
        }
    }
}
