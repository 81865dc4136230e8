//! The results of one robot, in tiers.

use loomdeck_make::{Making, Step};
use loomdeck_model::{Finding, Folder, Problem, Robot, Severity, read};
use loomdeck_power::PowerStudy;
use loomdeck_power::faults::Faults;
use loomdeck_space::bend::{Facing, facing};
use loomdeck_space::order::Order;
use loomdeck_space::{Geometry, Kept};
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
    /// What takes longer; `None` while only the live tier is there.
    pub deep: Option<Deep>,
    /// What the builder must know, worst first: of the live tier, and of the deep one when it is there.
    pub findings: Vec<Finding>,
    /// What makes the study after the next edit sooner.
    #[serde(skip)]
    pub(crate) kept: Kept,
}

/// The deep tier: what follows when the hand rests.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Deep {
    /// In which order the board goes together and comes apart.
    pub order: Order,
    /// The order of work, step by step.
    pub steps: Vec<Step>,
    /// Parts whose wires leave towards another part, and how close the two may stand.
    pub facing: Vec<Facing>,
    /// What happens when something goes wrong.
    pub faults: Faults,
}

impl Study {
    /// Studies a robot from scratch, in both tiers.
    pub fn of(robot: Robot) -> Self {
        Self::live(robot).deepened()
    }

    /// The live tier alone: what has to follow every edit.
    pub fn live(robot: Robot) -> Self {
        let (found, drilled) = Self::placed(&robot, None);
        Self::gathered(robot, found, drilled, None)
    }

    /// Adds the deep tier, when it is not there yet.
    #[must_use]
    pub fn deepened(mut self) -> Self {
        if self.deep.is_some() {
            return self;
        }
        let order = loomdeck_space::order::study(&self.robot, &self.geometry);
        let steps = loomdeck_make::steps(&self.robot, &self.geometry, &order, &self.making);
        let facing = facing(&self.geometry.faces, &self.geometry.bends);
        let faults = loomdeck_power::faults::study(&self.robot, &self.geometry, &self.power);
        self.findings.extend(loomdeck_space::order::findings(&self.robot, &self.geometry, &order));
        self.findings.extend(loomdeck_power::faults::findings(
            &self.robot,
            &self.geometry,
            &self.power,
            &faults,
        ));
        put_in_order(&mut self.findings);
        self.deep = Some(Deep { order, steps, facing, faults });
        self
    }

    /// Reads and studies a folder, in both tiers.
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

    /// What is well, with its margin.
    pub fn good_news(&self) -> Vec<String> {
        let order = self.deep.iter().flat_map(|d| &d.order.good_news);
        self.power.good_news.iter().chain(order).cloned().collect()
    }

    /// The worst severity found.
    pub fn worst(&self) -> Option<Severity> {
        self.findings.iter().map(|f| f.severity).min()
    }
}

/// Worst first, nothing twice.
pub(crate) fn put_in_order(findings: &mut Vec<Finding>) {
    Finding::sort(findings);
    findings.dedup();
}
