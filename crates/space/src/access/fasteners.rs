//! Screws, nuts, clips and cleats: what turns them, and what is in its way.

use super::kept::Found;
use super::scene::{Scene, Setting};
use super::sweep::{cylinder, prism, sector, swept};
use super::ways::{Place, best, best_with_core, sorted, together, tool_use};
use super::{Job, Solid, Tool, ToolUse, Way, When, tools};
use crate::faces::{Standing, thread_of};
use crate::hardware;
use crate::held::{self, Doing, Work};
use crate::shape::{self, direction, dot};
use loomdeck_model::part_type::{FixingStyle, Head, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Point, Subject};

/// Fasteners of one thing on the board, and its sliding out of its cleats.
pub fn needs(scene: &Scene, thing: &Standing, out: &mut Found) {
    let comes_off = held::end_comes_off(thing.fixing, &thing.kind.holes);
    for (i, (hole, comes_off)) in thing.kind.holes.iter().zip(comes_off).enumerate() {
        let thread = thread_of(thing.fixing, hole.diameter);
        let board = scene.board.thickness;
        let steps = held::steps(thing.fixing, thread, thing.at.face, board, comes_off);
        let at = thing.at.to_board(hole.at);
        let job = Job::Fastener { hole: i };
        let mut add = |when, doings: &[Vec<Doing>]| {
            let whose = (&thing.subject, Some(thing.owner));
            out.add(scene, whose, (job.clone(), when), || ways(scene, thing, thread, at, doings, when));
        };
        if !steps.prepare.is_empty() {
            add(When::Prepare, &[steps.prepare]);
        }
        if !steps.hold.is_empty() {
            add(When::Hold, &steps.hold);
        }
    }
    slide(scene, thing, out);
}

/// The bolts that hold the board in the body: a hex key from the front, with the cover off and
/// everything in place.
pub fn board_mounts(scene: &Scene, out: &mut Found) {
    for m in &scene.board.mounts {
        let subject = Subject::BoardMount(m.name.clone());
        let doing = Doing {
            work: Work::Screw(Head::Socket),
            face: loomdeck_model::Face::Front,
            seat: hardware::washer(m.thread).thickness,
            comes_out: scene.board.thickness + m.thread.major(),
        };
        let place = Place {
            face: doing.face,
            at: m.at,
            setting: Setting::InPlace,
            own: Some(&subject),
            own_body: false,
        };
        out.add(scene, (&subject, None), (Job::Fastener { hole: 0 }, When::Hold), || {
            let core = core(doing, m.thread, m.at);
            let uses = best_with_core(scene, &place, core, candidates(doing, m.thread, m.at));
            sorted(together(vec![uses]))
        });
    }
}

fn ways(
    scene: &Scene,
    thing: &Standing,
    thread: Thread,
    at: Point,
    ways: &[Vec<Doing>],
    when: When,
) -> Vec<Way> {
    let mut out = Vec::new();
    for way in ways {
        let hands = way.iter().map(|doing| hand(scene, thing, thread, at, *doing, when)).collect();
        let these = together(hands);
        let free = these.iter().any(Way::is_free);
        out.extend(these);
        if free {
            break;
        }
    }
    sorted(out)
}

/// What one hand can do it with.
fn hand(
    scene: &Scene,
    thing: &Standing,
    thread: Thread,
    at: Point,
    doing: Doing,
    when: When,
) -> Vec<ToolUse> {
    let place = Place {
        face: doing.face,
        at,
        setting: Setting::Bench,
        own: Some(&thing.subject),
        // Cleats stand beside the part: a screw of one that lies under the part cannot be got at while
        // the part is there. Through any other part's holes its screws are reached.
        own_body: when == When::Hold && thing.fixing.style == FixingStyle::Cleat,
    };
    let mut uses = best_with_core(scene, &place, core(doing, thread, at), candidates(doing, thread, at));
    if doing.work == Work::Clip && uses.iter().all(|u| !u.blockers.is_empty()) {
        uses = best(uses.into_iter().chain(pushed_out(scene, thing)));
    }
    uses
}

