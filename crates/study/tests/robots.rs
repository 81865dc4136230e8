//! Small robots with the findings each must and must not give.
//!
//! Every file below `tests/robots/` is a robot in one text. A comment says what is expected, on the
//! line it speaks of or anywhere else in the file:
//!
//! ```toml
//! name = "heart"          # expect: danger unfused-wire "heart"
//! size_mm2 = 6            # expect-not: wire-too-hot
//! ```
//!
//! `expect:` takes a severity, a slug, and the name of one of the finding's subjects in quotes;
//! `expect-not:` a slug and perhaps a name. A robot that cannot be read fails.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

use loomdeck_model::{Finding, Folder};
use loomdeck_study::Study;
use std::fs;
use std::path::{Path, PathBuf};

fn robots() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/robots");
    let mut files = Vec::new();
    let mut folders = vec![root];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "toml") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

/// The quoted name at the end of an expectation, when there is one.
fn named(text: &str) -> Option<&str> {
    text.split('"').nth(1)
}

fn about(f: &Finding, name: Option<&str>) -> bool {
    name.is_none_or(|n| f.subjects.iter().any(|s| s.name() == n))
}

fn told(findings: &[Finding]) -> String {
    let line = |f: &Finding| {
        let names: Vec<&str> = f.subjects.iter().map(|s| s.name()).collect();
        format!("    {} {} {:?}: {}", f.severity.word(), f.slug, names, f.what)
    };
    findings.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// What is wrong with one robot's findings.
fn check(path: &Path) -> Vec<String> {
    let text = fs::read_to_string(path).unwrap();
    let study = match Study::of_folder(&Folder::single(text.clone())) {
        Ok(study) => study,
        Err(problems) => return problems.iter().map(ToString::to_string).collect(),
    };
    let mut wrong = Vec::new();
    let mut expectations = 0;
    for (i, line) in text.lines().enumerate() {
        if let Some((_, rest)) = line.split_once("# expect: ") {
            expectations += 1;
            let mut words = rest.split_whitespace();
            let (severity, slug) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
            let found = study
                .findings
                .iter()
                .any(|f| f.slug == slug && f.severity.word() == severity && about(f, named(rest)));
            if !found {
                wrong.push(format!("line {}: expected {rest}, found\n{}", i + 1, told(&study.findings)));
            }
        } else if let Some((_, rest)) = line.split_once("# expect-not: ") {
            expectations += 1;
            let slug = rest.split_whitespace().next().unwrap_or_default();
            assert!(
                loomdeck_study::pages().iter().any(|p| p.slug == slug),
                "{}: no finding is called {slug}",
                path.display()
            );
            let found: Vec<Finding> = study
                .findings
                .iter()
                .filter(|f| f.slug == slug && about(f, named(rest)))
                .cloned()
                .collect();
            if !found.is_empty() {
                wrong.push(format!("line {}: not expected {rest}, found\n{}", i + 1, told(&found)));
            }
        }
    }
    if expectations == 0 {
        wrong.push("expects nothing".to_owned());
    }
    wrong
}

#[test]
fn every_robot_gives_what_it_must_and_not_what_it_must_not() {
    let robots = robots();
    assert!(robots.len() >= 12, "only {} robots", robots.len());
    let wrong: Vec<String> = robots
        .iter()
        .flat_map(|p| check(p).into_iter().map(|w| format!("{}: {w}", p.display())))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
