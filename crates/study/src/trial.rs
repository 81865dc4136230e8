//! Remedies tried on a copy.

use crate::Study;
use loomdeck_model::{Finding, Folder, Severity, edit};
use serde::Serialize;
use std::collections::BTreeSet;

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

/// What makes two findings of two studies the same one.
pub fn key(f: &Finding) -> (String, String, Option<String>) {
    let subject = f.subjects.first().map(|s| format!("{s:?}")).unwrap_or_default();
    (f.slug.to_owned(), subject, f.situation.clone())
}

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
    let changed = match edit::apply(folder, &target.remedies[remedy].edits) {
        Ok(changed) => changed,
        Err(why) => return Outcome::CannotApply(why.to_string()),
    };
    match Study::of_folder(&changed) {
        Ok(after) => compare(study, &after, target),
        Err(problems) => {
            Outcome::CannotApply(problems.first().map(ToString::to_string).unwrap_or_default())
        }
    }
}

/// Whether `target`, a finding of `before`, is gone in `after`, and at what price.
fn compare(before: &Study, after: &Study, target: &Finding) -> Outcome {
    let keys = |s: &Study, worst: Severity| -> BTreeSet<_> {
        s.findings.iter().filter(|f| f.severity <= worst).map(key).collect()
    };
    if keys(after, Severity::Note).contains(&key(target)) {
        return Outcome::StillThere;
    }
    let known = keys(before, target.severity);
    let new: Vec<String> = after
        .findings
        .iter()
        .filter(|f| f.severity <= target.severity && !known.contains(&key(f)))
        .map(|f| format!("{} ({})", f.slug, f.subjects.first().map_or("", |s| s.name())))
        .collect();
    if new.is_empty() {
        let left = keys(after, Severity::Note);
        let also = keys(before, Severity::Note).iter().filter(|k| !left.contains(*k)).count();
        Outcome::Works { also_gone: also.saturating_sub(1) }
    } else {
        Outcome::Brings(new)
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
