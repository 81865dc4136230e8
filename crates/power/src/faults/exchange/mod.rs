//! Wrong plugs: one half in another's place, reversed, left out; and the keys that make it harmless.

mod findings;
pub mod harm;
pub mod keying;
pub mod mate;
pub mod network;
mod rekey;
mod scene;
mod table;
mod types;

#[cfg(test)]
mod tests;

pub use findings::{PAGES, findings};
pub use types::*;

use super::Ground;
use crate::circuit::values::Level;
use crate::operate::{Solution, from_nothing};
use harm::Judge;
use loomdeck_model::{Landing, PlugId, Robot, Situation, SituationId};
use mate::{mate, near};
use network::{Contents, alterations};
use scene::Scene;
use std::collections::{BTreeMap, BTreeSet};

/// Most situations in which a deed is solved.
const MOST_SITUATIONS: usize = 2;

/// Works it out.
pub fn study(ground: &Ground<'_>) -> Exchange {
    let robot = ground.robot;
    if robot.plugs.is_empty() || robot.situations.is_empty() {
        return Exchange::default();
    }
    let deeds = deeds(robot);
    let mut worker = Worker::of(ground);
    let cases: Vec<Case> = deeds.iter().map(|&(deed, possible)| worker.case(deed, possible)).collect();
    let mut out = Exchange {
        plugs: table::rows(robot),
        table: Vec::new(),
        keying: rekey::all(ground, &cases),
        solved: worker.solved,
        validity: table::validity(robot, &cases),
        good_news: Vec::new(),
        cases,
    };
    out.table = table::cells(robot, &out);
    out.good_news = table::good_news(robot, &out);
    out
}

/// What is looked at, and whether it can happen as the robot is.
fn deeds(robot: &Robot) -> Vec<(Deed, bool)> {
    let plugs = || (0..robot.plugs.len()).map(PlugId);
    let reversible = |p: PlugId| robot.family_of(p).is_some_and(|f| f.reversible);
    let mut out = Vec::new();
    for plug in plugs() {
        out.push((Deed::Out { plug }, true));
        if reversible(plug) {
            out.push((Deed::Reversed { plug }, true));
        }
    }
    for one in plugs() {
        for other in plugs().filter(|&o| o > one && near(robot, one, o)) {
            let fits = [mate(robot, one, other), mate(robot, other, one)].map(|m| m == Mate::Fits);
            for (body, board, fits) in [(one, other, fits[0]), (other, one, fits[1])] {
                out.push((Deed::Wrong { body, board, reversed: false }, fits));
                if reversible(body) {
                    out.push((Deed::Wrong { body, board, reversed: true }, fits));
                }
            }
            out.push((Deed::Swapped { one, other }, fits[0] && fits[1]));
        }
    }
    out
}

/// The plugs that a deed touches.
fn touched(deed: Deed) -> Vec<PlugId> {
    match deed {
        Deed::Wrong { body, board, .. } => vec![body, board],
        Deed::Swapped { one, other } => vec![one, other],
        Deed::Reversed { plug } | Deed::Out { plug } => vec![plug],
    }
}

/// Contents of the halves, situations, and which of the plugs is pulled in which.
type Contentwise = ((u8, [usize; 4]), Vec<SituationId>, Vec<bool>);

/// The network of the robot as it should be, solved where a deed needs it.
struct Worker<'a> {
    ground: &'a Ground<'a>,
    contents: Contents,
    /// Situations, those that show most first.
    ranked: Vec<SituationId>,
    /// Plugs of which something is fed, per situation.
    fed: Vec<BTreeSet<PlugId>>,
    base: BTreeMap<SituationId, (Vec<f64>, Solution)>,
    /// Cases by their contents and situations.
    known: BTreeMap<Contentwise, usize>,
    told: usize,
    solved: usize,
}

impl<'a> Worker<'a> {
    fn of(ground: &'a Ground<'a>) -> Self {
        Self {
            ground,
            contents: Contents::of(ground.robot, &ground.circuit),
            ranked: ranked(ground),
            fed: ground.power.situations.iter().map(fed_plugs).collect(),
            base: BTreeMap::new(),
            known: BTreeMap::new(),
            told: 0,
            solved: 0,
        }
    }

