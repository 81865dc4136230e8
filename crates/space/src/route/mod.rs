//! The way of every wire: over the faces, through the openings, into the body.
//!
//! A wire leaves its terminal along the terminal's exit, past the boot, until it is clear of its own
//! part; from there it takes the shortest way whose middle keeps half the wire's thickness from
//! everything that stands on the face (`search`). Wires of a loom (or cable) join the trunk that its
//! longest wires lay out (`tree`). Then all bid for room: passages and openings that are overfull grow
//! dear until nobody has a better way (`market`, `negotiate`). What is settled is laid in lanes of
//! true width with rounded bends (`strands`, `lanes`).

mod cells;
mod gates;
mod grid;
mod ground;
mod jobs;
mod kept;
mod lanes;
mod legs;
mod looms;
mod market;
mod negotiate;
pub mod path;
mod posts;
mod recall;
mod scene;
mod search;
mod strands;
#[cfg(test)]
mod tests;
mod tree;
mod view;

pub use gates::length;
pub use kept::Kept;
pub use strands::BEND as LEAST_BEND;

use crate::geometry::{Blocked, FaceView, Gap, LoomRun, WireRun};
use crate::shape::{dot, minus, unit};
use gates::{Stuck, edge_gate, gates, opening_gate};
use ground::{Ground, grounds};
use jobs::{End, Job};
use kept::{Old, Sheet};
use lanes::Laid;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, Face, PassShape, Point, Robot, Subject, WireId};
use market::{Market, Payer};
use negotiate::Ways;
use recall::{Memory, Notes};
use scene::Scene;
use search::{Gate, Net, Question};
use std::collections::BTreeMap;
use std::sync::Arc;
use strands::Plan;
use tree::{Step, Tree, tidy};
use view::View;

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

/// Routes every wire. What an earlier routing left makes it sooner, and changes nothing.
pub fn routes(robot: &Robot, faces: &[FaceView], before: Option<&Kept>) -> (Routes, Kept) {
    let mut view = robot.board.as_ref().map_or(View::plain(), |board| View::new(board, faces));
    let jobs = jobs::jobs(robot, faces, &mut view);
    let mut settled = Ways::default();
    let mut gaps = Vec::new();
    let mut alone = BTreeMap::new();
    let mut plan = Plan::default();
    let mut laid: [Vec<Laid>; 2] = Default::default();
    let mut kept = Kept::default();
    if let (Some(board), [front, back]) = (&robot.board, faces) {
        let mut router = Router::new(robot, board, [front, back], &view);
        let obstacles = [0, 1].map(|f| router.grounds[f].obstacles.as_slice());
        router.old = before.and_then(|kept| kept.old(&router.sheet(), obstacles));
        let groups = jobs::groups(robot, &jobs);
        settled = router.settle(&groups);
        gaps = router.gaps(&groups, &settled);
        alone = std::mem::take(&mut router.alone);
        plan = router.plan(&groups, &settled);
        let [front, back] = &router.grounds;
        laid = lanes::lay_both([&front.posts, &back.posts], &plan.strands);
        kept = router.kept();
    }
    let routes = legs::assemble(robot, &jobs, &settled.ways, &plan, &laid, &view);
    let mut routes = with_alone(Routes { gaps, ..routes }, &alone);
    view.carry_back(&mut routes);
    (routes, kept)
}

/// Tells every wire how long its way would be without the others.
fn with_alone(mut routes: Routes, alone: &BTreeMap<WireId, Millimetres>) -> Routes {
    for run in &mut routes.wires {
        run.alone = alone.get(&run.wire).copied();
    }
    routes
}

/// A wire's way over the board, or what stops it.
#[derive(Clone, Debug)]
pub(crate) enum Found {
    /// The way.
    Way {
        /// From the terminal to its gate.
        start: Vec<Point>,
        /// Between the gates.
        steps: Vec<Step>,
        /// From the goal's gate to its terminal.
        goal: Vec<Point>,
        /// Index of its clearance.
        class: usize,
    },
    /// What stops it.
    Stuck {
        /// What stands in the way, if it is a thing.
        by: Option<Subject>,
        /// The face.
        face: Face,
        /// Where.
        at: Point,
    },
}

type GateKey = (usize, jobs::EndKey);
type Gates = Result<Arc<Vec<Gate>>, Stuck>;

struct Router<'a> {
    robot: &'a Robot,
    board: &'a Board,
    /// The picture in which wires are laid.
    view: &'a View,
    grounds: [Ground; 2],
    /// What an earlier routing left.
    old: Option<Old<'a>>,
    nets: Vec<Option<Net>>,
    gates: BTreeMap<GateKey, Gates>,
    /// Narrowest width of every opening; of those that are for tools only, none.
    widths: Vec<f64>,
    /// Prices; until the first ways are known there are none.
    market: Option<Market>,
    alone: BTreeMap<WireId, Millimetres>,
    /// What the first search of the group at hand asks, and what is kept of those before it.
    notes: Notes,
    memories: BTreeMap<jobs::Group, Arc<Memory>>,
}

