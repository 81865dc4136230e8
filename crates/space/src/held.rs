//! Which screws hold a part, and what of them shows on the far face.

use crate::geometry::FastenerKind;
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
    let head = head_of(fixing);
    match fixing.style {
        FixingStyle::Standoff if fixing.standoff.0 > 0.0 => {
            standoff(fixing, thread, face, board).to_vec()
        }
        FixingStyle::BoltAndNut
        | FixingStyle::Standoff
        | FixingStyle::Clip
        | FixingStyle::Cleat
        | FixingStyle::Housing => vec![bolt(fixing, head, thread, face, board)],
        FixingStyle::CaptiveNut => {
            let grip = fixing.flange + fixing.standoff + board;
            vec![choice(thread, grip, past_the_nut(thread), None, face)]
        }
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

/// What a fixing shows on the face opposite to its part: kind, diameter and height of it.
///
/// A bolt shows washer, nut and whatever of the chosen standard length stands out; a standoff the
/// head of its far screw; a captive nut the same as a bolt, without washer. Inserts and wood screws
/// end within the board, unless no screw is short enough.
pub fn shows(
    fixing: &Fixing,
    thread: Thread,
    face: Face,
    board: Millimetres,
) -> Option<(FastenerKind, Millimetres, Millimetres)> {
    let screws = screws(fixing, thread, face, board);
    let screw = screws.first()?;
    let head = hardware::head(thread, head_of(fixing));
    if screw.turned_from != face {
        return Some((FastenerKind::ScrewHead, head.diameter, head.stands_off()));
    }
    let out = screw.length - (fixing.flange + fixing.standoff + board);
    let nut = hardware::nut(thread);
    match fixing.style {
        FixingStyle::Insert | FixingStyle::WoodScrew => {
            (out.0 > 1e-6).then(|| (FastenerKind::ScrewEnd, thread.major(), out))
        }
        FixingStyle::CaptiveNut => Some((FastenerKind::Nut, nut.across_corners, nut.height.max(out))),
        _ => {
            let washer = hardware::washer(thread);
            let stack = washer.thickness + nut.height;
            Some((FastenerKind::Nut, nut.across_corners.max(washer.outside), stack.max(out)))
        }
    }
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

/// Through part and board. A countersunk head is flush in the far face and the nut is on the part;
/// other heads sit on the part and the nut on the far face.
fn bolt(fixing: &Fixing, head: Head, thread: Thread, face: Face, board: Millimetres) -> ScrewChoice {
    let washer = hardware::washer(thread).thickness;
    let grip = fixing.flange + fixing.standoff + board + washer;
    let from = if head == Head::Countersunk { face.other() } else { face };
    choice(thread, grip, past_the_nut(thread), None, from)
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn fixing(style: FixingStyle, thread: Thread, head: Head, standoff: f64, flange: f64) -> Fixing {
        Fixing {
            style,
            thread: Some(thread),
            head,
            standoff: Millimetres(standoff),
            flange: Millimetres(flange),
            turned: false,
            sunk: false,
            slides: None,
        }
    }

    #[test]
    fn a_bolt_is_reckoned_as_on_the_bench() {
        // M4, flange 2, board 9, washer 0.8, nut 3.2, one pitch 0.7: 15.7, so 16 mm.
        let f = fixing(FixingStyle::BoltAndNut, Thread::M4, Head::Pan, 0.0, 2.0);
        let screws = screws(&f, Thread::M4, Face::Front, Millimetres(9.0));
        assert!((screws[0].least.0 - 15.7).abs() < 1e-9);
        assert_eq!(screws[0].length, Millimetres(16.0));
        assert_eq!(screws[0].turned_from, Face::Front);
        assert_eq!(screws.len(), 1);
    }

    #[test]
    fn a_flush_head_is_turned_from_the_far_face() {
        let f = fixing(FixingStyle::BoltAndNut, Thread::M3, Head::Countersunk, 0.0, 1.6);
        assert_eq!(screws(&f, Thread::M3, Face::Front, Millimetres(6.0))[0].turned_from, Face::Back);
        let (kind, wide, high) = shows(&f, Thread::M3, Face::Front, Millimetres(6.0)).unwrap();
        // ISO 7046-2: 5.5 mm at most, sunk flush.
        assert_eq!((kind, wide.0, high.0), (FastenerKind::ScrewHead, 5.5, 0.0));
    }

    #[test]
    fn both_screws_of_a_standoff_leave_each_other_room() {
        // M3 x 8 standoff under a 1.6 mm circuit board on 9 mm: 9 + 2.4 to 9 + 5.6 from behind, so 12 mm,
        // which fills 3 mm; 1.6 + 2.4 to 1.6 + 5 from above, so 4 mm.
        let f = fixing(FixingStyle::Standoff, Thread::M3, Head::Pan, 8.0, 1.6);
        let screws = standoff(&f, Thread::M3, Face::Front, Millimetres(9.0));
        assert_eq!((screws[0].length, screws[1].length), (Millimetres(12.0), Millimetres(4.0)));
        assert!(screws.iter().all(|s| s.fits));
    }

    #[test]
    fn no_length_between_twelve_and_sixteen() {
        // 10 + 2.4 to 10 + 3.6: 14 mm is a length to be avoided.
        let f = fixing(FixingStyle::Standoff, Thread::M3, Head::Pan, 6.0, 1.6);
        let screws = standoff(&f, Thread::M3, Face::Front, Millimetres(10.0));
        assert!(!screws[0].fits, "{:?}", screws[0]);
    }

    #[test]
    fn what_stands_out_is_the_rest_of_the_chosen_length() {
        // M5: washer 1, nut 4.7, one pitch 0.8 beyond 16.7 mm: 23.2 at least, so 25 mm, of which
        // 8.3 mm stand out. Arithmetic with ISO 7089, 4032 and 888.
        let f = fixing(FixingStyle::BoltAndNut, Thread::M5, Head::Pan, 0.0, 4.7);
        assert_eq!(screws(&f, Thread::M5, Face::Front, Millimetres(12.0))[0].length, Millimetres(25.0));
        let (kind, wide, high) = shows(&f, Thread::M5, Face::Front, Millimetres(12.0)).unwrap();
        assert_eq!((kind, wide), (FastenerKind::Nut, Millimetres(10.0)));
        assert!((high.0 - 8.3).abs() < 1e-9, "{high}");
        let captive = Fixing { style: FixingStyle::CaptiveNut, ..f };
        let (_, wide, high) = shows(&captive, Thread::M5, Face::Front, Millimetres(12.0)).unwrap();
        assert!(wide.0 < 10.0 && (high.0 - 8.3).abs() < 1e-9, "{wide} {high}");
    }

    #[test]
    fn a_screw_longer_than_the_board_shows_its_end() {
        // M3 screws start at 4 mm: through a 0.5 mm flange and 3 mm of board, half a millimetre is out.
        let f = fixing(FixingStyle::Insert, Thread::M3, Head::Pan, 0.0, 0.5);
        let (kind, _, high) = shows(&f, Thread::M3, Face::Front, Millimetres(3.0)).unwrap();
        assert_eq!((kind, high.0), (FastenerKind::ScrewEnd, 0.5));
        assert_eq!(shows(&f, Thread::M3, Face::Front, Millimetres(9.0)), None);
    }

    proptest! {
        #[test]
        fn a_screw_that_fits_holds_and_does_no_harm(
            style in prop::sample::select(vec![
                FixingStyle::BoltAndNut, FixingStyle::Standoff, FixingStyle::Insert, FixingStyle::CaptiveNut,
                FixingStyle::WoodScrew, FixingStyle::Clip,
            ]),
            t in 0usize..12, gap in 0.0f64..30.0, flange in 0.5f64..8.0, board in 3.0f64..18.0,
        ) {
            let thread = Thread::ALL[t];
            let f = fixing(style, thread, Head::Pan, gap, flange);
            let board = Millimetres(board);
            let screws = screws(&f, thread, Face::Back, board);
            prop_assert!(!screws.is_empty());
            if let Some((FastenerKind::ScrewEnd, ..)) = shows(&f, thread, Face::Back, board) {
                prop_assert!(!screws[0].fits, "it comes out: {:?}", screws[0]);
            }
            if style == FixingStyle::Standoff && screws.iter().all(|s| s.fits) {
                let inside: f64 = screws.iter().map(|s| (s.length - s.grip).0).sum();
                prop_assert!(inside <= gap + 1e-6, "they meet: {inside} in {gap}");
            }
            for s in screws.iter().filter(|s| s.fits) {
                prop_assert!(s.length.0 >= s.least.0 - 1e-6);
                prop_assert!(s.least >= s.grip);
                if let Some(most) = s.most {
                    prop_assert!(s.length.0 <= most.0 + 1e-6);
                }
            }
        }
    }
}
