//! The power diagram as a list: each part stands under the part that most of its current comes from.
//!
//! The list is the spanning tree of greatest current (Prim's method, from the batteries): the line
//! with the largest current that leads on from what is listed already is followed next, the thicker wire among equals. Plugs are
//! passed contact by contact, so that a switch beyond a plug stands between its two contacts.

use super::graph::{Given, facts, fuse_at, is_battery, is_drawn, largest, sizes};
use loomdeck_model::{Landing, PartId, PlugId, WireId};
use std::collections::{BTreeMap, BTreeSet};

/// A row of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Steps from the root.
    pub depth: usize,
    /// The part.
    pub name: String,
    /// What tells it from its like.
    pub facts: String,
    /// The fuse that its feed leaves from.
    pub fuse: String,
    /// Plug contacts that its feed passes.
    pub through: String,
    /// Number and size of the wires that feed it.
    pub wires: String,
    /// Largest heating current in them.
    pub current: String,
    /// Other parts it is joined to.
    pub also: Vec<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Spot {
    Part(PartId),
    Contact(PlugId, u32),
}

fn spot(landing: Landing) -> Spot {
    match landing {
        Landing::Part { part, .. } => Spot::Part(part),
        Landing::Plug { plug, contact, .. } => Spot::Contact(plug, contact),
    }
}

struct Net<'a> {
    given: &'a Given<'a>,
    /// Wires at each place.
    at: BTreeMap<Spot, Vec<WireId>>,
    /// Where each place hangs, and by which wire.
    parent: BTreeMap<Spot, (Spot, WireId)>,
    /// In the order of listing.
    children: BTreeMap<Spot, Vec<Spot>>,
    seen: BTreeSet<Spot>,
}

/// The rows of a robot, from its batteries on.
pub fn rows(given: &Given<'_>) -> Vec<Row> {
    let robot = given.robot;
    let mut at: BTreeMap<Spot, Vec<WireId>> = BTreeMap::new();
    for id in (0..robot.wires.len()).map(WireId).filter(|w| is_drawn(robot, *w)) {
        let w = &robot.wires[id.0];
        for end in [w.from, w.to] {
            at.entry(spot(end)).or_default().push(id);
        }
    }
    let mut starts: Vec<Spot> = at.keys().copied().collect();
    starts.sort_by_key(|s| !matches!(s, Spot::Part(p) if is_battery(robot.type_of(*p))));
    let mut net =
        Net { given, at, parent: BTreeMap::new(), children: BTreeMap::new(), seen: BTreeSet::new() };
    let mut rows = Vec::new();
    for start in starts {
        if net.seen.contains(&start) {
            continue;
        }
        net.grow(start);
        net.list(start, 0, &mut rows);
    }
    rows
}

