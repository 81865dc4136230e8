//! A power or motor wire runs beside an audio or radio wire without being tied to it.

use super::list;
use crate::findings::layout::Layout;
use crate::findings::mm;
use crate::geometry::{Leg, WireRun};
use crate::route::path::{Piece, pieces};
use crate::shape::{dot, minus, nearest_on_segment, norm, unit};
use loomdeck_model::{
    CableKind, Face, Finding, Function, Page, Point, Remedy, Severity, Subject, WireId,
};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::collections::BTreeSet;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "power-along-signal",
    severity: Severity::Look,
    title: "A supply or motor wire runs beside an audio or radio wire",
    physics: "The magnetic field of a switched current falls off with distance, and what it induces in a wire \
        beside it grows with the length over which both run side by side; where they cross at right angles it \
        is next to nothing. The ways of quiet wires are laid apart from loud ones where another way is worth \
        it. What is measured here is how far an audio or radio wire still runs within 10 mm of a supply or \
        motor wire, at less than 45°, without being tied to it.",
    source: "Common practice, no source: 10 mm of distance, or no more than 100 mm side by side, or a crossing at \
        right angles.",
    limits: "No field is computed. Cores of a screened cable, and thick audio wires (loudspeakers), are left \
        out. A quiet wire between a supply wire and its return hears less than this says.",
    before: crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [5, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [155, 60]\n\
         [[wire]]\nname = \"feed\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1.5\n\
         function = \"supply\"\n\
         [[wire]]\nname = \"sound\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\n\
         function = \"audio\"\n"
    ),
    after: crate::findings::robot!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [5, 60]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"front\"\nat_mm = [155, 60]\n\
         [[wire]]\nname = \"feed\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 1.5\n\
         function = \"supply\"\n\
         [[wire]]\nname = \"sound\"\nfrom = \"amp.right\"\nto = \"player.left\"\nsize_mm2 = 0.5\n\
         function = \"audio\"\npins = [ { face = \"front\", at_mm = [80, 110] }, { face = \"front\", at_mm = [120, 110] } ]\n"
    ),
};

/// Distance from which a wire is not beside another any more, mm.
const BESIDE: f64 = 10.0;
/// Longest way side by side that is let pass, mm.
const SHARED: f64 = 100.0;
/// Distance between two measurements, mm.
const STEP: f64 = 5.0;

/// Looks at every audio and radio wire.
pub fn find(layout: &Layout, out: &mut Vec<Finding>) {
    let robot = layout.robot;
    let runs = &layout.geometry.wires;
    let quiet: Vec<&WireRun> = runs.iter().filter(|r| hears(layout, r.wire)).collect();
    if quiet.is_empty() {
        return;
    }
    let loud = Loud::new(runs.iter().filter(|r| robot.wires[r.wire.0].function.is_power()));
    for run in quiet {
        let tied: BTreeSet<WireId> = run.bundles.iter().flat_map(|b| &b.with).copied().collect();
        let (mut length, mut by, mut spot) = (0.0, BTreeSet::new(), None);
        for (face, p, d, step) in samples(&run.legs) {
            let here = loud.beside(face, p, d).filter(|w| !tied.contains(w));
            let mut any = false;
            by.extend(here.inspect(|_| any = true));
            if any {
                length += step;
                spot = spot.or(Some((face, p)));
            }
        }
        let Some((face, at)) = spot.filter(|_| length > SHARED) else { continue };
        let name = &robot.wires[run.wire.0].name;
        let what = format!(
            "{name} runs within {} of {} over {}; {} is the limit for comfort.",
            mm(BESIDE),
            list(by.iter().map(|w| robot.wires[w.0].name.as_str())),
            mm(length),
            mm(SHARED)
        );
        let why = "Switched current couples into wires that run along with it: you hear it as whine. No way of its \
            own was worth the detour.";
        let text = format!(
            "Give {name} a way of its own with pinned corners, take a screened cable, or cross the other wires at right angles."
        );
        let mut f =
            Finding::new(PAGE.slug, PAGE.severity, Subject::Wire(name.clone()), what, why, PAGE.source)
                .with_value("length_mm", length)
                .with_limit("length_mm", SHARED)
                .with_remedy(Remedy::advice(text))
                .with_spot(face, at);
        for w in by {
            f = f.with_subject(Subject::Wire(robot.wires[w.0].name.clone()));
        }
        out.push(f);
    }
}

