//! Lengths do not depend on how the files hold the board.
#![allow(clippy::unwrap_used)]

use super::{Frame, frames};
use crate::geometry::{Geometry, Leg};
use crate::route::tests::check_laws;
use crate::samples;
use loomdeck_model::part_type::Exit;
use loomdeck_model::testing::robot;
use loomdeck_model::units::Degrees;
use loomdeck_model::{Face, Folder, Outline, Place, Placement, PlugPlace, Point, Robot, read};
use proptest::prelude::*;
use std::path::Path;

/// The robot seen in a mirror: x becomes `width - x`. A front part becomes a part of mirrored kind,
/// which is the same as the same part with its type mirrored.
fn mirrored(robot: &Robot) -> Robot {
    let mut out = robot.clone();
    let board = out.board.as_mut().unwrap();
    let (low, high) = board.outline.bounds();
    let flip = |p: Point| Point::new(low.x + high.x - p.x, p.y);
    let flip_outline =
        |o: &Outline| Outline(o.0.iter().map(|p| Point::new(-p.x, p.y)).collect()).counter_clockwise();
    board.outline = Outline(board.outline.0.iter().map(|p| flip(*p)).collect()).counter_clockwise();
    board.passes.iter_mut().for_each(|p| p.at = flip(p.at));
    for kind in &mut out.types {
        kind.outline = flip_outline(&kind.outline);
        kind.holes.iter_mut().for_each(|h| h.at.x = -h.at.x);
        for t in &mut kind.terminals {
            t.at.x = -t.at.x;
            if let Exit::Along(d) = t.exit {
                t.exit = Exit::Along(Degrees((180.0 - d.0).rem_euclid(360.0)));
            }
        }
    }
    for part in &mut out.parts {
        if let Place::Board(p) = &mut part.place {
            p.at = flip(p.at);
            p.turn = Degrees((-p.turn.0).rem_euclid(360.0));
        }
    }
    out
}

/// The whole board turned counter-clockwise about the origin, then moved.
fn turned(robot: &Robot, by: f64, shift: Point) -> Robot {
    let mut out = robot.clone();
    let (s, c) = match by {
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        _ => by.to_radians().sin_cos(),
    };
    let to = |p: Point| Point::new(c * p.x - s * p.y + shift.x, s * p.x + c * p.y + shift.y);
    let all = |o: &mut Outline| o.0.iter_mut().for_each(|p| *p = to(*p));
    let place = |p: &mut Placement| {
        p.at = to(p.at);
        let by = if p.face == Face::Front { by } else { -by };
        p.turn = Degrees((p.turn.0 + by).rem_euclid(360.0));
    };
    let board = out.board.as_mut().unwrap();
    all(&mut board.outline);
    board.passes.iter_mut().for_each(|p| p.at = to(p.at));
    board.mounts.iter_mut().for_each(|m| m.at = to(m.at));
    board.keep_outs.iter_mut().for_each(|k| all(&mut k.outline));
    for part in &mut out.parts {
        if let Place::Board(p) = &mut part.place {
            place(p);
        }
    }
    for plug in &mut out.plugs {
        match &mut plug.place {
            PlugPlace::Fixed(p) => place(p),
            PlugPlace::Tail { at, .. } => *at = to(*at),
        }
    }
    out.zones.iter_mut().filter_map(|z| z.exit.as_mut()).for_each(|e| *e = to(*e));
    let pins = out.wires.iter_mut().flat_map(|w| &mut w.pins);
    pins.chain(out.looms.iter_mut().flat_map(|l| &mut l.pins)).for_each(|p| p.at = to(p.at));
    out
}

/// A sample whose parts are nudged and turned at random.
fn nudged(seed: &[(f64, f64, u8)]) -> Robot {
    let mut robot = robot(&samples::rows(12, 30));
    for (part, (dx, dy, turn)) in robot.parts.iter_mut().zip(seed) {
        if let Place::Board(p) = &mut part.place {
            p.at = Point::new(p.at.x + dx, p.at.y + dy);
            if *turn == 1 {
                // Half a turn about the middle of the box.
                let s = if p.face == Face::Front { 1.0 } else { -1.0 };
                p.at = Point::new(p.at.x + 40.0 * s, p.at.y + 30.0);
                p.turn = Degrees(180.0);
            }
        }
    }
    robot
}

/// A wire whose lengths differ.
fn differing(a: &Geometry, b: &Geometry, robot: &Robot) -> Option<String> {
    let unlike = |x: f64, y: f64| (x - y).abs() > 1e-6 * x.abs().max(1.0);
    a.wires.iter().zip(&b.wires).find_map(|(a, b)| {
        let alone = [a, b].map(|w| w.alone.map_or(0.0, |l| l.0));
        let tied = [a, b].map(|w| w.bundles.iter().map(|b| b.length.0).sum::<f64>());
        let differ = unlike(a.length.0, b.length.0)
            || unlike(a.cut.0, b.cut.0)
            || unlike(alone[0], alone[1])
            || unlike(tied[0], tied[1])
            || a.legs.len() != b.legs.len();
        differ.then(|| format!("{}: {} and {}", robot.wires[a.wire.0].name, a.length, b.length))
    })
}