/// A clipped part is pushed out from behind, by a rod through an opening under it.
fn pushed_out<'a>(scene: &'a Scene, thing: &'a Standing) -> impl Iterator<Item = ToolUse> + 'a {
    let outline = thing.at.outline_to_board(&thing.kind.outline);
    let openings = scene.openings.iter().filter(move |h| {
        let middle = Point::new((h.from.x + h.to.x) / 2.0, (h.from.y + h.to.y) / 2.0);
        h.diameter.0 >= tools::ROD && shape::contains(&outline, middle)
    });
    openings.map(move |h| {
        let at = Point::new((h.from.x + h.to.x) / 2.0, (h.from.y + h.to.y) / 2.0);
        let face = thing.at.face.other();
        let place =
            Place { face, at, setting: Setting::Bench, own: Some(&thing.subject), own_body: false };
        let solids = vec![
            cylinder(at, tools::ROD, 0.0, tools::GRIP),
            cylinder(at, tools::FIST, tools::GRIP, 2.0 * tools::GRIP),
        ];
        tool_use(scene, &place, Tool::Other, solids)
    })
}

/// Tools that do a work, with the space each sweeps, the handiest first.
fn candidates(doing: Doing, thread: Thread, at: Point) -> impl Iterator<Item = (Tool, Vec<Solid>)> {
    (0usize..).map_while(move |k| candidate(doing, thread, at, k))
}

/// What all tools but the first take up alike: the jaw of a spanner in every place, the screw that comes
/// out of its hole.
pub fn core(doing: Doing, thread: Thread, at: Point) -> Option<Vec<Solid>> {
    let (_, mut solids) = candidate(doing, thread, at, 1)?;
    solids.truncate(match doing.work {
        Work::Screw(_) => 1,
        _ => 2,
    });
    Some(solids)
}

/// One of them.
pub fn candidate(doing: Doing, thread: Thread, at: Point, k: usize) -> Option<(Tool, Vec<Solid>)> {
    let seat = doing.seat.0;
    match doing.work {
        Work::Screw(Head::Socket) => hex_key(doing, thread, at, k),
        Work::Screw(head) if k == 0 => {
            let driver = tools::screwdriver(thread);
            let high = hardware::head(thread, head).stands_off().0;
            let wide = tools::over_head(thread, head, 0.0);
            Some((Tool::Screwdriver, driven(at, wide, seat, high + doing.comes_out.0, driver)))
        }
        Work::Nut if k == 0 => {
            let driver = tools::Driver { shaft: tools::socket(thread), length: tools::NUT_DRIVER };
            Some((Tool::NutDriver, driven(at, driver.shaft, seat, doing.comes_out.0, driver)))
        }
        Work::Nut => spanner(doing, thread, at, k - 1),
        Work::Standoff => spanner(doing, thread, at, k),
        // A soldering iron with its tip, or a press.
        Work::Insert if k == 0 => {
            let iron = tools::Driver { shaft: 12.0, length: 50.0 };
            let wide = hardware::insert_hole(thread).0 + 2.0;
            Some((Tool::Other, driven(at, wide, seat, doing.comes_out.0, iron)))
        }
        Work::CaptiveNut if k == 0 => {
            let wide = hardware::nut(thread).across_corners.0.max(tools::FINGER);
            Some((Tool::Fingers, vec![cylinder(at, wide, seat, seat + tools::GRIP)]))
        }
        Work::Clip if k == 0 => {
            let grip = tools::GRIP;
            Some((
                Tool::Fingers,
                vec![
                    cylinder(at, tools::FINGER, seat, seat + grip),
                    cylinder(at, tools::FIST, seat + grip, seat + 2.0 * grip),
                ],
            ))
        }
        _ => None,
    }
}

/// A driver on a head or nut `wide`, which comes out by `out`; then its handle with a fist on it.
fn driven(at: Point, wide: f64, seat: f64, out: f64, driver: tools::Driver) -> Vec<Solid> {
    let end = seat + driver.length;
    let mut solids = vec![cylinder(at, wide, seat, seat + out)];
    if driver.shaft > wide || driver.length > out {
        solids.push(cylinder(at, driver.shaft, seat, end));
    }
    solids.push(cylinder(at, tools::FIST, end, end + tools::GRIP));
    solids
}

/// How many ways to set a key in a socket head are tried.
pub const KEY_PLACES: usize = 7;

