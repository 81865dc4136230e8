//! Remedies tried on a copy.

use crate::Study;
use loomdeck_model::{Finding, Folder, Remedy, Subject, edit};
use serde::Serialize;
use std::collections::BTreeMap;

/// A remedy that was tried.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trial {
    /// Index into the study's findings.
    pub finding: usize,
    /// Index into that finding's remedies.
    pub remedy: usize,
    /// What came of it.
    pub outcome: Outcome,
}

/// What came of a remedy.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// The finding is gone and nothing as severe is new.
    Works {
        /// Findings that went with it, itself not counted.
        also_gone: usize,
    },
    /// The finding is still there.
    StillThere,
    /// The finding is gone, but this is new and as severe.
    Brings(Vec<String>),
    /// The change cannot be written into the files, or the files can no longer be read.
    CannotApply(String),
}

/// What makes two findings of two studies the same one. The situation is no part of it: where a
/// finding shows equally in two, a change elsewhere may let the other one be the worst.
pub fn key(f: &Finding) -> Key {
    (f.slug, f.subjects.clone())
}

/// Slug and subjects.
pub type Key = (&'static str, Vec<Subject>);

/// Tries every remedy of the study's findings that can be applied to its files, in order; `each` is
/// told after every trial how many are done and how many there are.
pub fn trials(folder: &Folder, study: &Study, mut each: impl FnMut(usize, usize)) -> Vec<Trial> {
    let wanted: Vec<(usize, usize)> = study
        .findings
        .iter()
        .enumerate()
        .flat_map(|(f, finding)| {
            let with_edits = finding.remedies.iter().enumerate().filter(|(_, r)| !r.edits.is_empty());
            with_edits.map(move |(r, _)| (f, r)).collect::<Vec<_>>()
        })
        .collect();
    let total = wanted.len();
    let mut trials = Vec::with_capacity(total);
    for (finding, remedy) in wanted {
        trials.push(Trial { finding, remedy, outcome: outcome(folder, study, finding, remedy) });
        each(trials.len(), total);
    }
    trials
}

fn outcome(folder: &Folder, study: &Study, finding: usize, remedy: usize) -> Outcome {
    let target = &study.findings[finding];
    attempt(folder, study, target, &target.remedies[remedy]).outcome
}

/// What a remedy does to a copy of the files.
#[derive(Clone, Debug)]
pub struct Attempt {
    /// What came of it.
    pub outcome: Outcome,
    /// Findings that are gone, the target among them when it is.
    pub gone: Vec<Finding>,
    /// Findings that are new, of any severity.
    pub brought: Vec<Finding>,
}

/// Tries one remedy of `target`, a finding of `study`, on a copy of the files. A finding of the deep tier is
/// only ever found gone when `study` has that tier.
pub fn attempt(folder: &Folder, study: &Study, target: &Finding, remedy: &Remedy) -> Attempt {
    let cannot =
        |why| Attempt { outcome: Outcome::CannotApply(why), gone: Vec::new(), brought: Vec::new() };
    let changed = match edit::apply(folder, &remedy.edits) {
        Ok(changed) => changed,
        Err(why) => return cannot(why.to_string()),
    };
    match Study::of_folder(&changed) {
        Ok(after) => Attempt {
            outcome: compare(study, &after, target),
            gone: beyond(study, &after),
            brought: beyond(&after, study),
        },
        Err(problems) => cannot(problems.first().map(ToString::to_string).unwrap_or_default()),
    }
}

/// How often each finding occurs: it may do so more than once with the same words (two holes of the same
/// two parts).
fn counts(study: &Study) -> BTreeMap<Key, usize> {
    let mut counts: BTreeMap<Key, usize> = BTreeMap::new();
    study.findings.iter().for_each(|f| *counts.entry(key(f)).or_default() += 1);
    counts
}

/// Findings of one study that another has not, or not so often.
fn beyond(one: &Study, other: &Study) -> Vec<Finding> {
    let mut left = counts(other);
    let new = one.findings.iter().filter(|f| match left.get_mut(&key(f)) {
        Some(n) if *n > 0 => {
            *n -= 1;
            false
        }
        _ => true,
    });
    new.cloned().collect()
}

/// Whether `target`, a finding of `before`, is gone in `after`, and at what price.
fn compare(before: &Study, after: &Study, target: &Finding) -> Outcome {
    let (old, new) = (counts(before), counts(after));
    let of = |counts: &BTreeMap<Key, usize>, k: &Key| counts.get(k).copied().unwrap_or(0);
    // What stays, but is less severe now, counts as mended: the robot held by chocks still is on a slope.
    let wanted = key(target);
    let as_severe = |s: &Study| {
        s.findings.iter().filter(|f| f.severity <= target.severity && key(f) == wanted).count()
    };
    if as_severe(after) >= as_severe(before) {
        return Outcome::StillThere;
    }
    let brought: Vec<String> = after
        .findings
        .iter()
        .filter(|f| f.severity <= target.severity && of(&new, &key(f)) > of(&old, &key(f)))
        .map(|f| format!("{} ({})", f.slug, f.subjects.first().map_or("", |s| s.name())))
        .collect();
    if brought.is_empty() {
        let gone: usize = old.iter().map(|(k, n)| n.saturating_sub(of(&new, k))).sum();
        Outcome::Works { also_gone: gone.saturating_sub(1) }
    } else {
        Outcome::Brings(brought)
    }
}

/// The first remedy of a finding that works, with the files and the study after it.
pub fn first_working(folder: &Folder, study: &Study, finding: usize) -> Option<(usize, Folder, Study)> {
    let target = &study.findings[finding];
    target.remedies.iter().enumerate().filter(|(_, r)| !r.edits.is_empty()).find_map(|(i, r)| {
        let changed = edit::apply(folder, &r.edits).ok()?;
        let after = Study::of_folder(&changed).ok()?;
        matches!(compare(study, &after, target), Outcome::Works { .. }).then_some((i, changed, after))
    })
}
