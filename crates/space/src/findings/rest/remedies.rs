//! Remedies of this room, each tried before it is offered.

use super::super::layout::Layout;
use super::super::mm;
use crate::geometry::FastenerKind;
use crate::rest::laid::{self, Laid, Stand};
use crate::rest::strength::{self, Held, Strength};
use crate::rest::{Rest, mass::centroid};
use crate::shape::{contains, edge_distance};
use loomdeck_model::part_type::Thread;
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Edit, EditValue, Face, Point, Remedy, Subject};

/// Thicknesses in which sheet is commonly sold, mm (common practice, no source).
const THICKNESSES: [f64; 14] =
    [2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 9.0, 10.0, 12.0, 15.0, 18.0, 20.0, 25.0, 30.0];

/// How many places for a further mount are looked for.
const TRIES: usize = 6;

/// At most so many further mounts are proposed.
const FURTHER: usize = 4;

/// Further mounts, and a thicker sheet, where they make `good` of the sheet. `lacks` says how many times
/// too much the sheet of now gives way.
pub fn stiffer(
    layout: &Layout,
    rest: &Rest,
    lacks: f64,
    good: impl Fn(&Strength) -> bool,
) -> Vec<Remedy> {
    let Held::Firmly(now) = &rest.held else { return Vec::new() };
    let board = layout.board;
    let mut mounts: Vec<Point> = board.mounts.iter().map(|m| m.at).collect();
    let tried = |mounts: &[Point], thickness: f64| {
        let faces = &layout.geometry.faces;
        match strength::with_mounts(board, faces, &rest.mass, mounts, thickness) {
            Held::Firmly(s) => Some(s),
            _ => None,
        }
    };
    let mut out = Vec::new();
    // One after another, each as near to the deepest point as there is room.
    let mut deepest = now.at;
    for _ in 0..FURTHER {
        let apart = |p: &Point| mounts.iter().all(|m| m.distance(*p) > 30.0);
        let Some(p) = free_places(layout, |p| -p.distance(deepest)).into_iter().find(apart) else {
            break;
        };
        mounts.push(p);
        let Some(s) = tried(&mounts, board.thickness.0) else { break };
        if good(&s) {
            let then = format!("it then sags {} for good", mm(s.sag_later.0));
            out.push(further_mounts(layout, &mounts[board.mounts.len()..], &then));
            break;
        }
        deepest = s.at;
    }
    // The sag goes with one over the cube of the thickness, the stress with one over its square, and the
    // sheet's own weight with the thickness: begin where the most hopeful of these would do.
    let mounts = &mounts[..board.mounts.len()];
    let hopeful = board.thickness.0 * lacks.cbrt() * 0.99;
    let thicker = THICKNESSES.iter().filter(|t| **t > board.thickness.0 + 1e-9 && **t >= hopeful);
    let enough = thicker.take(4).find_map(|t| tried(mounts, *t).filter(|s| good(s)).map(|s| (*t, s)));
    if let Some((t, s)) = enough {
        let value = EditValue::Length(Millimetres(t));
        let edit = Edit::Set { on: Subject::Board, key: "thickness".into(), value };
        let text = format!(
            "Make the board of {} sheet: it then sags {} for good.",
            Millimetres(t),
            mm(s.sag_later.0)
        );
        out.push(Remedy::edit(text, vec![edit]));
    }
    out
}

/// Mounts with the thread of the others at places that are free.
pub fn further_mounts(layout: &Layout, at: &[Point], then: &str) -> Remedy {
    let taken = |name: &str| layout.board.mounts.iter().any(|m| m.name == name);
    let mut names = (1..).map(|n| format!("mount-further-{n}")).filter(|n| !taken(n));
    let edits = at.iter().map(|p| Edit::Add {
        on: Subject::BoardMount(names.next().unwrap_or_default()),
        keys: vec![
            ("at".to_owned(), EditValue::Point(*p)),
            ("thread".to_owned(), EditValue::Text(thread(layout).word().to_owned())),
        ],
    });
    let places: Vec<String> = at.iter().map(|p| format!("x {}, y {}", mm(p.x), mm(p.y))).collect();
    let bolts = if at.len() == 1 { "one more bolt" } else { "more bolts" };
    let text = format!("Hold the board by {bolts} at {}: {then}.", places.join(" and "));
    Remedy::edit(text, edits.collect())
}

fn thread(layout: &Layout) -> Thread {
    layout.board.mounts.first().map_or(Thread::M5, |m| m.thread)
}