impl Net<'_> {
    /// How much a wire leads: its current to two digits, and its size where those are equal, so
    /// that a path which merely shares a current does not win by a hair.
    fn weight(&self, wire: WireId) -> (f64, f64) {
        let current = self.given.currents.get(wire.0).copied().flatten().map_or(0.0, |a| a.0.abs());
        let step = 10f64.powf(current.max(1e-6).log10().floor() - 1.0);
        ((current / step).round() * step, self.given.robot.wires[wire.0].gauge.area().0)
    }

    fn other(&self, wire: WireId, here: Spot) -> Spot {
        let w = &self.given.robot.wires[wire.0];
        let (a, b) = (spot(w.from), spot(w.to));
        if a == here { b } else { a }
    }

    fn grow(&mut self, start: Spot) {
        self.seen.insert(start);
        let mut open: Vec<(Spot, WireId)> = self.at[&start].iter().map(|w| (start, *w)).collect();
        while let Some(best) = (0..open.len()).reduce(|a, b| {
            // The first of equals, so that the order of the files decides.
            if self.weight(open[b].1) > self.weight(open[a].1) { b } else { a }
        }) {
            let (from, wire) = open.remove(best);
            let to = self.other(wire, from);
            if !self.seen.insert(to) {
                continue;
            }
            self.parent.insert(to, (from, wire));
            self.children.entry(from).or_default().push(to);
            open.extend(self.at[&to].iter().filter(|w| **w != wire).map(|w| (to, *w)));
        }
    }

    /// The part that a place hangs on, itself included.
    fn owner(&self, mut at: Spot) -> Option<PartId> {
        loop {
            match at {
                Spot::Part(p) => return Some(p),
                Spot::Contact(..) => at = self.parent.get(&at)?.0,
            }
        }
    }

    fn list(&self, at: Spot, depth: usize, rows: &mut Vec<Row>) {
        let mut below = depth;
        if let Spot::Part(part) = at {
            rows.push(self.row(part, depth));
            below += 1;
        }
        for child in self.children.get(&at).into_iter().flatten() {
            self.list(*child, below, rows);
        }
    }

    fn row(&self, part: PartId, depth: usize) -> Row {
        let robot = self.given.robot;
        let here = Spot::Part(part);
        let (mut wires, mut contacts, mut fuse) = (Vec::new(), Vec::new(), String::new());
        let mut at = here;
        while let Some((from, wire)) = self.parent.get(&at) {
            wires.push(*wire);
            let w = &robot.wires[wire.0];
            match from {
                Spot::Part(_) => {
                    let end = if spot(w.from) == *from { w.from } else { w.to };
                    fuse = fuse_at(robot, end).unwrap_or_default();
                    break;
                }
                Spot::Contact(plug, n) => contacts.push(format!("{} {n}", robot.plugs[plug.0].name)),
            }
            at = *from;
        }
        wires.reverse();
        contacts.reverse();
        let mut size: Vec<String> = wires.iter().map(|w| sizes(robot, &[*w])).collect();
        size.dedup();
        Row {
            depth,
            name: robot.parts[part.0].name.clone(),
            facts: facts(robot, part).join(", "),
            fuse,
            through: contacts.join(", "),
            wires: size.join(", "),
            current: if wires.is_empty() { String::new() } else { largest(self.given, &wires) },
            also: self.also(part),
        }
    }

    /// Parts joined to this one by wires that are not in the tree; each pair is told once, at the
    /// part that comes later in the files.
    fn also(&self, part: PartId) -> Vec<String> {
        let robot = self.given.robot;
        let mut found: BTreeSet<PartId> = BTreeSet::new();
        for (place, wires) in &self.at {
            if self.owner(*place) != Some(part) {
                continue;
            }
            for wire in wires {
                let Some(other) = self.owner(self.other(*wire, *place)) else { continue };
                if other != part && !self.hangs(other, part) && !self.hangs(part, other) {
                    found.insert(other);
                }
            }
        }
        found.into_iter().filter(|o| *o < part).map(|o| robot.parts[o.0].name.clone()).collect()
    }

    fn hangs(&self, lower: PartId, upper: PartId) -> bool {
        let above = self.parent.get(&Spot::Part(lower)).and_then(|(from, _)| self.owner(*from));
        above == Some(upper)
    }
}

/// The strokes of the tree before a row's name, one letter for each level.
pub fn strokes(rows: &[Row], i: usize) -> String {
    let depth = rows[i].depth;
    // A stroke goes on downwards where a later row of that depth comes before a shallower one.
    let goes_on = |level: usize| {
        let after = rows[i + 1..].iter().find(|r| r.depth <= level);
        after.is_some_and(|r| r.depth == level)
    };
    let mut text = String::new();
    for level in 1..=depth {
        text.push(match (level == depth, goes_on(level)) {
            (true, true) => '├',
            (true, false) => '└',
            (false, true) => '│',
            (false, false) => ' ',
        });
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(depth: usize) -> Row {
        let empty = String::new;
        let (name, facts, fuse, through) = (empty(), empty(), empty(), empty());
        Row { depth, name, facts, fuse, through, wires: empty(), current: empty(), also: Vec::new() }
    }

    #[test]
    fn strokes_join_brothers_and_end_at_the_last() {
        let rows: Vec<Row> = [0, 1, 2, 2, 1, 2].map(row).to_vec();
        let all: Vec<String> = (0..rows.len()).map(|i| strokes(&rows, i)).collect();
        assert_eq!(all, ["", "├", "│├", "│└", "└", " └"]);
    }
}
