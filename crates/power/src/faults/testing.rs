//! What the tests of all rooms share: a room at work on the robot of a text, and what every page promises.

#![allow(clippy::unwrap_used)]

use super::Ground;
use crate::testing::measured;
use loomdeck_model::testing::robot;
use loomdeck_model::{Finding, Folder, Page, Robot, Severity};

/// A room: its pages, what it works out, what it tells of it.
pub(super) struct Room<T> {
    pub pages: &'static [Page],
    pub study: fn(&Ground<'_>) -> T,
    pub findings: fn(&Ground<'_>, &T) -> Vec<Finding>,
}

impl<T> Room<T> {
    /// Looks at what is found in the robot of a text.
    pub fn with<U>(&self, text: &str, look: impl FnOnce(&Ground<'_>, &T) -> U) -> U {
        self.look(&robot(text), |ground, found| look(ground, &found))
    }

    /// What is found in the robot of a text, and what is told of it.
    pub fn found(&self, text: &str) -> (T, Vec<Finding>) {
        self.found_in(&robot(text))
    }

    /// The same of a robot at hand.
    pub fn found_in(&self, robot: &Robot) -> (T, Vec<Finding>) {
        self.look(robot, |ground, found| {
            let told = (self.findings)(ground, &found);
            (found, told)
        })
    }

    fn look<U>(&self, robot: &Robot, look: impl FnOnce(&Ground<'_>, T) -> U) -> U {
        let geometry = measured(robot);
        let power = crate::study(robot, &geometry);
        let ground = Ground::of(robot, &geometry, &power);
        let found = (self.study)(&ground);
        look(&ground, found)
    }

    /// The page of a slug.
    pub fn page(&self, slug: &str) -> &'static Page {
        self.pages.iter().find(|p| p.slug == slug).unwrap()
    }

    /// All that is told of the first robots of the pages.
    pub fn told_before(&self) -> impl Iterator<Item = Finding> {
        self.pages.iter().flat_map(|page| self.found(page.before).1)
    }

    /// Every page's first robot shows its finding and the second does not; what is serious has a remedy,
    /// and all numbers are finite.
    pub fn keeps_its_pages(&self) {
        let mut wrong = Vec::new();
        for page in self.pages {
            let before = self.found(page.before).1;
            if before.iter().all(|f| f.slug != page.slug) {
                wrong.push(format!("{} is missing: {before:?}", page.slug));
            }
            for f in self.found(page.after).1.iter().filter(|f| f.slug == page.slug) {
                wrong.push(format!("{} remains: {}", page.slug, f.what));
            }
            for f in &before {
                if f.severity <= Severity::Fix && f.remedies.is_empty() {
                    wrong.push(format!("{} has no remedy: {}", f.slug, f.what));
                }
                if !f.values.values().chain(f.limits.values()).all(|v| v.is_finite()) {
                    wrong.push(format!("{} is not finite: {f:?}", f.slug));
                }
            }
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }

    /// Every remedy of a page that changes the files takes its finding away. Returns the slug of each that
    /// was tried; `same` tells whether a finding after the change is the one before it.
    pub fn edits_cure(&self, same: impl Fn(&Finding, &Finding) -> bool) -> Vec<&'static str> {
        let (mut tried, mut wrong) = (Vec::new(), Vec::new());
        for page in self.pages {
            let own = self.found(page.before).1.into_iter().filter(|f| f.slug == page.slug);
            for f in own {
                for remedy in f.remedies.iter().filter(|r| !r.edits.is_empty()) {
                    tried.push(page.slug);
                    let folder = Folder::single(page.before);
                    let changed = loomdeck_model::edit::apply(&folder, &remedy.edits).unwrap();
                    let after = self.found(&changed.files["robot.toml"]).1;
                    if let Some(left) = after.iter().find(|a| a.slug == f.slug && same(&f, a)) {
                        wrong.push(format!("{}: {}: {}", page.slug, remedy.text, left.what));
                    }
                }
            }
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
        tried
    }
}
