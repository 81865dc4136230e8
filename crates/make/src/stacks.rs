//! What holds each part at each of its holes, and how long the screw must be.

use crate::holes::Want;
use crate::making::{Piece, ScrewChoice, Stack};
use crate::screw;
use loomdeck_model::part_type::{Fixing, FixingStyle, Head, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Place, PlugPlace, Robot, Subject};
use loomdeck_space::hardware;

/// Stacks for every mounting hole, in the order of the wants; `place_of` leads from want to hole.
pub fn stacks(robot: &Robot, wants: &[Want], place_of: &[usize]) -> Vec<Stack> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut stacks = Vec::new();
    // The wants of one thing follow one another, so its fixing is looked up once.
    let mut known: Option<(&Subject, Option<&Fixing>)> = None;
    for (want, hole) in wants.iter().zip(place_of).filter(|(w, _)| w.mount_hole.is_some()) {
        let subject = &want.purpose.subject;
        let fixing = match known {
            Some((of, fixing)) if of == subject => fixing,
            _ => fixing_of(robot, subject),
        };
        known = Some((subject, fixing));
        stacks.extend(fixing.and_then(|f| stack(f, want, board.thickness, *hole)));
    }
    stacks
}

/// How a part or a fixed plug is held.
pub fn fixing_of<'a>(robot: &'a Robot, subject: &Subject) -> Option<&'a Fixing> {
    match subject {
        Subject::Part(name) => {
            let part = &robot.parts[robot.part(name)?.0];
            matches!(part.place, Place::Board(_)).then_some(&part.fixing)
        }
        Subject::Plug(name) => {
            let plug = robot.plugs.iter().find(|p| p.name == *name)?;
            matches!(plug.place, PlugPlace::Fixed(_)).then(|| &robot.types[plug.family.0].fixing)
        }
        _ => None,
    }
}

/// The stack at one hole; `None` without a thread, when the builder takes what the part came with.
fn stack(fixing: &Fixing, want: &Want, board: Millimetres, hole: usize) -> Option<Stack> {
    let thread = fixing.thread?;
    let face = want.face;
    let (pieces, screws) = match fixing.style {
        FixingStyle::Standoff if fixing.standoff.0 > 0.0 => standoff(fixing, thread, face, board),
        FixingStyle::BoltAndNut | FixingStyle::Standoff => bolt(fixing, thread, face, board),
        FixingStyle::CaptiveNut => captive(fixing, thread, face, board),
        FixingStyle::Insert => insert(fixing, thread, face, board),
        FixingStyle::Clip => printed("clip", fixing, thread, face, board),
        FixingStyle::Cleat => printed("cleat", fixing, thread, face, board),
        FixingStyle::Housing => printed("housing", fixing, thread, face, board),
        FixingStyle::WoodScrew => wood(fixing, thread, face, board),
        FixingStyle::Adhesive | FixingStyle::Loose => return None,
    };
    Some(Stack {
        subject: want.purpose.subject.clone(),
        hole: Some(hole),
        style: fixing.style,
        pieces,
        screws,
    })
}

type Parts = (Vec<Piece>, Vec<ScrewChoice>);

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

const fn screw_piece(thread: Thread, head: Head, choice: &ScrewChoice) -> Piece {
    Piece::Screw { thread, head, length: choice.length }
}

fn spacer(fixing: &Fixing, thread: Thread) -> Option<Piece> {
    (fixing.standoff.0 > 0.0).then_some(Piece::Spacer { thread, length: fixing.standoff })
}

