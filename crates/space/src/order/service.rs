//! From the puzzle back to the bench: moves of the assembly, and what it takes to remove each part.

use super::bits::Bits;
use super::build::{End, Model, Reason, What};
use super::least::{Least, least};
use super::puzzle::Condition;
use super::sequence::{Job as Ordered, Sequence, fewest_turns};
use super::{Move, MoveKind, Service, Step, StepKind};
use crate::access::{Job, Need, Tool, When};
use crate::geometry::Owner;
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Face, PlugId, WireId};
use std::collections::BTreeMap;

/// Steps of the search for one part on a board with at most [`SMALL`] parts and plugs: far more than any
/// board of that size was seen to need, so that its answers are exact.
const EFFORT: usize = 4_000_000;
/// The same on larger boards.
const EFFORT_LARGE: usize = 20_000;
/// Up to this many parts and plugs the answers are exact.
pub const SMALL: usize = 60;

/// How a thing is worked on: the tools, and whether the other face must be reached too.
#[derive(Default)]
struct Work {
    tools: Vec<Tool>,
    both_faces: bool,
    fasteners: usize,
}

impl Work {
    fn add(&mut self, need: &Need, tools: impl Iterator<Item = (Tool, Face)>, face: Face) {
        for (tool, on) in tools {
            self.tools.push(tool);
            self.both_faces |= on != face;
        }
        self.fasteners += usize::from(matches!(need.job, Job::Fastener { .. }));
        self.tools.sort_unstable();
        self.tools.dedup();
    }
}

impl Model<'_> {
    /// The first way of a need that is open once these are off: its tools with their faces.
    fn tools_of(&self, need: &Need, off: &Bits) -> Vec<(Tool, Face)> {
        let open = |w: &&crate::access::Way| {
            self.standing(need, w).is_some_and(|s| s.iter().all(|t| off.has(*t)))
        };
        let way = need.ways.iter().find(open);
        way.map_or_else(Vec::new, |w| w.uses.iter().map(|u| (u.tool, u.face)).collect())
    }

    /// The face that is up while a thing is worked on: its own, but for pieces that are screwed on from the
    /// far face alone. `None` for wires.
    fn worked_from(&self, thing: usize) -> Option<Face> {
        let own = self.face(thing)?;
        let What::Pieces(owner) = self.things[thing] else { return Some(own) };
        let first =
            |n: &'_ Need| n.ways.first().map(|w| w.uses.iter().map(|u| u.face).collect::<Vec<_>>());
        let preparing =
            self.access.needs.iter().filter(|n| n.when == When::Prepare && n.owner == Some(owner));
        let faces: Vec<Face> = preparing.filter_map(first).flatten().collect();
        let far = !faces.is_empty() && faces.iter().all(|f| *f != own);
        Some(if far { own.other() } else { own })
    }

    fn work_on(&self, thing: usize, face: Face, off: &Bits) -> Work {
        let mut work = Work::default();
        for reason in &self.reasons[thing] {
            let Reason::Need(n) = reason else { continue };
            let need = &self.access.needs[*n];
            work.add(need, self.tools_of(need, off).into_iter(), face);
        }
        work
    }

    fn end_is_open(&self, end: &End, off: &Bits) -> bool {
        end.comes_off
            && end.needs.iter().all(|n| {
                let need = &self.access.needs[*n];
                let open = |w| self.standing(need, w).is_some_and(|s| s.iter().all(|t| off.has(*t)));
                need.ways.iter().any(open)
            })
    }

    /// Wires that carry power, thick ones first, then the rest; the order in which they are laid.
    fn laying_rank(&self, wire: WireId) -> (bool, std::cmp::Reverse<u64>, usize) {
        let w = &self.robot.wires[wire.0];
        let micro = (w.gauge.area().0 * 1e6).round().max(0.0);
        (!w.function.is_power(), std::cmp::Reverse(micro as u64), wire.0)
    }
}

