//! Lanes: strands that take the same way run side by side, bend round the same middles, and lie in the
//! order in which they leave.
//!
//! A strand (a wire, a cable, a piece of a loom) comes with the sharp way that the search found for it.
//! Round every post of that way the strands are put in order ([`order`]); each then keeps the distance
//! that those nearer to the post need. A strand keeps its lane along a wall. Then all are pulled taut
//! ([`taut`]) past the posts they bend round and those they would come too near to.

mod order;
mod taut;
#[cfg(test)]
mod tests;

use super::cells::Cells;
use super::posts::Posts;
use crate::shape::{along, cross, dot, minus, nearest_on_segment, norm, unit};
use loomdeck_model::Point;
use loomdeck_model::units::Millimetres;
use taut::{Round, Taut};

/// Air between two lanes, mm: wires laid by hand touch here and there.
pub const AIR: f64 = 0.3;

/// How often lanes are put in order and pulled taut again.
const ROUNDS: usize = 5;

/// A corner of a strand's sharp way.
#[derive(Clone, Copy, Debug)]
pub struct Node {
    /// Where.
    pub at: Point,
    /// The post it goes round.
    pub post: Option<u32>,
}

/// An end at which the strand leaves straight and turns later: its first stretch may be made longer.
#[derive(Clone, Copy, Debug)]
pub struct Stub {
    /// Longest that it may be.
    pub most: f64,
}

/// What is laid as one: a wire, a cable, a piece of a loom.
#[derive(Clone, Debug)]
pub struct Strand {
    /// Thickness.
    pub width: f64,
    /// Distance of its middle from what stands on the face, at least.
    pub clearance: f64,
    /// Radius its bends should have.
    pub radius: f64,
    /// Its sharp way, from end to end.
    pub nodes: Vec<Node>,
    /// At either end, whether its first node is a terminal and the second where it may first turn.
    pub stubs: [Option<Stub>; 2],
    /// The strand (earlier in the list) at which either end joins on.
    pub joins: [Option<usize>; 2],
}

/// A strand as it is laid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Laid {
    /// Corners.
    pub points: Vec<Point>,
    /// Bend radius at each.
    pub radii: Vec<Millimetres>,
}

/// A post that a strand passes.
#[derive(Clone, Copy, Debug)]
struct Via {
    post: u32,
    /// Where the post is.
    at: Point,
    /// 1: to the left of the strand, -1: to the right.
    side: f64,
    /// Place along the sharp way: number of the node, or of the stretch and the part of it.
    place: f64,
    /// The node, when the sharp way bends here.
    node: Option<usize>,
    /// How much further off than it must be the sharp way passes.
    slack: f64,
    /// Distance of the sharp way.
    sharp: f64,
    /// Distance that it keeps.
    need: f64,
}

/// Everything while it is being laid.
struct Bench<'a> {
    posts: &'a Posts,
    strands: &'a [Strand],
    vias: Vec<Vec<Via>>,
    /// Strands at each post with the number of their via, nearest first.
    at: Vec<Vec<(usize, usize)>>,
    /// How far the bend's middle is drawn into the obstacle, per post.
    into: Vec<f64>,
    laid: Vec<Laid>,
    tauts: Vec<Taut>,
}

/// With at least this many strands on either face both are laid at once.
const MANY: usize = 16;

/// Lays all strands of both faces.
pub fn lay_both(posts: [&Posts; 2], strands: &[Vec<Strand>; 2]) -> [Vec<Laid>; 2] {
    let one = |face: usize| lay(posts[face], &strands[face]);
    if strands.iter().any(|s| s.len() < MANY) {
        return [one(0), one(1)];
    }
    crate::beside(|| one(0), || one(1)).into()
}

/// Lays all strands of a face.
pub fn lay(posts: &Posts, strands: &[Strand]) -> Vec<Laid> {
    let mut bench = Bench {
        posts,
        strands,
        vias: strands.iter().map(|s| tight(posts, s)).collect(),
        at: vec![Vec::new(); posts.all.len()],
        into: vec![0.0; posts.all.len()],
        laid: vec![Laid::default(); strands.len()],
        tauts: vec![Taut::default(); strands.len()],
    };
    let near = Cells::of_points(posts.all.iter().map(|p| p.at));
    let mut changed: Vec<bool> = vec![true; strands.len()];
    for round in 0..ROUNDS {
        bench.gather(&changed);
        bench.widths(round);
        for i in 0..strands.len() {
            bench.keep_lanes(i);
            bench.share_passages(i);
            (bench.laid[i], bench.tauts[i]) = bench.pull(i);
        }
        changed = bench.come_near(&near);
        if round > 1 && !changed.iter().any(|c| *c) {
            break;
        }
    }
    for i in 0..strands.len() {
        if !bench.is_free(i) {
            bench.laid[i] = bench.sharp(i);
        }
    }
    bench.laid
}