/// Through part and board. A countersunk head is flush in the far face and the nut is on the part;
/// other heads sit on the part and the nut on the far face.
fn bolt(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> Parts {
    let washer = hardware::washer(thread).thickness;
    let grip = fixing.flange + fixing.standoff + board + washer;
    let flush = fixing.head == Head::Countersunk;
    let from = if flush { face.other() } else { face };
    let screw = choice(thread, grip, past_the_nut(thread), None, from);
    let mut pieces = vec![screw_piece(thread, fixing.head, &screw)];
    pieces.extend(spacer(fixing, thread));
    pieces.extend([Piece::Washer { thread }, Piece::Nut { thread }]);
    (pieces, vec![screw])
}

/// The nut waits in the far face; no washer fits under it.
fn captive(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> Parts {
    let grip = fixing.flange + fixing.standoff + board;
    let screw = choice(thread, grip, past_the_nut(thread), None, face);
    let mut pieces = vec![screw_piece(thread, fixing.head, &screw)];
    pieces.extend(spacer(fixing, thread));
    pieces.push(Piece::CaptiveNut { thread });
    (pieces, vec![screw])
}

/// A printed holder with the part in it, bolted through the board.
fn printed(
    what: &'static str,
    fixing: &Fixing,
    thread: Thread,
    face: Face,
    board: Millimetres,
) -> Parts {
    let (mut pieces, screws) =
        bolt(&Fixing { head: pan_for_flush(fixing.head), ..fixing.clone() }, thread, face, board);
    pieces.insert(0, Piece::Printed { what });
    (pieces, screws)
}

/// A printed foot has no seat for a countersunk head.
const fn pan_for_flush(head: Head) -> Head {
    match head {
        Head::Countersunk => Head::Pan,
        other => other,
    }
}

/// One screw from the far face into the standoff, one through the part into its other end. Each needs its
/// turns, and together they may not meet inside.
fn standoff(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> Parts {
    let turns = engaged(thread).min(fixing.standoff / 2.0);
    let room = fixing.standoff - turns;
    let far = choice(thread, board, turns, Some(board + room), face.other());
    let taken = (far.length - board).max(turns).min(room);
    let left = fixing.standoff - taken;
    let near = choice(thread, fixing.flange, turns, Some(fixing.flange + left), face);
    let pieces = vec![
        screw_piece(thread, fixing.head, &far),
        Piece::Standoff { thread, length: fixing.standoff },
        screw_piece(thread, pan_for_flush(fixing.head), &near),
    ];
    (pieces, vec![far, near])
}

/// Both screws of a standoff find a standard length.
pub fn standoff_fits(fixing: &Fixing, thread: Thread, board: Millimetres) -> bool {
    standoff(fixing, thread, Face::Front, board).1.iter().all(|s| s.fits)
}

/// Into an insert in the board; the screw may not come out of the other face.
fn insert(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> Parts {
    let grip = fixing.flange + fixing.standoff;
    let screw = choice(thread, grip, engaged(thread).min(board), Some(grip + board), face);
    let mut pieces = vec![Piece::Insert { thread }, screw_piece(thread, fixing.head, &screw)];
    pieces.extend(spacer(fixing, thread));
    (pieces, vec![screw])
}

/// Into the board itself, twice the thread's diameter deep at least (common practice), and a little
/// less than through.
fn wood(fixing: &Fixing, thread: Thread, face: Face, board: Millimetres) -> Parts {
    let grip = fixing.flange + fixing.standoff;
    let bite = board - crate::holes::FLOOR;
    let least = grip + (thread.major() * 2.0).min(bite);
    let most = grip + bite;
    let (length, fits) = screw::choose(&screw::WOOD_LENGTHS, least, Some(most));
    let choice = ScrewChoice { grip, least, most: Some(most), length, fits, turned_from: face };
    let mut pieces = vec![Piece::WoodScrew { diameter: thread.major(), length }];
    pieces.extend(spacer(fixing, thread));
    (pieces, vec![choice])
}

#[cfg(test)]
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
        }
    }

    #[test]
    fn a_bolt_is_reckoned_as_on_the_bench() {
        // M4, flange 2, board 9, washer 0.8, nut 3.2, one pitch 0.7: 15.7, so 16 mm.
        let f = fixing(FixingStyle::BoltAndNut, Thread::M4, Head::Pan, 0.0, 2.0);
        let (pieces, screws) = bolt(&f, Thread::M4, Face::Front, Millimetres(9.0));
        assert!((screws[0].least.0 - 15.7).abs() < 1e-9);
        assert_eq!(screws[0].length, Millimetres(16.0));
        assert_eq!(screws[0].turned_from, Face::Front);
        assert_eq!(pieces.len(), 3);
    }

    #[test]
    fn a_flush_head_is_turned_from_the_far_face() {
        let f = fixing(FixingStyle::BoltAndNut, Thread::M3, Head::Countersunk, 0.0, 1.6);
        let (_, screws) = bolt(&f, Thread::M3, Face::Front, Millimetres(6.0));
        assert_eq!(screws[0].turned_from, Face::Back);
    }

    #[test]
    fn both_screws_of_a_standoff_leave_each_other_room() {
        // M3 x 8 standoff under a 1.6 mm circuit board on 9 mm: 9 + 2.4 to 9 + 5.6 from behind, so 12 mm,
        // which fills 3 mm; 1.6 + 2.4 to 1.6 + 5 from above, so 4 mm.
        let f = fixing(FixingStyle::Standoff, Thread::M3, Head::Pan, 8.0, 1.6);
        let (_, screws) = standoff(&f, Thread::M3, Face::Front, Millimetres(9.0));
        assert_eq!((screws[0].length, screws[1].length), (Millimetres(12.0), Millimetres(4.0)));
        assert!(screws.iter().all(|s| s.fits));
    }

    #[test]
    fn no_length_between_twelve_and_sixteen() {
        // 10 + 2.4 to 10 + 3.6: 14 mm is a length to be avoided.
        let f = fixing(FixingStyle::Standoff, Thread::M3, Head::Pan, 6.0, 1.6);
        let (_, screws) = standoff(&f, Thread::M3, Face::Front, Millimetres(10.0));
        assert!(!screws[0].fits, "{:?}", screws[0]);
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
            let (pieces, screws) = match style {
                FixingStyle::Standoff => standoff(&f, thread, Face::Back, board),
                FixingStyle::Insert => insert(&f, thread, Face::Back, board),
                FixingStyle::CaptiveNut => captive(&f, thread, Face::Back, board),
                FixingStyle::WoodScrew => wood(&f, thread, Face::Back, board),
                FixingStyle::Clip => printed("clip", &f, thread, Face::Back, board),
                _ => bolt(&f, thread, Face::Back, board),
            };
            prop_assert!(!pieces.is_empty());
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
