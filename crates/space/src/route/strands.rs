//! From found ways to strands, and from laid strands back to the ways of single wires and looms.

use super::jobs::{Group, Job};
use super::lanes::{Laid, Node, Strand, Stub, fit};
use super::looms::diameter;
use super::path;
use super::tree::{Step, Tree};
use super::{CLEARANCES, Found};
use crate::geometry::TrunkBody;
use crate::shape::{cross, minus, norm};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Point, Robot, WireId};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Where on a strand something begins or ends.
#[derive(Clone, Copy, Debug)]
enum Mark {
    Start,
    End,
    /// Beside this point of its sharp way.
    At(Point),
}

/// A piece of a strand.
#[derive(Clone, Copy, Debug)]
struct Piece {
    strand: usize,
    from: Mark,
    to: Mark,
}

/// A stretch of a wire's way.
#[derive(Clone, Debug)]
enum Run {
    Along { face: usize, before: Option<Point>, pieces: Vec<Piece>, after: Option<Point> },
    Through { pass: Option<usize>, at: Point },
}

/// A piece of a group's trunk with the same wires.
#[derive(Clone, Debug)]
struct Body {
    group: Group,
    face: usize,
    piece: Piece,
    wires: BTreeSet<WireId>,
}

/// All strands of both faces, and what runs where on them.
#[derive(Debug, Default)]
pub(crate) struct Plan {
    /// Strands by face.
    pub strands: [Vec<Strand>; 2],
    /// Knots of the trunk at whose terminals a strand begins and ends.
    ends: BTreeMap<(usize, usize), [Option<usize>; 2]>,
    runs: BTreeMap<WireId, Vec<Run>>,
    bodies: Vec<Body>,
    /// Wires tied together on their way through the board.
    through: Vec<BTreeSet<WireId>>,
    thickness: f64,
}

/// A stretch of a wire as laid.
pub(crate) enum LaidRun {
    /// Along a face.
    Along(usize, Laid),
    /// To the other face.
    Through(Option<usize>, Point),
}

/// What a wire's ends ask of its strand: how long each stub may become.
pub(crate) type StubRoom<'a> = dyn Fn(&Job, usize, &[Point]) -> f64 + 'a;

impl Plan {
    /// Makes strands of all ways.
    pub fn new(
        robot: &Robot,
        groups: &BTreeMap<Group, Vec<&Job>>,
        ways: &BTreeMap<WireId, Arc<Found>>,
        trees: &BTreeMap<Group, Arc<Tree>>,
        posts: &dyn Fn(usize, usize, u32) -> u32,
        room: &StubRoom<'_>,
    ) -> Self {
        let mut plan =
            Self { thickness: robot.board.as_ref().map_or(0.0, |b| b.thickness.0), ..Self::default() };
        for (group, members) in groups {
            match trees.get(group) {
                Some(tree) => plan.tie(robot, *group, members, ways, tree, posts, room),
                None => members.iter().for_each(|job| plan.single(robot, job, ways, posts, room)),
            }
        }
        plan
    }