/// The posts that the sharp way bends round.
fn tight(posts: &Posts, strand: &Strand) -> Vec<Via> {
    let n = &strand.nodes;
    (1..n.len().saturating_sub(1))
        .filter_map(|k| {
            let post = n[k].post?;
            let at = posts.all[post as usize].at;
            let side = cross(minus(n[k + 1].at, n[k - 1].at), minus(at, n[k].at)).signum();
            Some(Via {
                post,
                at,
                side,
                place: k as f64,
                node: Some(k),
                slack: 0.0,
                sharp: strand.clearance,
                need: strand.clearance,
            })
        })
        .collect()
}

impl Bench<'_> {
    /// Puts the strands at every post in order where something changed.
    fn gather(&mut self, changed: &[bool]) {
        let n = self.posts.all.len();
        let mut at: Vec<Vec<(usize, usize)>> = vec![Vec::new(); n];
        let mut dirty = vec![false; n];
        for (s, vias) in self.vias.iter().enumerate() {
            for (v, via) in vias.iter().enumerate() {
                at[via.post as usize].push((s, v));
                dirty[via.post as usize] |= changed[s];
            }
        }
        for (post, list) in at.iter_mut().enumerate() {
            if !dirty[post] && self.at[post].len() == list.len() {
                list.clone_from(&self.at[post]);
            } else {
                order::sort(self.strands, list, |s, v| &self.vias[s][v]);
            }
        }
        self.at = at;
    }

    /// What every strand must keep from its posts for those nearer to them, and how wide the bends are.
    fn widths(&mut self, round: usize) {
        for (post, list) in self.at.iter().enumerate().filter(|(_, list)| !list.is_empty()) {
            let p = &self.posts.all[post];
            let mut inner: Option<(f64, f64)> = None;
            let mut into = 0.0f64;
            for (s, v) in list {
                let strand = &self.strands[*s];
                let mut need = strand.clearance.max(strand.width / 2.0 + AIR);
                if let Some((reach, width)) = inner {
                    need = need.max(reach + (width + strand.width) / 2.0 + AIR);
                }
                let via = &mut self.vias[*s][*v];
                via.need = need;
                let real = if round == 0 { need } else { self.tauts[*s].distance(p.at, *v, need) };
                inner = Some((need.max(real.min(need + strand.width)), strand.width));
                if via.node.is_some() {
                    into = into.max(strand.radius - need);
                }
            }
            let stack = inner.map_or(0.0, |(reach, width)| reach + width / 2.0);
            let spare = (p.free - stack).max(0.0);
            let into = if p.corner { into.clamp(0.0, spare * INTO) } else { 0.0 };
            self.into[post] = into;
        }
    }

    /// A strand keeps its lane: what pushes it off a wall at one post pushes it along the whole wall.
    fn keep_lanes(&mut self, i: usize) {
        let (strand, vias) = (&self.strands[i], &mut self.vias[i]);
        let last = strand.nodes.len().saturating_sub(1);
        for _ in 0..3 {
            let mut moved = false;
            for k in 0..last {
                moved |= keep_lane(vias, k, last);
            }
            if !moved {
                break;
            }
        }
    }

    /// Where a passage is too narrow for all, every strand gives way in proportion. Nothing is pressed
    /// into a wall: only what is asked for beyond the strand itself is cut down.
    fn share_passages(&mut self, i: usize) {
        let (strand, vias) = (&self.strands[i], &mut self.vias[i]);
        // Side by side in memory, for there are many pairs.
        let mut all: Vec<(Point, f64, f64)> = vias.iter().map(|v| (v.at, v.side, v.need)).collect();
        for v in 0..all.len() {
            for w in v + 1..all.len() {
                let ((p, side, need), (q, other, most)) = (all[v], all[w]);
                let sum = need + most;
                if side * other > 0.0 || (p.x - q.x).abs() >= sum || (p.y - q.y).abs() >= sum {
                    continue;
                }
                let room = norm(minus(p, q));
                if sum <= room {
                    continue;
                }
                let half = (strand.width / 2.0).min(room / 2.0);
                let keep = (room - 2.0 * half) / (sum - 2.0 * half).max(1e-9);
                all[v].2 = half + (need - half).max(0.0) * keep;
                all[w].2 = half + (most - half).max(0.0) * keep;
            }
        }
        vias.iter_mut().zip(all).for_each(|(v, (_, _, need))| v.need = need);
    }

    fn rounds(&self, i: usize) -> Vec<Round> {
        let round = |via: &Via| {
            let out = self.posts.all[via.post as usize].out;
            let into = if via.node.is_some() { self.into[via.post as usize] } else { 0.0 };
            Round::new(via.at, out, via.need, into, via.side)
        };
        self.vias[i].iter().map(round).collect()
    }

    fn pull(&self, i: usize) -> (Laid, Taut) {
        let strand = &self.strands[i];
        let n = strand.nodes.len();
        if n < 2 {
            let points = strand.nodes.iter().map(|n| n.at).collect();
            return (Laid { points, radii: vec![Millimetres::ZERO; n] }, Taut::default());
        }
        let rounds = self.rounds(i);
        let tight: Vec<bool> = self.vias[i].iter().map(|v| v.node.is_some()).collect();
        let (head, tail) = (strand.stubs[0].filter(|_| n > 2), strand.stubs[1].filter(|_| n > 2));
        let mut ends = [
            strand.nodes[usize::from(head.is_some())].at,
            strand.nodes[n - 1 - usize::from(tail.is_some())].at,
        ];
        for (end, join) in ends.iter_mut().zip(strand.joins) {
            if let Some(to) = join.filter(|j| *j < i).map(|j| &self.laid[j]) {
                let place = super::path::nearest(&to.points, &to.radii, *end);
                let (p, _) = super::path::part(&to.points, &to.radii, place, place + 1e-6);
                *end = p.first().copied().unwrap_or(*end);
            }
        }
        let mut taut = taut::pull(ends[0], ends[1], &rounds, &tight);
        // The stub reaches as far as the lane, so that the wire turns into it squarely.
        let mut longer = false;
        for (end, stub) in [(0, head), (1, tail)] {
            let Some(stub) = stub else { continue };
            if let Some(to) = self.slid(i, end, stub, &taut, &rounds) {
                ends[end] = to;
                longer = true;
            }
        }
        if longer {
            taut = taut::pull(ends[0], ends[1], &rounds, &tight);
        }
        (self.whole(strand, &taut, &rounds, [head.is_some(), tail.is_some()]), taut)
    }

    /// Where the stub has to end so that the stretch behind it is parallel to the sharp way.
    fn slid(&self, i: usize, end: usize, stub: Stub, taut: &Taut, rounds: &[Round]) -> Option<Point> {
        let nodes = &self.strands[i].nodes;
        let n = nodes.len();
        let (terminal, gate, next) = match end {
            0 => (nodes[0].at, nodes[1].at, nodes[2].at),
            _ => (nodes[n - 1].at, nodes[n - 2].at, nodes[n - 3].at),
        };
        let first = if end == 0 { taut.bends.first() } else { taut.bends.last() }?;
        let via = &self.vias[i][*first];
        let beside = if end == 0 { via.place <= 2.0 } else { via.place >= (n - 3) as f64 };
        if !beside {
            return None;
        }
        let out = unit(minus(gate, terminal))?;
        let way = unit(minus(next, gate))?;
        let left = Point::new(-way.y, way.x);
        let steep = dot(out, left);
        if steep.abs() < 0.35 {
            return None;
        }
        let round = &rounds[*first];
        // Alone it turns at once.
        if self.at[via.post as usize].len() < 2 {
            return None;
        }
        // The side is told along the strand; from its end it is seen the other way round.
        let side = if end == 0 { round.side } else { -round.side };
        let line = dot(round.centre, left) - side * round.radius;
        let t = (line - dot(terminal, left)) / steep;
        let least = norm(minus(gate, terminal));
        (t > least).then(|| along(terminal, out, t.min(stub.most.max(least))))
    }

    /// The strand with its stubs, every bend as wide as the straight stretches beside it allow.
    fn whole(&self, strand: &Strand, taut: &Taut, rounds: &[Round], stubs: [bool; 2]) -> Laid {
        let (mut points, mut radii) = taut.corners(rounds);
        if stubs[0] {
            points.insert(0, strand.nodes[0].at);
            radii.insert(0, Millimetres::ZERO);
        }
        if stubs[1] {
            points.extend(strand.nodes.last().map(|n| n.at));
            radii.push(Millimetres::ZERO);
        }
        fit(points, radii, strand.radius)
    }

    /// The strand keeps half its thickness from everything, beyond its stubs.
    fn is_free(&self, i: usize) -> bool {
        let strand = &self.strands[i];
        let half = strand.width.min(2.0 * strand.clearance) / 2.0 - 1e-5;
        let (first, last) = inner_range(strand, self.laid[i].points.len());
        self.laid[i].points[first..last].windows(2).all(|s| self.posts.is_free(s[0], s[1], half))
    }

    /// The sharp way itself, with bends that do not cut into what they go round.
    fn sharp(&self, i: usize) -> Laid {
        let strand = &self.strands[i];
        let n = &strand.nodes;
        let half = strand.width.min(2.0 * strand.clearance) / 2.0;
        let radius = |k: usize| -> f64 {
            let Some(post) = n[k].post else { return 0.0 };
            let room = norm(minus(n[k].at, self.posts.all[post as usize].at)) - half;
            let turn = super::path::turn(n[k - 1].at, n[k].at, n[k + 1].at);
            let cut = 1.0 / (turn / 2.0).cos().max(1e-3) - 1.0;
            if cut < 1e-6 { strand.radius } else { (room.max(0.0) / cut).min(strand.radius) }
        };
        let inner = 1..n.len().saturating_sub(1);
        let radii = (0..n.len()).map(|k| {
            if inner.contains(&k) { Millimetres(radius(k).max(1e-6)) } else { Millimetres::ZERO }
        });
        fit(n.iter().map(|n| n.at).collect(), radii.collect(), strand.radius)
    }

    /// Posts that a strand now comes too near to join those it keeps off; which strands got new ones.
    fn come_near(&mut self, near: &Cells) -> Vec<bool> {
        let mut changed = vec![false; self.strands.len()];
        let at: Vec<Point> = self.posts.all.iter().map(|p| p.at).collect();
        let mut reach = vec![0.0f64; self.posts.all.len()];
        for (p, list) in self.at.iter().enumerate() {
            if let Some((s, v)) = list.last() {
                reach[p] = self.vias[*s][*v].need + self.strands[*s].width / 2.0 + AIR;
            }
        }
        let most = reach.iter().copied().fold(0.0, f64::max).min(FURTHEST);
        for (i, strand) in self.strands.iter().enumerate() {
            let half = strand.width / 2.0;
            let known: Vec<u32> = self.vias[i].iter().map(|v| v.post).collect();
            let (first, last) = inner_range(strand, self.laid[i].points.len());
            let mut found: Vec<u32> = Vec::new();
            for pair in self.laid[i].points[first..last].windows(2) {
                let far = (most + half).max(strand.clearance);
                let (x0, x1) = (pair[0].x.min(pair[1].x), pair[0].x.max(pair[1].x));
                let (y0, y1) = (pair[0].y.min(pair[1].y), pair[0].y.max(pair[1].y));
                near.along(pair[0], pair[1], far, |p| {
                    let at = at[p as usize];
                    let stack = reach[p as usize];
                    let keep = if stack > 0.0 { stack + half } else { 0.0 };
                    let keep = keep.max(strand.clearance - 1e-3) - BARELY;
                    if at.x < x0 - keep || at.x > x1 + keep || at.y < y0 - keep || at.y > y1 + keep {
                        return;
                    }
                    let post = &self.posts.all[p as usize];
                    let q = nearest_on_segment(post.at, pair[0], pair[1]);
                    let off = minus(q, post.at);
                    let square = dot(off, off);
                    if square < keep * keep
                        && dot(off, post.out) > 0.1 * square.sqrt()
                        && !known.contains(&p)
                        && !found.contains(&p)
                    {
                        found.push(p);
                    }
                });
            }
            changed[i] = !found.is_empty();
            self.vias[i].extend(found.into_iter().filter_map(|p| passing(self.posts, strand, p)));
            // Posts that face each other are told apart by their distance, whatever their number.
            self.vias[i].sort_by(|a, b| a.place.total_cmp(&b.place).then(a.sharp.total_cmp(&b.sharp)));
        }
        changed
    }
}

