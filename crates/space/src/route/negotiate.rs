//! Rip-up and re-route: whoever helps to overfill a passage or an opening looks for another way at
//! today's prices, until nothing is overfull or nobody has another way.

use super::jobs::{Group, Job};
use super::looms::diameter;
use super::market::{Market, Payer, Usage, Voice};
use super::tree::Tree;
use super::{Found, Router};
use crate::geometry::Gap;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{CableKind, Face, Function, Robot, WireId};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// How often wires are sent another way.
const ROUNDS: usize = 7;
/// Rounds in which quiet wires look for a way of their own.
const QUIET_ROUNDS: usize = 2;
/// Of an opening, this part may be filled (NFPA 70, chapter 9, table 1: three and more).
const FILL: f64 = 0.40;
/// In a round at most this part of those concerned move, so that they do not all rush to the next gap.
const AT_ONCE: f64 = 0.5;
/// Ways that are looked for once more in all: this many, and a part of all wires. On a board with more
/// wires than room the rest is told, not sought for ever.
const MOVES: (usize, usize) = (80, 8);

/// All ways, as they stand.
#[derive(Clone, Default)]
pub(super) struct Ways {
    pub ways: BTreeMap<WireId, Arc<Found>>,
    pub trees: BTreeMap<Group, Arc<Tree>>,
    usage: BTreeMap<Group, Usage>,
}

/// Whether a wire disturbs or is disturbed; cores within a screen do neither.
pub fn voice(robot: &Robot, wire: WireId) -> Voice {
    let w = &robot.wires[wire.0];
    if w.cable.is_some_and(|c| robot.cables[c.0].kind == CableKind::Screened) {
        return Voice::Plain;
    }
    match w.function {
        Function::Supply | Function::Return | Function::Motor => Voice::Loud,
        Function::Audio | Function::Radio | Function::Logic => Voice::Quiet,
        Function::SignalReturn | Function::Screen | Function::Bond => Voice::Plain,
    }
}

/// Of a group: all of one kind, else neither.
fn voice_of(robot: &Robot, members: &[&Job]) -> Voice {
    let mut all = members.iter().map(|j| voice(robot, j.wire));
    let first = all.next().unwrap_or(Voice::Plain);
    if all.all(|v| v == first) { first } else { Voice::Plain }
}

/// What a wire pays with.
pub(super) fn payer(robot: &Robot, job: &Job) -> Payer {
    let area = std::f64::consts::PI / 4.0 * job.thickness * job.thickness;
    Payer { width: job.thickness + super::lanes::AIR, area, voice: voice(robot, job.wire) }
}