    /// A wire on its own: one strand for each face it runs on.
    fn single(
        &mut self,
        robot: &Robot,
        job: &Job,
        ways: &BTreeMap<WireId, Arc<Found>>,
        posts: &dyn Fn(usize, usize, u32) -> u32,
        room: &StubRoom<'_>,
    ) {
        let Some(Found::Way { start, steps, goal, class }) = ways.get(&job.wire).map(Arc::as_ref) else {
            return;
        };
        let mut runs = Vec::new();
        let stretches = by_face(steps);
        let count = stretches.len();
        for (k, stretch) in stretches.iter().enumerate() {
            let face = stretch[0].face;
            let pinned = k > 0 && stretches[k - 1][0].face == face;
            if let Some(first) = stretch.first().filter(|_| k > 0 && !pinned) {
                let pass = stretches[k - 1].last().and_then(|s| s.pass).or(first.pass);
                runs.push(Run::Through { pass, at: first.at });
            }
            let mut nodes: Vec<Node> = Vec::new();
            let (head, tail) = (k == 0 && start.len() > 1, k + 1 == count && goal.len() > 1);
            if head {
                nodes.extend(start[..start.len() - 1].iter().map(|p| Node { at: *p, post: None }));
            }
            nodes.extend(
                stretch
                    .iter()
                    .map(|s| Node { at: s.at, post: s.corner.map(|c| posts(*class, s.face, c)) }),
            );
            if tail {
                nodes.extend(goal[1..].iter().map(|p| Node { at: *p, post: None }));
            }
            let stub =
                |on: bool, end: usize, stub: &[Point]| on.then(|| Stub { most: room(job, end, stub) });
            let strand = Strand {
                width: job.thickness,
                clearance: CLEARANCES[*class],
                radius: bend_radius(robot, job.wire),
                nodes,
                stubs: [stub(head, 0, start), stub(tail, 1, goal)],
                joins: [None, None],
            };
            self.strands[face].push(strand);
            let piece = Piece { strand: self.strands[face].len() - 1, from: Mark::Start, to: Mark::End };
            match runs.last_mut() {
                Some(Run::Along { pieces, .. }) if pinned => pieces.push(piece),
                _ => runs.push(Run::Along { face, before: None, pieces: vec![piece], after: None }),
            }
        }
        self.runs.insert(job.wire, runs);
    }

    /// Wires tied together: the trunk is cut into strands, the longest wire's way first; what leaves it
    /// begins where it leaves.
    #[allow(clippy::too_many_arguments, reason = "everything that a group is made of")]
    fn tie(
        &mut self,
        robot: &Robot,
        group: Group,
        members: &[&Job],
        ways: &BTreeMap<WireId, Arc<Found>>,
        tree: &Tree,
        posts: &dyn Fn(usize, usize, u32) -> u32,
        room: &StubRoom<'_>,
    ) {
        let mut order: Vec<&&Job> = members.iter().collect();
        order.sort_by(|a, b| b.span().total_cmp(&a.span()).then(a.wire.cmp(&b.wire)));
        // Strand of every stretch of the tree.
        let mut owner: Vec<Option<usize>> = vec![None; tree.stretches.len()];
        for job in order {
            let Some(Found::Way { start, steps, goal, class }) = ways.get(&job.wire).map(Arc::as_ref)
            else {
                continue;
            };
            let path = path_of(tree, job.wire, steps);
            let mut runs: Vec<Run> = Vec::new();
            let last = path.len().saturating_sub(1);
            let mut i = 0;
            while i <= last && !path.is_empty() {
                let face = tree.knots[path[i].0].face;
                let mut j = i;
                while j < last && tree.knots[path[j + 1].0].face == face {
                    j += 1;
                }
                if i > 0 {
                    let at = tree.knots[path[i].0].at;
                    let pass =
                        steps.iter().find(|s| s.pass.is_some() && s.at == at).and_then(|s| s.pass);
                    runs.push(Run::Through { pass, at });
                }
                let stubs = [
                    (i == 0 && start.len() > 1).then_some(start.as_slice()),
                    (j == last && goal.len() > 1).then_some(goal.as_slice()),
                ];
                let made =
                    self.along(robot, job, tree, &path[i..=j], stubs, &mut owner, *class, posts, room);
                runs.push(made);
                i = j + 1;
            }
            self.runs.insert(job.wire, runs);
        }
        let through = tree.stretches.iter().filter(|s| tree.knots[s.a].face != tree.knots[s.b].face);
        self.through.extend(through.filter(|s| s.wires.len() > 1).map(|s| s.wires.clone()));
        self.bodies_of(group, tree, &owner);
    }