/// Removal of some things: wires go when one end can be reached.
struct Removal<'a, 'b> {
    model: &'a Model<'b>,
}

impl Removal<'_, '_> {
    /// The end at which a wire is undone, what comes off anyway first.
    fn end_of(&self, thing: usize, face: Face, off: &Bits) -> Option<usize> {
        let ends = &self.model.ends[thing - self.model.first_wire];
        (0..2)
            .find(|i| ends[*i].face.is_none_or(|f| f == face) && self.model.end_is_open(&ends[*i], off))
    }
}

impl Ordered for Removal<'_, '_> {
    fn count(&self) -> usize {
        self.model.puzzle.len()
    }
    fn free(&self, thing: usize, face: Face, off: &Bits) -> bool {
        if let Some(own) = self.model.worked_from(thing) {
            return own == face && self.model.puzzle.things[thing].free(off);
        }
        let ends = &self.model.ends[thing - self.model.first_wire];
        !ends.iter().any(|e| e.comes_off) || self.end_of(thing, face, off).is_some()
    }
    fn let_go(&self, _: usize, _: &Bits) -> bool {
        false
    }
    fn class(&self, thing: usize) -> usize {
        class(self.model.things[thing])
    }
}

/// Within a stretch wires go first, then parts, then what stays of their fixings.
fn class(what: What) -> usize {
    match what {
        What::Wire(_) => 0,
        What::Body(_) => 1,
        What::Pieces(_) => 2,
    }
}

/// What it takes to remove each part and fixed plug.
pub fn services(model: &Model) -> Vec<Service> {
    (0..model.bodies).map(|t| service(model, t)).collect()
}

/// What it takes to remove one of them, by its place among the things.
pub fn service(model: &Model, thing: usize) -> Service {
    let effort = if model.bodies <= SMALL { EFFORT } else { EFFORT_LARGE };
    let What::Body(owner) = model.things[thing] else {
        return empty(model, Owner::Part(loomdeck_model::PartId(0)), thing);
    };
    let mut out = empty(model, owner, thing);
    let Some(found) = least(&model.puzzle, thing, effort) else {
        out.impossible = true;
        out.remove.clear();
        return out;
    };
    // Weights hold one `heavy` for each part, and less than that for all else.
    let parts = usize::try_from(found.bound / model.heavy).unwrap_or(usize::MAX);
    out.lower_bound = parts.saturating_sub(1);
    out.exact = found.exact;
    steps(model, thing, &found, &mut out);
    out
}

fn empty(model: &Model, owner: Owner, thing: usize) -> Service {
    Service {
        owner,
        remove: vec![owner],
        steps: Vec::new(),
        wires: Vec::new(),
        plugs: Vec::new(),
        fasteners: 0,
        tools: Vec::new(),
        face: model.face(thing).unwrap_or(Face::Front),
        board_out: false,
        often: often(model, owner),
        exact: true,
        lower_bound: 0,
        impossible: false,
    }
}

/// How often something is worked on, when that is more than once in a while: the words of its reach needs, or
/// that it wears.
fn often(model: &Model, owner: Owner) -> Option<String> {
    let Owner::Part(p) = owner else { return None };
    let kind = model.robot.type_of(p);
    let rare = ["once", "never", "seldom", "rarely", "programming", "setting", "year"];
    let regular = |text: &&str| !text.is_empty() && rare.iter().all(|r| !text.contains(r));
    if let Some(text) = kind.reach.iter().map(|r| r.often.as_str()).find(regular) {
        return Some(text.to_owned());
    }
    let wears = |e: &loomdeck_model::element::Element| {
        matches!(e.kind, ElementKind::Battery(_) | ElementKind::Contactor(_) | ElementKind::SlipRing(_))
    };
    kind.elements.iter().any(wears).then(|| "when it is worn".to_owned())
}

