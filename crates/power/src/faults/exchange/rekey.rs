//! From the cases to the question of the smallest re-keying, and back to changes of the files.

use super::keying::Question;
use super::mate::near;
use super::types::{Case, Change, Deed, Keying, Verdict};
use crate::faults::Ground;
use crate::findings::help::goes_into;
use loomdeck_model::part_type::{PartType, PlugFamily};
use loomdeck_model::units::Amperes;
use loomdeck_model::{Half, Landing, PlugId, Robot, TypeId};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// The plug families of the library.
static FAMILIES: LazyLock<Vec<PartType>> = LazyLock::new(loomdeck_model::library::plugs);

/// Families with two plugs or more.
pub fn all(ground: &Ground<'_>, cases: &[Case]) -> Vec<Keying> {
    let robot = ground.robot;
    let mut families: BTreeMap<TypeId, Vec<PlugId>> = BTreeMap::new();
    for (p, plug) in robot.plugs.iter().enumerate() {
        families.entry(plug.family).or_default().push(PlugId(p));
    }
    let harmful = harmful(cases);
    let mut taken: BTreeSet<String> =
        robot.plugs.iter().map(|p| robot.types[p.family.0].name.clone()).collect();
    families
        .into_iter()
        .filter(|(_, plugs)| plugs.len() > 1)
        .filter_map(|(family, plugs)| one(ground, family, plugs, &harmful, &mut taken))
        .collect()
}

/// Pairs of which some exchange harms, also such as are kept apart today.
fn harmful(cases: &[Case]) -> BTreeSet<(PlugId, PlugId)> {
    let told = |c: &Case| c.like.map_or(c.verdict, |l| cases[l].verdict);
    cases
        .iter()
        .filter(|c| told(c) == Verdict::Harms)
        .filter_map(|c| match c.deed {
            Deed::Wrong { body: a, board: b, .. } | Deed::Swapped { one: a, other: b } => {
                Some((a.min(b), a.max(b)))
            }
            Deed::Reversed { .. } | Deed::Out { .. } => None,
        })
        .collect()
}

/// The colour of a plug: arrangement · genders + gender.
fn colour(robot: &Robot, plug: PlugId, family: &PlugFamily, genders: usize) -> usize {
    let own = &robot.plugs[plug.0];
    let word = own.arrangement(family);
    let arrangement = family.keyings.iter().position(|k| k == word).unwrap_or(0);
    let gender = usize::from(genders > 1 && own.pins_on == Half::Body);
    arrangement * genders + gender
}

fn one(
    ground: &Ground<'_>,
    family: TypeId,
    plugs: Vec<PlugId>,
    harmful: &BTreeSet<(PlugId, PlugId)>,
    taken: &mut BTreeSet<String>,
) -> Option<Keying> {
    let robot = ground.robot;
    let own = robot.types[family.0].plug_family.as_ref()?;
    let genders = if own.alike { 1 } else { 2 };
    let at = |p: PlugId| plugs.iter().position(|q| *q == p);
    let apart: Vec<(PlugId, PlugId)> =
        harmful.iter().copied().filter(|(a, b)| at(*a).is_some() && at(*b).is_some()).collect();
    let question = Question {
        now: plugs.iter().map(|&p| colour(robot, p, own, genders)).collect(),
        edges: apart.iter().filter_map(|(a, b)| Some((at(*a)?, at(*b)?))).collect(),
        arrangements: own.keyings.len().max(1),
        genders,
    };
    let answer = question.answer();
    let mut changes = Vec::new();
    let mut unsolved = Vec::new();
    for ((&plug, &now), &new) in plugs.iter().zip(&question.now).zip(&answer.colours) {
        match new {
            Some(new) if new == now => {}
            Some(new) => changes.push(Change {
                plug,
                keying: (new / genders != now / genders)
                    .then(|| own.keyings.get(new / genders).cloned())
                    .flatten(),
                pins_on: (new % genders != now % genders)
                    .then(|| if new % genders == 1 { Half::Body } else { Half::Board }.word()),
                family: None,
            }),
            None => match other_family(ground, plug, own, taken) {
                Some(name) => {
                    taken.insert(name.clone());
                    changes.push(Change { plug, keying: None, pins_on: None, family: Some(name) });
                }
                None => unsolved.push(plug),
            },
        }
    }
    let mut remaining = Vec::new();
    let mut mating = Vec::new();
    for (i, &a) in plugs.iter().enumerate() {
        for (j, &b) in plugs.iter().enumerate().skip(i + 1) {
            if question.now[i] == question.now[j] && apart.contains(&(a, b)) {
                mating.push((a, b));
            }
            let same = answer.colours[i].is_some() && answer.colours[i] == answer.colours[j];
            if same && near(robot, a, b) {
                remaining.push((a, b));
            }
        }
    }
    Some(Keying {
        family: robot.types[family.0].name.clone(),
        plugs,
        apart,
        mating,
        changes,
        smallest: answer.least,
        unsolved,
        remaining,
    })
}

/// A family of the library that none of the robot's plugs has and that does what this plug does.
pub fn other_family(
    ground: &Ground<'_>,
    plug: PlugId,
    own: &PlugFamily,
    taken: &BTreeSet<String>,
) -> Option<String> {
    let robot = ground.robot;
    let on = |landing: Landing| match landing {
        Landing::Plug { plug: p, contact, .. } if p == plug => Some(contact),
        _ => None,
    };
    let needed = robot.wires.iter().flat_map(|w| [on(w.from), on(w.to)]).flatten().max().unwrap_or(1);
    let contacts = ground.power.situations.iter().flat_map(|s| &s.contacts).filter(|c| c.plug == plug);
    let most = contacts.map(|c| c.rms).fold(Amperes(0.0), Amperes::max);
    let takes = |f: &PlugFamily| {
        robot
            .wires
            .iter()
            .filter(|w| on(w.from).or(on(w.to)).is_some())
            .all(|w| goes_into(w.gauge, (f.thinnest, f.thickest)))
    };
    FAMILIES
        .iter()
        .filter(|t| !taken.contains(&t.name))
        .filter_map(|t| Some((t, t.plug_family.as_ref()?)))
        .filter(|(_, f)| f.contacts >= needed && !f.reversible && takes(f))
        .filter(|(_, f)| most <= f.rating && (f.shrouded || !own.shrouded) && (f.locks || !own.locks))
        .min_by(|(a, f), (b, g)| {
            (f.contacts, a.mass.0)
                .partial_cmp(&(g.contacts, b.mass.0))
                .unwrap_or(std::cmp::Ordering::Equal)
        })
        .map(|(t, _)| t.name.clone())
}
