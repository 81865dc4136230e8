//! Helpers of the findings' tests, and the pages' own.
#![allow(clippy::unwrap_used, clippy::panic)]

use loomdeck_model::testing::robot;
use loomdeck_model::{
    Edit, EditValue, Finding, Page, Place, PlugPlace, Remedy, Robot, Severity, Subject,
};

/// The robot of a text and what is found about it.
pub fn found(text: &str) -> (Robot, Vec<Finding>) {
    let robot = robot(text);
    let geometry = crate::study(&robot);
    let all = all_found(&robot, &geometry);
    (robot, all)
}

/// Findings of the live tier and of the order of work.
pub fn all_found(robot: &Robot, geometry: &crate::Geometry) -> Vec<Finding> {
    let mut all = crate::findings(robot, geometry);
    all.extend(crate::order::findings(robot, geometry, &crate::order::study(robot, geometry)));
    Finding::sort(&mut all);
    all
}

fn pages() -> impl Iterator<Item = &'static Page> {
    super::PAGES.iter().copied().flatten()
}

/// How many findings of a kind.
pub fn count(text: &str, slug: &str) -> usize {
    found(text).1.iter().filter(|f| f.slug == slug).count()
}

/// The robot with the moves of a remedy carried out.
pub fn place(robot: &Robot, remedy: &Remedy) -> Robot {
    let mut out = robot.clone();
    for edit in &remedy.edits {
        let Edit::Set { on, key, value: EditValue::Point(at) } = edit else {
            panic!("not a move: {edit:?}")
        };
        assert_eq!(key, "at");
        match on {
            Subject::Part(name) => {
                let part = out.parts.iter_mut().find(|p| p.name == *name).unwrap();
                let Place::Board(place) = &mut part.place else { panic!("{name} is in a zone") };
                place.at = *at;
            }
            Subject::Plug(name) => {
                let plug = out.plugs.iter_mut().find(|p| p.name == *name).unwrap();
                let PlugPlace::Fixed(place) = &mut plug.place else { panic!("{name} has a tail") };
                place.at = *at;
            }
            other => panic!("cannot move {other:?}"),
        }
    }
    out
}

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    for page in pages() {
        let before = found(page.before).1;
        let hits: Vec<&Finding> = before.iter().filter(|f| f.slug == page.slug).collect();
        assert!(!hits.is_empty(), "{} is not found before", page.slug);
        assert!(hits.iter().all(|f| f.severity >= page.severity), "{}", page.slug);
        for f in hits {
            assert!(f.severity > Severity::Fix || !f.remedies.is_empty(), "{}", page.slug);
            assert!(!f.values.is_empty() || f.slug == "wire-cannot-be-routed", "{}", page.slug);
        }
        let after = found(page.after).1;
        let left: Vec<&Finding> = after.iter().filter(|f| f.slug == page.slug).collect();
        assert!(left.is_empty(), "{} is still found: {left:?}", page.slug);
    }
}

#[test]
fn moves_that_are_offered_remove_their_finding() {
    let mut tried = 0;
    for page in pages() {
        let (robot, all) = found(page.before);
        for f in all.iter().filter(|f| f.slug == page.slug) {
            for remedy in &f.remedies {
                let moves = !remedy.edits.is_empty()
                    && remedy.edits.iter().all(|e| {
                        matches!(
                            e,
                            Edit::Set {
                                on: Subject::Part(_) | Subject::Plug(_),
                                value: EditValue::Point(_),
                                ..
                            }
                        )
                    });
                if !moves {
                    continue;
                }
                let mended = place(&robot, remedy);
                let geometry = crate::study(&mended);
                let left = all_found(&mended, &geometry);
                let same = left.iter().any(|g| g.slug == f.slug && g.subjects == f.subjects);
                assert!(!same, "{}: {}", page.slug, remedy.text);
                tried += 1;
            }
        }
    }
    assert!(tried >= 6, "only {tried} moves");
}

/// A direction seen in a mirror.
fn turned_over(exit: loomdeck_model::part_type::Exit) -> loomdeck_model::part_type::Exit {
    use loomdeck_model::{part_type::Exit, units::Degrees};
    match exit {
        Exit::Up => Exit::Up,
        Exit::Along(d) => Exit::Along(Degrees((180.0 - d.0).rem_euclid(360.0))),
    }
}

fn mirror_slide(fixing: &mut loomdeck_model::part_type::Fixing) {
    fixing.slides =
        fixing.slides.map(|d| loomdeck_model::units::Degrees((180.0 - d.0).rem_euclid(360.0)));
}

/// A board seen in a mirror has the same findings with the same numbers.
#[test]
fn findings_do_not_depend_on_the_view() {
    use loomdeck_model::{Outline, Point, part_type::Exit, units::Degrees};
    let mut compared = 0;
    for page in pages() {
        let (robot, all) = found(page.before);
        let mut other = robot.clone();
        let board = other.board.as_mut().unwrap();
        let (low, high) = board.outline.bounds();
        let flip = |p: Point| Point::new(low.x + high.x - p.x, p.y);
        let mirror = |o: &Outline, f: &dyn Fn(Point) -> Point| {
            Outline(o.0.iter().map(|p| f(*p)).collect()).counter_clockwise()
        };
        board.outline = mirror(&board.outline, &flip);
        board.passes.iter_mut().for_each(|p| p.at = flip(p.at));
        board.mounts.iter_mut().for_each(|m| m.at = flip(m.at));
        for k in &mut board.keep_outs {
            k.outline = mirror(&k.outline, &flip);
        }
        for kind in &mut other.types {
            kind.outline = mirror(&kind.outline, &|p| Point::new(-p.x, p.y));
            kind.holes.iter_mut().for_each(|h| h.at.x = -h.at.x);
            for t in &mut kind.terminals {
                t.at.x = -t.at.x;
                if let Exit::Along(d) = t.exit {
                    t.exit = Exit::Along(Degrees((180.0 - d.0).rem_euclid(360.0)));
                }
                t.screw = t.screw.map(turned_over);
            }
            for need in &mut kind.reach {
                need.at.x = -need.at.x;
                need.towards = turned_over(need.towards);
            }
            mirror_slide(&mut kind.fixing);
        }
        for part in &mut other.parts {
            mirror_slide(&mut part.fixing);
            if let Place::Board(p) = &mut part.place {
                p.at = flip(p.at);
                p.turn = Degrees((-p.turn.0).rem_euclid(360.0));
            }
        }
        for plug in &mut other.plugs {
            if let PlugPlace::Fixed(p) = &mut plug.place {
                p.at = flip(p.at);
                p.turn = Degrees((180.0 - p.turn.0).rem_euclid(360.0));
            }
        }
        let geometry = crate::study(&other);
        let mirrored = all_found(&other, &geometry);
        assert_eq!(all.len(), mirrored.len(), "{}", page.slug);
        for (a, b) in all.iter().zip(&mirrored) {
            assert_eq!((a.slug, a.severity, &a.subjects), (b.slug, b.severity, &b.subjects));
            for (key, x) in &a.values {
                assert!((x - b.values[key]).abs() < 1e-6, "{} {key}: {x} {}", a.slug, b.values[key]);
            }
            compared += 1;
        }
    }
    assert!(compared >= 20);
}
