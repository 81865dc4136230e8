//! What more or less is needed.

use loomdeck_make::ShoppingLine;
use serde::Serialize;

/// A line of the shopping list that is different. Both counts are what the robot itself needs, without
/// spares.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SupplyChange {
    /// Shelf of the shop.
    pub group: &'static str,
    /// The thing in words.
    pub item: String,
    /// `pieces` or `m`.
    pub unit: &'static str,
    /// How much the old robot needs.
    pub old: f64,
    /// How much the new robot needs.
    pub new: f64,
}

impl SupplyChange {
    /// More is needed by this much; less where it is below zero.
    pub fn more(&self) -> f64 {
        self.new - self.old
    }
    /// What to buy for the new robot, when all of the old one is taken apart for it.
    pub fn to_buy(&self) -> f64 {
        self.more().max(0.0)
    }
    /// What is left over then.
    pub fn left_over(&self) -> f64 {
        (-self.more()).max(0.0)
    }
}

/// Less than this is no difference, in pieces or metres.
const SAME: f64 = 1e-6;

/// What is different, in the order of the old list, then what is only in the new one.
pub fn changes(old: &[ShoppingLine], new: &[ShoppingLine]) -> Vec<SupplyChange> {
    let mut all: Vec<SupplyChange> = Vec::new();
    for (lines, is_new) in [(old, false), (new, true)] {
        for l in lines {
            let known =
                all.iter_mut().find(|s| (s.group, s.unit, &s.item) == (l.group, l.unit, &l.item));
            let into = match known {
                Some(s) => s,
                None => {
                    let (group, unit, item) = (l.group, l.unit, l.item.clone());
                    all.push(SupplyChange { group, item, unit, old: 0.0, new: 0.0 });
                    let last = all.len() - 1;
                    &mut all[last]
                }
            };
            *(if is_new { &mut into.new } else { &mut into.old }) += l.needed;
        }
    }
    all.retain(|s| s.more().abs() > SAME);
    all
}