    /// The situations in which a deed is solved: of those in which its plugs are mated and one of them
    /// has voltage, the ones that show most; else one in which one of them has voltage.
    fn situations(&self, deed: Deed) -> Vec<SituationId> {
        let plugs = touched(deed);
        let live = |s: &SituationId| plugs.iter().any(|p| self.fed[s.0].contains(p));
        let pulled = |s: &SituationId| {
            let unplugged = &self.ground.robot.situations[s.0].unplugged;
            plugs.iter().any(|p| unplugged.contains(p))
        };
        let mated: Vec<SituationId> = self
            .ranked
            .iter()
            .copied()
            .filter(|s| live(s) && !pulled(s))
            .take(MOST_SITUATIONS)
            .collect();
        if !mated.is_empty() || matches!(deed, Deed::Out { .. }) {
            return mated;
        }
        self.ranked.iter().copied().filter(live).take(1).collect()
    }

    fn case(&mut self, deed: Deed, possible: bool) -> Case {
        let index = self.told;
        self.told += 1;
        let situations = self.situations(deed);
        let robot = self.ground.robot;
        let pulled = touched(deed)
            .iter()
            .flat_map(|p| situations.iter().map(move |s| robot.situations[s.0].unplugged.contains(p)))
            .collect();
        let key = (self.contents.key(deed), situations.clone(), pulled);
        let mut case = Case {
            deed,
            possible,
            situations,
            verdict: Verdict::Harmless,
            harms: Vec::new(),
            dark: Vec::new(),
            like: None,
        };
        if let Some(&like) = self.known.get(&key) {
            case.like = Some(like);
            return case;
        }
        self.known.insert(key, index);
        self.solve(&mut case);
        case
    }

    fn solve(&mut self, case: &mut Case) {
        let (ground, robot) = (self.ground, self.ground.robot);
        let altered = ground.circuit.altered(robot, &alterations(robot, &ground.circuit, case.deed));
        for &id in &case.situations {
            let (ohms, base) = self.base.entry(id).or_insert_with(|| {
                let ohms = ground.ohms(id);
                let situation = &robot.situations[id.0];
                let solved = from_nothing(&ground.circuit, robot, situation, Level::Mean, &ohms);
                (ohms, solved)
            });
            let mut situation: Situation = robot.situations[id.0].clone();
            if !matches!(case.deed, Deed::Out { .. }) {
                situation.unplugged.retain(|p| !touched(case.deed).contains(p));
            }
            let solution = from_nothing(&altered, robot, &situation, Level::Mean, ohms);
            self.solved += 1;
            let base = Scene::of(robot, &ground.circuit, id, &robot.situations[id.0], base);
            let scene = Scene::of(robot, &altered, id, &situation, &solution);
            let judge = Judge { ground, base: &base, case: &scene };
            case.harms.extend(judge.harms());
            for part in judge.dark() {
                if !case.dark.contains(&part) {
                    case.dark.push(part);
                }
            }
        }
        case.dark.sort_unstable();
        case.harms.sort_by(|a, b| (a.kind, &a.name, a.situation).cmp(&(b.kind, &b.name, b.situation)));
        case.harms.dedup_by(|b, a| a.kind == b.kind && a.name == b.name);
        case.verdict = match (case.harms.is_empty(), case.dark.is_empty()) {
            (false, _) => Verdict::Harms,
            (true, false) => Verdict::Dark,
            (true, true) => Verdict::Harmless,
        };
    }
}

/// Plugs with a contact that has a voltage against the battery.
fn fed_plugs(situation: &crate::results::SituationResult) -> BTreeSet<PlugId> {
    situation
        .terminals
        .iter()
        .filter(|t| t.voltage.is_some())
        .filter_map(|t| match t.landing {
            Landing::Plug { plug, .. } => Some(plug),
            Landing::Part { .. } => None,
        })
        .collect()
}

/// The situations, each the one that feeds most terminals which those before it do not.
fn ranked(ground: &Ground<'_>) -> Vec<SituationId> {
    let fed: Vec<BTreeSet<usize>> = ground
        .power
        .situations
        .iter()
        .map(|s| {
            s.terminals.iter().enumerate().filter(|(_, t)| t.voltage.is_some()).map(|t| t.0).collect()
        })
        .collect();
    let mut left: Vec<usize> = (0..fed.len()).collect();
    let mut seen = BTreeSet::new();
    let mut out = Vec::new();
    while !left.is_empty() {
        let gain = |s: usize| (fed[s].difference(&seen).count(), fed[s].len());
        let Some(best) = left.iter().copied().max_by_key(|&s| (gain(s), usize::MAX - s)) else { break };
        seen.extend(fed[best].iter().copied());
        left.retain(|&s| s != best);
        out.push(SituationId(best));
    }
    out
}
