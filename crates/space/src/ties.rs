//! Where looms are tied, and with what.
//!
//! A loom is tied where it begins and ends, on either side of a branch, of a bend and of an opening, and
//! between those so often that no stretch is longer than its diameter allows. Spacing by diameter:
//! NASA-STD-8739.4 (1998), table 9-1 (from memory): 19 mm below 6.4 mm, 38 mm below 12.7 mm, 51 mm below
//! 25.4 mm, 76 mm above. That is for harnesses that fly. A loom that lies on a board is held well enough by
//! three times that, and never further apart than the 6 in at which AC 43.13-1B, paragraph 11-96, has
//! continuous lacing tied in panels; three times is common practice, no source.

use crate::geometry::TrunkBody;
use crate::route::path::{Piece, length, pieces};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Face, Point};
use serde::Serialize;

/// A cable tie round a loom.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tie {
    /// On which face.
    pub face: Face,
    /// Where, on the loom's middle line, in the board's frame.
    pub at: Point,
    /// Which way the loom runs there, counter-clockwise from x; the tie lies across.
    pub along: Degrees,
    /// Diameter of the bundle there.
    pub bundle: Millimetres,
    /// Width of the tie.
    pub width: Millimetres,
    /// Length of the tie, a size on sale.
    pub length: Millimetres,
    /// Why it is there.
    pub reason: TieReason,
}

/// Why a tie is where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TieReason {
    /// The bundle begins or ends.
    End,
    /// Wires join or leave.
    Branch,
    /// A bend begins or ends.
    Bend,
    /// It goes through the board.
    Opening,
    /// The last tie is as far away as it may be.
    Spacing,
}

/// Furthest distance of two ties in a harness that flies, by diameter (NASA-STD-8739.4, table 9-1, from
/// memory).
pub fn harness_spacing(bundle: Millimetres) -> Millimetres {
    Millimetres(match bundle.0 {
        d if d < 6.4 => 19.0,
        d if d < 12.7 => 38.0,
        d if d < 25.4 => 51.0,
        _ => 76.0,
    })
}

/// A loom on a board is tied this many times less often.
const ON_BOARD: f64 = 3.0;

/// Continuous lacing in panels: 6 in (AC 43.13-1B, paragraph 11-96).
const LACING: Millimetres = Millimetres(152.4);

/// Furthest distance of two ties on a board.
pub fn spacing(bundle: Millimetres) -> Millimetres {
    (harness_spacing(bundle) * ON_BOARD).min(LACING)
}

/// Width of tie: 2.5 mm holds 80 N, 3.6 mm 180 N, 4.8 mm 220 N (classes of IEC 62275, from memory); which
/// for which bundle is common practice.
pub fn width(bundle: Millimetres) -> Millimetres {
    Millimetres(match bundle.0 {
        d if d < 12.0 => 2.5,
        d if d < 30.0 => 3.6,
        _ => 4.8,
    })
}

/// Lengths on sale by width (common practice: sizes of most assortments).
const SOLD: [(f64, &[f64]); 3] =
    [(2.5, &[100.0, 160.0, 200.0]), (3.6, &[140.0, 200.0, 290.0]), (4.8, &[200.0, 250.0, 300.0, 370.0])];

/// What the head and the pull take beyond the way round the bundle, mm (common practice).
const TAIL: f64 = 35.0;

/// The shortest tie on sale that goes round a bundle; the longest when none does.
pub fn tie_length(bundle: Millimetres) -> Millimetres {
    let need = std::f64::consts::PI * bundle.0 + TAIL;
    let wide = width(bundle).0;
    let sizes = SOLD.iter().find(|(w, _)| *w == wide).map_or(&[][..], |(_, l)| *l);
    let fits = sizes.iter().copied().find(|l| *l >= need);
    Millimetres(fits.or(sizes.last().copied()).unwrap_or(need))
}

/// Distance of a tie from what it stands beside: the branch, the bend, the opening.
const BESIDE: f64 = 6.0;

/// Turns below this are no bends, rad (about 20°).
const BEND: f64 = 0.35;

/// What is at the end of a piece of trunk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum EndOf {
    Loose,
    Branch,
    Opening,
}

/// The ties of a loom, along its pieces.
pub fn ties(bodies: &[TrunkBody], openings: &[Point]) -> Vec<Tie> {
    let bundles: Vec<&TrunkBody> = bodies.iter().filter(|b| b.wires.len() > 1).collect();
    let mut out: Vec<Tie> = Vec::new();
    for body in &bundles {
        for tie in along(body, &bundles, openings) {
            // Pieces that meet need one tie between them, not two side by side.
            let doubled = |t: &Tie| t.face == tie.face && t.at.distance(tie.at) < BESIDE;
            if !out.iter().any(doubled) {
                out.push(tie);
            }
        }
    }
    out
}

