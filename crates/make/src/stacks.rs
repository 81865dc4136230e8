//! What holds each part at each of its holes. How long the screw is, [`held`] decides.

use crate::holes::Want;
use crate::making::{Hole, Piece, ScrewChoice, Stack, Work};
use loomdeck_model::part_type::{Fixing, FixingStyle, Head, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Place, PlugPlace, Robot, Subject};
use loomdeck_space::held;

/// Stacks for every mounting hole, in the order of the wants (`place_of` leads from want to hole), then
/// for what is stuck on.
pub fn stacks(robot: &Robot, wants: &[Want], place_of: &[usize]) -> Vec<Stack> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut stacks = Vec::new();
    // The wants of one thing follow one another, so it is looked up once.
    let mut known: Option<(&Subject, Option<Held<'_>>)> = None;
    for (want, hole) in wants.iter().zip(place_of) {
        let Some(mount_hole) = want.mount_hole else { continue };
        let subject = &want.purpose.subject;
        if known.as_ref().is_none_or(|(of, _)| *of != subject) {
            known = Some((subject, Held::of(robot, subject)));
        }
        let Some((_, Some(held))) = &known else { continue };
        let comes_off = held.comes_off.get(mount_hole).copied().unwrap_or(true);
        stacks.extend(stack(held.fixing, want, board.thickness, *hole, comes_off));
    }
    stacks.extend(stuck(robot));
    stacks
}

/// How a thing is held, and at which of its holes it comes off.
struct Held<'a> {
    fixing: &'a Fixing,
    comes_off: Vec<bool>,
}

impl<'a> Held<'a> {
    fn of(robot: &'a Robot, subject: &Subject) -> Option<Self> {
        let fixing = fixing_of(robot, subject)?;
        let kind = match subject {
            Subject::Part(name) => robot.parts[robot.part(name)?.0].kind,
            Subject::Plug(name) => robot.plugs.iter().find(|p| p.name == *name)?.family,
            _ => return None,
        };
        Some(Self { fixing, comes_off: held::end_comes_off(fixing, &robot.types[kind.0].holes) })
    }
}