/// A strand that comes too near by less than this is left where it is, mm.
const BARELY: f64 = 0.01;

/// Posts further off than this are not looked for, mm.
const FURTHEST: f64 = 25.0;

/// The bend's middle is drawn into the obstacle by at most this part of the way that is free beside it.
const INTO: f64 = 0.6;

/// What pushes a strand off the posts along one stretch of its sharp way, on the side of the posts at its
/// ends, is kept from end to end.
fn keep_lane(vias: &mut [Via], k: usize, last: usize) -> bool {
    let (from, to) = (k as f64, (k + 1) as f64);
    // They are in the order of their places.
    let first = vias.partition_point(|v| v.place < from);
    let count = vias[first..].partition_point(|v| v.place <= to);
    let vias = &mut vias[first..first + count];
    let mut moved = false;
    for side in [1.0, -1.0] {
        let at_end = |place: f64| vias.iter().find(|v| v.place == place && v.node.is_some());
        let other = |v: Option<&Via>| v.is_some_and(|v| v.side != side);
        // Between posts on different sides the strand swings over; nothing is kept.
        if other(at_end(from)) || other(at_end(to)) || last == 0 {
            continue;
        }
        let push = vias.iter().filter(|v| v.side == side).map(|v| v.need - v.sharp);
        let push = push.fold(0.0, f64::max);
        for v in vias.iter_mut().filter(|v| v.side == side && v.node.is_some()) {
            if v.need < v.sharp + push - 1e-9 {
                v.need = v.sharp + push;
                moved = true;
            }
        }
    }
    moved
}

