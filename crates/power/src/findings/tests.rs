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

/// What makes two findings the same one.
fn key(f: &Finding) -> (&'static str, Vec<loomdeck_model::Subject>, Option<String>) {
    (f.slug, f.subjects.clone(), f.situation.clone())
}

#[test]
fn every_change_of_the_files_does_what_it_says() {
    let mut wrong = Vec::new();
    let mut tried = 0;
    for page in PAGES {
        let before = found(page.before);
        let old: BTreeSet<_> = before.iter().map(key).collect();
        for f in before.iter().filter(|f| f.slug == page.slug) {
            for remedy in f.remedies.iter().filter(|r| !r.edits.is_empty()) {
                tried += 1;
                let folder = loomdeck_model::Folder::single(page.before);
                let text = match loomdeck_model::edit::apply(&folder, &remedy.edits) {
                    Ok(changed) => changed.files["robot.toml"].clone(),
                    Err(why) => {
                        wrong.push(format!("{}: {}: {why}", page.slug, remedy.text));
                        continue;
                    }
                };
                let after = found(&text);
                if after.iter().any(|a| key(a) == key(f)) {
                    wrong.push(format!("{}: {}: still there", page.slug, remedy.text));
                }
                let brings = after.iter().filter(|a| a.severity <= f.severity && !old.contains(&key(a)));
                wrong.extend(
                    brings.map(|a| format!("{}: {}: brings {}", page.slug, remedy.text, a.what)),
                );
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried >= 20, "{tried}");
}

/// Kinds that no change of the files cures: something must be built, moved or bought that the files
/// do not know yet.
const BY_HAND: [&str; 13] = [
    // A fuse of another body with its holder, or one nearer to the battery.
    "fuse-cannot-break-short-circuit",
    "fuse-far-from-battery",
    "fuse-voltage-too-low",
    "unfused-wire",
    // A bus bar or splice more, or wires led elsewhere.
    "terminal-overfull",
    "terminal-overloaded",
    "contact-overloaded",
    "dead-short",
    "part-unfed",
    // A part made for something else, or a circuit more.
    "switch-overloaded",
    "supply-destroys-part",
    "motor-overloaded",
    "motor-too-slow",
];

#[test]
fn serious_findings_can_be_cured_in_the_files_or_only_by_hand() {
    let without: Vec<&str> = PAGES
        .iter()
        .filter(|p| p.severity <= Severity::Fix && !BY_HAND.contains(&p.slug))
        .filter(|p| {
            let all = found(p.before);
            let own = all.iter().filter(|f| f.slug == p.slug);
            own.flat_map(|f| &f.remedies).all(|r| r.edits.is_empty())
        })
        .map(|p| p.slug)
        .collect();
    assert_eq!(without, Vec::<&str>::new());
}

#[test]
fn every_number_says_its_unit() {
    const UNITS: [&str; 9] = ["_a", "_v", "_c", "_mm", "_mm2", "_s", "_w", "_rpm", "_count"];
    for page in PAGES {
        for f in found(page.before) {
            let keys = f.values.keys().chain(f.limits.keys());
            for key in keys {
                assert!(
                    *key == "percent" || UNITS.iter().any(|u| key.ends_with(u)),
                    "{}: {key}",
                    f.slug
                );
            }
            assert!(f.severity > Severity::Fix || !f.values.is_empty(), "{} has no number", f.slug);
        }
    }
}

#[test]
fn changes_of_a_real_machine_do_what_they_say() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar-first-try");
    let folder = loomdeck_model::Folder::load(&path).unwrap();
    let findings_of = |folder: &loomdeck_model::Folder| {
        let (robot, problems) = loomdeck_model::read(folder);
        let robot = robot.unwrap_or_else(|| panic!("{problems:?}"));
        let geometry = loomdeck_space::study(&robot);
        let study = crate::study(&robot, &geometry);
        super::findings(&robot, &geometry, &study)
    };
    let before = findings_of(&folder);
    let mut left = Vec::new();
    for f in before.iter().filter(|f| f.severity <= Severity::Fix) {
        for remedy in f.remedies.iter().filter(|r| !r.edits.is_empty()) {
            let changed = loomdeck_model::edit::apply(&folder, &remedy.edits).unwrap();
            if findings_of(&changed).iter().any(|a| key(a) == key(f)) {
                left.push(format!("{}: {}", f.slug, remedy.text));
            }
        }
    }
    assert!(left.is_empty(), "{}", left.join("\n"));
}

#[test]
fn leads_through_plugs_count_and_line_signals_do_not() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar");
    let (robot, problems) = loomdeck_model::read(&loomdeck_model::Folder::load(&folder).unwrap());
    assert!(problems.is_empty());
    let robot = robot.unwrap();
    let names: Vec<_> = crate::unjudged::loudspeaker_leads(&robot)
        .iter()
        .map(|w| robot.wires[w.0].name.clone())
        .collect();
    // Two loudspeakers, two poles, a plug between: eight. Their line inputs state a level.
    assert_eq!(names.len(), 8, "{names:?}");
    assert!(names.iter().all(|n| n.contains("speaker")), "{names:?}");
    let news = crate::study(&robot, &measured(&robot)).good_news;
    let said = "wires for signals and loudspeakers are not computed: left-speaker-plus, ";
    assert!(news.iter().any(|n| n.contains(said)), "{news:?}");
}

#[test]
fn a_thinner_size_is_not_offered_where_the_fuse_would_burn_it() {
    let thick = |fuse: &str| {
        let page = PAGES.iter().find(|p| p.slug == "terminal-overloaded").unwrap();
        // The battery's small terminal takes 2.5 mm² at most; this wire is of 4 mm².
        let text = page.before.replace("blade-30a", fuse).replace(
            "name = \"heart\"\nfrom = \"battery.plus\"\nto = \"fuse.in\"\nsize_mm2 = 2.5",
            "name = \"heart\"\nfrom = \"battery.plus\"\nto = \"fuse.in\"\nsize_mm2 = 4",
        );
        let all = found(&text);
        let f = all
            .iter()
            .find(|f| f.slug.starts_with("wire-does-not-fit") && f.what.contains("heart"))
            .map(|f| f.remedies.iter().any(|r| !r.edits.is_empty()));
        f.unwrap()
    };
    assert!(!thick("blade-40a"));
    assert!(thick("blade-10a"));
}