fn steps(model: &Model, target: usize, found: &Least, out: &mut Service) {
    let job = Removal { model };
    // Wires first, the thinnest signal first; then what stands in the way; the part itself last.
    let mut by_rank = found.order.clone();
    by_rank.sort_by_key(|t| match model.things[*t] {
        What::Wire(w) => (0, std::cmp::Reverse(Some(model.laying_rank(w))), 0),
        _ => (if *t == target { 2 } else { 1 }, std::cmp::Reverse(None), *t),
    });
    let Sequence { steps, .. } = fewest_turns(&job, &by_rank);
    let mut off = Bits::none(model.puzzle.len());
    out.remove.clear();
    for (thing, face) in steps {
        match model.things[thing] {
            What::Wire(wire) => undo(model, &job, wire, thing, face, &off, out),
            What::Body(owner) => take_off(model, owner, thing, face, &off, out),
            What::Pieces(owner) => strip(model, owner, thing, face, &off, out),
        }
        off.add(thing);
    }
    out.wires.sort_unstable();
    out.plugs.sort_unstable();
    out.plugs.dedup();
    out.fasteners = out.steps.iter().map(|s| s.fasteners).sum();
    out.tools = out.steps.iter().flat_map(|s| s.tools.iter().copied()).collect();
    out.tools.sort_unstable();
    out.tools.dedup();
    out.board_out = out.steps.iter().any(|s| s.face == Face::Back || s.both_faces);
}

fn undo(
    model: &Model,
    job: &Removal,
    wire: WireId,
    thing: usize,
    face: Face,
    off: &Bits,
    out: &mut Service,
) {
    out.wires.push(wire);
    let mut work = Work::default();
    if let Some(e) = job.end_of(thing, face, off) {
        let end = &model.ends[thing - model.first_wire][e];
        if let Some(plug) = end.pull {
            pull(plug, face, out);
        }
        for n in &end.needs {
            let need = &model.access.needs[*n];
            work.add(need, model.tools_of(need, off).into_iter(), face);
        }
    }
    match out.steps.last_mut() {
        Some(Step { what: StepKind::Undo(wires), face: f, tools, both_faces, .. }) if *f == face => {
            wires.push(wire);
            tools.extend(work.tools);
            tools.sort_unstable();
            tools.dedup();
            *both_faces |= work.both_faces;
        }
        _ => out.steps.push(Step {
            what: StepKind::Undo(vec![wire]),
            face,
            both_faces: work.both_faces,
            tools: work.tools,
            fasteners: 0,
        }),
    }
}

fn pull(plug: PlugId, face: Face, out: &mut Service) {
    if out.plugs.contains(&plug) {
        return;
    }
    out.plugs.push(plug);
    let step = Step {
        what: StepKind::Pull(plug),
        face,
        both_faces: false,
        tools: vec![Tool::Fingers],
        fasteners: 0,
    };
    // Before the wires that are undone by it.
    let at = match out.steps.last() {
        Some(Step { what: StepKind::Undo(_), .. }) => out.steps.len() - 1,
        _ => out.steps.len(),
    };
    out.steps.insert(at, step);
}

fn take_off(model: &Model, owner: Owner, thing: usize, face: Face, off: &Bits, out: &mut Service) {
    if let Owner::Plug(plug) = owner {
        pull(plug, face, out);
    }
    let work = model.work_on(thing, face, off);
    out.remove.push(owner);
    out.steps.push(Step {
        what: StepKind::TakeOff(owner),
        face,
        both_faces: work.both_faces,
        tools: work.tools,
        fasteners: work.fasteners,
    });
}

fn strip(model: &Model, owner: Owner, thing: usize, face: Face, off: &Bits, out: &mut Service) {
    let work = model.work_on(thing, face, off);
    out.steps.push(Step {
        what: StepKind::Strip(owner),
        face,
        both_faces: work.both_faces,
        tools: work.tools,
        fasteners: work.fasteners,
    });
}