/// Places where a mount finds its free circle on both faces, best first by `score`.
pub fn free_places(layout: &Layout, score: impl Fn(Point) -> f64) -> Vec<Point> {
    const STEP: f64 = 10.0;
    let (low, high) = layout.board.outline.bounds();
    let (columns, lines) =
        (((high.x - low.x) / STEP).floor() as usize, ((high.y - low.y) / STEP).floor() as usize);
    // A very large board is looked at more coarsely.
    let (skip_x, skip_y) = (columns.div_ceil(60).max(1), lines.div_ceil(60).max(1));
    let mut places: Vec<(f64, Point)> = (1..columns)
        .step_by(skip_x)
        .flat_map(|i| (1..lines).step_by(skip_y).map(move |j| (i, j)))
        .map(|(i, j)| Point::new(low.x + i as f64 * STEP, low.y + j as f64 * STEP))
        .map(|p| (score(p), p))
        .collect();
    places
        .sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.x.total_cmp(&b.1.x)).then(a.1.y.total_cmp(&b.1.y)));
    let radius = thread(layout).major().0 * 1.5;
    places.into_iter().map(|p| p.1).filter(|p| is_free(layout, *p, radius)).take(TRIES).collect()
}

fn is_free(layout: &Layout, p: Point, radius: f64) -> bool {
    let board = layout.board;
    let limits = &layout.robot.limits;
    let inside =
        contains(&board.outline, p) && edge_distance(&board.outline, p) >= radius + limits.edge.0;
    inside
        && Face::BOTH.into_iter().all(|face| {
            let view = &layout.geometry.faces[face as usize];
            layout.near_circle(face, p, radius).iter().all(|s| s.outside(p) >= radius)
                && view.fasteners.iter().all(|f| {
                    let room = radius.max(if f.kind == FastenerKind::Mount { radius } else { 0.0 });
                    f.at.distance(p) >= room + f.diameter.0 / 2.0
                })
        })
        && layout.geometry.holes.iter().all(|h| {
            let d = crate::shape::nearest_on_segment(p, h.from, h.to).distance(p);
            d >= radius + h.diameter.0 / 2.0 + limits.web.0
        })
        && board
            .keep_outs
            .iter()
            .all(|k| !contains(&k.outline, p) && edge_distance(&k.outline, p) >= radius)
}

/// Feet screwed to the mounts of the face that lies down, or put under its corners: long enough that
/// nothing else touches, and tried.
pub fn feet(layout: &Layout, rest: &Rest, down: Face) -> Option<Remedy> {
    let view = layout.geometry.face(down)?;
    let mounts: Vec<Point> = layout.board.mounts.iter().map(|m| m.at).collect();
    let corners = crate::shape::hull(&layout.board.outline.0);
    let tops = view.bodies.iter().map(|b| b.top.0);
    let heads = view.fasteners.iter().filter(|f| f.kind != FastenerKind::Mount).map(|f| f.height.0);
    let highest = tops.chain(heads).fold(0.0, f64::max);
    // The next 5 mm with at least 3 mm of air (common practice).
    let height = ((highest + 3.0) / 5.0).ceil() * 5.0;
    let stands = |at: &[Point]| -> Option<Laid> {
        let extra: Vec<(Point, f64)> = at.iter().map(|p| (*p, height)).collect();
        laid::laid(layout.robot, layout.board, &layout.geometry.faces, &rest.mass, &extra)
            .into_iter()
            .find(|l| l.down == down)
            .filter(|l| l.carriers.iter().all(|c| c.stand == Stand::Foot))
            .filter(|l| l.tip >= TIP_LIMIT)
    };
    let length = Millimetres(height);
    if mounts.len() >= 3
        && let Some(l) = stands(&mounts)
    {
        return Some(Remedy::advice(format!(
            "Before you lay it down, screw feet {length} long to its mounts on the {}: then it stands on them \
             and tips only beyond {:.0}.",
            down.word(),
            l.tip
        )));
    }
    let l = stands(&corners)?;
    Some(Remedy::advice(format!(
        "Put blocks {length} high under its corners before you lay it down: then it stands on them and tips only \
         beyond {:.0}.",
        l.tip
    )))
}

/// A board that may be tilted by less tips when you lean on it. Common practice, no source.
pub const TIP_LIMIT: Degrees = Degrees(10.0);

/// A board lighter than this is held in one hand while it is turned over, kg. Common practice, no source.
pub const HEAVY: f64 = 1.0;

/// Middle of the board, for the tag of a finding that is about all of it.
pub fn middle(layout: &Layout) -> Point {
    centroid(&layout.board.outline)
}
