//! The board, its openings and bolts, and the zones around it.

use super::names::Names;
use super::outline::outline;
use super::robot::Build;
use super::view::{Gather, View};
use super::words;
use crate::geometry::{Outline, Point};
use crate::robot::*;
use crate::units::*;

/// Longest board, mm: what fits through a door, and hundreds of template sheets already.
const MAX_BOARD: f64 = 3_000.0;

/// An outline from a field, with mistakes noted.
fn outline_at(v: &View<'_>, key: &str, gather: &mut Gather<'_>) -> Option<Outline> {
    match outline(v.points(key)?) {
        Ok(o) => Some(o),
        Err(why) => {
            gather.say(v.span(key), why, None);
            None
        }
    }
}

pub(super) fn board(
    t: &View<'_>,
    root: &View<'_>,
    b: &mut Build,
    gather: &mut Gather<'_>,
) -> Option<Board> {
    b.stands(Subject::Board, &t.table.span, gather);
    let passes = passes(root, b, gather);
    let mounts = mounts(root, b, gather);
    let keep_outs = keep_outs(root, b, gather);
    let outline = match (t.extent("size"), t.has("outline")) {
        (Some((w, h)), false) => Some(Outline::rectangle(Point::default(), w, h)),
        (None, true) => outline_at(t, "outline", gather),
        (Some(_), true) => {
            gather.say(
                &t.table.span,
                "The board has both `size` and `outline`; one of them is enough.",
                None,
            );
            None
        }
        (None, false) => {
            if !t.has("size") {
                gather.say(&t.table.span, "The board has neither `size_mm` nor `outline_mm`.", None);
            }
            None
        }
    }?;
    let (low, high) = outline.bounds();
    let longest = (high.x - low.x).max(high.y - low.y);
    if longest > MAX_BOARD {
        gather.say(
            &t.table.span,
            format!(
                "This board is {} mm long; at most {MAX_BOARD} mm are drawn and drilled.",
                three_digits(longest)
            ),
            None,
        );
        return None;
    }
    Some(Board {
        datum: t.point("datum").unwrap_or(low),
        outline,
        thickness: Millimetres(t.number("thickness")?),
        material: words::material(t.text("material")?)?,
        depth_front: Millimetres(t.number("depth_front")?),
        depth_back: Millimetres(t.number("depth_back")?),
        edge_room: t.number("edge_room").map(Millimetres),
        body_opening: root.table("body_opening").and_then(|o| body_opening(&o, gather)),
        passes,
        mounts,
        keep_outs,
    })
}

fn body_opening(v: &View<'_>, gather: &mut Gather<'_>) -> Option<BodyOpening> {
    let outline = match (v.extent("size"), v.number("diameter"), v.has("outline")) {
        (Some((w, h)), None, false) => Outline::rectangle(Point::default(), w, h),
        // Faceted inside the true circle, so that what fits is never flattered.
        (None, Some(d), false) => inscribed(d / 2.0),
        (None, None, true) => outline_at(v, "outline", gather)?,
        _ => {
            let help = "Give `size_mm`, `diameter_mm` or `outline_mm`.".to_owned();
            gather.say(&v.table.span, "The shape of the body's opening is not clear.", Some(help));
            return None;
        }
    };
    Some(BodyOpening { outline, gap: Millimetres(v.number("gap").unwrap_or(3.0)) })
}

/// A circle as a polygon drawn inside it, its corners on the circle.
fn inscribed(radius: f64) -> Outline {
    const SIDES: usize = 180;
    let corner = |i: usize| {
        let a = std::f64::consts::TAU * i as f64 / SIDES as f64;
        Point::new(radius * a.cos(), radius * a.sin())
    };
    Outline((0..SIDES).map(corner).collect())
}