/// A thing of the full order: a part or plug, what stays on the board of one, or one end of a wire.
struct FullOrder<'a, 'b> {
    model: &'a Model<'b>,
    /// Conditions of each thing: parts and plugs, then both ends of each wire.
    conditions: Vec<Vec<Condition>>,
}

impl<'a, 'b> FullOrder<'a, 'b> {
    /// Like the puzzle, but every end of a wire is made on its own, with its own face up. A part asks that the
    /// ends that land on it are undone; where a wire is only in the way, one end undone is enough.
    fn new(model: &'a Model<'b>) -> Self {
        let n = model.first_wire;
        let ends_of = |w: usize| [n + 2 * (w - n), n + 2 * (w - n) + 1];
        let spread = |way: &[usize]| -> Vec<Vec<usize>> {
            let mut out = vec![Vec::new()];
            for t in way {
                let choices: Vec<usize> = if *t < n { vec![*t] } else { ends_of(*t).to_vec() };
                out = out
                    .iter()
                    .flat_map(|w: &Vec<usize>| {
                        choices.iter().map(move |c| [w.as_slice(), &[*c]].concat())
                    })
                    .collect();
                // Many wires in one way: only their first ends, which is enough to find an order.
                if out.len() > 64 {
                    out.truncate(64);
                }
            }
            out
        };
        let mut conditions: Vec<Vec<Condition>> = Vec::new();
        for t in 0..n {
            let own = model.puzzle.things[t].conditions.iter().zip(&model.reasons[t]);
            let asked = own.map(|(c, reason)| {
                let landing = match reason {
                    Reason::Wire(_) => {
                        c.ways.first().and_then(|w| w.first()).map(|w| (*w, &model.ends[*w - n]))
                    }
                    _ => None,
                };
                let lands: Vec<usize> = landing
                    .map(|(w, ends)| {
                        (0..2).filter(|e| ends[*e].on == Some(t)).map(|e| ends_of(w)[e]).collect()
                    })
                    .unwrap_or_default();
                let ways = if lands.is_empty() {
                    c.ways.iter().flat_map(|w| spread(w)).collect()
                } else {
                    vec![lands]
                };
                Condition { ways, price: c.price }
            });
            conditions.push(asked.collect());
        }
        for end in model.ends.iter().flatten() {
            let ways = model.end_ways(end).iter().flat_map(|w| spread(w)).collect();
            conditions.push(vec![Condition { ways, price: 0 }]);
        }
        Self { model, conditions }
    }

    fn wire(&self, thing: usize) -> Option<(WireId, &End)> {
        let k = thing.checked_sub(self.model.first_wire)?;
        let What::Wire(w) = self.model.things[self.model.first_wire + k / 2] else { return None };
        Some((w, &self.model.ends[k / 2][k % 2]))
    }

    fn other_end(&self, thing: usize) -> usize {
        let k = thing - self.model.first_wire;
        self.model.first_wire + (k ^ 1)
    }
}

impl Ordered for FullOrder<'_, '_> {
    fn count(&self) -> usize {
        self.conditions.len()
    }
    fn free(&self, thing: usize, face: Face, off: &Bits) -> bool {
        let met = || self.conditions[thing].iter().all(|c| c.met(off));
        match self.wire(thing) {
            None => self.model.worked_from(thing) == Some(face) && met(),
            // A lead of its own comes with its part: it is made at its other end.
            Some((_, end)) if !end.comes_off || end.on.is_none() => {
                off.has(self.other_end(thing)) || {
                    let (_, far) = self.wire(self.other_end(thing)).unwrap_or((WireId(0), end));
                    !far.comes_off || far.on.is_none()
                }
            }
            Some((_, end)) => end.face.is_none_or(|f| f == face) && met(),
        }
    }
    fn let_go(&self, thing: usize, off: &Bits) -> bool {
        self.wire(thing).is_some() && off.has(self.other_end(thing))
    }
    fn class(&self, thing: usize) -> usize {
        class(self.model.things[self.wire(thing).map_or(thing, |_| self.model.first_wire)])
    }
}

