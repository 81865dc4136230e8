//! Fixings as they are on the bench.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;
use crate::geometry::FastenerKind;
use loomdeck_model::Face;
use loomdeck_model::part_type::{Fixing, FixingStyle, Head, Thread};
use loomdeck_model::units::Millimetres;
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

/// What comes out on the far face: kind, diameter, height.
fn shows(
    f: &Fixing,
    t: Thread,
    face: Face,
    board: Millimetres,
) -> Option<(FastenerKind, Millimetres, Millimetres)> {
    let far = shown(f, t, face, board, true).into_iter().find(|s| s.face != face)?;
    Some((far.kind, far.diameter, far.top))
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
    let screws = screws(&f, Thread::M3, Face::Front, Millimetres(9.0));
    assert_eq!((screws[0].length, screws[1].length), (Millimetres(12.0), Millimetres(4.0)));
    assert!(screws.iter().all(|s| s.fits));
}

#[test]
fn no_length_between_twelve_and_sixteen() {
    // 10 + 2.4 to 10 + 3.6: 14 mm is a length to be avoided.
    let f = fixing(FixingStyle::Standoff, Thread::M3, Head::Pan, 6.0, 1.6);
    let screws = screws(&f, Thread::M3, Face::Front, Millimetres(10.0));
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

#[test]
fn a_turned_bolt_has_its_nut_on_the_part() {
    let f = fixing(FixingStyle::BoltAndNut, Thread::M4, Head::Pan, 0.0, 2.0);
    let turned = Fixing { turned: true, ..f.clone() };
    let board = Millimetres(9.0);
    let length = |f| screws(f, Thread::M4, Face::Front, board)[0].length;
    // Turned round, it clamps the same.
    assert_eq!(length(&f), length(&turned));
    let [far, near] = shown(&turned, Thread::M4, Face::Front, board, true)[..] else { panic!() };
    // ISO 7045: the pan head of M4 is 8 wide and 3.1 high at most.
    assert_eq!(
        (far.kind, far.face, far.diameter.0, far.top.0),
        (FastenerKind::ScrewHead, Face::Back, 8.0, 3.1)
    );
    assert_eq!((near.kind, near.face, near.base.0), (FastenerKind::Nut, Face::Front, 2.0));
    // 16 mm less flange and board leave 5 mm: more than washer and nut.
    assert!((near.top.0 - 7.0).abs() < 1e-9);
    let hold = &steps(&turned, Thread::M4, Face::Front, board, true).hold[0];
    assert_eq!((hold[0].work, hold[0].face), (Work::Screw(Head::Pan), Face::Back));
    assert_eq!((hold[1].work, hold[1].face, hold[1].seat.0), (Work::Nut, Face::Front, 2.0));
}

#[test]
fn a_sunk_nut_is_flush_where_the_board_is_thick_enough() {
    let f = Fixing { sunk: true, ..fixing(FixingStyle::CaptiveNut, Thread::M3, Head::Pan, 0.0, 2.0) };
    let thick = pocket(&f, Thread::M3, Face::Front, Millimetres(9.0)).unwrap();
    assert_eq!((thick.face, thick.depth.0, thick.proud.0), (Face::Back, 2.4, 0.0));
    // 2 + 9 - 2.4 clamped and 2.4 in the nut: 11 at least, so 12 mm, and 1 mm of its end stands out.
    let (kind, wide, high) = shows(&f, Thread::M3, Face::Front, Millimetres(9.0)).unwrap();
    assert_eq!((kind, wide.0), (FastenerKind::ScrewEnd, 3.0));
    assert!((high.0 - 1.0).abs() < 1e-9);
    // A board of 4 mm keeps 3 mm under the nut and takes 1 mm of its 2.4.
    let thin = pocket(&f, Thread::M3, Face::Front, Millimetres(4.0)).unwrap();
    assert!((thin.proud.0 - 1.4).abs() < 1e-9);
    assert_eq!(shows(&f, Thread::M3, Face::Front, Millimetres(4.0)).unwrap().0, FastenerKind::Nut);
}

#[test]
fn a_cleat_comes_off_at_the_end_it_slides_to() {
    use loomdeck_model::Point;
    use loomdeck_model::part_type::MountHole;
    use loomdeck_model::units::Degrees;
    let slides = Some(Degrees(0.0));
    let f = Fixing { slides, ..fixing(FixingStyle::Cleat, Thread::M3, Head::Pan, 0.0, 2.0) };
    let hole = |x, y| MountHole { at: Point::new(x, y), diameter: Millimetres(3.4) };
    let holes = [hole(4.0, 4.0), hole(36.0, 4.0), hole(36.0, 26.0), hole(20.0, 26.0)];
    assert_eq!(end_comes_off(&f, &holes), [false, true, true, false]);
    let board = Millimetres(9.0);
    let [stays, off] = [false, true].map(|o| steps(&f, Thread::M3, Face::Front, board, o));
    assert!(stays.hold.is_empty() && stays.prepare.len() == 2);
    assert!(off.prepare.is_empty() && off.hold[0].len() == 2);
    let bare = |o| shown(&f, Thread::M3, Face::Front, board, o).iter().all(|s| s.bare.is_some());
    assert!(bare(false) && !bare(true));
    // Without a direction every screw must come off.
    assert_eq!(end_comes_off(&Fixing { slides: None, ..f }, &holes), [true; 4]);
}

#[test]
fn each_way_of_fixing_says_what_stays() {
    let stays = |style, standoff: f64| -> Vec<(FastenerKind, bool, f64)> {
        let f = fixing(style, Thread::M3, Head::Pan, standoff, 2.0);
        let all = shown(&f, Thread::M3, Face::Front, Millimetres(9.0), true);
        let bare = |s: Shown| s.bare.map(|top| (s.kind, s.face == Face::Front, top.0));
        all.into_iter().filter_map(bare).collect()
    };
    assert_eq!(stays(FixingStyle::BoltAndNut, 5.0), []);
    assert_eq!(
        stays(FixingStyle::Standoff, 8.0),
        [(FastenerKind::ScrewHead, false, 2.4), (FastenerKind::Post, true, 8.0)]
    );
    // The nut alone: the screw that stood out of it is gone.
    assert_eq!(stays(FixingStyle::CaptiveNut, 0.0), [(FastenerKind::Nut, false, 2.4)]);
    assert_eq!(stays(FixingStyle::Insert, 0.0), []);
    assert_eq!(stays(FixingStyle::Housing, 0.0), []);
    let clip = stays(FixingStyle::Clip, 0.0);
    assert_eq!((clip.len(), clip[1].0), (2, FastenerKind::Foot));
    assert_eq!(stays(FixingStyle::Adhesive, 0.0), []);
}

proptest! {
    /// What is reached and what stands there tell the same story.
    #[test]
    fn steps_agree_with_what_is_shown(
        style in prop::sample::select(vec![
            FixingStyle::BoltAndNut, FixingStyle::Standoff, FixingStyle::Insert, FixingStyle::CaptiveNut,
            FixingStyle::WoodScrew, FixingStyle::Clip, FixingStyle::Cleat, FixingStyle::Housing,
            FixingStyle::Adhesive, FixingStyle::Loose,
        ]),
        head in prop::sample::select(vec![Head::Pan, Head::Socket, Head::Countersunk]),
        (turned, sunk, off) in (any::<bool>(), any::<bool>(), any::<bool>()),
        t in 0usize..12, gap in 0.0f64..30.0, flange in 0.5f64..8.0, board in 3.0f64..18.0,
    ) {
        let thread = Thread::ALL[t];
        let f = Fixing { turned, sunk, ..fixing(style, thread, head, gap, flange) };
        let board = Millimetres(board);
        let all = shown(&f, thread, Face::Front, board, off);
        let todo = steps(&f, thread, Face::Front, board, off);
        // Something stays on the board exactly where something is prepared; an insert lies within it.
        let stays = all.iter().any(|s| s.bare.is_some());
        let hidden = style == FixingStyle::Insert
            || (style == FixingStyle::CaptiveNut && pocket(&f, thread, Face::Front, board).is_some());
        prop_assert!(stays != todo.prepare.is_empty() || hidden, "{all:?} {todo:?}");
        for s in &all {
            prop_assert!(s.base <= s.top && s.bare.is_none_or(|b| b <= s.top + Millimetres(1e-9)));
        }
        // Every way to hold it turns something that is to be seen on the face where it is reached.
        for d in todo.hold.iter().flatten().filter(|d| d.work != Work::Clip) {
            let seen = all.iter().any(|s| s.face == d.face && s.top.0 >= d.seat.0 - 1e-9);
            prop_assert!(seen, "{d:?} {all:?}");
        }
        // A bolt and its nut are reached from two faces at once.
        for way in &todo.hold {
            if way.len() == 2 {
                prop_assert!(way[0].face != way[1].face);
            }
        }
    }

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
