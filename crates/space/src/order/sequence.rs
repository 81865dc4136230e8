//! An order in which things come off, with as few turns of the board as can be.
//!
//! With one face up, take off everything that can come off from that face; turn the board over; go on. No
//! order that starts with the same face up needs fewer turns. Proof by induction over the turns: after its
//! first k stretches, whatever another order has taken off, this one has too. For by the induction it starts
//! its stretch with at least as much off; each thing the other takes off in that stretch has its conditions
//! met at that moment by things that this one takes off as well (more off never closes a way), so the sweep
//! takes it too. Both starts are tried.

use super::bits::Bits;
use loomdeck_model::Face;

/// What is asked of things while they are put in order.
pub trait Job {
    /// How many things.
    fn count(&self) -> usize;
    /// It can be taken off with this face up once these are off.
    fn free(&self, thing: usize, face: Face, off: &Bits) -> bool;
    /// It can be let go although it is not free: asked for only when nothing is free.
    fn let_go(&self, thing: usize, off: &Bits) -> bool;
    /// It is taken off in this class of its stretch, the lowest first: wires, then parts.
    fn class(&self, thing: usize) -> usize;
}

/// Things in the order in which they come off.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sequence {
    /// Each with the face that is up.
    pub steps: Vec<(usize, Face)>,
    /// How often the board is turned over.
    pub turns: usize,
    /// Things that were let go.
    pub let_go: Vec<usize>,
}

/// The order with the fewest turns; `by_rank` are the things allowed, in the order in which they are taken
/// when there is a choice. What never comes off is left out.
pub fn fewest_turns(job: &impl Job, by_rank: &[usize]) -> Sequence {
    let [front, back] = Face::BOTH.map(|start| {
        // What must be let go is found by waiting for it; then it goes as soon as it may.
        let first = run(job, by_rank, start, &[]);
        if first.let_go.is_empty() { first } else { run(job, by_rank, start, &first.let_go) }
    });
    let key = |s: &Sequence| (by_rank.len() - s.steps.len(), s.let_go.len(), s.turns);
    if key(&back) < key(&front) { back } else { front }
}

fn run(job: &impl Job, by_rank: &[usize], start: Face, loose: &[usize]) -> Sequence {
    let mut out = Sequence::default();
    let loose = Bits::of(job.count(), loose.iter().copied());
    let mut off = Bits::none(job.count());
    let mut left = by_rank.to_vec();
    let mut face = start;
    let mut idle = 0;
    while !left.is_empty() && idle < 2 {
        if stretch(job, &loose, &mut left, face, &mut off, &mut out) {
            idle = 0;
        } else {
            idle += 1;
        }
        if idle < 2 {
            face = face.other();
            continue;
        }
        // Nothing is free with either face up: let one thing go, and only one, so that as few as can be
        // found this way go.
        if let Some(k) = left.iter().position(|t| job.let_go(*t, &off)) {
            let t = left.remove(k);
            off.add(t);
            out.let_go.push(t);
            out.steps.push((t, face));
            idle = 0;
        }
    }
    let let_go = Bits::of(job.count(), out.let_go.iter().copied());
    let mut up: Vec<Face> = out.steps.iter().filter(|(t, _)| !let_go.has(*t)).map(|(_, f)| *f).collect();
    up.dedup();
    out.turns = up.len().saturating_sub(1);
    out
}

/// Takes off whatever is free with this face up, class by class. False when nothing was.
fn stretch(
    job: &impl Job,
    loose: &Bits,
    left: &mut Vec<usize>,
    face: Face,
    off: &mut Bits,
    out: &mut Sequence,
) -> bool {
    let classes = left.iter().map(|t| job.class(*t)).max().unwrap_or(0);
    let before = out.steps.len();
    let mut class = 0;
    while class <= classes {
        let so_far = out.steps.len();
        left.retain(|t| {
            if job.class(*t) != class {
                return true;
            }
            let free = job.free(*t, face, off);
            let goes = free || (loose.has(*t) && job.let_go(*t, off));
            if goes {
                off.add(*t);
                out.steps.push((*t, face));
                if !free {
                    out.let_go.push(*t);
                }
            }
            !goes
        });
        // A part that came off may have let a wire go: back to the first class.
        let moved = out.steps.len() > so_far;
        class = if moved && class > 0 {
            0
        } else if moved {
            class
        } else {
            class + 1
        };
    }
    out.steps.len() > before
}