fn along(body: &TrunkBody, all: &[&TrunkBody], openings: &[Point]) -> Vec<Tie> {
    let long = length(&body.points, &body.radii);
    let end = |p: Option<&Point>| -> EndOf {
        let Some(p) = p else { return EndOf::Loose };
        let touches = |o: &&&TrunkBody| {
            !std::ptr::eq(**o, body)
                && o.face == body.face
                && ends(o).any(|q| q.distance(*p) < 0.5 * body.diameter.0.max(1.0))
        };
        if openings.iter().any(|o| o.distance(*p) < 1.0) {
            EndOf::Opening
        } else if all.iter().any(|o| touches(&o)) {
            EndOf::Branch
        } else {
            EndOf::Loose
        }
    };
    let (first, last) = (end(body.points.first()), end(body.points.last()));
    let beside = BESIDE.min(long / 3.0);
    let mut wanted: Vec<(f64, TieReason)> = vec![(beside, reason(first)), (long - beside, reason(last))];
    let mut before = 0.0;
    for piece in pieces(&body.points, &body.radii) {
        let here = piece.length();
        if let Piece::Arc { turn, .. } = piece
            && turn.abs() > BEND
        {
            for at in [before - beside, before + here + beside] {
                if at > beside && at < long - beside {
                    wanted.push((at, TieReason::Bend));
                }
            }
        }
        before += here;
    }
    wanted.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    wanted.dedup_by(|b, a| b.0 - a.0 < 2.0 * BESIDE);
    let most = spacing(body.diameter).0;
    let mut all: Vec<(f64, TieReason)> = Vec::new();
    for (at, why) in wanted {
        if let Some((last, _)) = all.last().copied() {
            let parts = ((at - last) / most - 1e-9).ceil().max(1.0);
            for k in 1..parts as usize {
                all.push((last + (at - last) * k as f64 / parts, TieReason::Spacing));
            }
        }
        all.push((at, why));
    }
    all.into_iter().filter_map(|(at, why)| tie(body, at, why)).collect()
}

fn ends(body: &TrunkBody) -> impl Iterator<Item = &Point> {
    body.points.first().into_iter().chain(body.points.last())
}

const fn reason(end: EndOf) -> TieReason {
    match end {
        EndOf::Loose => TieReason::End,
        EndOf::Branch => TieReason::Branch,
        EndOf::Opening => TieReason::Opening,
    }
}

fn tie(body: &TrunkBody, at: f64, reason: TieReason) -> Option<Tie> {
    let mut before = 0.0;
    let all = pieces(&body.points, &body.radii);
    let piece = all.iter().find(|p| {
        before += p.length();
        at <= before + 1e-9
    })?;
    let (place, d) = piece.at(at - (before - piece.length()));
    Some(Tie {
        face: body.face,
        at: place,
        along: Degrees(d.y.atan2(d.x).to_degrees()),
        bundle: body.diameter,
        width: width(body.diameter),
        length: tie_length(body.diameter),
        reason,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use loomdeck_model::WireId;

    fn body(points: &[(f64, f64)], radius: f64, diameter: f64) -> TrunkBody {
        let n = points.len();
        TrunkBody {
            face: Face::Front,
            points: points.iter().map(|(x, y)| Point::new(*x, *y)).collect(),
            radii: (0..n)
                .map(|i| Millimetres(if i == 0 || i + 1 == n { 0.0 } else { radius }))
                .collect(),
            wires: vec![WireId(0), WireId(1)],
            diameter: Millimetres(diameter),
        }
    }

    #[test]
    fn no_stretch_is_longer_than_its_diameter_allows() {
        for (d, long) in [(4.0, 400.0), (8.0, 400.0), (20.0, 900.0), (30.0, 900.0)] {
            let all = ties(&[body(&[(0., 0.), (long, 0.)], 0.0, d)], &[]);
            for pair in all.windows(2) {
                assert!(pair[0].at.distance(pair[1].at) <= spacing(Millimetres(d)).0 + 1e-9);
            }
            let number = (long / spacing(Millimetres(d)).0).ceil() as usize;
            assert!((number..=number + 2).contains(&all.len()), "{d}: {}", all.len());
        }
    }

    #[test]
    fn a_bend_is_tied_on_both_sides() {
        let all = ties(&[body(&[(0., 0.), (60., 0.), (60., 60.)], 20.0, 8.0)], &[]);
        let bends: Vec<&Tie> = all.iter().filter(|t| t.reason == TieReason::Bend).collect();
        assert_eq!(bends.len(), 2);
        assert!((bends[0].at.x - 34.0).abs() < 1e-6 && bends[0].at.y.abs() < 1e-6);
        assert!((bends[1].along.0 - 90.0).abs() < 1e-6);
    }

    #[test]
    fn an_opening_is_told_from_an_end() {
        let at = Point::new(100.0, 0.0);
        let all = ties(&[body(&[(0., 0.), (100., 0.)], 0.0, 8.0)], &[at]);
        assert_eq!(all.first().map(|t| t.reason), Some(TieReason::End));
        assert_eq!(all.last().map(|t| t.reason), Some(TieReason::Opening));
    }

    #[test]
    fn a_tie_goes_round() {
        let mut d = 1.0;
        while d < 60.0 {
            let bundle = Millimetres(d);
            assert!(tie_length(bundle).0 >= std::f64::consts::PI * d, "{d}");
            d += 0.5;
        }
        assert_eq!((width(Millimetres(5.0)).0, tie_length(Millimetres(5.0)).0), (2.5, 100.0));
    }
}