/// What is stuck to the board: no hole, no screw, and its mount stays.
fn stuck(robot: &Robot) -> Vec<Stack> {
    let parts = robot.parts.iter().map(|p| Subject::Part(p.name.clone()));
    let plugs = robot.plugs.iter().map(|p| Subject::Plug(p.name.clone()));
    let sticks = |s: &Subject| fixing_of(robot, s).is_some_and(|f| f.style == FixingStyle::Adhesive);
    let stack = |subject| Stack {
        subject,
        hole: None,
        style: FixingStyle::Adhesive,
        pieces: vec![Piece::AdhesiveMount],
        stays: vec![true],
        screws: Vec::new(),
    };
    parts.chain(plugs).filter(sticks).map(stack).collect()
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
fn stack(
    fixing: &Fixing,
    want: &Want,
    board: Millimetres,
    hole: usize,
    comes_off: bool,
) -> Option<Stack> {
    let thread = fixing.thread?;
    let screws = held::screws(fixing, thread, want.face, board);
    let (pieces, stays) = pieces(fixing, thread, &screws, comes_off)?.into_iter().unzip();
    Some(Stack {
        subject: want.purpose.subject.clone(),
        hole: Some(hole),
        style: fixing.style,
        pieces,
        stays,
        screws,
    })
}

/// The pieces that go with the screws, in the order in which they go on from the screw's head, and whether
/// each stays on the board when the part comes off. The screw of a turned bolt comes from the far face, and
/// its washer and nut lie on the part.
fn pieces(
    fixing: &Fixing,
    thread: Thread,
    screws: &[ScrewChoice],
    comes_off: bool,
) -> Option<Vec<(Piece, bool)>> {
    let first = screws.first()?;
    let screw = |head, choice: &ScrewChoice| Piece::Screw { thread, head, length: choice.length };
    let through = screw(held::head_of(fixing), first);
    let spacer = (fixing.standoff.0 > 0.0).then_some(Piece::Spacer { thread, length: fixing.standoff });
    let nut = [Piece::Washer { thread }, Piece::Nut { thread }];
    // A printed holder with its screw.
    let holder = |what, stays: bool| {
        let pieces = [Piece::Printed { what }, through.clone()].into_iter().chain(spacer.clone());
        pieces.chain(nut.clone()).map(|p| (p, stays)).collect()
    };
    let loose = |p: Piece| (p, false);
    Some(match fixing.style {
        FixingStyle::Standoff if fixing.standoff.0 > 0.0 => {
            let near = screws.get(1)?;
            let standoff = Piece::Standoff { thread, length: fixing.standoff };
            let near = screw(held::pan_for_flush(fixing.head), near);
            vec![(through, true), (standoff, true), (near, false)]
        }
        FixingStyle::BoltAndNut | FixingStyle::Standoff => {
            [through].into_iter().chain(spacer).chain(nut).map(loose).collect()
        }
        FixingStyle::CaptiveNut => {
            let pieces = [through].into_iter().chain(spacer).map(loose);
            pieces.chain([(Piece::CaptiveNut { thread }, true)]).collect()
        }
        FixingStyle::Insert => {
            let insert = [(Piece::Insert { thread }, true)];
            insert.into_iter().chain([through].into_iter().chain(spacer).map(loose)).collect()
        }
        // The module lifts out of its clip, and slides out from under the cleats whose screws stay.
        FixingStyle::Clip => holder("clip", true),
        FixingStyle::Cleat => holder("cleat", !comes_off),
        FixingStyle::Housing => holder("housing", false),
        FixingStyle::WoodScrew => {
            let screw = Piece::WoodScrew { diameter: thread.major(), length: first.length };
            [screw].into_iter().chain(spacer).map(loose).collect()
        }
        FixingStyle::Adhesive | FixingStyle::Loose => return None,
    })
}

/// Both screws of a standoff find a standard length.
pub fn standoff_fits(fixing: &Fixing, thread: Thread, board: Millimetres) -> bool {
    held::screws(fixing, thread, Face::Front, board).iter().all(|s| s.fits)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)]
mod tests {
    use super::*;

    fn fixing(style: FixingStyle, standoff: f64) -> Fixing {
        Fixing {
            style,
            thread: Some(Thread::M3),
            head: Head::Countersunk,
            standoff: Millimetres(standoff),
            flange: Millimetres(1.6),
            turned: false,
            sunk: false,
            slides: None,
        }
    }

    fn of(f: &Fixing, comes_off: bool) -> Option<Vec<(Piece, bool)>> {
        let screws = held::screws(f, Thread::M3, Face::Front, Millimetres(9.0));
        pieces(f, Thread::M3, &screws, comes_off)
    }

    fn staying(f: &Fixing, comes_off: bool) -> Vec<Piece> {
        of(f, comes_off).unwrap().into_iter().filter(|(_, stays)| *stays).map(|(p, _)| p).collect()
    }

    #[test]
    fn pieces_go_on_in_order() {
        let thread = Thread::M3;
        // 1.6 + 5 + 9 + washer 0.5 + nut 2.4 + pitch 0.5 = 19: 20 mm; a clip has no seat for a flush head.
        let length = Millimetres(20.0);
        let clip: Vec<Piece> =
            of(&fixing(FixingStyle::Clip, 5.0), true).unwrap().into_iter().map(|(p, _)| p).collect();
        assert_eq!(
            clip,
            [
                Piece::Printed { what: "clip" },
                Piece::Screw { thread, head: Head::Pan, length },
                Piece::Spacer { thread, length: Millimetres(5.0) },
                Piece::Washer { thread },
                Piece::Nut { thread },
            ]
        );
        let standoff = of(&fixing(FixingStyle::Standoff, 8.0), true).unwrap();
        assert!(matches!(standoff[0].0, Piece::Screw { head: Head::Countersunk, .. }));
        assert!(matches!(standoff[2].0, Piece::Screw { head: Head::Pan, .. }));
        assert_eq!(of(&fixing(FixingStyle::Adhesive, 0.0), true), None);
    }