/// First the long arm in the head and the short one swinging full circle above; then the short arm in
/// the head and the long one swinging over the face by a sixth of a turn, in six places.
fn hex_key(doing: Doing, thread: Thread, at: Point, k: usize) -> Option<(Tool, Vec<Solid>)> {
    let key = tools::hex_key(thread);
    let head = hardware::head(thread, Head::Socket);
    let seat = doing.seat.0;
    let top = seat + head.height.0;
    let coming = cylinder(at, head.diameter.0, seat, top + doing.comes_out.0);
    let finger = tools::FINGER;
    match k {
        0 => {
            let end = seat + key.long;
            let turning = cylinder(at, 2.0 * key.short + finger, end - finger, end + finger);
            Some((Tool::HexKey, vec![coming, cylinder(at, key.shaft, top, end), turning]))
        }
        1..=6 => {
            let level = seat + key.short;
            let swing = sector(at, 60.0 * (k - 1) as f64, 60.0, (0.0, key.long), finger);
            let arm = prism(swing, (level - finger / 2.0).max(top), level + finger);
            Some((Tool::HexKey, vec![coming, cylinder(at, key.shaft, top, level), arm]))
        }
        _ => None,
    }
}

/// An open spanner on its nut, swinging by what it needs to take hold anew, in twelve places.
fn spanner(doing: Doing, thread: Thread, at: Point, k: usize) -> Option<(Tool, Vec<Solid>)> {
    if k >= 12 {
        return None;
    }
    let tool = tools::spanner(thread);
    let start = tools::SWING * k as f64;
    let low = match doing.work {
        Work::Nut => doing.seat.0 + hardware::washer(thread).thickness.0,
        _ => doing.seat.0,
    };
    let swing = |from, to, width| sector(at, start, tools::SWING, (from, to), width);
    let coming = cylinder(at, hardware::nut(thread).across_corners.0, low, low + doing.comes_out.0);
    Some((
        Tool::OpenSpanner,
        vec![
            coming,
            cylinder(at, tool.head, low, low + tool.thickness),
            prism(swing(0.0, tool.length, tool.handle), low, low + tool.thickness),
            prism(swing(0.6 * tool.length, tool.length, tools::FINGER), low, low + tools::FINGER),
        ],
    ))
}

/// The body on its way out of its cleats: as far as its rear edge is from the far side of the foremost
/// cleat that stays.
fn slide(scene: &Scene, thing: &Standing, out: &mut Found) {
    let (Some(distance), Some(slides), Some(body)) =
        (slide_distance(thing), thing.fixing.slides, &thing.body)
    else {
        return;
    };
    let way = direction(thing.at.direction_to_board(slides).0);
    let by = Point::new(way.x * distance.0, way.y * distance.0);
    let (low, high) = body.outline.bounds();
    let place = Place {
        face: thing.at.face,
        at: Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0),
        setting: Setting::Bench,
        own: Some(&thing.subject),
        own_body: false,
    };
    out.add(scene, (&thing.subject, Some(thing.owner)), (Job::Slide, When::Hold), || {
        let pieces = shape::pieces(&body.outline);
        let solids =
            pieces.iter().map(|p| prism(swept(&p.corners, by), body.base.0, body.top.0)).collect();
        vec![Way { uses: vec![tool_use(scene, &place, Tool::Fingers, solids)] }]
    });
}

/// How far a part must slide until the cleats that stay let go of it; `None` when it is not held so.
pub fn slide_distance(thing: &Standing) -> Option<Millimetres> {
    if thing.fixing.style != FixingStyle::Cleat {
        return None;
    }
    let d = direction(thing.fixing.slides?.0);
    let comes_off = held::end_comes_off(thing.fixing, &thing.kind.holes);
    let rear = thing.kind.outline.0.iter().map(|p| dot(*p, d)).fold(f64::INFINITY, f64::min);
    let stays = thing.kind.holes.iter().zip(comes_off).filter(|(_, off)| !off);
    let foremost = stays
        .map(|(h, _)| {
            let thread = thread_of(thing.fixing, h.diameter);
            dot(h.at, d) + hardware::washer(thread).outside.0 / 2.0
        })
        .fold(rear, f64::max);
    Some(Millimetres(foremost - rear))
}
