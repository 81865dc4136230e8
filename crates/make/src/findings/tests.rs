//! Every page's robots, held to what the page says of them.

use super::*;

/// The findings of a small robot.
pub(crate) fn of(text: &str) -> (Robot, Vec<Finding>) {
    let robot = loomdeck_model::testing::robot(text);
    let geometry = loomdeck_space::study(&robot);
    let making = crate::study(&robot, &geometry);
    let found = findings(&robot, &geometry, &making);
    (robot, found)
}

#[test]
fn every_page_is_shown_by_its_robots() {
    for page in PAGES {
        let (_, before) = of(page.before);
        let hit: Vec<&Finding> = before.iter().filter(|f| f.slug == page.slug).collect();
        assert!(!hit.is_empty(), "{}: not found before; found {before:#?}", page.slug);
        let worst = hit.iter().map(|f| f.severity).min();
        assert_eq!(worst, Some(page.severity), "{}", page.slug);
        let (_, after) = of(page.after);
        assert!(
            after.iter().all(|f| f.slug != page.slug),
            "{}: still found after: {after:#?}",
            page.slug
        );
    }
}

#[test]
fn every_finding_has_numbers_or_names_words_and_a_remedy() {
    for page in PAGES {
        for f in of(page.before).1.iter().filter(|f| f.slug == page.slug) {
            assert!(!f.remedies.is_empty(), "{}", f.slug);
            assert!(!f.values.is_empty(), "{}", f.slug);
            assert!(f.what.len() > 30 && f.why.len() > 30, "{}", f.slug);
            for words in [&f.what, &f.why] {
                assert!(!words.contains('!') && !words.contains("error"), "{words}");
            }
        }
    }
}

#[test]
fn slugs_are_unique_and_sorted() {
    let slugs: Vec<&str> = PAGES.iter().map(|p| p.slug).collect();
    assert!(slugs.windows(2).all(|w| w[0] < w[1]), "{slugs:?}");
}

#[test]
fn names_are_listed_shortly() {
    assert_eq!(some_of(&["a"]), "a");
    assert_eq!(some_of(&["a", "b", "c"]), "a, b and c");
    assert_eq!(some_of(&["a", "b", "c", "d"]), "a, b and 2 more");
}

#[test]
fn every_edit_removes_its_finding() {
    use loomdeck_model::{Folder, edit, read};
    let mut tried = 0;
    for page in PAGES {
        let folder = Folder::single(page.before);
        let (_, before) = of(page.before);
        for f in before.iter().filter(|f| f.slug == page.slug) {
            for remedy in f.remedies.iter().filter(|r| !r.edits.is_empty()) {
                let mended = edit::apply(&folder, &remedy.edits).expect(page.slug);
                let (robot, problems) = read(&mended);
                let robot = robot.unwrap_or_else(|| panic!("{}: {problems:?}", page.slug));
                let geometry = loomdeck_space::study(&robot);
                let making = crate::study(&robot, &geometry);
                let still = findings(&robot, &geometry, &making);
                let same = |g: &&Finding| g.slug == f.slug && g.subjects == f.subjects;
                assert!(still.iter().find(same).is_none(), "{}: {}", page.slug, remedy.text);
                tried += 1;
            }
        }
    }
    assert!(tried >= 8, "{tried}");
}
