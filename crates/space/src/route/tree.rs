//! The trunk of a loom while it grows: stretches that its wires already run along.

use super::scene::Seen;
use loomdeck_model::{Point, WireId};
use std::collections::BTreeSet;
use std::sync::Arc;

/// A mm along the trunk counts as this much of a free mm: wires of a loom join it where they can, at
/// the angle whose cosine this is.
pub const TOGETHER: f64 = 0.6;

/// A point of the trunk.
#[derive(Clone, Debug)]
pub struct Knot {
    /// Face: 0 front, 1 back.
    pub face: usize,
    /// Where.
    pub at: Point,
    /// The corner it lies on.
    pub corner: Option<u32>,
    /// What it sees, when it is where a wire comes in.
    pub seen: Option<Arc<Seen>>,
}

/// A straight stretch of the trunk, or a way through the board.
#[derive(Clone, Debug)]
pub struct Stretch {
    /// Index of a knot.
    pub a: usize,
    /// Index of a knot.
    pub b: usize,
    /// Wires along it.
    pub wires: BTreeSet<WireId>,
}

/// The trunk of one loom.
#[derive(Clone, Debug, Default)]
pub struct Tree {
    /// Points.
    pub knots: Vec<Knot>,
    /// Stretches.
    pub stretches: Vec<Stretch>,
}

/// A point of a found way.
#[derive(Clone, Debug)]
pub struct Step {
    /// Face: 0 front, 1 back.
    pub face: usize,
    /// Where.
    pub at: Point,
    /// The corner it lies on.
    pub corner: Option<u32>,
    /// What it sees, when it is a gate or an opening.
    pub seen: Option<Arc<Seen>>,
    /// It lies within this stretch of the trunk.
    pub within: Option<usize>,
    /// The opening, when the way goes through the board here.
    pub pass: Option<usize>,
    /// The builder wants it to run through here.
    pub pin: bool,
}

impl Tree {
    /// The knot at a place.
    fn knot(&self, face: usize, at: Point) -> Option<usize> {
        self.knots.iter().position(|k| k.face == face && k.at == at)
    }

    fn knot_or_new(&mut self, step: &Step) -> usize {
        if let Some(k) = self.knot(step.face, step.at) {
            return k;
        }
        self.knots.push(Knot {
            face: step.face,
            at: step.at,
            corner: step.corner,
            seen: step.seen.clone(),
        });
        self.knots.len() - 1
    }

    /// Enters a wire's way; points within a stretch at which it joins or leaves split it.
    pub fn add(&mut self, wire: WireId, way: &[Step]) {
        self.split(way);
        let knots: Vec<usize> = way.iter().map(|s| self.knot_or_new(s)).collect();
        for pair in knots.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            if a == b {
                continue;
            }
            let known = self.stretches.iter_mut().find(|s| (s.a, s.b) == (a, b) || (s.a, s.b) == (b, a));
            match known {
                Some(stretch) => {
                    stretch.wires.insert(wire);
                }
                None => self.stretches.push(Stretch { a, b, wires: BTreeSet::from([wire]) }),
            }
        }
    }

    /// Takes a wire out, with the stretches that only it used.
    pub fn remove(&mut self, wire: WireId) {
        for s in &mut self.stretches {
            s.wires.remove(&wire);
        }
        self.stretches.retain(|s| !s.wires.is_empty());
        let mut used = vec![false; self.knots.len()];
        for s in &self.stretches {
            used[s.a] = true;
            used[s.b] = true;
        }
        let mut next = 0;
        let renumbered: Vec<usize> = used
            .iter()
            .map(|u| {
                let at = next;
                next += usize::from(*u);
                at
            })
            .collect();
        let mut i = 0;
        self.knots.retain(|_| {
            i += 1;
            used[i - 1]
        });
        for s in &mut self.stretches {
            (s.a, s.b) = (renumbered[s.a], renumbered[s.b]);
        }
    }

    fn split(&mut self, way: &[Step]) {
        let mut joins: Vec<(usize, f64, &Step)> = way
            .iter()
            .filter_map(|s| s.within.map(|e| (e, self.knots[self.stretches[e].a].at.distance(s.at), s)))
            .collect();
        joins.sort_by(|x, y| x.0.cmp(&y.0).then(y.1.total_cmp(&x.1)));
        joins.dedup_by(|x, y| x.0 == y.0 && x.2.at == y.2.at);
        // Furthest from `a` first, so that the stretch keeps its index and its near end.
        for (e, _, step) in joins {
            let k = self.knot_or_new(step);
            let far = Stretch { a: k, b: self.stretches[e].b, wires: self.stretches[e].wires.clone() };
            self.stretches[e].b = k;
            self.stretches.push(far);
        }
    }
}

/// Leaves out points within a stretch at which the way goes straight on along the same stretch.
pub fn tidy(way: Vec<Step>) -> Vec<Step> {
    let keep: Vec<bool> = (0..way.len())
        .map(|i| {
            let Some(e) = way[i].within else { return true };
            if way[i].pin {
                return true;
            }
            if i == 0 || i + 1 == way.len() {
                return true;
            }
            let (a, p, b) = (way[i - 1].at, way[i].at, way[i + 1].at);
            let straight = a.distance(p) + p.distance(b) - a.distance(b) < 1e-9;
            let same =
                way[i - 1].within.is_none_or(|x| x == e) && way[i + 1].within.is_none_or(|x| x == e);
            !(straight && same)
        })
        .collect();
    way.into_iter().zip(keep).filter_map(|(s, k)| k.then_some(s)).collect()
}