/// A post beside the sharp way.
fn passing(posts: &Posts, strand: &Strand, p: u32) -> Option<Via> {
    let at = posts.all[p as usize].at;
    let (first, last) = inner_range(strand, strand.nodes.len());
    let mut best: Option<(f64, Via)> = None;
    for k in first..last.saturating_sub(1) {
        let (a, b) = (strand.nodes[k].at, strand.nodes[k + 1].at);
        let q = nearest_on_segment(at, a, b);
        let d = norm(minus(q, at));
        if best.as_ref().is_some_and(|(least, _)| d >= *least - 1e-9) {
            continue;
        }
        let long = norm(minus(b, a));
        if long < 1e-9 {
            continue;
        }
        let t = (norm(minus(q, a)) / long).clamp(1e-6, 1.0 - 1e-6);
        let via = Via {
            post: p,
            at,
            side: cross(minus(b, a), minus(at, a)).signum(),
            place: k as f64 + t,
            node: None,
            slack: d - strand.clearance,
            sharp: d,
            need: 0.0,
        };
        best = Some((d, via));
    }
    best.map(|(_, via)| via)
}

/// Nodes (or corners) without the terminals at the ends of stubs.
fn inner_range(strand: &Strand, len: usize) -> (usize, usize) {
    let has = strand.nodes.len() > 2;
    let first = usize::from(has && strand.stubs[0].is_some());
    let last = len.saturating_sub(usize::from(has && strand.stubs[1].is_some()));
    (first.min(last), last)
}

