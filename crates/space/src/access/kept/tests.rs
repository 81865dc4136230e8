//! After any edits, reach is what it would be from nothing.
#![allow(clippy::unwrap_used)]

use crate::access::{Access, Job, Way, access};
use crate::faces::faces;
use crate::findings::robot as small;
use crate::geometry::Geometry;
use crate::{Before, Kept};
use loomdeck_model::part_type::{FixingStyle, Head};
use loomdeck_model::testing::robot;
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Face, Folder, Half, Landing, Place, PlugPlace, Robot, read};
use proptest::prelude::*;
use std::path::Path;
use std::sync::LazyLock;

/// The demos and the small robots.
static ROBOTS: LazyLock<Vec<Robot>> = LazyLock::new(|| {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let demos = ["cart", "samovar", "samovar-first-try"].map(|d| root.join("demos").join(d));
    let mut all: Vec<Robot> =
        demos.iter().map(|at| read(&Folder::load(at).unwrap()).0.unwrap()).collect();
    for room in ["access", "bend", "order", "rest", "space"] {
        let mut files: Vec<_> = std::fs::read_dir(root.join("tests/robots").join(room))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .collect();
        files.sort();
        let texts = files.iter().map(|at| std::fs::read_to_string(at).unwrap());
        all.extend(texts.filter_map(|text| read(&Folder::single(text)).0));
    }
    assert!(all.len() > 30);
    all
});

/// What the next study is given of one.
struct Studied {
    robot: Robot,
    geometry: Geometry,
    kept: Kept,
}

fn studied(robot: Robot, before: Option<&Studied>) -> Studied {
    let views = faces(&robot);
    let before = before.map(|b| Before { robot: &b.robot, geometry: &b.geometry, kept: &b.kept });
    let (access, kept) = access(&robot, &views, before);
    let geometry = Geometry { access, faces: views, ..Geometry::default() };
    Studied { robot, geometry, kept: Kept { access: kept, ..Kept::default() } }
}

fn from_nothing(robot: &Robot) -> Access {
    access(robot, &faces(robot), None).0
}

/// An edit, by what is drawn: what is done, to which thing, and how far.
type Drawn = (u8, usize, f64, f64);

