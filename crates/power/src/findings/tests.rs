#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::testing::measured;
use loomdeck_model::Severity;
use std::collections::BTreeSet;

fn found(text: &str) -> Vec<Finding> {
    let robot = loomdeck_model::testing::robot(text);
    let geometry = measured(&robot);
    let study = crate::study(&robot, &geometry);
    findings(&robot, &geometry, &study)
}

#[test]
fn every_page_shows_its_finding_and_its_cure() {
    for page in PAGES {
        let before = found(page.before);
        assert!(
            before.iter().any(|f| f.slug == page.slug),
            "{} is missing before; there is {:?}",
            page.slug,
            before.iter().map(|f| (f.slug, &f.what)).collect::<Vec<_>>()
        );
        let after = found(page.after);
        let left: Vec<_> = after.iter().filter(|f| f.slug == page.slug).map(|f| &f.what).collect();
        assert!(left.is_empty(), "{} remains after: {left:?}", page.slug);
    }
}

#[test]
fn every_serious_finding_says_what_to_do() {
    for page in PAGES {
        for f in found(page.before) {
            assert!(f.severity > Severity::Fix || !f.remedies.is_empty(), "{}: {}", f.slug, f.what);
            assert!(!f.what.is_empty() && !f.why.is_empty() && !f.source.is_empty(), "{}", f.slug);
            assert!(f.values.values().chain(f.limits.values()).all(|v| v.is_finite()), "{f:?}");
        }
    }
}

#[test]
fn the_cure_brings_no_danger_of_its_own() {
    for page in PAGES {
        let before: BTreeSet<_> = found(page.before)
            .iter()
            .filter(|f| f.severity == Severity::Danger)
            .map(|f| f.slug)
            .collect();
        let after: BTreeSet<_> = found(page.after)
            .iter()
            .filter(|f| f.severity == Severity::Danger)
            .map(|f| f.slug)
            .collect();
        assert!(after.is_subset(&before), "{}: {after:?}", page.slug);
    }
}

#[test]
fn slugs_are_unique_and_pages_complete() {
    let slugs: BTreeSet<_> = PAGES.iter().map(|p| p.slug).collect();
    assert_eq!(slugs.len(), PAGES.len());
    for p in PAGES {
        assert!(
            p.physics.len() > 80 && !p.source.is_empty() && !p.limits.is_empty() && !p.title.is_empty()
        );
    }
}
