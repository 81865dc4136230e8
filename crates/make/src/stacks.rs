//! What holds each part at each of its holes. How long the screw is, [`held`] decides.

use crate::holes::Want;
use crate::making::{Hole, Piece, ScrewChoice, Stack, Work};
use loomdeck_model::part_type::{Fixing, FixingStyle, Head, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Place, PlugPlace, Robot, Subject};
use loomdeck_space::held;

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

/// By hole, the thread of the countersunk screw whose seat it has.
pub fn countersunk_threads(robot: &Robot, holes: &[Hole]) -> Vec<Option<Thread>> {
    let sunk = |hole: &Hole| hole.work.iter().any(|w| matches!(w, Work::Countersink { .. }));
    let thread = |hole: &Hole| {
        let fixings = hole.uses.iter().filter_map(|u| fixing_of(robot, &u.subject));
        fixings.filter(|f| f.head == Head::Countersunk).find_map(|f| f.thread)
    };
    holes.iter().map(|h| if sunk(h) { thread(h) } else { None }).collect()
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
            matches!(plug.place, PlugPlace::Fixed(_)).then_some(&plug.fixing)
        }
        _ => None,
    }
}

/// The stack at one hole; `None` without a thread, when the builder takes what the part came with.
fn stack(fixing: &Fixing, want: &Want, board: Millimetres, hole: usize) -> Option<Stack> {
    let thread = fixing.thread?;
    let screws = held::screws(fixing, thread, want.face, board);
    let pieces = pieces(fixing, thread, &screws)?;
    Some(Stack {
        subject: want.purpose.subject.clone(),
        hole: Some(hole),
        style: fixing.style,
        pieces,
        screws,
    })
}

/// The pieces that go with the screws, in the order in which they go on.
fn pieces(fixing: &Fixing, thread: Thread, screws: &[ScrewChoice]) -> Option<Vec<Piece>> {
    let first = screws.first()?;
    let screw = |head, choice: &ScrewChoice| Piece::Screw { thread, head, length: choice.length };
    let through = screw(held::head_of(fixing), first);
    let spacer = (fixing.standoff.0 > 0.0).then_some(Piece::Spacer { thread, length: fixing.standoff });
    let nut = [Piece::Washer { thread }, Piece::Nut { thread }];
    let printed = |what| Some(Piece::Printed { what });
    let (before, after): (Option<Piece>, Vec<Piece>) = match fixing.style {
        FixingStyle::Standoff if fixing.standoff.0 > 0.0 => {
            let near = screws.get(1)?;
            let standoff = Piece::Standoff { thread, length: fixing.standoff };
            return Some(vec![through, standoff, screw(held::pan_for_flush(fixing.head), near)]);
        }
        FixingStyle::BoltAndNut | FixingStyle::Standoff => (None, nut.to_vec()),
        FixingStyle::CaptiveNut => (None, vec![Piece::CaptiveNut { thread }]),
        FixingStyle::Insert => (Some(Piece::Insert { thread }), Vec::new()),
        FixingStyle::Clip => (printed("clip"), nut.to_vec()),
        FixingStyle::Cleat => (printed("cleat"), nut.to_vec()),
        FixingStyle::Housing => (printed("housing"), nut.to_vec()),
        FixingStyle::WoodScrew => {
            let screw = Piece::WoodScrew { diameter: thread.major(), length: first.length };
            return Some([screw].into_iter().chain(spacer).collect());
        }
        FixingStyle::Adhesive | FixingStyle::Loose => return None,
    };
    Some(before.into_iter().chain([through]).chain(spacer).chain(after).collect())
}

/// Both screws of a standoff find a standard length.
pub fn standoff_fits(fixing: &Fixing, thread: Thread, board: Millimetres) -> bool {
    held::screws(fixing, thread, Face::Front, board).iter().all(|s| s.fits)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn pieces_go_on_in_order() {
        let fixing = |style, standoff| Fixing {
            style,
            thread: Some(Thread::M3),
            head: Head::Countersunk,
            standoff: Millimetres(standoff),
            flange: Millimetres(1.6),
            turned: false,
            sunk: false,
            slides: None,
        };
        let thread = Thread::M3;
        let of = |f: &Fixing| {
            let screws = held::screws(f, thread, Face::Front, Millimetres(9.0));
            pieces(f, thread, &screws)
        };
        // 1.6 + 5 + 9 + washer 0.5 + nut 2.4 + pitch 0.5 = 19: 20 mm; a clip has no seat for a flush head.
        let length = Millimetres(20.0);
        assert_eq!(
            of(&fixing(FixingStyle::Clip, 5.0)).unwrap(),
            [
                Piece::Printed { what: "clip" },
                Piece::Screw { thread, head: Head::Pan, length },
                Piece::Spacer { thread, length: Millimetres(5.0) },
                Piece::Washer { thread },
                Piece::Nut { thread },
            ]
        );
        let standoff = of(&fixing(FixingStyle::Standoff, 8.0)).unwrap();
        assert!(matches!(standoff[0], Piece::Screw { head: Head::Countersunk, .. }));
        assert!(matches!(standoff[2], Piece::Screw { head: Head::Pan, .. }));
        assert_eq!(of(&fixing(FixingStyle::Adhesive, 0.0)), None);
    }
}
