//! Every result computed from one robot, and the trial of remedies on a copy.
//!
//! [`Study::of`] runs space, power and making over a robot and gathers their findings; all output is
//! drawn from a study and nothing else. [`trial`] applies remedies to a copy of the files, studies
//! the copy, and tells which of them really remove their finding.

pub mod testing;
pub mod trial;

pub use trial::{Key, Outcome, Trial, key, trials};

use loomdeck_make::Making;
use loomdeck_model::{Finding, Folder, Page, Problem, Robot, Severity, read};
use loomdeck_power::PowerStudy;
use loomdeck_space::Geometry;
use serde::Serialize;

/// Every result computed from one robot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Study {
    /// The robot.
    pub robot: Robot,
    /// Where its wires run.
    pub geometry: Geometry,
    /// What the electricity does.
    pub power: PowerStudy,
    /// How it is made.
    pub making: Making,
    /// What the builder must know, worst first.
    pub findings: Vec<Finding>,
}

impl Study {
    /// Studies a robot from scratch.
    pub fn of(robot: Robot) -> Self {
        let geometry = loomdeck_space::study(&robot);
        let power = loomdeck_power::study(&robot, &geometry);
        let making = loomdeck_make::study(&robot, &geometry);
        let mut findings = loomdeck_space::findings(&robot, &geometry);
        findings.extend(loomdeck_power::findings(&robot, &geometry, &power));
        findings.extend(loomdeck_make::findings(&robot, &geometry, &making));
        Finding::sort(&mut findings);
        findings.dedup();
        Self { robot, geometry, power, making, findings }
    }

    /// Reads and studies a folder.
    ///
    /// # Errors
    /// Every problem of its files.
    pub fn of_folder(folder: &Folder) -> Result<Self, Vec<Problem>> {
        match read(folder) {
            (Some(robot), _) => Ok(Self::of(robot)),
            (None, problems) => Err(problems),
        }
    }

    /// How many findings there are of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }

    /// The worst severity found.
    pub fn worst(&self) -> Option<Severity> {
        self.findings.iter().map(|f| f.severity).min()
    }
}

/// The explanations of all findings, by slug.
pub fn pages() -> Vec<&'static Page> {
    let rooms = loomdeck_space::PAGES.iter().copied();
    let all = rooms.chain([loomdeck_power::PAGES, loomdeck_make::PAGES]);
    let mut pages: Vec<&'static Page> = all.flatten().collect();
    pages.sort_by_key(|p| p.slug);
    pages
}