impl Router<'_> {
    /// Routes everything, first each for itself, then with what room costs.
    pub(super) fn settle(&mut self, groups: &BTreeMap<Group, Vec<&Job>>) -> Ways {
        let mut now = Ways::default();
        for (group, members) in groups {
            let (tree, found) = self.first(*group, members);
            now.ways.extend(found);
            now.trees.extend(tree.map(|t| (*group, t)));
        }
        self.nets.iter().flatten().for_each(|net| net.noting.set(false));
        self.note_alone(groups, &now);
        self.open_market();
        for (group, members) in groups {
            self.enter(*group, members, &mut now);
        }
        self.negotiate(groups, now)
    }

    fn negotiate(&mut self, groups: &BTreeMap<Group, Vec<&Job>>, mut now: Ways) -> Ways {
        let mut best: Option<(f64, Ways)> = None;
        let mut left = MOVES.0 + groups.len() / MOVES.1;
        for round in 0..ROUNDS {
            let moving = self.who_moves(groups, &now, round < QUIET_ROUNDS);
            if moving.is_empty() || left == 0 {
                break;
            }
            if let Some(market) = &mut self.market {
                let missing = market.close();
                if best.as_ref().is_none_or(|(least, _)| missing < *least - 1e-9) {
                    best = Some((missing, now.clone()));
                }
            }
            for group in moving {
                let Some(members) = groups.get(&group) else { continue };
                if left == 0 {
                    break;
                }
                left = left.saturating_sub(members.len());
                self.move_group(group, members, &mut now);
            }
        }
        let missing = self.market.as_ref().map_or(0.0, Market::missing);
        match best {
            Some((least, old)) if least < missing - 1e-9 => {
                self.restore(groups, &now, &old);
                old
            }
            _ => now,
        }
    }

    /// Groups that look for another way, in order.
    fn who_moves(
        &self,
        groups: &BTreeMap<Group, Vec<&Job>>,
        now: &Ways,
        quiet: bool,
    ) -> BTreeSet<Group> {
        let Some(market) = &self.market else { return BTreeSet::new() };
        let mut out = BTreeSet::new();
        let mut over: Vec<(f64, Group)> = Vec::new();
        for (group, usage) in &now.usage {
            let voice = groups.get(group).map_or(Voice::Plain, |m| voice_of(self.robot, m));
            if quiet && voice == Voice::Quiet && market.has_neighbours(usage, voice) {
                out.insert(*group);
            }
            let missing = market.is_over(usage);
            if missing > 1e-6 {
                let span =
                    groups.get(group).map_or(0.0, |m| m.iter().map(|j| j.span()).fold(0.0, f64::max));
                over.push((span, *group));
            }
        }
        // The longest have most other ways.
        over.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let most = (over.len() as f64 * AT_ONCE).ceil() as usize;
        out.extend(over.into_iter().take(most.max(1)).map(|(_, g)| g));
        out
    }

    /// One group is taken up and laid at today's prices; it stays where it was when that fails.
    fn move_group(&mut self, group: Group, members: &[&Job], now: &mut Ways) {
        let voice = voice_of(self.robot, members);
        if let (Some(market), Some(usage)) = (&mut self.market, now.usage.get(&group)) {
            market.enter(usage, voice, -1.0);
        }
        let (tree, found) = self.group(group, members);
        let found_all = found.len() == members.len()
            && found.iter().all(|(w, f)| {
                matches!(f, Found::Way { .. })
                    || matches!(now.ways.get(w).map(Arc::as_ref), Some(Found::Stuck { .. }))
            });
        if found_all {
            now.ways.extend(found.into_iter().map(|(w, f)| (w, Arc::new(f))));
            now.trees.extend(tree.map(|t| (group, Arc::new(t))));
        }
        self.enter(group, members, now);
    }

    /// Enters what a group uses.
    fn enter(&mut self, group: Group, members: &[&Job], now: &mut Ways) {
        let usage = self.usage(group, members, now);
        if let Some(market) = &mut self.market {
            market.enter(&usage, voice_of(self.robot, members), 1.0);
        }
        now.usage.insert(group, usage);
    }

    fn restore(&mut self, groups: &BTreeMap<Group, Vec<&Job>>, now: &Ways, old: &Ways) {
        let Some(market) = &mut self.market else { return };
        for (group, members) in groups {
            let voice = voice_of(self.robot, members);
            if let (Some(a), Some(b)) = (now.usage.get(group), old.usage.get(group))
                && a != b
            {
                market.enter(a, voice, -1.0);
                market.enter(b, voice, 1.0);
            }
        }
    }

    fn open_market(&mut self) {
        let board = self.board;
        let areas = board.passes.iter().map(|p| FILL * crate::faces::opening(p.shape).0).collect();
        let posts = [&self.grounds[0].posts, &self.grounds[1].posts];
        let depths = [board.depth_front.0, board.depth_back.0];
        let quiet = (0..self.robot.wires.len()).any(|w| voice(self.robot, WireId(w)) == Voice::Quiet);
        self.market = Some(Market::new(posts, depths, areas, quiet));
    }

    /// What a group takes of passages and openings.
    fn usage(&self, group: Group, members: &[&Job], now: &Ways) -> Usage {
        let Some(market) = &self.market else { return Usage::default() };
        let air = super::lanes::AIR;
        let mut out = Usage::default();
        let mut along = |face: usize, a, b, width: f64| {
            out.passages.extend(market.crossed(face, a, b).into_iter().map(|p| (face, p, width)));
        };
        if let Some(tree) = now.trees.get(&group) {
            for s in &tree.stretches {
                let (a, b) = (&tree.knots[s.a], &tree.knots[s.b]);
                if a.face == b.face {
                    along(a.face, a.at, b.at, diameter(self.robot, &s.wires).0 + air);
                }
            }
        }
        for job in members {
            let Some(Found::Way { steps, .. }) = now.ways.get(&job.wire).map(Arc::as_ref) else {
                continue;
            };
            let area = std::f64::consts::PI / 4.0 * job.thickness * job.thickness;
            for pair in steps.windows(2) {
                if pair[0].face != pair[1].face {
                    let pass = pair[0].pass.or(pair[1].pass).or_else(|| self.opening_at(pair[0].at));
                    out.openings.extend(pass.map(|o| (o, area)));
                } else if matches!(group, Group::Alone(_)) {
                    for p in market.crossed(pair[0].face, pair[0].at, pair[1].at) {
                        out.passages.push((pair[0].face, p, job.thickness + air));
                    }
                }
            }
        }
        out
    }

    fn opening_at(&self, at: loomdeck_model::Point) -> Option<usize> {
        self.view.passes.iter().position(|p| *p == at)
    }

    /// Lengths of the ways of loose wires when nobody else is there.
    fn note_alone(&mut self, groups: &BTreeMap<Group, Vec<&Job>>, now: &Ways) {
        for members in groups.iter().filter(|(g, _)| matches!(g, Group::Alone(_))).map(|(_, m)| m) {
            for job in members {
                let Some(Found::Way { start, steps, goal, .. }) =
                    now.ways.get(&job.wire).map(Arc::as_ref)
                else {
                    continue;
                };
                let steps = steps.windows(2).filter(|s| s[0].face == s[1].face);
                let between: f64 = steps.map(|s| s[0].at.distance(s[1].at)).sum();
                let stubs = super::length(start) + super::length(goal);
                self.alone.insert(job.wire, Millimetres(between + stubs));
            }
        }
    }

    /// Passages with the wires through them.
    pub(super) fn gaps(&self, groups: &BTreeMap<Group, Vec<&Job>>, now: &Ways) -> Vec<Gap> {
        let Some(market) = &self.market else { return Vec::new() };
        let mut wires: BTreeMap<(usize, u32), BTreeSet<WireId>> = BTreeMap::new();
        for (group, members) in groups {
            let Some(usage) = now.usage.get(group) else { continue };
            if let Some(tree) = now.trees.get(group) {
                for s in &tree.stretches {
                    let (a, b) = (&tree.knots[s.a], &tree.knots[s.b]);
                    if a.face == b.face {
                        for p in market.crossed(a.face, a.at, b.at) {
                            wires.entry((a.face, p)).or_default().extend(&s.wires);
                        }
                    }
                }
            } else {
                for (face, p, _) in &usage.passages {
                    wires.entry((*face, *p)).or_default().extend(members.iter().map(|j| j.wire));
                }
            }
        }
        let gap = |((face, p), wires): ((usize, u32), BTreeSet<WireId>)| {
            let (passage, used) = market.passage(face, p);
            let owner = |k: usize| {
                let post = passage.posts[k] as usize;
                self.subject(face, self.grounds[face].posts.all[post].owner)
            };
            Gap {
                face: Face::BOTH[face],
                between: [owner(0), owner(1)],
                from: passage.ends[0],
                to: passage.ends[1],
                room: Millimetres(passage.room),
                layers: market.layers(face),
                need: Millimetres(used),
                wires: wires.into_iter().collect(),
            }
        };
        wires.into_iter().map(gap).collect()
    }
}
