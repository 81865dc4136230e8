//! What a first try gets wrong about faults is mended by its own remedies, one after the other.

#![allow(clippy::unwrap_used, reason = "tests stop where they fail")]

use loomdeck_model::{Finding, Folder, Severity};
use loomdeck_study::trial::first_working;
use loomdeck_study::{Study, key};
use std::collections::BTreeSet;
use std::path::Path;

fn of_a_fault(f: &Finding) -> bool {
    loomdeck_power::FAULT_PAGES.iter().flat_map(|room| room.iter()).any(|page| page.slug == f.slug)
}

#[test]
fn ten_mistakes_about_faults_are_mended_and_stay_so() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar-first-try");
    let mut files = Folder::load(&demo).unwrap();
    let mut now = Study::of_folder(&files).unwrap();
    let (mut mended, mut left) = (Vec::new(), BTreeSet::new());
    while let Some(at) = now.findings.iter().position(|f| of_a_fault(f) && !left.contains(&key(f))) {
        let target = now.findings[at].clone();
        // One that stays is less severe now; it is not tried again.
        left.insert(key(&target));
        if let Some((_, changed, after)) = first_working(&files, &now, at) {
            mended.push(target);
            (files, now) = (changed, after);
        }
    }
    // Read anew, as the builder's next look does: none is as severe as it was.
    let after = Study::of_folder(&files).unwrap();
    let returned: Vec<_> = mended
        .iter()
        .filter(|m| after.findings.iter().any(|f| key(f) == key(m) && f.severity <= m.severity))
        .map(key)
        .collect();
    assert!(returned.is_empty(), "{returned:?}");
    let slugs: BTreeSet<&str> = mended.iter().map(|f| f.slug).collect();
    assert!(mended.len() >= 10 && slugs.len() >= 6, "{slugs:?}");
    let worst = |f: &&Finding| f.severity == Severity::Danger;
    assert!(mended.iter().filter(worst).count() >= 6, "{slugs:?}");
}