/// The moves of the assembly and how often the board is turned: the removal of everything, backwards.
pub fn assembly(model: &Model) -> (Vec<Move>, usize) {
    let job = FullOrder::new(model);
    let mut by_rank: Vec<usize> = (0..job.count()).collect();
    // Backwards: the last part of the files comes off first, and among wires the one laid last.
    by_rank.sort_by_key(|t| match job.wire(*t) {
        Some((w, _)) => (0, std::cmp::Reverse(Some(model.laying_rank(w))), std::cmp::Reverse(*t)),
        None => (1 + *t / model.bodies.max(1), std::cmp::Reverse(None), std::cmp::Reverse(*t)),
    });
    let found = fewest_turns(&job, &by_rank);
    let mut off = Bits::none(job.count());
    let mut moves: Vec<Move> = Vec::new();
    let mut early: BTreeMap<usize, Vec<WireId>> = BTreeMap::new();
    for t in &found.let_go {
        if let Some((w, End { on: Some(on), .. })) = job.wire(*t) {
            early.entry(*on).or_default().push(w);
        }
    }
    let let_go = Bits::of(job.count(), found.let_go.iter().copied());
    for (thing, face) in &found.steps {
        match job.wire(*thing) {
            Some(_) if let_go.has(*thing) => {}
            Some((w, end)) => lay(&job, w, end, *face, &off, &mut moves),
            None => {
                let bodies_off = bodies_and_wires(model, &off);
                let work = model.work_on(*thing, *face, &bodies_off);
                let what = match model.things[*thing] {
                    What::Body(owner) => MoveKind::Fit(owner),
                    What::Pieces(owner) => MoveKind::Prepare(owner),
                    What::Wire(_) => continue,
                };
                moves.push(Move {
                    what,
                    face: *face,
                    both_faces: work.both_faces,
                    tools: work.tools,
                    ends_first: early.get(thing).cloned().unwrap_or_default(),
                });
            }
        }
        off.add(*thing);
    }
    moves.reverse();
    for m in &mut moves {
        if let MoveKind::Wire(wires) = &mut m.what {
            wires.reverse();
            let mut seen = Vec::new();
            wires.retain(|w| {
                !seen.contains(w) && {
                    seen.push(*w);
                    true
                }
            });
        }
    }
    let turns = moves.windows(2).filter(|m| m[0].face != m[1].face).count();
    (moves, turns)
}

/// What is off, in the numbering of the puzzle: a wire is off when either end is.
fn bodies_and_wires(model: &Model, off: &Bits) -> Bits {
    let n = model.first_wire;
    let wires = (0..model.ends.len()).filter(|w| off.has(n + 2 * w) || off.has(n + 2 * w + 1));
    Bits::of(model.puzzle.len(), (0..n).filter(|t| off.has(*t)).chain(wires.map(|w| n + w)))
}

/// Adds an end of a wire to the moves, with the wires that are laid just then.
fn lay(job: &FullOrder, wire: WireId, end: &End, face: Face, off: &Bits, moves: &mut Vec<Move>) {
    if !end.comes_off || end.on.is_none() {
        return;
    }
    let off = bodies_and_wires(job.model, off);
    let mut work = Work::default();
    for n in &end.needs {
        let need = &job.model.access.needs[*n];
        work.add(need, job.model.tools_of(need, &off).into_iter(), face);
    }
    match moves.last_mut() {
        Some(Move { what: MoveKind::Wire(wires), face: f, tools, both_faces, .. }) if *f == face => {
            wires.push(wire);
            tools.extend(work.tools);
            tools.sort_unstable();
            tools.dedup();
            *both_faces |= work.both_faces;
        }
        _ => moves.push(Move {
            what: MoveKind::Wire(vec![wire]),
            face,
            both_faces: work.both_faces,
            tools: work.tools,
            ends_first: Vec::new(),
        }),
    }
}