    /// One wire's stretch of a face: pieces of strands that are there, and new strands for the rest.
    #[allow(clippy::too_many_arguments, reason = "everything that a group is made of")]
    fn along(
        &mut self,
        robot: &Robot,
        job: &Job,
        tree: &Tree,
        path: &[(usize, Option<usize>)],
        stubs: [Option<&[Point]>; 2],
        owner: &mut [Option<usize>],
        class: usize,
        posts: &dyn Fn(usize, usize, u32) -> u32,
        room: &StubRoom<'_>,
    ) -> Run {
        let face = tree.knots[path[0].0].face;
        let n = path.len();
        let mut pieces: Vec<Piece> = Vec::new();
        let (mut before, mut after) = (None, None);
        let mut k = 0;
        if n == 1 {
            // Nothing but its stubs.
            before = stubs[0].map(|s| s[0]);
            after = stubs[1].and_then(|s| s.last().copied());
        }
        while k + 1 < n {
            // `path[i].1` is the stretch from knot i to knot i + 1.
            let Some(e) = path[k].1 else { break };
            let begin = k;
            let at = |i: usize| tree.knots[path[i].0].at;
            if let Some(strand) = owner[e] {
                while k + 1 < n && path[k].1.is_some_and(|e| owner[e] == Some(strand)) {
                    k += 1;
                }
                // Another wire of the same terminal has made the strand that begins there.
                let shared = |i: usize, end: usize| -> Option<Mark> {
                    stubs[end].filter(|_| if end == 0 { i == 0 } else { i + 1 == n })?;
                    let [first, last] = *self.ends.get(&(face, strand))?;
                    match path[i].0 {
                        knot if first == Some(knot) => Some(Mark::Start),
                        knot if last == Some(knot) => Some(Mark::End),
                        _ => None,
                    }
                };
                let (from, to) = (shared(begin, 0), shared(k, 1));
                if begin == 0 && from.is_none() {
                    before = stubs[0].map(|s| s[0]);
                }
                if k + 1 == n && to.is_none() {
                    after = stubs[1].and_then(|s| s.last().copied());
                }
                let (from, to) = (from.unwrap_or(Mark::At(at(begin))), to.unwrap_or(Mark::At(at(k))));
                pieces.push(Piece { strand, from, to });
                continue;
            }
            while k + 1 < n && path[k].1.is_some_and(|e| owner[e].is_none()) {
                k += 1;
                // A turn in free space, where a wire joined: the next strand begins here.
                let free = tree.knots[path[k].0].corner.is_none();
                if k + 1 < n && free && turns(at(k - 1), at(k), at(k + 1)) {
                    break;
                }
            }
            let knots = &path[begin..=k];
            // Where the trunk goes on past a terminal, the wire's last stretch is not part of it.
            let alone =
                |knot: usize| tree.stretches.iter().filter(|s| s.a == knot || s.b == knot).count() == 1;
            let head = stubs[0].filter(|_| begin == 0 && alone(knots[0].0));
            let tail = stubs[1].filter(|_| k + 1 == n && alone(knots[knots.len() - 1].0));
            if begin == 0 && head.is_none() {
                before = stubs[0].map(|s| s[0]);
            }
            if k + 1 == n && tail.is_none() {
                after = stubs[1].and_then(|s| s.last().copied());
            }
            let mut nodes: Vec<Node> = Vec::new();
            if let Some(stub) = head {
                nodes.extend(stub[..stub.len() - 1].iter().map(|p| Node { at: *p, post: None }));
            }
            for (i, (knot, _)) in knots.iter().enumerate() {
                let knot = &tree.knots[*knot];
                if i == 0 || i + 1 == knots.len() || knot.corner.is_some() {
                    nodes.push(Node { at: knot.at, post: knot.corner.map(|c| posts(class, face, c)) });
                }
            }
            if let Some(stub) = tail {
                nodes.extend(stub[1..].iter().map(|p| Node { at: *p, post: None }));
            }
            let wires: BTreeSet<WireId> = knots[..knots.len() - 1]
                .iter()
                .filter_map(|(_, e)| e.map(|e| &tree.stretches[e].wires))
                .flatten()
                .copied()
                .collect();
            let width = knots[..knots.len() - 1]
                .iter()
                .filter_map(|(_, e)| e.map(|e| diameter(robot, &tree.stretches[e].wires).0))
                .fold(0.0, f64::max);
            let radius = wires.iter().map(|w| bend_radius(robot, *w)).fold(0.0, f64::max);
            let id = self.strands[face].len();
            // The strand that it leaves, or comes to, unless it begins at a terminal or an opening.
            let beside = |this: &Self, knot: usize, on: bool| {
                let here = &tree.knots[knot];
                let mut own =
                    tree.stretches.iter().zip(owner.iter()).filter(|(s, _)| s.a == knot || s.b == knot);
                on.then(|| own.find_map(|(_, o)| o.filter(|o| *o < this.strands[here.face].len())))
                    .flatten()
            };
            let joins = [
                beside(self, knots[0].0, head.is_none()),
                beside(self, knots[knots.len() - 1].0, tail.is_none()),
            ];
            let stub = |end: usize, s: Option<&[Point]>| s.map(|s| Stub { most: room(job, end, s) });
            let ends = [head.map(|_| knots[0].0), tail.map(|_| knots[knots.len() - 1].0)];
            self.ends.insert((face, id), ends);
            self.strands[face].push(Strand {
                width,
                clearance: CLEARANCES[class],
                radius,
                nodes,
                stubs: [stub(0, head), stub(1, tail)],
                joins,
            });
            for (_, e) in &knots[..knots.len() - 1] {
                if let Some(e) = e {
                    owner[*e] = Some(id);
                }
            }
            pieces.push(Piece { strand: id, from: Mark::Start, to: Mark::End });
        }
        Run::Along { face, before, pieces, after }
    }