fn edited(robot: &Robot, (what, which, x, y): Drawn) -> Robot {
    let mut out = robot.clone();
    if out.parts.is_empty() {
        return out;
    }
    let which = which % out.parts.len();
    let styles = [
        FixingStyle::BoltAndNut,
        FixingStyle::Standoff,
        FixingStyle::Insert,
        FixingStyle::CaptiveNut,
        FixingStyle::Clip,
        FixingStyle::Cleat,
        FixingStyle::Adhesive,
    ];
    let kinds: Vec<_> = out.parts.iter().map(|p| p.kind).collect();
    let part = &mut out.parts[which];
    match (what, &mut part.place) {
        (0, Place::Board(at)) => (at.at.x, at.at.y) = (at.at.x + x / 50.0, at.at.y + y / 50.0),
        (1, Place::Board(at)) => (at.at.x, at.at.y) = (at.at.x + x, at.at.y + y),
        (2, Place::Board(at)) => at.turn = Degrees((at.turn.0 + 90.0).rem_euclid(360.0)),
        (3, Place::Board(at)) => at.turn = Degrees((at.turn.0 + x).rem_euclid(360.0)),
        (4, Place::Board(at)) => at.face = at.face.other(),
        (5, _) => part.fixing.style = styles[x.abs() as usize % styles.len()],
        (6, _) => part.fixing.standoff = Millimetres((x / 5.0).abs()),
        (7, _) => part.fixing.turned = !part.fixing.turned,
        (8, _) => part.fixing.sunk = !part.fixing.sunk,
        (9, _) => part.fixing.head = if x > 0.0 { Head::Socket } else { Head::Countersunk },
        (10, _) => part.fixing.slides = Some(Degrees(if x > 0.0 { 0.0 } else { 90.0 })),
        (11, _) => part.name.push('x'),
        (12, _) => part.kind = kinds[x.abs() as usize % kinds.len()],
        (13, _) => {
            let kind = part.kind;
            out.types[kind.0].height += Millimetres(x / 10.0);
        }
        (14, _) => {
            let copy = out.parts[which].clone();
            out.parts.push(copy);
        }
        (15, _) => {
            let last = out.parts.len() - 1;
            let on = |l: Landing| matches!(l, Landing::Part { part, .. } if part.0 == last);
            out.wires.retain(|w| !on(w.from) && !on(w.to));
            out.parts.pop();
        }
        (16, _) => {
            out.wires.pop();
        }
        (17, _) => {
            for plug in &mut out.plugs {
                if let PlugPlace::Fixed(at) = &mut plug.place {
                    (at.at.x, at.at.y) = (at.at.x + x / 10.0, at.at.y + y / 10.0);
                }
            }
        }
        (18, _) => {
            let board = out.board.as_mut().unwrap();
            board.edge_room = (x > 0.0).then_some(Millimetres(x));
            board.depth_back += Millimetres(y / 10.0);
        }
        (19, _) => {
            for pass in &mut out.board.as_mut().unwrap().passes {
                pass.at.x += x / 10.0;
            }
        }
        (20, _) => {
            for k in &mut out.board.as_mut().unwrap().keep_outs {
                k.above += Millimetres(x.abs() / 10.0);
            }
        }
        _ => {
            let to = out.wires.first().map(|w| w.to);
            let land = |l: Landing| matches!(l, Landing::Plug { half: Half::Board, .. });
            if let (Some(to), Some(w)) = (to.filter(|l| !land(*l)), out.wires.last_mut()) {
                w.to = to;
            }
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_edits_give_what_is_found_from_nothing(
        which in 0usize..1000,
        edits in prop::collection::vec((0u8..22, 0usize..1000, -120.0..120f64, -120.0..120f64), 1..6),
    ) {
        let robots = &*ROBOTS;
        let mut now = studied(robots[which % robots.len()].clone(), None);
        for drawn in edits {
            let next = edited(&now.robot, drawn);
            let expected = from_nothing(&next);
            now = studied(next, Some(&now));
            prop_assert_eq!(&now.geometry.access, &expected, "{:?}", drawn);
        }
    }

    /// Most edits move a part a little.
    #[test]
    fn moves_give_what_is_found_from_nothing(
        which in 0usize..3,
        edits in prop::collection::vec((0u8..5, 0usize..1000, -60.0..60f64, -60.0..60f64), 1..8),
    ) {
        let mut now = studied(ROBOTS[which].clone(), None);
        for drawn in edits {
            let next = edited(&now.robot, drawn);
            let expected = from_nothing(&next);
            now = studied(next, Some(&now));
            prop_assert_eq!(&now.geometry.access, &expected, "{:?}", drawn);
        }
    }
}

/// Three boxes in a row, the third from so far on.
fn row(at: f64, height: f64) -> Robot {
    let mut out = robot(&format!(
        "{}[[part]]\nname = \"far\"\ntype = \"box\"\nface = \"front\"\nat_mm = [{at}, 60]\n\
         fixing = {{ style = \"standoff\", standoff_mm = {height} }}\n",
        small!(
            "[[part]]\nname = \"one\"\ntype = \"box\"\nface = \"front\"\nat_mm = [5, 60]\n\
             [[part]]\nname = \"two\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 60]\n"
        )
    ));
    // A board twice as long, so that hands at one end are out of the way of the other.
    for p in &mut out.board.as_mut().unwrap().outline.0 {
        p.x *= 2.0;
    }
    out
}

/// Needs of an earlier study are marked; the mark shows what was taken over.
fn taken_over(from: Robot, to: Robot) -> Vec<String> {
    let mut before = studied(from, None);
    for need in &mut before.geometry.access.needs {
        need.ways.push(Way { uses: Vec::new() });
    }
    let after = studied(to, Some(&before));
    let marked = after.geometry.access.needs.iter().filter(|n| {
        matches!(n.job, Job::Fastener { .. }) && n.ways.last().is_some_and(|w| w.uses.is_empty())
    });
    marked.map(|n| n.subject.name().to_owned()).collect()
}

#[test]
fn what_is_far_from_an_edit_is_taken_over_and_what_is_near_is_not() {
    // A fist is 80 mm wide and 80 to 180 mm above the face: the screws of "one" are at x = 9 and 41, so its
    // hands end at x = 81; those of "two" are at x = 54 and 86, so its hands end at x = 94 and 126.
    let all = ["one", "one", "two", "two"];
    assert_eq!(taken_over(row(300.0, 6.0), row(301.0, 6.0)), all);
    assert_eq!(taken_over(row(300.0, 90.0), row(100.0, 90.0)), ["one", "one", "two"]);
    assert_eq!(taken_over(row(100.0, 90.0), row(300.0, 90.0)), ["one", "one", "two"]);
    // Raised where it stands, it meets the fist that was above it, at x = 86.
    assert_eq!(taken_over(row(100.0, 6.0), row(100.0, 90.0)), ["one", "one", "two"]);
}

#[test]
fn another_board_takes_nothing_over() {
    let mut other = row(300.0, 6.0);
    other.board.as_mut().unwrap().thickness += Millimetres(1.0);
    assert_eq!(taken_over(row(300.0, 6.0), other), Vec::<String>::new());
    assert_eq!(faces(&row(300.0, 6.0))[0].face, Face::Front);
}
