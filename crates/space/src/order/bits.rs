//! Sets of small numbers.

/// A set of numbers below a size fixed at its making.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Bits(Vec<u64>);

impl Bits {
    /// The empty set of numbers below `size`.
    pub fn none(size: usize) -> Self {
        Self(vec![0; size.div_ceil(64)])
    }

    /// All numbers below `size`.
    pub fn all(size: usize) -> Self {
        let mut out = Self::none(size);
        (0..size).for_each(|i| out.add(i));
        out
    }

    /// The set of these numbers.
    pub fn of(size: usize, members: impl IntoIterator<Item = usize>) -> Self {
        let mut out = Self::none(size);
        members.into_iter().for_each(|i| out.add(i));
        out
    }

    /// Takes a number in.
    pub fn add(&mut self, i: usize) {
        self.0[i / 64] |= 1 << (i % 64);
    }

    /// Takes a number out.
    pub fn drop(&mut self, i: usize) {
        self.0[i / 64] &= !(1 << (i % 64));
    }

    /// Whether a number is in it.
    pub fn has(&self, i: usize) -> bool {
        self.0[i / 64] >> (i % 64) & 1 == 1
    }

    /// Takes in all of another set of the same size.
    pub fn add_all(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(a, b)| *a |= b);
    }

    /// The two have a number in common.
    pub fn meets(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).any(|(a, b)| a & b != 0)
    }

    /// All of it is in the other.
    pub fn within(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(a, b)| a & !b == 0)
    }

    /// How many numbers it has.
    pub fn len(&self) -> usize {
        self.0.iter().map(|w| w.count_ones() as usize).sum()
    }

    /// It has none.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|w| *w == 0)
    }

    /// Its numbers, rising.
    pub fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(k, word)| {
            let mut left = *word;
            std::iter::from_fn(move || {
                (left != 0).then(|| {
                    let i = left.trailing_zeros() as usize;
                    left &= left - 1;
                    64 * k + i
                })
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Bits;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    proptest! {
        #[test]
        fn it_is_a_set(a in prop::collection::btree_set(0usize..150, 0..40), b in prop::collection::btree_set(0usize..150, 0..40)) {
            let (x, y) = (Bits::of(150, a.iter().copied()), Bits::of(150, b.iter().copied()));
            prop_assert_eq!(x.iter().collect::<BTreeSet<_>>(), a.clone());
            prop_assert_eq!(x.len(), a.len());
            prop_assert_eq!(x.is_empty(), a.is_empty());
            prop_assert_eq!(x.meets(&y), !a.is_disjoint(&b));
            prop_assert_eq!(x.within(&y), a.is_subset(&b));
            let mut both = x.clone();
            both.add_all(&y);
            prop_assert_eq!(both.iter().collect::<Vec<_>>(), a.union(&b).copied().collect::<Vec<_>>());
            for i in &a {
                both.drop(*i);
            }
            prop_assert_eq!(both.len(), b.difference(&a).count());
            prop_assert!(Bits::all(150).len() == 150 && x.within(&Bits::all(150)));
        }
    }
}