/// The eight views by quarters and a mirror, two by any angle, and all of them moved.
fn views(robot: &Robot, angle: f64, shift: Point) -> Vec<(String, Robot)> {
    let mirror = mirrored(robot);
    let mut out = Vec::new();
    for (how, robot) in [("plain", robot), ("mirror", &mirror)] {
        for by in [0.0, 90.0, 180.0, 270.0, angle] {
            let shift = if by == 90.0 { Point::default() } else { shift };
            out.push((format!("{how}, {by} degrees"), turned(robot, by, shift)));
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    /// Every wire of a board is as long however the board is turned, moved or mirrored.
    #[test]
    fn lengths_do_not_depend_on_the_view(
        seed in proptest::collection::vec((-6.0..6f64, -6.0..6f64, 0u8..2), 12),
        angle in 0.0..360f64, x in -500.0..500f64, y in -500.0..500f64,
    ) {
        let robot = nudged(&seed);
        check_laws(&robot);
        let plain = crate::study(&robot);
        for (how, other) in views(&robot, angle, Point::new(x, y)) {
            let differs = differing(&plain, &crate::study(&other), &robot);
            prop_assert!(differs.is_none(), "{how}: {differs:?}");
        }
    }
}

/// A board whose parts all stand in rows, where nearly every choice is a tie.
#[test]
fn ties_are_decided_alike_in_every_view() {
    for (parts, wires) in [(12, 40), (40, 90)] {
        let robot = robot(&samples::rows(parts, wires));
        let plain = crate::study(&robot);
        for (how, other) in views(&robot, 31.0, Point::new(17.25, -4.5)) {
            let differs = differing(&plain, &crate::study(&other), &robot);
            assert!(differs.is_none(), "{how}: {differs:?}");
        }
    }
}

#[test]
fn the_demos_are_as_long_when_the_board_is_turned() {
    for demo in ["cart", "samovar"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(demo);
        let robot = read(&Folder::load(&folder).unwrap()).0.unwrap();
        let plain = crate::study(&robot);
        for (by, x, y) in [(90.0, 0.0, 0.0), (180.0, 12.5, -3.1), (270.0, 0.0, 900.0), (48.7, 3.0, 4.0)]
        {
            let other = crate::study(&turned(&robot, by, Point::new(x, y)));
            let differs = differing(&plain, &other, &robot);
            assert!(differs.is_none(), "{demo} by {by}: {differs:?}");
        }
    }
}

/// What the files name in whole steps stays where they name it, to the last bit; anything else within a
/// millionth of a millimetre.
#[test]
fn terminals_and_openings_stay_where_they_are() {
    let plain = robot(&samples::rows(12, 30));
    for (by, within) in [(0.0, 0.0), (90.0, 0.0), (180.0, 0.0), (23.0, 1e-6)] {
        let robot = turned(&plain, by, Point::new(0.1, 0.7));
        let geometry = crate::study(&robot);
        let bodies = geometry.faces.iter().flat_map(|f| &f.bodies);
        let terminals: Vec<Point> = bodies.flat_map(|b| &b.terminals).map(|t| t.at).collect();
        let passes: Vec<Point> = robot.board.iter().flat_map(|b| &b.passes).map(|p| p.at).collect();
        let mut looked = 0;
        for leg in geometry.wires.iter().flat_map(|w| &w.legs) {
            let (at, all) = match leg {
                Leg::Rise { at, .. } => (at, &terminals),
                Leg::Through { at, .. } => (at, &passes),
                _ => continue,
            };
            assert!(all.iter().any(|p| p.distance(*at) <= within), "{by}: {at:?}");
            looked += 1;
        }
        assert!(looked > 60);
    }
}

proptest! {
    /// There and back again.
    #[test]
    fn every_frame_leads_back(x in -900.0..900f64, y in -900.0..900f64, turn in 0.0..360f64) {
        let (s, c) = turn.to_radians().sin_cos();
        let corner = |x: f64, y: f64| Point::new(c * x - s * y, s * x + c * y);
        let board = Outline(vec![corner(0., 0.), corner(90., 0.), corner(90., 90.), corner(0., 90.)]);
        let all: Vec<Frame> = frames(&board);
        prop_assert_eq!(all.len(), 8);
        let p = Point::new(x, y);
        for frame in &all {
            prop_assert!(frame.back(frame.carry(p)).distance(p) < 1e-9);
            // The board lies above its lowest side and right of its origin.
            let corners = board.0.iter().map(|q| frame.carry(*q));
            prop_assert!(corners.clone().all(|q| q.x > -1e-9 && q.y > -1e-9));
            prop_assert!(corners.clone().filter(|q| q.y < 1e-9).count() == 2);
        }
    }
}