    /// Pieces of the trunk with the same wires.
    fn bodies_of(&mut self, group: Group, tree: &Tree, owner: &[Option<usize>]) {
        let mut left: Vec<bool> = owner.iter().map(Option::is_some).collect();
        for first in 0..tree.stretches.len() {
            if !left[first] {
                continue;
            }
            left[first] = false;
            let Some(strand) = owner[first] else { continue };
            let wires = &tree.stretches[first].wires;
            // Grows at both ends while the same wires go on along the same strand.
            let (mut a, mut b) = (tree.stretches[first].a, tree.stretches[first].b);
            loop {
                let more = (0..tree.stretches.len()).find(|e| {
                    let s = &tree.stretches[*e];
                    left[*e]
                        && owner[*e] == Some(strand)
                        && s.wires == *wires
                        && [s.a, s.b].iter().any(|k| *k == a || *k == b)
                });
                let Some(e) = more else { break };
                left[e] = false;
                let s = &tree.stretches[e];
                match (s.a == a, s.b == a, s.a == b) {
                    (true, ..) => a = s.b,
                    (_, true, _) => a = s.a,
                    (_, _, true) => b = s.b,
                    _ => b = s.a,
                }
            }
            let face = tree.knots[a].face;
            let (pa, pb) = (tree.knots[a].at, tree.knots[b].at);
            self.bodies.push(Body {
                group,
                face,
                piece: Piece { strand, from: Mark::At(pa), to: Mark::At(pb) },
                wires: wires.clone(),
            });
        }
    }

    /// The way of a wire as laid.
    pub fn run(&self, robot: &Robot, wire: WireId, laid: &[Vec<Laid>; 2]) -> Option<Vec<LaidRun>> {
        let runs = self.runs.get(&wire)?;
        let out = runs.iter().map(|run| match run {
            Run::Through { pass, at } => LaidRun::Through(*pass, *at),
            Run::Along { face, before, pieces, after } => {
                let (mut points, mut radii) = (Vec::new(), Vec::new());
                points.extend(before);
                radii.resize(points.len(), Millimetres::ZERO);
                for piece in pieces {
                    let (p, r) = self.cut(*face, piece, laid);
                    points.extend(p);
                    radii.extend(r);
                }
                points.extend(after);
                radii.resize(points.len(), Millimetres::ZERO);
                let laid = match pieces.as_slice() {
                    [_] if before.is_none() && after.is_none() => Laid { points, radii },
                    _ => fit(points, radii, bend_radius(robot, wire)),
                };
                LaidRun::Along(*face, laid)
            }
        });
        Some(out.collect())
    }

