//! Things that come off one after another, each when its conditions are met.
//!
//! A thing comes off when **every** condition of it is met; a condition is met when **one** of its ways
//! is open; a way is open when **all** things that stand in it are off. Nothing that comes off ever
//! closes a way again, and that makes the whole matter monotone: what can come off now can still come
//! off after anything else has. Three consequences are used all over this room:
//!
//! - Taking off whatever can come off, in any order, ends at one and the same set, the
//!   [closure](Puzzle::closure). Proof: let one run take off a, b, c … and another end at a set X. If not
//!   all of the first run were in X, take the first of it that is not: all that came off before it is in X,
//!   so its conditions are met there, and the second run had not ended. So a full order exists exactly
//!   when this plain sweep takes everything off, and no search is needed to find it.
//! - More things allowed to come off never make less come off.
//! - The order backwards is an order of assembly: when a thing is put on, exactly the things that came
//!   off before it are missing, so its ways are as open as they were.

use super::bits::Bits;

/// The things and what must be off before each.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Puzzle {
    /// The things; the conditions refer to their place in this list.
    pub things: Vec<Thing>,
}

/// One thing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Thing {
    /// What it costs to take it off.
    pub weight: u64,
    /// All of them must be met.
    pub conditions: Vec<Condition>,
}

/// What must be met before a thing comes off.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Condition {
    /// One of them must be open: the things that stand in it, all of which must be off. None at all: it
    /// is never met.
    pub ways: Vec<Vec<usize>>,
    /// What it costs to change the board so that it is always met.
    pub price: u64,
}

impl Condition {
    /// Met once these are off.
    pub fn met(&self, off: &Bits) -> bool {
        self.ways.iter().any(|way| way.iter().all(|t| off.has(*t)))
    }
}

impl Thing {
    /// It comes off once these are off.
    pub fn free(&self, off: &Bits) -> bool {
        self.conditions.iter().all(|c| c.met(off))
    }
}

impl Puzzle {
    /// How many things.
    pub fn len(&self) -> usize {
        self.things.len()
    }

    /// There is nothing on the board.
    pub fn is_empty(&self) -> bool {
        self.things.is_empty()
    }

    /// Takes off whatever of `allowed` can come off, starting with `off` gone already, and tells in which
    /// order.
    pub fn sweep(&self, allowed: &Bits, off: &mut Bits) -> Vec<usize> {
        let mut left: Vec<usize> = allowed.iter().filter(|t| !off.has(*t)).collect();
        let mut order = Vec::new();
        loop {
            let before = order.len();
            left.retain(|t| {
                let goes = self.things[*t].free(off);
                if goes {
                    off.add(*t);
                    order.push(*t);
                }
                !goes
            });
            if order.len() == before {
                return order;
            }
        }
    }

    /// Everything of `allowed` that can come off.
    pub fn closure(&self, allowed: &Bits) -> Bits {
        let mut off = Bits::none(self.len());
        self.sweep(allowed, &mut off);
        off
    }

    /// Everything that can come off at all.
    pub fn all_off(&self) -> Bits {
        self.closure(&Bits::all(self.len()))
    }

    /// Weight of a set.
    pub fn weight(&self, set: &Bits) -> u64 {
        set.iter().map(|t| self.things[t].weight).sum()
    }

    /// The part of the puzzle that has a say in these things: they and all that stands in any of their
    /// ways, and so on. Also the old place of each of its things.
    pub fn around(&self, of: &[usize]) -> (Self, Vec<usize>) {
        let mut seen = Bits::of(self.len(), of.iter().copied());
        let mut queue = of.to_vec();
        while let Some(t) = queue.pop() {
            for other in self.things[t].conditions.iter().flat_map(|c| &c.ways).flatten() {
                if !seen.has(*other) {
                    seen.add(*other);
                    queue.push(*other);
                }
            }
        }
        let old: Vec<usize> = seen.iter().collect();
        let mut place = vec![usize::MAX; self.len()];
        old.iter().enumerate().for_each(|(new, t)| place[*t] = new);
        let mut things: Vec<Thing> = old.iter().map(|t| self.things[*t].clone()).collect();
        for way in things.iter_mut().flat_map(|t| &mut t.conditions).flat_map(|c| &mut c.ways) {
            way.iter_mut().for_each(|t| *t = place[*t]);
        }
        (Self { things }, old)
    }

    /// Drops ways and conditions that decide nothing: ways through things that are not `usable`, ways that
    /// ask for all that another asks for and more, and conditions with a way that is open from the start.
    #[must_use]
    pub fn simplified(mut self, usable: &Bits) -> Self {
        for (i, thing) in self.things.iter_mut().enumerate() {
            thing.conditions.retain_mut(|c| {
                c.ways.retain(|w| w.iter().all(|t| *t != i && usable.has(*t)));
                if c.ways.iter().any(Vec::is_empty) {
                    return false;
                }
                c.ways.iter_mut().for_each(|w| {
                    w.sort_unstable();
                    w.dedup();
                });
                c.ways.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
                let mut kept: Vec<Vec<usize>> = Vec::new();
                for way in std::mem::take(&mut c.ways) {
                    if !kept.iter().any(|k| k.iter().all(|t| way.binary_search(t).is_ok())) {
                        kept.push(way);
                    }
                }
                c.ways = kept;
                true
            });
        }
        self
    }
}
