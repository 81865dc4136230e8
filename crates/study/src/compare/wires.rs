//! Wires longer, shorter, new, gone, or otherwise changed; and whether the old piece can be used again.

use crate::Study;
use loomdeck_make::{Cut, Spool};
use loomdeck_model::units::Millimetres;
use loomdeck_model::wire::EndKind;
use serde::Serialize;
use std::collections::BTreeMap;

/// A wire that is different.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WireChange {
    /// As it was; `None`: it is new.
    pub old: Option<WireNow>,
    /// As it is; `None`: it is gone.
    pub new: Option<WireNow>,
    /// By how much its cut length grew; below zero: it is shorter. `None` unless it is in both.
    pub longer: Option<Millimetres>,
    /// What becomes of the old piece; `None` for a new wire.
    pub reuse: Option<Reuse>,
}

/// A wire in one of the robots.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WireNow {
    /// Its name.
    pub name: String,
    /// Reel it is cut from.
    pub spool: Spool,
    /// Length it is cut to.
    pub cut: Millimetres,
    /// The cable whose core it is.
    pub cable: Option<String>,
    /// Its two ends, `from` first.
    pub ends: [WireEnd; 2],
}

/// One end of a wire.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WireEnd {
    /// Where it lands.
    pub at: String,
    /// What is fitted.
    pub kind: EndKind,
}

/// What becomes of the old piece of wire.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reuse {
    /// It can stay as it is.
    AsItIs,
    /// It is long enough: take off this much and fit new ends where they were cut off or differ.
    Trim {
        /// How much too long it is.
        by: Millimetres,
        /// New end at `from`, at `to`.
        new_ends: [bool; 2],
    },
    /// It is too short by this much: cut a new one.
    TooShort {
        /// How much is missing.
        by: Millimetres,
    },
    /// It has another size, insulation or colour: cut a new one.
    OtherReel,
    /// It is a core of another cable, or no longer one: cut a new one.
    OtherCable,
    /// Nothing uses it any more.
    Over,
}

/// What is different.
pub fn changes(old: &Study, new: &Study) -> Vec<WireChange> {
    let (olds, news) = (all(old), all(new));
    let mut pairs = super::paired(&olds, &news, |w| w.name.as_str());
    marry(&mut pairs);
    pairs.into_iter().filter_map(|[o, n]| change(o, n)).collect()
}

/// Wires without a partner that land at the same two places were only renamed.
fn marry(pairs: &mut Vec<[Option<&WireNow>; 2]>) {
    let landings = |w: &WireNow| {
        let [a, b] = [&w.ends[0].at, &w.ends[1].at];
        if a <= b { [a.clone(), b.clone()] } else { [b.clone(), a.clone()] }
    };
    let mut left: BTreeMap<[String; 2], Vec<usize>> = BTreeMap::new();
    for (i, pair) in pairs.iter().enumerate() {
        if let [None, Some(n)] = pair {
            left.entry(landings(n)).or_default().push(i);
        }
    }
    let mut married = Vec::new();
    for i in 0..pairs.len() {
        let [Some(o), None] = pairs[i] else { continue };
        // The first of several: both lists are in the order of the files.
        let Some(list) = left.get_mut(&landings(o)).filter(|l| !l.is_empty()) else { continue };
        let j = list.remove(0);
        pairs[i][1] = pairs[j][1];
        married.push(j);
    }
    let mut at = 0;
    pairs.retain(|_| {
        at += 1;
        !married.contains(&(at - 1))
    });
}

fn change(old: Option<&WireNow>, new: Option<&WireNow>) -> Option<WireChange> {
    if old == new {
        return None;
    }
    let longer = old.zip(new).map(|(o, n)| n.cut - o.cut);
    let reuse = old.map(|o| new.map_or(Reuse::Over, |n| reuse(o, n)));
    Some(WireChange { old: old.cloned(), new: new.cloned(), longer, reuse })
}

/// Whether the old piece does for the new wire.
fn reuse(old: &WireNow, new: &WireNow) -> Reuse {
    // A module's own lead that is long enough: nothing is cut.
    match (old.cut.0 > 0.0, new.cut.0 > 0.0) {
        (_, false) if old.cut.0 > 0.0 => return Reuse::Over,
        (_, false) => return Reuse::AsItIs,
        (false, true) => return Reuse::TooShort { by: new.cut },
        (true, true) => {}
    }
    if old.spool != new.spool {
        return Reuse::OtherReel;
    }
    if old.cable != new.cable {
        return Reuse::OtherCable;
    }
    let spare = old.cut - new.cut;
    if spare.0 < -1e-9 {
        return Reuse::TooShort { by: -spare };
    }
    // The piece may be put in the other way round.
    let [a, b] = [old.ends[0].kind, old.ends[1].kind];
    let differs = |ends: [EndKind; 2]| [ends[0] != new.ends[0].kind, ends[1] != new.ends[1].kind];
    let (straight, turned) = (differs([a, b]), differs([b, a]));
    let count = |e: [bool; 2]| usize::from(e[0]) + usize::from(e[1]);
    let mut new_ends = if count(turned) < count(straight) { turned } else { straight };
    if spare.0 > 1e-9 && count(new_ends) == 0 {
        // Cutting takes one end off: the second, where the length was measured to.
        new_ends[1] = true;
    }
    if spare.0 <= 1e-9 && count(new_ends) == 0 {
        Reuse::AsItIs
    } else {
        Reuse::Trim { by: spare.max(Millimetres::ZERO), new_ends }
    }
}

/// What one reel gives for the new robot, and what of its wire is left over in pieces.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReelChange {
    /// The reel.
    pub spool: Spool,
    /// Wire to cut anew.
    pub cut: Millimetres,
    /// Old pieces that nothing uses any more, trimmings not counted.
    pub left_over: Millimetres,
}

/// Wire to cut anew and old pieces left over, by reel, in the order in which they first occur. Cores of
/// cables are left out: they are cut with their cable.
pub fn reels(changes: &[WireChange]) -> Vec<ReelChange> {
    let mut out: Vec<ReelChange> = Vec::new();
    let mut add = |spool: Spool, cut: Millimetres, left_over: Millimetres| {
        if cut + left_over <= Millimetres::ZERO {
            return;
        }
        match out.iter_mut().find(|r| r.spool == spool) {
            Some(r) => {
                r.cut += cut;
                r.left_over += left_over;
            }
            None => out.push(ReelChange { spool, cut, left_over }),
        }
    };
    for w in changes {
        let kept = matches!(w.reuse, Some(Reuse::AsItIs | Reuse::Trim { .. }));
        if let Some(n) = w.new.as_ref().filter(|n| !kept && n.cable.is_none()) {
            add(n.spool, n.cut, Millimetres::ZERO);
        }
        if let Some(o) = w.old.as_ref().filter(|o| !kept && o.cable.is_none()) {
            add(o.spool, Millimetres::ZERO, o.cut);
        }
    }
    out
}

fn all(study: &Study) -> Vec<WireNow> {
    study.making.cuts.iter().map(|c| now(study, c)).collect()
}

fn now(study: &Study, cut: &Cut) -> WireNow {
    let robot = &study.robot;
    let end = |e: &loomdeck_make::End| WireEnd { at: e.at.clone(), kind: e.kind };
    WireNow {
        name: robot.wires[cut.wire.0].name.clone(),
        spool: cut.spool,
        cut: cut.cut,
        cable: cut.cable.map(|c| robot.cables[c.0].name.clone()),
        ends: [end(&cut.from), end(&cut.to)],
    }
}
