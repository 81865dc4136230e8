//! The way of every wire: over the faces, through the openings, into the body.
//!
//! A wire leaves its terminal along the terminal's exit, past the boot, until it is clear of its own
//! part; from there it takes the shortest way whose middle keeps half the wire's thickness from
//! everything that stands on the face. Wires of a loom (or cable) join the trunk that its longest
//! wires lay out. Corners are measured sharp, which is never shorter than the bent wire.

mod gates;
mod jobs;
mod legs;
mod looms;
pub mod path;
mod scene;
mod search;
#[cfg(test)]
mod tests;
mod tree;

pub use gates::length;

use crate::faces;
use crate::geometry::{Blocked, FaceView, Gap, LoomRun, WireRun};
use crate::shape::{Convex, octagon, pieces, pockets};
use gates::{Stuck, edge_gate, gates, opening_gate};
use jobs::{End, Job};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, Face, PassShape, Robot, Subject, WireId};
use scene::{Obstacle, Scene};
use search::{Gate, Net, Question};
use std::collections::BTreeMap;
use std::rc::Rc;
use tree::{Step, Tree, tidy};

/// Clearances from the middle of a wire for which the faces are prepared, mm. A wire takes the
/// smallest that is at least half its thickness; thicker ones take the last.
pub const CLEARANCES: [f64; 6] = [0.8, 1.2, 1.8, 2.6, 4.0, 6.5];

/// What a trunk of several wires asks for beyond its thickest wire: this many sizes more.
const LOOM_ROOM: usize = 1;

/// Looms of up to this many wires are laid twice.
const LAID_TWICE: usize = 40;

/// Everything about wires.
pub struct Routes {
    /// One per wire.
    pub wires: Vec<WireRun>,
    /// One per loom.
    pub looms: Vec<LoomRun>,
    /// Passages that wires run through.
    pub gaps: Vec<Gap>,
    /// Those without a way.
    pub blocked: Vec<Blocked>,
}

/// What stands on a face, in the order of its obstacles; the pockets of the board come last.
#[derive(Clone, Debug)]
struct Ground {
    obstacles: Vec<Obstacle>,
    subjects: Vec<Subject>,
}

/// Routes every wire.
pub fn routes(robot: &Robot, faces: &[FaceView]) -> Routes {
    let jobs = jobs::jobs(robot, faces);
    let mut ways: BTreeMap<WireId, Found> = BTreeMap::new();
    let mut trees: BTreeMap<jobs::Group, Tree> = BTreeMap::new();
    if let (Some(board), [front, back]) = (&robot.board, faces) {
        let mut router = Router::new(robot, board, [front, back]);
        for (group, members) in jobs::groups(robot, &jobs) {
            let (tree, found) = router.group(group, &members);
            ways.extend(found);
            if let Some(tree) = tree {
                trees.insert(group, tree);
            }
        }
    }
    legs::assemble(robot, &jobs, &ways, &trees)
}

/// A wire's way over the board, or what stops it.
#[derive(Clone, Debug)]
pub(crate) enum Found {
    /// The way.
    Way {
        /// From the terminal to its gate.
        start: Vec<loomdeck_model::Point>,
        /// Between the gates.
        steps: Vec<Step>,
        /// From the goal's gate to its terminal.
        goal: Vec<loomdeck_model::Point>,
    },
    /// What stops it.
    Stuck {
        /// What stands in the way, if it is a thing.
        by: Option<Subject>,
        /// The face.
        face: Face,
        /// Where.
        at: loomdeck_model::Point,
    },
}

type GateKey = (usize, jobs::EndKey);
type Gates = Result<Rc<Vec<Gate>>, Stuck>;

struct Router<'a> {
    robot: &'a Robot,
    board: &'a Board,
    grounds: [Ground; 2],
    nets: Vec<Option<Net>>,
    gates: BTreeMap<GateKey, Gates>,
    widths: Vec<f64>,
}

impl<'a> Router<'a> {
    fn new(robot: &'a Robot, board: &'a Board, faces: [&FaceView; 2]) -> Self {
        let widths = board.passes.iter().map(|p| match p.shape {
            PassShape::Round(d) => d.0,
            PassShape::Slot { width, .. } | PassShape::Rect { width, .. } => width.0,
        });
        Self {
            robot,
            board,
            grounds: faces.map(|f| ground(robot, board, f)),
            nets: CLEARANCES.iter().map(|_| None).collect(),
            gates: BTreeMap::new(),
            widths: widths.collect(),
        }
    }

