//! Why not everything comes off, and the fewest conditions whose change would let it.
//!
//! What is left after the closure locks itself: each thing of it waits for another, or for something that
//! never comes off. To *waive* a condition means to change the board so that it is always met (another
//! fixing). Looked for is the cheapest set of conditions that, waived together, lets everything off.
//!
//! **One knot at a time.** Draw an arrow from each locked thing to those that stand in its unmet
//! conditions. A knot that no arrow leaves must untie by waivers of its own things, whatever is done
//! elsewhere, since nothing outside it stands in its way; and once it is off, the rest no longer sees it. So
//! the cheapest answers of the knots, taken one after another, add up to the cheapest answer.
//!
//! **Within a knot** some thing comes off first, and at that moment all of its conditions that are unmet
//! must be waived. So the answer is a shortest path from nothing off to everything off, where a step frees
//! one thing at the price of its unmet conditions and then takes off all that follows. It is found by
//! Dijkstra's method over sets of things that are off; when that grows too large, the price reached so far
//! is a proven lower bound, and the knot is untied by always taking the cheapest step.

use super::bits::Bits;
use super::puzzle::Puzzle;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// What to waive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Waivers {
    /// Thing and place of the condition in its list, in the order in which they are needed.
    pub waived: Vec<(usize, usize)>,
    /// Sum of the prices.
    pub price: u64,
    /// No cheaper set does it.
    pub exact: bool,
    /// Lower bound of the price; equal to it when `exact`.
    pub bound: u64,
}

/// The cheapest waivers after which everything comes off; none when everything does already. `effort` is how
/// many sets the search looks at for each knot.
pub fn waivers(puzzle: &Puzzle, effort: usize) -> Waivers {
    let all = Bits::all(puzzle.len());
    let mut off = puzzle.all_off();
    let mut out = Waivers { exact: true, ..Waivers::default() };
    while let Some(knot) = knot(puzzle, &off) {
        let (waived, bound) = untie(puzzle, &off, &knot, effort);
        let price: u64 = waived.iter().map(|(t, c)| puzzle.things[*t].conditions[*c].price).sum();
        out.price += price;
        out.bound += bound;
        out.exact &= bound == price;
        for (thing, _) in &waived {
            off.add(*thing);
            puzzle.sweep(&all, &mut off);
        }
        // The knot is off by now; this only makes sure that the loop ends.
        off.add_all(&knot);
        out.waived.extend(waived);
    }
    out
}

/// Places of the conditions that are unmet.
fn unmet(puzzle: &Puzzle, thing: usize, off: &Bits) -> impl Iterator<Item = usize> {
    puzzle.things[thing].conditions.iter().enumerate().filter(|(_, c)| !c.met(off)).map(|(i, _)| i)
}

/// The smallest set of locked things that wait for none outside it; the first of them when there are more.
fn knot(puzzle: &Puzzle, off: &Bits) -> Option<Bits> {
    let mut best: Option<Bits> = None;
    for start in (0..puzzle.len()).filter(|t| !off.has(*t)) {
        let mut reached = Bits::of(puzzle.len(), [start]);
        let mut queue = vec![start];
        while let Some(t) = queue.pop() {
            for c in unmet(puzzle, t, off) {
                for other in puzzle.things[t].conditions[c].ways.iter().flatten() {
                    if !off.has(*other) && !reached.has(*other) {
                        reached.add(*other);
                        queue.push(*other);
                    }
                }
            }
        }
        if best.as_ref().is_none_or(|b| reached.len() < b.len()) {
            best = Some(reached);
        }
    }
    best
}

type State = (u64, Reverse<usize>, Bits);

/// The cheapest waivers that let a knot off, and a lower bound of their price.
fn untie(puzzle: &Puzzle, off: &Bits, knot: &Bits, effort: usize) -> (Vec<(usize, usize)>, u64) {
    let start = off.clone();
    let mut cost: BTreeMap<Bits, u64> = BTreeMap::from([(start.clone(), 0)]);
    let mut from: BTreeMap<Bits, (Bits, usize)> = BTreeMap::new();
    let mut heap: BinaryHeap<Reverse<State>> = BinaryHeap::new();
    heap.push(Reverse((0, Reverse(start.len()), start)));
    let mut looked = 0;
    while let Some(Reverse((price, _, state))) = heap.pop() {
        if cost.get(&state).is_some_and(|c| *c < price) {
            continue;
        }
        looked += 1;
        if knot.within(&state) || looked > effort {
            let mut steps = Vec::new();
            let mut at = &state;
            while let Some((before, thing)) = from.get(at) {
                steps.extend(
                    unmet(puzzle, *thing, before)
                        .map(|c| (*thing, c))
                        .collect::<Vec<_>>()
                        .into_iter()
                        .rev(),
                );
                at = before;
            }
            steps.reverse();
            steps.extend(plainly(puzzle, &state, knot));
            return (steps, price);
        }
        for thing in knot.iter().filter(|t| !state.has(*t)) {
            let more = price.saturating_add(price_of(puzzle, thing, &state));
            let next = freed(puzzle, &state, knot, thing);
            if cost.get(&next).is_none_or(|c| more < *c) {
                cost.insert(next.clone(), more);
                from.insert(next.clone(), (state.clone(), thing));
                heap.push(Reverse((more, Reverse(next.len()), next)));
            }
        }
    }
    // Not reached: freeing the things of the knot one by one always ends.
    (plainly(puzzle, off, knot), 0)
}

fn price_of(puzzle: &Puzzle, thing: usize, off: &Bits) -> u64 {
    unmet(puzzle, thing, off)
        .fold(0u64, |sum, c| sum.saturating_add(puzzle.things[thing].conditions[c].price))
}

fn freed(puzzle: &Puzzle, off: &Bits, knot: &Bits, thing: usize) -> Bits {
    let mut next = off.clone();
    next.add(thing);
    puzzle.sweep(knot, &mut next);
    next
}

/// Waivers by always freeing the cheapest thing next.
fn plainly(puzzle: &Puzzle, off: &Bits, knot: &Bits) -> Vec<(usize, usize)> {
    let mut off = off.clone();
    let mut out = Vec::new();
    while let Some(thing) =
        knot.iter().filter(|t| !off.has(*t)).min_by_key(|t| (price_of(puzzle, *t, &off), *t))
    {
        out.extend(unmet(puzzle, thing, &off).map(|c| (thing, c)));
        off = freed(puzzle, &off, knot, thing);
    }
    out
}