/// Gives sharp corners a bend, and narrows bends that do not fit between their neighbours.
pub fn fit(points: Vec<Point>, radii: Vec<Millimetres>, wanted: f64) -> Laid {
    let (points, mut radii) = merged(points, radii);
    let n = points.len();
    if n < 3 {
        return Laid { points, radii };
    }
    let turns: Vec<f64> = (0..n)
        .map(|i| {
            if i == 0 || i + 1 == n {
                0.0
            } else {
                super::path::turn(points[i - 1], points[i], points[i + 1]).abs()
            }
        })
        .collect();
    for radius in radii[1..n - 1].iter_mut().filter(|r| r.0 <= 0.0) {
        *radius = Millimetres(wanted);
    }
    let reach = |radii: &[Millimetres], i: usize| radii[i].0 * (turns[i] / 2.0).tan().abs();
    for i in 0..n - 1 {
        let long = norm(minus(points[i + 1], points[i]));
        let (a, b) = (reach(&radii, i), reach(&radii, i + 1));
        if a + b > long {
            let keep = (long / (a + b)).max(0.0) * (1.0 - 1e-9);
            for k in [i, i + 1] {
                radii[k] = Millimetres(radii[k].0 * keep);
            }
        }
    }
    Laid { points, radii }
}

/// Corners nearer to one another than this are one, mm: what lies between has no direction.
const ONE: f64 = 1e-5;

/// Leaves out corners that lie on one another or turn nothing; the ends stay.
fn merged(points: Vec<Point>, radii: Vec<Millimetres>) -> (Vec<Point>, Vec<Millimetres>) {
    let mut out: (Vec<Point>, Vec<Millimetres>) = (Vec::new(), Vec::new());
    let count = points.len();
    for (i, (p, r)) in points.into_iter().zip(radii).enumerate() {
        if out.0.last().is_some_and(|q| norm(minus(*q, p)) < ONE) {
            if i + 1 < count || out.0.len() < 2 {
                continue;
            }
            out.0.pop();
            out.1.pop();
        }
        while let [.., a, b] = out.0.as_slice() {
            if super::path::turn(*a, *b, p).abs() > 1e-7 {
                break;
            }
            out.0.pop();
            out.1.pop();
        }
        out.0.push(p);
        out.1.push(r);
    }
    out
}