    /// The faces prepared for a clearance; made when first asked for.
    fn prepare(&mut self, class: usize) {
        if self.nets[class].is_none() {
            let scenes = [0, 1]
                .map(|f| Scene::new(&self.board.outline, &self.grounds[f].obstacles, CLEARANCES[class]));
            let at: Vec<_> = self.board.passes.iter().map(|p| p.at).collect();
            self.nets[class] = Some(Net::new(scenes, &at, self.board.thickness.0));
        }
    }

    /// Routes wires that run together, at the widest clearance at which all find a way; if there is
    /// none, those that can at the narrowest.
    fn group(&mut self, group: jobs::Group, members: &[&Job]) -> (Option<Tree>, Vec<(WireId, Found)>) {
        let need = members.iter().map(|j| class_of(j.thickness)).max().unwrap_or(0);
        let together = !matches!(group, jobs::Group::Alone(_));
        let room = if together && members.len() > 2 { LOOM_ROOM } else { 0 };
        let want = (need + room).min(CLEARANCES.len() - 1);
        let mut class = want;
        loop {
            let (tree, found) = self.attempt(class, together, members, class > need);
            let complete = found.len() == members.len()
                && found.iter().all(|(_, f)| matches!(f, Found::Way { .. }));
            if complete || class <= need {
                return (together.then_some(tree), found);
            }
            class -= 1;
        }
    }

    /// Routes the members at one clearance; gives up at the first without a way if asked to.
    fn attempt(
        &mut self,
        class: usize,
        together: bool,
        members: &[&Job],
        give_up: bool,
    ) -> (Tree, Vec<(WireId, Found)>) {
        self.prepare(class);
        let mut order: Vec<&&Job> = members.iter().collect();
        // The longest lay out the trunk.
        order.sort_by(|a, b| b.span().total_cmp(&a.span()).then(a.wire.cmp(&b.wire)));
        let mut tree = Tree::default();
        let mut out: Vec<(WireId, Found)> = Vec::new();
        for job in &order {
            let found = self.wire(class, job, together.then_some(&tree));
            if let Found::Way { steps, .. } = &found {
                if together {
                    tree.add(job.wire, steps);
                }
            } else if give_up {
                return (tree, out);
            }
            out.push((job.wire, found));
        }
        if together && (3..=LAID_TWICE).contains(&members.len()) {
            self.lay_again(class, &order, &mut tree, &mut out);
        }
        (tree, out)
    }

    /// The first wires were laid before there was a trunk to join: each is taken up once more and
    /// laid along what the others make.
    fn lay_again(
        &mut self,
        class: usize,
        order: &[&&Job],
        tree: &mut Tree,
        out: &mut [(WireId, Found)],
    ) {
        for (job, (_, old)) in order.iter().zip(out) {
            if !matches!(old, Found::Way { .. }) {
                continue;
            }
            tree.remove(job.wire);
            let found = self.wire(class, job, Some(tree));
            if let Found::Way { steps, .. } = &found {
                tree.add(job.wire, steps);
                *old = found;
            }
        }
    }

    fn wire(&mut self, class: usize, job: &Job, tree: Option<&Tree>) -> Found {
        let [Some(from), Some(to)] = [&job.from, &job.to] else {
            return Found::Stuck { by: None, face: Face::Front, at: loomdeck_model::Point::default() };
        };
        let (start, goal) = match (self.gates_of(class, from), self.gates_of(class, to)) {
            (Ok(a), Ok(b)) => (a, b),
            (Err(by), _) => return self.stuck(by, from),
            (_, Err(by)) => return self.stuck(by, to),
        };
        let via: Vec<usize> = self.robot.wires[job.wire.0].via.iter().map(|p| p.0).collect();
        let wide: Vec<usize> =
            (0..self.widths.len()).filter(|o| self.widths[*o] >= job.thickness).collect();
        let Some(net) = self.nets[class].as_mut() else { return self.stuck(None, from) };
        match find(net, &start, &goal, &via, &wide, tree) {
            Some((first, last, steps)) => Found::Way {
                start: start[first].stub.clone(),
                goal: goal[last].stub.iter().rev().copied().collect(),
                steps: tidy(steps),
            },
            None => self.no_way(class, &start, &goal, from),
        }
    }