    fn cut(&self, face: usize, piece: &Piece, laid: &[Vec<Laid>; 2]) -> (Vec<Point>, Vec<Millimetres>) {
        let whole = &laid[face][piece.strand];
        if let (Mark::Start, Mark::End) = (piece.from, piece.to) {
            return (whole.points.clone(), whole.radii.clone());
        }
        let place = |m: Mark| match m {
            Mark::Start => 0.0,
            Mark::End => path::length(&whole.points, &whole.radii),
            Mark::At(p) => path::nearest(&whole.points, &whole.radii, p),
        };
        path::part(&whole.points, &whole.radii, place(piece.from), place(piece.to))
    }

    /// Pieces of every trunk as laid, by group.
    pub fn bodies(&self, robot: &Robot, laid: &[Vec<Laid>; 2]) -> Vec<(Group, TrunkBody)> {
        let body = |b: &Body| {
            let (points, radii) = self.cut(b.face, &b.piece, laid);
            let body = TrunkBody {
                face: Face::BOTH[b.face],
                points,
                radii,
                wires: b.wires.iter().copied().collect(),
                diameter: diameter(robot, &b.wires),
            };
            (b.group, body)
        };
        self.bodies.iter().map(body).filter(|(_, b)| b.points.len() > 1).collect()
    }

    /// Wires tied together on their way through the board.
    pub fn through(&self) -> Vec<BTreeSet<WireId>> {
        self.through.clone()
    }

    /// Thickness of the board.
    pub fn thickness(&self) -> f64 {
        self.thickness
    }
}

/// Radius that a wire's bends should have: six times its outside diameter, the least that
/// NASA-STD-8739.4 (1998), paragraph 7.3.21, allows a cable that is bent for a short time.
pub fn bend_radius(robot: &Robot, wire: WireId) -> f64 {
    let w = &robot.wires[wire.0];
    BEND * w.insulation.outside_diameter(w.gauge).0
}

/// Least bend radius over outside diameter.
pub const BEND: f64 = 6.0;

/// The steps of a way, face by face; a corner that the builder wants ends one stretch and begins the next.
fn by_face(steps: &[Step]) -> Vec<&[Step]> {
    let mut out = Vec::new();
    for part in steps.chunk_by(|a, b| a.face == b.face) {
        let mut from = 0;
        for (i, step) in part.iter().enumerate() {
            if step.pin && i > from && i + 1 < part.len() {
                out.push(&part[from..=i]);
                from = i;
            }
        }
        out.push(&part[from..]);
    }
    out
}

/// A corner that is not straight on.
fn turns(a: Point, b: Point, c: Point) -> bool {
    let (d, e) = (minus(b, a), minus(c, b));
    cross(d, e).abs() > 1e-6 * norm(d) * norm(e)
}

/// Knots of a wire's way through its trunk, each with the stretch to the next.
fn path_of(tree: &Tree, wire: WireId, steps: &[Step]) -> Vec<(usize, Option<usize>)> {
    let knot = |s: &Step| tree.knots.iter().position(|k| k.face == s.face && k.at == s.at);
    let (Some(first), Some(last)) = (steps.first().and_then(knot), steps.last().and_then(knot)) else {
        return Vec::new();
    };
    let mut out: Vec<(usize, Option<usize>)> = Vec::new();
    let mut here = first;
    let mut used: BTreeSet<usize> = BTreeSet::new();
    while here != last {
        let next =
            tree.stretches.iter().enumerate().find(|(e, s)| {
                !used.contains(e) && (s.a == here || s.b == here) && s.wires.contains(&wire)
            });
        let Some((e, s)) = next else { break };
        used.insert(e);
        out.push((here, Some(e)));
        here = if s.a == here { s.b } else { s.a };
    }
    out.push((here, None));
    out
}
