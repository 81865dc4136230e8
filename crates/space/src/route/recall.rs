//! First searches that an edit cannot have changed are not made again.
//!
//! While wires look for their ways for the first time, each on a board of its own, everything that a search
//! asks its scenes is written down. When every answer is the same after an edit, the search would take the
//! same steps to the same end: what it found is taken over, with its corners by their new numbers. Only
//! what is asked counts, so nothing has to be known about how a search goes on.

use super::jobs::{End, Group, Job};
use super::kept::{Before, Old};
use super::scene::Scene;
use super::search::Gate;
use super::tree::{Step, Tree};
use super::{Found, Gates, Router};
use loomdeck_model::{Point, WireId};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Something that a search asked a scene.
#[derive(Clone, Copy, Debug)]
pub(super) enum Ask {
    /// What a corner sees.
    Corner(u32, usize),
    /// What a point sees.
    Point(Point, usize),
    /// Whether an opening is free.
    Opening(Point),
    /// Whether nothing lies across a segment.
    Clear(Point, Point),
}

/// A question with its class and face.
pub(super) type Asked = (u8, u8, Ask);

/// What makes two searches of a wire the same, but for what stands on the board.
#[derive(Clone, Debug, PartialEq)]
struct Wanted {
    wire: WireId,
    ends: [Option<End>; 2],
    thickness: f64,
    openings: Vec<usize>,
}

/// One group's first searches: what they were for, what they asked, what came of them.
#[derive(Debug)]
pub(super) struct Memory {
    wanted: Vec<Wanted>,
    /// Clearances that were tried.
    classes: Vec<usize>,
    asked: Vec<Asked>,
    /// Gates at the ends of wires: class, wire, which end.
    gates: BTreeMap<(usize, WireId, usize), Gates>,
    tree: Option<Arc<Tree>>,
    found: Vec<(WireId, Arc<Found>)>,
}

/// A group's trunk and its wires' ways.
type Ways = (Option<Arc<Tree>>, Vec<(WireId, Arc<Found>)>);

/// What is written down while a group looks for its ways.
#[derive(Debug, Default)]
pub(super) struct Notes {
    pub classes: Vec<usize>,
    pub gates: BTreeMap<(usize, WireId, usize), Gates>,
}