    #[test]
    fn what_stays_on_the_board_is_what_the_part_leaves_there() {
        let thread = Thread::M3;
        assert_eq!(staying(&fixing(FixingStyle::BoltAndNut, 0.0), true), []);
        assert_eq!(staying(&fixing(FixingStyle::Housing, 0.0), true), []);
        assert_eq!(staying(&fixing(FixingStyle::Insert, 0.0), true), [Piece::Insert { thread }]);
        assert_eq!(staying(&fixing(FixingStyle::CaptiveNut, 0.0), true), [Piece::CaptiveNut { thread }]);
        // Standoff and its countersunk screw from the far face.
        assert_eq!(staying(&fixing(FixingStyle::Standoff, 8.0), true).len(), 2);
        // The module lifts out of the clip; a cleat stays but for its removable end.
        assert_eq!(staying(&fixing(FixingStyle::Clip, 0.0), true).len(), 4);
        assert_eq!(staying(&fixing(FixingStyle::Cleat, 0.0), false).len(), 4);
        assert_eq!(staying(&fixing(FixingStyle::Cleat, 0.0), true), []);
    }

    #[test]
    fn what_stays_agrees_with_what_stands_on_the_faces() {
        // The space crate works out what stands on the bare board from the same fixing.
        for style in [
            FixingStyle::BoltAndNut,
            FixingStyle::Standoff,
            FixingStyle::Insert,
            FixingStyle::CaptiveNut,
            FixingStyle::Clip,
            FixingStyle::Cleat,
            FixingStyle::Housing,
            FixingStyle::WoodScrew,
        ] {
            for (turned, comes_off) in [(false, false), (false, true), (true, false), (true, true)] {
                let f = Fixing { turned, ..fixing(style, 8.0) };
                let todo = held::steps(&f, Thread::M3, Face::Front, Millimetres(9.0), comes_off);
                assert_eq!(todo.prepare.is_empty(), staying(&f, comes_off).is_empty(), "{style:?}");
            }
        }
    }

    #[test]
    fn a_turned_bolt_is_put_in_from_the_far_face() {
        let f = Fixing { turned: true, head: Head::Pan, ..fixing(FixingStyle::BoltAndNut, 0.0) };
        let screws = held::screws(&f, Thread::M3, Face::Front, Millimetres(9.0));
        assert_eq!(screws[0].turned_from, Face::Back);
        assert!(matches!(of(&f, true).unwrap().last(), Some((Piece::Nut { .. }, false))));
    }

    #[test]
    fn what_is_stuck_on_has_a_stack_of_its_own() {
        let robot = loomdeck_model::testing::robot(
            "format = 1\n[robot]\nname = \"tray\"\n[board]\nsize_mm = [400, 300]\nthickness_mm = 9\n\
             material = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 40\n[[type]]\nname = \"plate\"\n\
             size_mm = [40, 30]\nheight_mm = 12\nfixing = { style = \"adhesive\" }\n[[part]]\nname = \"a\"\n\
             type = \"plate\"\nface = \"front\"\nat_mm = [50, 50]\n",
        );
        let making = crate::study(&robot, &loomdeck_space::study(&robot));
        let [only] = &making.fasteners[..] else { panic!("{:?}", making.fasteners) };
        assert_eq!((only.hole, &only.pieces[..]), (None, &[Piece::AdhesiveMount][..]));
        let table = crate::table::fasteners(&making, loomdeck_model::LengthUnit::Mm);
        assert_eq!(table.rows.len(), 1);
        // Bought once, without spares.
        let lines = making.shopping.iter().filter(|l| l.item.contains("adhesive"));
        assert_eq!(lines.map(|l| l.buy).collect::<Vec<_>>(), [1.0]);
    }
}
