//! The lightest set that meets every one of some sets.
//!
//! Taking an element may bring others along (its closure), which is why an element's price depends on
//! what is there already. Branch and bound: take the set with the fewest choices left, try its elements,
//! lightest first, and forbid each once it is tried. Sets that share no element need one element each,
//! so the sum of their lightest elements is a lower bound.

use super::bits::Bits;

/// A question.
pub struct Question<'a> {
    /// Each must be met.
    pub sets: &'a [Bits],
    /// Weight of each element.
    pub weights: &'a [u64],
    /// What comes along with each element, itself included.
    pub brings: &'a [Bits],
    /// In any case taken.
    pub base: &'a Bits,
    /// Answers must be lighter than this.
    pub below: u64,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// The lightest set, and its weight.
    Best(Bits, u64),
    /// Nothing is lighter than the question allows.
    Nothing,
    /// The effort ran out.
    GaveUp,
}

struct Search<'a> {
    question: &'a Question<'a>,
    best: Option<Bits>,
    below: u64,
    effort: usize,
}

/// Solves a question; `effort` is how many steps may still be taken, and is used up.
pub fn lightest(question: &Question, effort: &mut usize) -> Answer {
    let mut search = Search { question, best: None, below: question.below, effort: *effort };
    let size = question.weights.len();
    let weight = weight(question.weights, question.base);
    let done = search.go(question.base, weight, &Bits::none(size));
    *effort = search.effort;
    match (done, search.best) {
        (false, _) => Answer::GaveUp,
        (true, Some(best)) => Answer::Best(best, search.below),
        (true, None) => Answer::Nothing,
    }
}

fn weight(weights: &[u64], set: &Bits) -> u64 {
    set.iter().map(|i| weights[i]).sum()
}

impl Search<'_> {
    /// Looks at everything that contains `taken` and nothing `barred`. False when the effort ran out.
    fn go(&mut self, taken: &Bits, weight: u64, barred: &Bits) -> bool {
        if self.effort == 0 {
            return false;
        }
        self.effort -= 1;
        if weight >= self.below {
            return true;
        }
        let Some((least, choices)) = self.look(taken, barred) else { return true };
        if weight.saturating_add(least) >= self.below {
            return true;
        }
        if choices.is_empty() {
            self.below = weight;
            self.best = Some(taken.clone());
            return true;
        }
        let mut barred = barred.clone();
        for (more, element) in choices {
            let mut next = taken.clone();
            next.add_all(&self.question.brings[element]);
            if !self.go(&next, weight + more, &barred) {
                return false;
            }
            barred.add(element);
        }
        true
    }

    /// What an element adds to the weight.
    fn price(&self, element: usize, taken: &Bits) -> u64 {
        let new = self.question.brings[element].iter().filter(|i| !taken.has(*i));
        new.map(|i| self.question.weights[i]).sum()
    }

    /// A lower bound of what is still to be added, and the choices in the set that leaves fewest (none
    /// when all are met). `None` when a set can no longer be met.
    fn look(&self, taken: &Bits, barred: &Bits) -> Option<(u64, Vec<(u64, usize)>)> {
        let q = self.question;
        let mut open: Vec<Vec<usize>> = Vec::new();
        for set in q.sets.iter().filter(|s| !s.meets(taken)) {
            let left: Vec<usize> = set.iter().filter(|e| !q.brings[*e].meets(barred)).collect();
            if left.is_empty() {
                return None;
            }
            open.push(left);
        }
        open.sort_by_key(Vec::len);
        let mut packed = Bits::none(q.weights.len());
        let mut bound = 0u64;
        let mut alone = 0u64;
        for left in &open {
            if let Some(cheapest) = left.iter().map(|e| self.price(*e, taken)).min() {
                alone = alone.max(cheapest);
            }
            if left.iter().all(|e| !packed.has(*e)) {
                bound += left.iter().map(|e| q.weights[*e]).min().unwrap_or(0);
                left.iter().for_each(|e| packed.add(*e));
            }
        }
        let mut choices: Vec<(u64, usize)> = match open.first() {
            Some(left) => left.iter().map(|e| (self.price(*e, taken), *e)).collect(),
            None => Vec::new(),
        };
        choices.sort_unstable();
        Some((bound.max(alone), choices))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn nothing_is_lighter(
            sets in prop::collection::vec(prop::collection::btree_set(0usize..9, 1..5), 0..8),
            weights in prop::collection::vec(1u64..20, 9),
            along in prop::collection::vec((0usize..9, 0usize..9), 0..4),
            base in prop::collection::btree_set(0usize..9, 0..2),
        ) {
            let mut brings: Vec<Bits> = (0..9).map(|i| Bits::of(9, [i])).collect();
            // Brings along what those bring along, to the end.
            for _ in 0..9 {
                for (a, b) in &along {
                    let more = brings[*b].clone();
                    brings[*a].add_all(&more);
                }
            }
            for _ in 0..9 {
                for a in 0..9 {
                    for b in brings[a].clone().iter() {
                        let more = brings[b].clone();
                        brings[a].add_all(&more);
                    }
                }
            }
            let mut start = Bits::none(9);
            base.iter().for_each(|b| start.add_all(&brings[*b]));
            let sets: Vec<Bits> = sets.iter().map(|s| Bits::of(9, s.iter().copied())).collect();
            let best = (0u32..512)
                .map(|m| Bits::of(9, (0..9).filter(|i| m >> i & 1 == 1)))
                .filter(|s| start.within(s) && s.iter().all(|e| brings[e].within(s)))
                .filter(|s| sets.iter().all(|t| t.meets(s)))
                .map(|s| weight(&weights, &s))
                .min()
                .unwrap();
            let question = Question { sets: &sets, weights: &weights, brings: &brings, base: &start, below: u64::MAX };
            let mut effort = 100_000;
            match lightest(&question, &mut effort) {
                Answer::Best(set, w) => {
                    prop_assert_eq!(w, best);
                    prop_assert_eq!(weight(&weights, &set), w);
                    prop_assert!(sets.iter().all(|t| t.meets(&set)));
                }
                other => prop_assert!(false, "{other:?}"),
            }
            let none = Question { below: best, ..question };
            let mut effort = 100_000;
            prop_assert_eq!(lightest(&none, &mut effort), Answer::Nothing);
        }
    }
}