impl Router<'_> {
    /// A group's first search, or what an earlier one found if it cannot differ.
    pub(super) fn first(&mut self, group: Group, members: &[&Job]) -> Ways {
        let wanted = self.wanted(members);
        if let Some(memory) = wanted.as_ref().and_then(|w| self.recall(group, w, members)) {
            let out = (memory.tree.clone(), memory.found.clone());
            self.memories.insert(group, Arc::new(memory));
            return out;
        }
        self.notes = Notes::default();
        self.nets.iter().flatten().for_each(|net| net.journal.borrow_mut().clear());
        let (tree, found) = self.group(group, members);
        let tree = tree.map(Arc::new);
        let found: Vec<_> = found.into_iter().map(|(w, f)| (w, Arc::new(f))).collect();
        let notes = std::mem::take(&mut self.notes);
        let all_found = found.iter().all(|(_, f)| matches!(**f, Found::Way { .. }));
        if let Some(wanted) = wanted.filter(|_| all_found) {
            let mut asked = Vec::new();
            for class in &notes.classes {
                if let Some(net) = &self.nets[*class] {
                    let journal = net.journal.borrow();
                    asked.extend(journal.iter().map(|(face, ask)| (*class as u8, *face, *ask)));
                }
            }
            let Notes { classes, gates } = notes;
            let memory =
                Memory { wanted, classes, asked, gates, tree: tree.clone(), found: found.clone() };
            self.memories.insert(group, Arc::new(memory));
        }
        (tree, found)
    }

    /// What a group's search starts from; none where the builder sets pins or openings.
    fn wanted(&self, members: &[&Job]) -> Option<Vec<Wanted>> {
        let one = |job: &&Job| {
            let wire = &self.robot.wires[job.wire.0];
            let pinned = wire.loom.is_some_and(|l| !self.robot.looms[l.0].pins.is_empty());
            if pinned || !wire.pins.is_empty() || !wire.via.is_empty() {
                return None;
            }
            Some(Wanted {
                wire: job.wire,
                ends: [job.from.clone(), job.to.clone()],
                thickness: job.thickness,
                openings: self.wide_enough(job),
            })
        };
        members.iter().map(one).collect()
    }

    /// An earlier search of the same, with today's numbers, if every answer it got is the same today.
    fn recall(&mut self, group: Group, wanted: &[Wanted], members: &[&Job]) -> Option<Memory> {
        let memory = self.old.as_ref()?.memory(group)?;
        if memory.wanted != wanted {
            return None;
        }
        memory.classes.iter().for_each(|class| self.prepare(*class));
        let mut gates = BTreeMap::new();
        for ((class, wire, end), then) in &memory.gates {
            let job = members.iter().find(|j| j.wire == *wire)?;
            let end_of = if *end == 0 { job.from.as_ref() } else { job.to.as_ref() };
            let now = self.gates_of(*class, end_of?);
            let scenes = &self.nets[*class].as_ref()?.scenes;
            let same = match (then, &now) {
                (Ok(a), Ok(b)) => {
                    a.len() == b.len() && a.iter().zip(b.iter()).all(|(a, b)| is_same(a, b, scenes))
                }
                (Err(a), Err(b)) => a == b,
                _ => false,
            };
            if !same {
                return None;
            }
            gates.insert((*class, *wire, *end), now);
        }
        let mut asked = Vec::with_capacity(memory.asked.len());
        for (class, face, ask) in &memory.asked {
            let scene = &self.nets[usize::from(*class)].as_ref()?.scenes[usize::from(*face)];
            asked.push((*class, *face, answers_alike(scene, *ask)?));
        }
        // With the numbers that corners have now.
        let scene = |class: usize, face: usize| self.nets[class].as_ref().map(|net| &net.scenes[face]);
        let mut found = Vec::with_capacity(memory.found.len());
        let mut of_tree = 0;
        for (wire, f) in &memory.found {
            let mut f = Found::clone(f);
            if let Found::Way { steps, class, .. } = &mut f {
                of_tree = *class;
                for step in steps {
                    renumber(step, scene(*class, step.face)?)?;
                }
            }
            found.push((*wire, Arc::new(f)));
        }
        let mut tree = memory.tree.as_deref().cloned();
        for knot in tree.iter_mut().flat_map(|t| &mut t.knots) {
            let now = scene(of_tree, knot.face)?;
            if let Some(corner) = &mut knot.corner {
                *corner = now.before.as_ref()?.corner_now(*corner)?;
            }
            if knot.seen.is_some() {
                knot.seen = Some(now.seen_from(knot.at, 0));
            }
        }
        let tree = tree.map(Arc::new);
        let (wanted, classes) = (wanted.to_vec(), memory.classes.clone());
        Some(Memory { wanted, classes, asked, gates, tree, found })
    }
}

fn renumber(step: &mut Step, now: &Scene) -> Option<()> {
    if let Some(corner) = &mut step.corner {
        *corner = now.before.as_ref()?.corner_now(*corner)?;
    }
    if step.seen.is_some() {
        step.seen = Some(now.seen_from(step.at, 0));
    }
    Some(())
}

/// A gate is where it was and sees what it saw.
fn is_same(then: &Gate, now: &Gate, scenes: &[Scene; 2]) -> bool {
    then.face == now.face
        && then.at == now.at
        && then.stub == now.stub
        && then.cost == now.cost
        && scenes[now.face].before.as_ref().is_some_and(|b| b.sees_alike(&then.seen, &now.seen))
}

/// The question as it is put today, if the answer is what it was.
fn answers_alike(scene: &Scene, ask: Ask) -> Option<Ask> {
    let before: &Before = scene.before.as_ref()?;
    match ask {
        Ask::Corner(corner, look) => {
            let now = before.corner_now(corner)?;
            before.corner_sees_alike(scene, corner, now, look).then_some(Ask::Corner(now, look))
        }
        Ask::Point(p, look) => before.point_sees_alike(scene, p, look).then_some(ask),
        Ask::Opening(p) => before.holds_alike(scene, p).then_some(ask),
        Ask::Clear(a, b) => before.is_untouched(scene, a, b).then_some(ask),
    }
}

impl Old<'_> {
    fn memory(&self, group: Group) -> Option<Arc<Memory>> {
        self.memories().and_then(|all| all.get(&group)).cloned()
    }
}
