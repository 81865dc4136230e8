//! Two robots side by side: from a prototype on scrap board to the final one.
//!
//! Things are matched by name, wires that were only renamed by where they land, and a hole by what it is for:
//! within a part the holes are matched in the part's own frame, so that a part which was moved or turned
//! keeps its holes. Swapping the two robots swaps every `old` with its `new` and turns the sign of every
//! change.

mod holes;
mod parts;
mod supply;
mod wires;

pub use holes::{HoleChange, HoleNow};
pub use parts::{PartChange, PartNow};
pub use supply::SupplyChange;
pub use wires::{ReelChange, Reuse, WireChange, WireEnd, WireNow};

use crate::Study;
use crate::trial::{Key, key};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, Finding, Material};
use serde::Serialize;
use std::collections::BTreeMap;

/// What is different between two robots.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Comparison {
    /// The sheet itself.
    pub board: BoardChange,
    /// Holes moved, added, gone, or changed in size, in the order of the old robot, then new ones.
    pub holes: Vec<HoleChange>,
    /// Parts and plugs added, gone, moved, turned or changed, in the same order.
    pub parts: Vec<PartChange>,
    /// Wires longer, shorter, new, gone or otherwise changed, in the same order.
    pub wires: Vec<WireChange>,
    /// Wire to cut anew and old pieces left over, by reel.
    pub reels: Vec<ReelChange>,
    /// What more or less is needed, by group of the shopping list.
    pub supplies: Vec<SupplyChange>,
    /// Findings that are no longer there, worst first.
    pub gone: Vec<Finding>,
    /// Findings that are new, worst first.
    pub new: Vec<Finding>,
}

/// What is different about the sheet: old, then new; `None` where nothing is.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct BoardChange {
    /// There was no board, or there is none now.
    pub there: Option<[bool; 2]>,
    /// Its outline is another; width and height of its box.
    pub size: Option<[[Millimetres; 2]; 2]>,
    /// Its thickness.
    pub thickness: Option<[Millimetres; 2]>,
    /// Its material.
    pub material: Option<[Material; 2]>,
}

impl Comparison {
    /// Nothing is different.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Holds two robots side by side.
pub fn compare(old: &Study, new: &Study) -> Comparison {
    let (gone, fresh) = findings(&old.findings, &new.findings);
    let wires = wires::changes(old, new);
    Comparison {
        board: board(old.robot.board.as_ref(), new.robot.board.as_ref()),
        holes: holes::changes(old, new),
        parts: parts::changes(&old.robot, &new.robot),
        reels: wires::reels(&wires),
        wires,
        supplies: supply::changes(&old.making.shopping, &new.making.shopping),
        gone,
        new: fresh,
    }
}

fn board(old: Option<&Board>, new: Option<&Board>) -> BoardChange {
    let (Some(o), Some(n)) = (old, new) else {
        let there = (old.is_some() != new.is_some()).then(|| [old.is_some(), new.is_some()]);
        return BoardChange { there, ..BoardChange::default() };
    };
    let size = |b: &Board| {
        let (low, high) = b.outline.bounds();
        [Millimetres(high.x - low.x), Millimetres(high.y - low.y)]
    };
    BoardChange {
        there: None,
        size: (o.outline != n.outline).then(|| [size(o), size(n)]),
        thickness: (o.thickness != n.thickness).then_some([o.thickness, n.thickness]),
        material: (o.material != n.material).then_some([o.material, n.material]),
    }
}

/// Findings of one that the other has not, counted by what they are about.
fn findings(old: &[Finding], new: &[Finding]) -> (Vec<Finding>, Vec<Finding>) {
    let without = |these: &[Finding], those: &[Finding]| {
        let mut counts: BTreeMap<Key, usize> = BTreeMap::new();
        those.iter().for_each(|f| *counts.entry(key(f)).or_default() += 1);
        let left = these.iter().filter(|f| match counts.get_mut(&key(f)) {
            Some(n) if *n > 0 => {
                *n -= 1;
                false
            }
            _ => true,
        });
        left.cloned().collect::<Vec<_>>()
    };
    (without(old, new), without(new, old))
}

/// Pairs things of two lists by a name that is unique in each; then, in order, those left without one.
/// Pairs come in the old list's order, new things last.
fn paired<'a, T>(old: &'a [T], new: &'a [T], name: impl Fn(&T) -> &str) -> Vec<[Option<&'a T>; 2]> {
    let at = |list: &'a [T]| -> BTreeMap<String, &'a T> {
        list.iter().map(|t| (name(t).to_owned(), t)).collect()
    };
    let (olds, news) = (at(old), at(new));
    let first = old.iter().map(|o| [Some(o), news.get(name(o)).copied()]);
    let last = new.iter().filter(|n| !olds.contains_key(name(n))).map(|n| [None, Some(n)]);
    first.chain(last).collect()
}

#[cfg(test)]
mod tests;
