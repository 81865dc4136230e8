//! What is drawn where a finding happens.

use super::layout::Layout;
use super::mm;
use crate::access::{Blocker, Solid as Space, ToolUse};
use crate::cut::{beyond, common, joined, nearest};
use crate::geometry::Fastener;
use crate::shape::{Convex, octagon};
use loomdeck_model::{Face, Mark, MarkShape, Outline, Point, Subject};

/// A length beside a mark.
pub fn length(mm_: f64) -> String {
    mm(mm_).to_string()
}

/// Where two things want the same place.
pub fn clash(face: Face, a: &[Convex], b: &[Convex], words: impl Into<String>) -> Vec<Mark> {
    let all = a.iter().flat_map(|p| b.iter().filter_map(|q| common(p, q)));
    hatched(face, joined(all), words.into())
}

/// Areas that are hatched; the words go to the largest.
fn hatched(face: Face, mut areas: Vec<Outline>, words: String) -> Vec<Mark> {
    areas.sort_by(|a, b| b.signed_area().total_cmp(&a.signed_area()));
    let mut words = Some(words);
    let each = areas.into_iter().map(|area| Mark {
        face,
        shape: MarkShape::Clash(area),
        words: words.take().unwrap_or_default(),
    });
    each.collect()
}

/// A whole outline that is where it must not be.
pub fn whole(face: Face, pieces: &[Convex], words: impl Into<String>) -> Vec<Mark> {
    hatched(face, joined(pieces.iter().cloned()), words.into())
}

/// A distance between two points.
pub fn span(face: Face, from: Point, to: Point, words: impl Into<String>) -> Mark {
    Mark { face, shape: MarkShape::Span(from, to), words: words.into() }
}

/// The distance between two shapes that do not overlap.
pub fn gap(face: Face, a: &[Convex], b: &[Convex], mm: f64) -> Option<Mark> {
    nearest(a, b).map(|(from, to)| span(face, from, to, length(mm)))
}

/// The distance of a shape on the board from its edge.
pub fn to_edge(layout: &Layout, face: Face, pieces: &[Convex], mm: f64) -> Option<Mark> {
    let edge = &layout.board.outline.0;
    // Each side of the board as a shape without width.
    let sides = (0..edge.len()).map(|i| (edge[i], edge[(i + 1) % edge.len()]));
    let nearest = sides.filter_map(|(a, b)| {
        let side = Convex { corners: vec![a, b], halves: Vec::new(), low: a, high: b };
        nearest(pieces, &[side])
    });
    let (from, to) = nearest.min_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)))?;
    Some(span(face, from, to, length(mm)))
}

/// What of a shape lies more than `margin` beyond the board's edge.
pub fn over_edge(
    layout: &Layout,
    face: Face,
    pieces: &[Convex],
    margin: f64,
    words: impl Into<String>,
) -> Vec<Mark> {
    let sides = layout.sides();
    let over = pieces.iter().flat_map(|p| sides.iter().filter_map(move |h| beyond(p, h, margin)));
    let notches = if margin > 0.0 { &[][..] } else { layout.pockets() };
    let in_notch = pieces.iter().flat_map(|p| notches.iter().filter_map(|q| common(p, q)));
    hatched(face, joined(over.chain(in_notch)), words.into())
}

/// A disc that something needs or fills.
pub fn disc(f: &Fastener) -> Convex {
    octagon(f.at, f.diameter.0 / 2.0)
}

/// Places that must stay free; the words go to the first.
fn rooms(face: Face, spaces: &[&Space], words: &str) -> Vec<Mark> {
    let each = joined(spaces.iter().map(|s| footprint(s))).into_iter().enumerate();
    each.map(|(i, outline)| Mark {
        face,
        shape: MarkShape::Room(outline),
        words: if i == 0 { words.to_owned() } else { String::new() },
    })
    .collect()
}

fn footprint(space: &Space) -> Convex {
    Convex::new(space.outline.0.clone())
}

/// Where a tool or hand would be, and what stands there.
pub fn tool(layout: &Layout, used: &ToolUse) -> Vec<Mark> {
    taken(layout, used.face, &used.solids, &used.blockers, used.tool.word())
}

/// A space that must stay free and what stands in it: of the space only what lies as low as that.
pub fn taken(
    layout: &Layout,
    face: Face,
    spaces: &[Space],
    blockers: &[Blocker],
    words: &str,
) -> Vec<Mark> {
    let mut met: Vec<&Space> = Vec::new();
    let mut clashes = Vec::new();
    for blocker in blockers {
        let depth = length(blocker.overlap.0);
        let mut areas = Vec::new();
        for space in spaces {
            let here = in_space(layout, face, &blocker.by, space);
            if !here.is_empty() && !met.contains(&space) {
                met.push(space);
            }
            areas.extend(here);
        }
        clashes.extend(hatched(face, joined(areas), depth));
    }
    if met.is_empty() {
        met.extend(spaces);
    }
    let mut out = rooms(face, &met, words);
    out.extend(clashes);
    out
}