impl<'a> Router<'a> {
    fn new(robot: &'a Robot, board: &'a Board, faces: [&FaceView; 2], view: &'a View) -> Self {
        let widths = board.passes.iter().map(|p| match p.shape {
            _ if p.tools_only => 0.0,
            PassShape::Round(d) => d.0,
            PassShape::Slot { width, .. } | PassShape::Rect { width, .. } => width.0,
        });
        Self {
            robot,
            board,
            view,
            grounds: grounds(robot, board, faces, view),
            old: None,
            nets: CLEARANCES.iter().map(|_| None).collect(),
            gates: BTreeMap::new(),
            widths: widths.collect(),
            market: None,
            alone: BTreeMap::new(),
            notes: Notes::default(),
            memories: BTreeMap::new(),
        }
    }

    /// The faces prepared for a clearance; made when first asked for.
    fn prepare(&mut self, class: usize) {
        if self.nets[class].is_none() {
            let scenes = [0, 1].map(|f| {
                let obstacles = &self.grounds[f].obstacles;
                let mut scene = Scene::new(&self.view.outline, obstacles, CLEARANCES[class]);
                if let Some(old) = &self.old {
                    old.give(&mut scene, class, f);
                }
                scene
            });
            self.nets[class] = Some(Net::new(scenes, &self.view.passes, self.board.thickness.0));
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
        self.notes.classes.push(class);
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
            return Found::Stuck { by: None, face: Face::Front, at: Point::default() };
        };
        let ends = [self.gates_of(class, from), self.gates_of(class, to)];
        for (end, gates) in ends.iter().enumerate().filter(|_| self.market.is_none()) {
            self.notes.gates.insert((class, job.wire, end), gates.clone());
        }
        let (start, goal) = match ends.into() {
            (Ok(a), Ok(b)) => (a, b),
            (Err(by), _) => return self.stuck(by, from),
            (_, Err(by)) => return self.stuck(by, to),
        };
        let wide = self.wide_enough(job);
        let pays = negotiate::payer(self.robot, job);
        let stops = self.stops(class, job, from.face());
        let Some(net) = self.nets[class].as_mut() else { return self.stuck(None, from) };
        let payer = self.market.as_ref().map(|m| (m, pays));
        match find(net, &start, &goal, &stops, &wide, tree, payer) {
            Some((first, last, steps)) => Found::Way {
                start: start[first].stub.clone(),
                goal: goal[last].stub.iter().rev().copied().collect(),
                steps: tidy(steps),
                class,
            },
            None => self.no_way(class, &start, &goal, from),
        }
    }

    /// Openings that a wire may use: those that its narrower end goes through with what is fitted to it,
    /// else those that the bare wire goes through.
    fn wide_enough(&self, job: &Job) -> Vec<usize> {
        let end = crate::openings::narrower_end(self.robot, job.wire).0;
        let at_least = |d: f64| -> Vec<usize> {
            (0..self.widths.len()).filter(|o| self.widths[*o] >= d - 1e-9).collect()
        };
        let with_end = at_least(end.max(job.thickness));
        if with_end.is_empty() { at_least(job.thickness) } else { with_end }
    }

    /// The corners and openings that the builder wants the wire to take, in the order of the way.
    fn stops(&self, class: usize, job: &Job, face: usize) -> Vec<Stop> {
        let wire = &self.robot.wires[job.wire.0];
        let mut pins = match wire.loom {
            Some(loom) if wire.pins.is_empty() => self.robot.looms[loom.0].pins.clone(),
            _ => wire.pins.clone(),
        };
        let mut via: Vec<usize> = wire.via.iter().map(|p| p.0).collect();
        if job.turned {
            pins.reverse();
            via.reverse();
        }
        let mut via = via.into_iter();
        let mut here = face;
        let mut out = Vec::new();
        let Some(net) = &self.nets[class] else { return out };
        for pin in pins {
            let (on, at) = (pin.face as usize, self.view.point(pin.at));
            // A pin within something is told in a finding and left out here.
            if net.scenes[on].holder(at, None).is_some() {
                continue;
            }
            if on != here {
                out.extend(via.next().map(Stop::Through));
                here = on;
            }
            out.push(Stop::Corner(on, at));
        }
        out.extend(via.map(Stop::Through));
        out
    }

    fn gates_of(&mut self, class: usize, end: &End) -> Gates {
        let key = (class, end.key());
        if let Some(known) = self.gates.get(&key) {
            return known.clone();
        }
        let made = match &self.nets[class] {
            None => Err(None),
            Some(net) => match end {
                End::Terminal { spot, .. } => gates(net, spot).map(Arc::new),
                End::Edge { faces, at, .. } => {
                    let extra = |i: usize| if i == 0 { 0.0 } else { net.thickness };
                    let tried: Vec<_> = faces
                        .iter()
                        .enumerate()
                        .flat_map(|(i, f)| at.iter().map(move |p| edge_gate(net, *f, *p, extra(i))))
                        .collect();
                    let stuck = tried.iter().find_map(|t| t.as_ref().err().copied());
                    let open: Vec<Gate> = tried.into_iter().filter_map(Result::ok).collect();
                    if open.is_empty() { Err(stuck.flatten()) } else { Ok(Arc::new(open)) }
                }
            },
        };
        self.gates.insert(key, made.clone());
        made
    }

