//! The least that must come off for one thing to come off. Exact.
//!
//! To find the lightest set that suffices is hard in general (sets to be covered can be written as such
//! a puzzle), so this is a search, but one that is short where the board is plain.
//!
//! 1. **What is forced.** A condition with a single way forces all that stands in it. When what is forced
//!    suffices, it is the answer: that is the rule on real boards.
//! 2. **Cuts.** Suffices(S) says that the thing comes off when only S may come off; it is monotone. When
//!    S does not suffice, grow it until nothing can be added without its sufficing. What is then left out
//!    is a *cut*: whatever suffices has something of it.
//! 3. **The lightest set that meets all cuts** ([`super::hitting`]) is a lower bound of the answer. When it
//!    suffices it is the answer; when it does not, it gives a further cut that it does not meet. Each round
//!    adds a new cut and there are only finitely many, so it ends.
//!
//! When the effort runs out, the last such weight is a proven lower bound, and the best set that was
//! found on the way is the answer given.
//!
//! The method is known for AND/OR graphs and for planning without deletions: P. Haslum, J. Slaney, S.
//! Thiébaux, "Minimal landmarks for optimal delete-free planning", ICAPS 2012 (from memory).

use super::bits::Bits;
use super::hitting::{Answer, Question, lightest};
use super::puzzle::Puzzle;

/// What must come off.
#[derive(Clone, Debug, PartialEq)]
pub struct Least {
    /// The things in an order in which they come off, the one asked for last.
    pub order: Vec<usize>,
    /// Their weight.
    pub weight: u64,
    /// No set that suffices is lighter than this; equal to `weight` when `exact`.
    pub bound: u64,
    /// Nothing lighter suffices.
    pub exact: bool,
}

/// The lightest set after which `target` is off; `None` when it never comes off. `effort` is the number of
/// steps of the search after which it gives up.
pub fn least(puzzle: &Puzzle, target: usize, effort: usize) -> Option<Least> {
    let (near, old) = puzzle.around(&[target]);
    let me = old.binary_search(&target).ok()?;
    // What needs the target off first is of no use to it.
    let mut others = Bits::all(near.len());
    others.drop(me);
    let usable = near.closure(&others);
    if !near.things[me].free(&usable) {
        return None;
    }
    let mut search = Search::new(near.simplified(&usable), usable, me);
    let found = search.run(effort);
    let order = search.order_of(&found.0);
    let exact = found.1 == search.puzzle.weight(&found.0);
    Some(Least {
        weight: order.iter().map(|t| search.puzzle.things[*t].weight).sum(),
        order: order.into_iter().map(|t| old[t]).collect(),
        bound: found.1,
        exact,
    })
}

struct Search {
    puzzle: Puzzle,
    /// What may come off, the target not counted.
    usable: Bits,
    target: usize,
    /// What each thing forces, itself included.
    forced: Vec<Bits>,
    weights: Vec<u64>,
    /// Usable things, the light ones first: wires, then parts.
    by_weight: Vec<usize>,
}

impl Search {
    fn new(puzzle: Puzzle, usable: Bits, target: usize) -> Self {
        let weights: Vec<u64> = puzzle.things.iter().map(|t| t.weight).collect();
        let mut by_weight: Vec<usize> = usable.iter().collect();
        by_weight.sort_by_key(|t| (weights[*t], *t));
        let forced = (0..puzzle.len()).map(|t| forced(&puzzle, t)).collect();
        Self { puzzle, usable, target, forced, weights, by_weight }
    }

    /// The best set found, the target among it, and a lower bound of the weight.
    fn run(&mut self, mut effort: usize) -> (Bits, u64) {
        let base = self.forced[self.target].clone();
        let mut bound = self.puzzle.weight(&base);
        if self.suffices(&base) {
            return (base, bound);
        }
        let mut everything = self.usable.clone();
        everything.add(self.target);
        let mut best = self.thinned(&everything, &base);
        let mut upper = self.puzzle.weight(&best);
        let mut cuts: Vec<Bits> = Vec::new();
        let mut hit = base.clone();
        loop {
            // One cut after another from the same start, each met before the next is sought: they are
            // different from each other, and the last set suffices.
            let mut set = hit;
            while !self.suffices(&set) {
                let cut = self.cut(&set);
                let Some(next) = cut.iter().min_by_key(|e| (self.more(*e, &set), *e)) else { break };
                set.add_all(&self.forced[next]);
                cuts.push(cut);
                effort = effort.saturating_sub(1);
            }
            let thin = self.thinned(&set, &base);
            let weight = self.puzzle.weight(&thin);
            if weight < upper {
                (best, upper) = (thin, weight);
            }
            let question = Question {
                sets: &cuts,
                weights: &self.weights,
                brings: &self.forced,
                base: &base,
                below: upper,
            };
            match lightest(&question, &mut effort) {
                // Nothing lighter meets all cuts, so nothing lighter suffices.
                Answer::Nothing => return (best, upper),
                Answer::GaveUp => return (best, bound.min(upper)),
                Answer::Best(found, weight) => {
                    bound = bound.max(weight);
                    if self.suffices(&found) {
                        return (found, weight);
                    }
                    hit = found;
                }
            }
        }
    }

    fn more(&self, element: usize, set: &Bits) -> u64 {
        self.forced[element].iter().filter(|t| !set.has(*t)).map(|t| self.weights[t]).sum()
    }

    fn suffices(&self, set: &Bits) -> bool {
        let mut off = Bits::none(self.puzzle.len());
        self.puzzle.sweep(set, &mut off);
        off.has(self.target)
    }

    /// What a largest set around this one that does not suffice leaves out.
    fn cut(&self, set: &Bits) -> Bits {
        let mut kept = set.clone();
        let mut off = Bits::none(self.puzzle.len());
        self.puzzle.sweep(&kept, &mut off);
        let mut cut = Bits::none(self.puzzle.len());
        for &t in self.by_weight.iter().filter(|t| !set.has(**t)) {
            kept.add(t);
            if !self.puzzle.things[t].free(&off) {
                continue;
            }
            let mut further = off.clone();
            self.puzzle.sweep(&kept, &mut further);
            if further.has(self.target) {
                kept.drop(t);
                cut.add(t);
            } else {
                off = further;
            }
        }
        // A thing may have been kept while it could not come off and matter later: all that was kept was
        // swept, so the target stays, and each thing of the cut would still let it off.
        cut
    }

    /// A set without what it can do without, heavy things tried first.
    fn thinned(&self, set: &Bits, base: &Bits) -> Bits {
        let mut out = set.clone();
        for &t in self.by_weight.iter().rev().filter(|t| set.has(**t) && !base.has(**t)) {
            out.drop(t);
            if !self.suffices(&out) {
                out.add(t);
            }
        }
        out
    }

    /// The things of a set in an order in which they come off, up to the target.
    fn order_of(&self, set: &Bits) -> Vec<usize> {
        let mut others = set.clone();
        others.drop(self.target);
        let mut order = self.puzzle.sweep(&others, &mut Bits::none(self.puzzle.len()));
        order.push(self.target);
        order
    }
}

/// What a thing forces by conditions with a single way, itself included.
fn forced(puzzle: &Puzzle, thing: usize) -> Bits {
    let mut out = Bits::of(puzzle.len(), [thing]);
    let mut queue = vec![thing];
    while let Some(t) = queue.pop() {
        let single = puzzle.things[t].conditions.iter().filter(|c| c.ways.len() == 1);
        for other in single.flat_map(|c| &c.ways[0]) {
            if !out.has(*other) {
                out.add(*other);
                queue.push(*other);
            }
        }
    }
    out
}