fn passes(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> Vec<Pass> {
    let mut passes = Vec::new();
    for p in root.tables("pass") {
        let Some(name) = p.text("name") else { continue };
        b.pass_names.add(name, passes.len(), p.span("name"), "pass-through", gather);
        b.stands(Subject::Pass(name.to_owned()), p.span("name"), gather);
        let shape = match (p.number("diameter"), p.number("length"), p.number("width")) {
            (Some(d), None, None) => Some(PassShape::Round(Millimetres(d))),
            (None, Some(l), Some(w)) if l >= w => long_opening(&p, l, w, gather),
            (None, Some(_), Some(_)) => {
                gather.say(
                    p.span("length"),
                    "A slot or rectangle must be at least as long as it is wide.",
                    None,
                );
                None
            }
            _ => {
                let help =
                    "Give `diameter_mm` for a round one, `length_mm` and `width_mm` for a slot, and `corner_mm` too for a rectangle."
                        .to_owned();
                gather.say(&p.table.span, "The size of this pass-through is not clear.", Some(help));
                None
            }
        };
        // A refused one still takes its number, so that names keep meaning what they say.
        passes.push(Pass {
            name: name.to_owned(),
            at: p.point("at").unwrap_or_default(),
            shape: shape.unwrap_or(PassShape::Round(Millimetres(1.0))),
            grommet: p.flag("grommet"),
            tools_only: p.flag("tools_only"),
        });
    }
    passes
}

/// A slot, or with a corner radius a rectangle.
fn long_opening(p: &View<'_>, l: f64, w: f64, gather: &mut Gather<'_>) -> Option<PassShape> {
    let (length, width) = (Millimetres(l), Millimetres(w));
    let turn = Degrees(p.number("turn").unwrap_or(0.0));
    match p.number("corner") {
        None => Some(PassShape::Slot { length, width, turn }),
        Some(c) if c <= w / 2.0 => Some(PassShape::Rect { length, width, turn, corner: Millimetres(c) }),
        Some(_) => {
            gather.say(
                p.span("corner"),
                "The corners of a rectangle are rounded by half its width at most; that is then a slot.",
                None,
            );
            None
        }
    }
}

fn mounts(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> Vec<BoardMount> {
    let mut names = Names::default();
    let mut mounts = Vec::new();
    for m in root.tables("mount") {
        let (Some(name), Some(at), Some(thread)) =
            (m.text("name"), m.point("at"), m.text("thread").and_then(words::thread))
        else {
            continue;
        };
        names.add(name, mounts.len(), m.span("name"), "mount", gather);
        b.stands(Subject::BoardMount(name.to_owned()), m.span("name"), gather);
        let clear = m.number("clear").map_or(thread.major() * 3.0, Millimetres);
        let hole = m.number("hole").map(Millimetres);
        if let Some(hole) = hole.filter(|h| *h <= thread.major()) {
            let told =
                format!("A hole of {hole} does not let the bolt through: it is {}.", thread.word());
            gather.say(m.span("hole"), told, None);
        }
        mounts.push(BoardMount { name: name.to_owned(), at, thread, clear, hole });
    }
    mounts
}

fn keep_outs(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) -> Vec<KeepOut> {
    let mut names = Names::default();
    let mut regions = Vec::new();
    for k in root.tables("keep_out") {
        let Some(name) = k.text("name") else { continue };
        names.add(name, regions.len(), k.span("name"), "keep-out", gather);
        b.stands(Subject::KeepOut(name.to_owned()), k.span("name"), gather);
        let outline = match (k.has("outline"), k.point("at"), k.extent("size")) {
            (true, None, None) => outline_at(&k, "outline", gather),
            (false, Some(at), Some((w, h))) => Some(Outline::rectangle(at, w, h)),
            _ => {
                let help = "Give `outline_mm`, or `at_mm` and `size_mm`.".to_owned();
                gather.say(&k.table.span, "Where this keep-out lies is not clear.", Some(help));
                None
            }
        };
        if let Some(outline) = outline {
            regions.push(KeepOut {
                name: name.to_owned(),
                face: k.text("face").and_then(words::face),
                outline,
                at: k.point("at"),
                above: Millimetres(k.number("above").unwrap_or(0.0)),
                wires_may_cross: k.flag("wires_may_cross"),
            });
        }
    }
    regions
}

pub(super) fn zones(root: &View<'_>, b: &mut Build, gather: &mut Gather<'_>) {
    for z in root.tables("zone") {
        let Some(name) = z.text("name") else { continue };
        b.zone_names.add(name, b.zones.len(), z.span("name"), "zone", gather);
        b.stands(Subject::Zone(name.to_owned()), z.span("name"), gather);
        b.zones.push(Zone {
            name: name.to_owned(),
            path: z.number("path").map(Millimetres),
            allowance: Millimetres(z.number("allowance").unwrap_or(0.0)),
            lead: Millimetres(z.number("lead").unwrap_or(150.0)),
            exit: z.point("exit"),
            ambient: z.number("ambient").map(Celsius),
            outside: z.flag("outside"),
        });
    }
}

pub(super) fn board_needed(v: &View<'_>, gather: &mut Gather<'_>) {
    let first = v.tables("part").into_iter().find(|p| p.has("face"));
    let first = first.or_else(|| v.tables("plug").into_iter().next());
    for key in ["pass", "mount", "keep_out", "body_opening"] {
        if let Some((_, span, _)) = v.table.entries.iter().find(|(k, ..)| k == key) {
            gather.say(span, format!("There is a `{key}` but no `[board]`."), None);
        }
    }
    if let Some(p) = first {
        let help = "Describe the board in a `[board]` table.".to_owned();
        gather.say(&p.table.span, "This sits on the board, but there is no `[board]`.", Some(help));
    }
}
