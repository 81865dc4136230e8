//! Laws that every finding keeps, and what its page promises.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

use loomdeck_model::{Finding, Folder, Severity};
use loomdeck_study::{Study, pages, trial};
use std::collections::BTreeSet;
use std::path::Path;

fn study(text: &str) -> Study {
    match Study::of_folder(&Folder::single(text)) {
        Ok(study) => study,
        Err(problems) => {
            let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("{}\n{text}", told.join("\n"));
        }
    }
}

fn demo(name: &str) -> (Folder, Study) {
    let folder =
        Folder::load(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name)).unwrap();
    let study = Study::of_folder(&folder).unwrap();
    (folder, study)
}

/// All findings of all pages' robots and of the demos.
fn everything() -> Vec<Finding> {
    let mut all: Vec<Finding> = pages().iter().flat_map(|p| study(p.before).findings).collect();
    for name in ["cart", "samovar", "samovar-first-try"] {
        all.extend(demo(name).1.findings);
    }
    all
}

#[test]
fn the_robot_of_each_page_has_the_finding_before_and_not_after() {
    let mut wrong = Vec::new();
    for page in pages() {
        let has = |text| study(text).findings.iter().any(|f| f.slug == page.slug);
        if !has(page.before) {
            wrong.push(format!("{}: not found before", page.slug));
        }
        if has(page.after) {
            wrong.push(format!("{}: still found after", page.slug));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn slugs_are_unique_and_every_finding_has_a_page() {
    let slugs: Vec<&str> = pages().iter().map(|p| p.slug).collect();
    let set: BTreeSet<&str> = slugs.iter().copied().collect();
    assert_eq!(slugs.len(), set.len());
    for f in everything() {
        assert!(set.contains(f.slug), "{} has no page", f.slug);
        let page = pages().into_iter().find(|p| p.slug == f.slug).unwrap();
        assert!(f.severity >= page.severity, "{} is worse than its page says", f.slug);
    }
}

/// Findings that say yes or no: nothing of them can be measured.
const WITHOUT_NUMBER: [&str; 2] = ["signal-outputs-joined", "signal-without-return"];

const UNITS: [&str; 28] = [
    "_a", "_v", "_c", "_k", "_mm", "_mm2", "_s", "_w", "_wh", "_ah", "_ohm", "_mohm", "_percent", "_kg",
    "_m_s", "_nm", "_rpm", "_deg", "_min", "_h", "_n", "_j", "_mv", "_ma", "percent", "_count", "_mpa",
    "_db",
];

/// What a finding lacks.
fn lacks(f: &Finding) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut must = |ok: bool, what: &str| {
        if !ok {
            wrong.push(what.to_owned());
        }
    };
    must(!f.subjects.is_empty(), "no subject");
    must(!f.source.is_empty(), "no source");
    must(f.what.ends_with('.'), "no sentence");
    must(f.values.values().chain(f.limits.values()).all(|v| v.is_finite()), "a number that is none");
    if f.severity <= Severity::Fix {
        must(!f.remedies.is_empty(), "no remedy");
        must(!f.values.is_empty() || WITHOUT_NUMBER.contains(&f.slug), "no number");
    }
    let remedies: Vec<&str> = f.remedies.iter().map(|r| r.text.as_str()).collect();
    let words = format!("{} {} {}", f.what, f.why, remedies.join(" "));
    must(!words.contains('!') && !words.to_lowercase().contains("error"), &words);
    must(!words.contains("NaN") && !words.contains("inf "), &words);
    for key in f.values.keys().chain(f.limits.keys()) {
        must(UNITS.iter().any(|u| key.ends_with(u)), &format!("{key} has no unit"));
    }
    wrong
}

#[test]
fn every_finding_has_its_number_reason_remedy_and_source() {
    let wrong: BTreeSet<String> = everything()
        .iter()
        .flat_map(|f| lacks(f).into_iter().map(|w| format!("{}: {w}", f.slug)).collect::<Vec<_>>())
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_same_folder_gives_the_same_study() {
    for name in ["cart", "samovar"] {
        let (folder, first) = demo(name);
        let second = Study::of_folder(&folder).unwrap();
        assert!(first == second, "{name} differs from one time to the next");
    }
}

#[test]
fn samovar_has_nothing_worse_than_look() {
    let (_, study) = demo("samovar");
    let bad: Vec<String> = study
        .findings
        .iter()
        .filter(|f| f.severity <= Severity::Fix)
        .map(|f| format!("{} {:?}: {}", f.slug, f.subjects, f.what))
        .collect();
    assert!(bad.is_empty(), "{}", bad.join("\n"));
    assert!(
        study.robot.parts.len() >= 38
            && study.robot.wires.len() >= 85
            && study.robot.situations.len() == 8
    );
}

#[test]
fn the_first_try_is_mended_by_its_own_remedies() {
    let (folder, study) = demo("samovar-first-try");
    let bad = |s: &Study| s.findings.iter().filter(|f| f.severity <= Severity::Fix).count();
    let slugs: BTreeSet<&str> =
        study.findings.iter().filter(|f| f.severity <= Severity::Fix).map(|f| f.slug).collect();
    assert!(slugs.len() >= 8, "{slugs:?}");
    // At least one remedy of some finding works, is written, and leaves fewer to mend.
    let (mut files, mut now) = (folder, study);
    let before = bad(&now);
    let mut mended = 0;
    for _ in 0..6 {
        let next = (0..now.findings.len())
            .filter(|i| now.findings[*i].severity <= Severity::Fix)
            .find_map(|i| trial::first_working(&files, &now, i));
        let Some((_, changed, after)) = next else { break };
        assert!(bad(&after) < bad(&now));
        (files, now) = (changed, after);
        mended += 1;
    }
    assert!(mended >= 3 && bad(&now) < before, "{mended} of {before}");
}