    /// What is laid as one.
    fn plan(&self, groups: &BTreeMap<jobs::Group, Vec<&Job>>, settled: &Ways) -> Plan {
        let post = |class: usize, face: usize, corner: u32| {
            self.nets[class]
                .as_ref()
                .map_or(0, |net| net.scenes[face].post(corner, &self.grounds[face].posts))
        };
        let room = |job: &Job, end: usize, stub: &[Point]| {
            let class = class_of(job.thickness);
            let (end, from) = match end {
                0 => (&job.from, stub.first().zip(stub.last())),
                _ => (&job.to, stub.last().zip(stub.first())),
            };
            let (Some(net), Some((terminal, gate))) = (&self.nets[class], from) else { return 0.0 };
            match end {
                Some(End::Terminal { spot, .. }) => {
                    stub_room(&net.scenes[spot.face], spot, *terminal, *gate)
                }
                _ => terminal.distance(*gate),
            }
        };
        Plan::new(self.robot, groups, &settled.ways, &settled.trees, &post, &room)
    }

    /// The bare board.
    fn sheet(&self) -> Sheet {
        Sheet {
            outline: self.view.outline.clone(),
            passes: self.view.passes.clone(),
            thickness: self.board.thickness.0,
        }
    }

    /// What this routing leaves for the next.
    fn kept(self) -> Kept {
        let sheet = self.sheet();
        let scenes = self.nets.into_iter().map(|net| net.map(|net| net.scenes));
        Kept::new(sheet, self.grounds.map(|g| g.obstacles), scenes, self.memories)
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
                (0..2).filter(|f| !o.free[*f]).find_map(|f| {
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

/// How far a wire may go straight out of its terminal before it turns: up to what stands before it.
fn stub_room(scene: &Scene, spot: &gates::Spot, terminal: Point, gate: Point) -> f64 {
    let least = terminal.distance(gate);
    let (Some(exit), Some(d)) = (spot.exit, unit(minus(gate, terminal))) else { return least };
    if dot(exit, d) < 0.999 {
        return least;
    }
    scene.free_along(terminal, d, FURTHEST_STUB, spot.own).max(least)
}

/// A wire turns into its lane at most this far before its terminal, mm.
const FURTHEST_STUB: f64 = 60.0;

/// Index of the clearance that a thickness takes.
pub fn class_of(thickness: f64) -> usize {
    CLEARANCES.iter().position(|c| *c >= thickness / 2.0).unwrap_or(CLEARANCES.len() - 1)
}

/// Where the builder wants a wire to go.
#[derive(Clone, Copy, Debug)]
enum Stop {
    /// Through an opening.
    Through(usize),
    /// Round a corner on a face.
    Corner(usize, Point),
}

/// The way from start to goal by the wanted openings and corners in turn.
fn find(
    net: &mut Net,
    start: &[Gate],
    goal: &[Gate],
    stops: &[Stop],
    openings: &[usize],
    tree: Option<&Tree>,
    payer: Option<(&Market, Payer)>,
) -> Option<(usize, usize, Vec<Step>)> {
    let mut steps: Vec<Step> = Vec::new();
    let mut first = None;
    let mut here: Vec<Gate> = start.to_vec();
    for stop in stops {
        let (to, open, next) = match *stop {
            Stop::Through(o) => {
                let face = here.first()?.face;
                (opening_gate(net, o, face)?, &[][..], opening_gate(net, o, 1 - face)?)
            }
            Stop::Corner(face, at) => {
                let gate = gates::corner_gate(net, face, at);
                (gate.clone(), openings, gate)
            }
        };
        let way = net.find(&Question { start: &here, goal: &[to], openings: open, tree, payer })?;
        first = first.or(Some(way.start));
        append(&mut steps, way.steps);
        if let Some(last) = steps.last_mut() {
            match *stop {
                Stop::Through(o) => last.pass = Some(o),
                Stop::Corner(..) => last.pin = true,
            }
        }
        here = vec![next];
    }
    let way = net.find(&Question { start: &here, goal, openings, tree, payer })?;
    append(&mut steps, way.steps);
    Some((first.unwrap_or(way.start), way.goal, steps))
}

/// Goes on with a way that begins where the last one ended.
fn append(steps: &mut Vec<Step>, more: Vec<Step>) {
    let same = match (steps.last(), more.first()) {
        (Some(a), Some(b)) => a.face == b.face && a.at == b.at,
        _ => false,
    };
    steps.extend(more.into_iter().skip(usize::from(same)));
}