/// It picks up: thin audio or radio outside a screen.
fn hears(layout: &Layout, wire: WireId) -> bool {
    let w = &layout.robot.wires[wire.0];
    let screened = w.cable.is_some_and(|c| layout.robot.cables[c.0].kind == CableKind::Screened);
    matches!(w.function, Function::Audio | Function::Radio) && !screened && w.gauge.area().0 < 0.7
}

/// Points along a wire with the direction there, and how much of it each stands for.
fn samples(legs: &[Leg]) -> Vec<(Face, Point, Point, f64)> {
    let mut out = Vec::new();
    for leg in legs {
        let Leg::Along { face, points, radii } = leg else { continue };
        for piece in pieces(points, radii) {
            let long = piece.length();
            let n = (long / STEP).ceil().max(1.0);
            for k in 0..n as usize {
                let (p, d) = piece.at((k as f64 + 0.5) * long / n);
                out.push((*face, p, d, long / n));
            }
        }
    }
    out
}

/// A straight piece of a wire's way, or the chord of a bend.
struct Chord {
    wire: WireId,
    from: Point,
    to: Point,
    way: Option<Point>,
}

/// The ways of loud wires on the two faces, to be found by place.
struct Loud {
    chords: [Vec<Chord>; 2],
    boxes: [RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>; 2],
}

impl Loud {
    fn new<'r>(runs: impl Iterator<Item = &'r WireRun>) -> Self {
        let mut chords = [Vec::new(), Vec::new()];
        for run in runs {
            for leg in &run.legs {
                let Leg::Along { face, points, radii } = leg else { continue };
                chords[*face as usize].extend(pieces(points, radii).iter().map(|piece| {
                    let (Piece::Line { from, to } | Piece::Arc { from, to, .. }) = piece;
                    Chord { wire: run.wire, from: *from, to: *to, way: unit(minus(*to, *from)) }
                }));
            }
        }
        let boxed = |(i, c): (usize, &Chord)| {
            GeomWithData::new(Rectangle::from_corners([c.from.x, c.from.y], [c.to.x, c.to.y]), i)
        };
        let boxes =
            [0, 1].map(|f: usize| RTree::bulk_load(chords[f].iter().enumerate().map(boxed).collect()));
        Self { chords, boxes }
    }

    /// Wires that pass within reach of a point, in about the same direction; some more than once.
    fn beside(&self, face: Face, p: Point, d: Point) -> impl Iterator<Item = WireId> {
        let f = face as usize;
        let around = AABB::from_corners([p.x - BESIDE, p.y - BESIDE], [p.x + BESIDE, p.y + BESIDE]);
        let found = self.boxes[f].locate_in_envelope_intersecting(around);
        found.map(move |b| &self.chords[f][b.data]).filter_map(move |c| {
            let near = norm(minus(nearest_on_segment(p, c.from, c.to), p)) < BESIDE;
            let same = c.way.is_some_and(|e| dot(d, e).abs() > std::f64::consts::FRAC_1_SQRT_2);
            (near && same).then_some(c.wire)
        })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::PAGE;
    use crate::findings::tests::{count, found};

    #[test]
    fn the_way_side_by_side_is_measured() {
        let (_, all) = found(PAGE.before);
        let f = all.iter().find(|f| f.slug == PAGE.slug).unwrap();
        // Terminals 114 mm apart: nearly all of the way.
        assert!((100.0..=116.0).contains(&f.values["length_mm"]), "{:?}", f.values);
    }

    #[test]
    fn a_crossing_is_let_pass() {
        let text = PAGE
            .before
            .replace("to = \"player.left\"\nsize_mm2 = 0.5", "to = \"amp.left\"\nsize_mm2 = 0.5");
        assert_eq!(count(&text, PAGE.slug), 0);
    }
}
