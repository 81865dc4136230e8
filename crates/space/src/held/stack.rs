//! The screws of a fixing: what they clamp, and the standard length that fits.

use crate::{hardware, screw};
use loomdeck_model::Face;
use loomdeck_model::part_type::{Fixing, FixingStyle, Head, Thread};
use loomdeck_model::units::Millimetres;
use serde::Serialize;

/// How a screw got its length.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ScrewChoice {
    /// Thickness that it clamps.
    pub grip: Millimetres,
    /// Shortest length that holds.
    pub least: Millimetres,
    /// Longest length that does no harm, when there is one.
    pub most: Option<Millimetres>,
    /// Length chosen from the standard series.
    pub length: Millimetres,
    /// It lies between the two.
    pub fits: bool,
    /// The face its head is on, or that it is turned from.
    pub turned_from: Face,
}

/// Leaves this much of the board under a blind hole.
pub const FLOOR: Millimetres = Millimetres(1.0);

/// The screws at one hole of something on `face`: one, two at a standoff (the far one first), none
/// where nothing is screwed.
pub fn screws(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> Vec<ScrewChoice> {
    match fixing.style {
        FixingStyle::Standoff if fixing.standoff.0 > 0.0 => {
            standoff(fixing, thread, face, board).to_vec()
        }
        FixingStyle::BoltAndNut
        | FixingStyle::Standoff
        | FixingStyle::Clip
        | FixingStyle::Cleat
        | FixingStyle::Housing => vec![bolt(fixing, thread, face, board)],
        FixingStyle::CaptiveNut => vec![captive(fixing, thread, face, board)],
        // The screw may not come out of the other face.
        FixingStyle::Insert => {
            let grip = fixing.flange + fixing.standoff;
            vec![choice(thread, grip, engaged(thread).min(board), Some(grip + board), face)]
        }
        FixingStyle::WoodScrew => vec![wood(fixing, thread, face, board)],
        FixingStyle::Adhesive | FixingStyle::Loose => Vec::new(),
    }
}

/// The head of the screw that goes through the board. A printed holder has no seat for a countersunk
/// one.
pub const fn head_of(fixing: &Fixing) -> Head {
    match fixing.style {
        FixingStyle::Clip | FixingStyle::Cleat | FixingStyle::Housing => pan_for_flush(fixing.head),
        _ => fixing.head,
    }
}

/// A pan head where a countersunk one finds no seat.
pub const fn pan_for_flush(head: Head) -> Head {
    match head {
        Head::Countersunk => Head::Pan,
        other => other,
    }
}

/// The face from which a through bolt is put in. A turned one comes from the far face, and so does a
/// countersunk one, which finds its seat in the board only there.
pub fn put_in_from(fixing: &Fixing, face: Face) -> Face {
    let turned = fixing.turned || head_of(fixing) == Head::Countersunk;
    if turned { face.other() } else { face }
}

/// The pocket in the far face that a captive nut is sunk into.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pocket {
    /// The face it is cut into.
    pub face: Face,
    /// Across the flats of the nut.
    pub across_flats: Millimetres,
    /// Across its corners.
    pub across_corners: Millimetres,
    /// How deep.
    pub depth: Millimetres,
    /// How far the nut still stands out, where the board is too thin to take all of it.
    pub proud: Millimetres,
}

/// The pocket of a sunk nut; `None` for any other fixing.
///
/// It is as deep as the nut is high and leaves a floor of one thread diameter for the nut to pull on
/// (common practice, no source).
pub fn pocket(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> Option<Pocket> {
    if fixing.style != FixingStyle::CaptiveNut || !fixing.sunk {
        return None;
    }
    let nut = hardware::nut(thread);
    let depth = nut.height.min((board - thread.major()).max(Millimetres::ZERO));
    Some(Pocket {
        face: face.other(),
        across_flats: nut.across_flats,
        across_corners: nut.across_corners,
        depth,
        proud: nut.height - depth,
    })
}

/// What a nut needs beyond the grip: its height and one pitch, so that the thread's chamfered end
/// stands out (one to two pitches: common practice; AC 43.13-1B asks for one thread at least).
fn past_the_nut(thread: Thread) -> Millimetres {
    hardware::nut(thread).height + hardware::pitch(thread)
}

/// Thread that must be engaged in an insert or standoff: as much as a full nut has.
fn engaged(thread: Thread) -> Millimetres {
    hardware::nut(thread).height
}

fn choice(
    thread: Thread,
    grip: Millimetres,
    needs: Millimetres,
    most: Option<Millimetres>,
    turned_from: Face,
) -> ScrewChoice {
    let least = grip + needs;
    let (length, fits) = screw::choose(&screw::lengths(thread), least, most);
    ScrewChoice { grip, least, most, length, fits, turned_from }
}

/// Through part and board, with the washer under the nut on whichever face that lies.
fn bolt(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> ScrewChoice {
    let washer = hardware::washer(thread).thickness;
    let grip = fixing.flange + fixing.standoff + board + washer;
    choice(thread, grip, past_the_nut(thread), None, put_in_from(fixing, face))
}

/// Into a nut on the far face, or into one that is sunk: then the floor of its pocket is clamped, and
/// the end need not stand out of it.
fn captive(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> ScrewChoice {
    let through = fixing.flange + fixing.standoff + board;
    match pocket(fixing, thread, face, board) {
        Some(p) => choice(thread, through - p.depth, engaged(thread), None, face),
        None => choice(thread, through, past_the_nut(thread), None, face),
    }
}

/// One screw from the far face into the standoff, one through the part into its other end. Each needs
/// its turns, and together they may not meet inside.
fn standoff(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> [ScrewChoice; 2] {
    let turns = engaged(thread).min(fixing.standoff / 2.0);
    let room = fixing.standoff - turns;
    let far = choice(thread, board, turns, Some(board + room), face.other());
    let taken = (far.length - board).max(turns).min(room);
    let left = fixing.standoff - taken;
    let near = choice(thread, fixing.flange, turns, Some(fixing.flange + left), face);
    [far, near]
}

/// Into the board itself, twice the thread's diameter deep at least (common practice), and a little
/// less than through.
fn wood(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> ScrewChoice {
    let grip = fixing.flange + fixing.standoff;
    let bite = board - FLOOR;
    let least = grip + (thread.major() * 2.0).min(bite);
    let most = grip + bite;
    let (length, fits) = screw::choose(&screw::WOOD_LENGTHS, least, Some(most));
    ScrewChoice { grip, least, most: Some(most), length, fits, turned_from: face }
}