    fn gates_of(&mut self, class: usize, end: &End) -> Gates {
        let key = (class, end.key());
        if let Some(known) = self.gates.get(&key) {
            return known.clone();
        }
        let made = match &self.nets[class] {
            None => Err(None),
            Some(net) => match end {
                End::Terminal { spot, .. } => gates(net, spot).map(Rc::new),
                End::Edge { faces, at, .. } => {
                    let extra = |i: usize| if i == 0 { 0.0 } else { net.thickness };
                    let tried: Vec<_> = faces
                        .iter()
                        .enumerate()
                        .flat_map(|(i, f)| at.iter().map(move |p| edge_gate(net, *f, *p, extra(i))))
                        .collect();
                    let stuck = tried.iter().find_map(|t| t.as_ref().err().copied());
                    let open: Vec<Gate> = tried.into_iter().filter_map(Result::ok).collect();
                    if open.is_empty() { Err(stuck.flatten()) } else { Ok(Rc::new(open)) }
                }
            },
        };
        self.gates.insert(key, made.clone());
        made
    }

    fn subject(&self, face: usize, by: usize) -> Subject {
        self.grounds[face].subjects[by].clone()
    }

    fn stuck(&self, by: Stuck, end: &End) -> Found {
        let face = end.face();
        let by = by.map_or(Subject::Board, |o| self.subject(face, o));
        Found::Stuck { by: Some(by), face: Face::BOTH[face], at: end.at() }
    }

    /// Both ends come free but there is no way between them: what stands on the straight line.
    fn no_way(&self, class: usize, start: &[Gate], goal: &[Gate], from: &End) -> Found {
        let (Some(net), Some(a), Some(b)) = (&self.nets[class], start.first(), goal.first()) else {
            return self.stuck(None, from);
        };
        if a.face != b.face {
            let covered = net.openings.iter().find_map(|o| {
                (0..2).filter(|f| o.seen[*f].is_none()).find_map(|f| {
                    let by = net.scenes[f].holder(o.at, None)?;
                    Some((f, o.at, by.map_or(Subject::Board, |i| self.subject(f, i))))
                })
            });
            return match covered {
                Some((f, at, by)) => Found::Stuck { by: Some(by), face: Face::BOTH[f], at },
                None => Found::Stuck { by: None, face: Face::BOTH[a.face], at: a.at },
            };
        }
        let hit = net.scenes[a.face].first_hit(a.at, b.at, None);
        let by = hit.map_or(Subject::Board, |(o, _)| self.subject(a.face, o));
        let t = hit.map_or(0.0, |(_, t)| t);
        let at = crate::shape::along(a.at, crate::shape::minus(b.at, a.at), t);
        Found::Stuck { by: Some(by), face: Face::BOTH[a.face], at }
    }
}

/// Index of the clearance that a thickness takes.
pub fn class_of(thickness: f64) -> usize {
    CLEARANCES.iter().position(|c| *c >= thickness / 2.0).unwrap_or(CLEARANCES.len() - 1)
}

/// The way from start to goal through the pinned openings in turn.
fn find(
    net: &mut Net,
    start: &[Gate],
    goal: &[Gate],
    via: &[usize],
    openings: &[usize],
    tree: Option<&Tree>,
) -> Option<(usize, usize, Vec<Step>)> {
    let mut steps: Vec<Step> = Vec::new();
    let mut first = None;
    let mut here: Vec<Gate> = start.to_vec();
    for &o in via {
        let face = here.first()?.face;
        let to = [opening_gate(net, o, face)?];
        let way = net.find(&Question { start: &here, goal: &to, openings: &[], tree })?;
        first = first.or(Some(way.start));
        steps.extend(way.steps);
        if let Some(last) = steps.last_mut() {
            last.pass = Some(o);
        }
        here = vec![opening_gate(net, o, 1 - face)?];
    }
    let way = net.find(&Question { start: &here, goal, openings, tree })?;
    steps.extend(way.steps);
    Some((first.unwrap_or(way.start), way.goal, steps))
}

/// What stands on a face as obstacles.
fn ground(robot: &Robot, board: &Board, face: &FaceView) -> Ground {
    let mut subjects = Vec::new();
    let mut obstacles = Vec::new();
    let mut add = |subject: Subject, pieces: Vec<Convex>| {
        subjects.push(subject);
        obstacles.push(Obstacle { pieces });
    };
    for body in &face.bodies {
        add(faces::subject(robot, body.owner), pieces(&body.outline));
    }
    for f in &face.fasteners {
        if f.height > Millimetres::ZERO {
            add(f.subject.clone(), vec![octagon(f.at, f.diameter.0 / 2.0)]);
        }
    }
    for k in
        board.keep_outs.iter().filter(|k| !k.wires_may_cross && k.face.is_none_or(|f| f == face.face))
    {
        add(Subject::KeepOut(k.name.clone()), pieces(&k.outline));
    }
    add(Subject::Board, pockets(&board.outline));
    Ground { obstacles, subjects }
}