/// What of a blocker stands in a space.
fn in_space(layout: &Layout, face: Face, by: &Subject, space: &Space) -> Vec<Convex> {
    let shape = footprint(space);
    let (low, high) = (space.from.0, space.to.0);
    let meets = |base: f64, top: f64| top > low && base < high;
    match by {
        Subject::Robot => {
            let room = layout.board.edge_room.map_or(0.0, |r| r.0);
            let deep = high > crate::faces::depth(layout.board, face).0 + 1e-6;
            let over: Vec<Convex> =
                layout.sides().iter().filter_map(|h| beyond(&shape, h, room)).collect();
            if over.is_empty() && deep { vec![shape] } else { over }
        }
        Subject::Board => {
            if low < 0.0 {
                vec![shape]
            } else {
                Vec::new()
            }
        }
        Subject::KeepOut(name) => {
            let areas = layout.board.keep_outs.iter().filter(|k| k.name == *name);
            let pieces = areas.flat_map(|k| crate::shape::pieces(&k.outline));
            pieces.filter_map(|p| common(&p, &shape)).collect()
        }
        _ => {
            let view = &layout.geometry.faces[face as usize];
            let body = layout.solid(by).filter(|s| s.face == face && meets(s.body.base.0, s.body.top.0));
            let bodies = body.into_iter().flat_map(|s| s.pieces.iter().cloned());
            let small = view.fasteners.iter().chain(&view.fixtures);
            let discs = small.filter(|f| f.subject == *by && meets(f.base.0, f.height.0)).map(disc);
            bodies.chain(discs).filter_map(|p| common(&p, &shape)).collect()
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::findings::tests::found;
    use loomdeck_model::{Finding, Page};

    fn of(page: &Page) -> Finding {
        let (_, all) = found(page.before);
        all.into_iter().find(|f| f.slug == page.slug).unwrap()
    }

    fn areas(f: &Finding) -> Vec<(&Outline, &str)> {
        let each = f.marks.iter().filter_map(|m| match &m.shape {
            MarkShape::Clash(o) => Some((o, m.words.as_str())),
            _ => None,
        });
        each.collect()
    }

    #[test]
    fn an_overlap_is_drawn_as_large_as_it_is() {
        let f = of(&crate::findings::parts_overlap::PAGE);
        let [(area, words)] = areas(&f)[..] else { unreachable!("{:?}", f.marks) };
        // 8 of 40 mm in x, 25 of 30 mm in y.
        assert!((area.signed_area() - 8.0 * 25.0).abs() < 1e-9);
        assert_eq!(area.bounds(), (Point::new(82.0, 55.0), Point::new(90.0, 80.0)));
        assert_eq!(words, "8\u{2009}mm");
        let f = of(&crate::findings::part_over_edge::PAGE);
        let [(area, _)] = areas(&f)[..] else { unreachable!("{:?}", f.marks) };
        assert_eq!(area.bounds(), (Point::new(200.0, 50.0), Point::new(205.0, 80.0)));
    }

    #[test]
    fn a_gap_is_as_long_as_its_number() {
        for (page, key) in [
            (&crate::findings::gap_too_small::PAGE, "gap_mm"),
            (&crate::findings::part_near_edge::PAGE, "distance_mm"),
            (&crate::findings::hole_near_edge::PAGE, "distance_mm"),
            (&crate::findings::terminal_exit_blocked::PAGE, "free_mm"),
        ] {
            let f = of(page);
            let span = f.marks.iter().find_map(|m| match m.shape {
                MarkShape::Span(a, b) => Some(a.distance(b)),
                _ => None,
            });
            assert!((span.unwrap() - f.values[key]).abs() < 1e-3, "{}: {:?}", f.slug, f.marks);
        }
    }

    #[test]
    fn what_blocks_a_tool_is_hatched_within_the_tools_room() {
        let (_, all) = found(crate::findings::access::reach_blocked_before());
        let f = all.iter().find(|f| f.slug == "reach-blocked").unwrap();
        let rooms = f.marks.iter().filter_map(|m| match &m.shape {
            MarkShape::Room(o) => Some(Convex::new(o.0.clone())),
            _ => None,
        });
        let rooms: Vec<Convex> = rooms.collect();
        let clashes = areas(f);
        assert!(!rooms.is_empty() && !clashes.is_empty(), "{:?}", f.marks);
        for (area, _) in &clashes {
            let within = |p: &Point| rooms.iter().any(|r| r.depth(*p) > -1e-6);
            assert!(area.0.iter().all(within), "{area:?} {rooms:?}");
        }
        // The card's space ends at x = 98, the box begins at 80.
        let (low, high) = clashes[0].0.bounds();
        assert!((low.x - 80.0).abs() < 1e-6 && (high.x - 98.0).abs() < 1e-6, "{low:?} {high:?}");
    }

    #[test]
    fn every_finding_with_a_place_in_space_is_drawn() {
        // What is about a wire's way, the whole board or the order of work has a tag alone.
        let drawn = [
            "parts-overlap",
            "gap-too-small",
            "part-over-edge",
            "part-near-edge",
            "too-deep",
            "web-too-thin",
            "hole-near-edge",
            "fastener-under-part",
            "mount-blocked",
            "keep-out-entered",
            "pass-through-covered",
            "plug-blocked",
            "terminal-exit-blocked",
            "reach-blocked",
            "no-room-in-body",
            "mount-out-of-reach",
            "screw-under-own-part",
            "terminal-screw-blocked",
            "plug-latch-without-room",
            "post-on-part",
            "bend-too-tight",
            "wire-meets-body",
            "facing-wires-meet",
            "gap-overfull",
        ];
        let pages: Vec<&Page> = crate::PAGES.iter().copied().flatten().collect();
        for slug in drawn {
            let f = of(pages.iter().find(|p| p.slug == slug).unwrap());
            assert!(!f.marks.is_empty(), "{slug}");
            for m in &f.marks {
                let points = match &m.shape {
                    MarkShape::Clash(o) | MarkShape::Room(o) => o.0.clone(),
                    MarkShape::Span(a, b) => vec![*a, *b],
                };
                assert!(points.iter().all(|p| p.x.is_finite() && p.y.is_finite()), "{slug}");
                let (_, at) = f.spot.unwrap();
                assert!(points.iter().any(|p| p.distance(at) < 120.0), "{slug}: {points:?} {at:?}");
            }
        }
    }
}
