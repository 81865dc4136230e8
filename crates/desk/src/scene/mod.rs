//! What a study shows, as the sections that pages are told.
//!
//! Pure: a study goes in, JSON comes out. No engineering result is worked out here; lengths are rounded to
//! a thousandth of a millimetre, so that what did not change reads the same.

mod board;
mod electricity;
mod findings;
mod making;
mod plugs;
mod rooms;
mod wiring;

pub use findings::{Known, keys, title};
pub use rooms::rooms;

use crate::talk::{Counts, DiagramOn, PlotOn, Pt, RobotOn, Unit};
use loomdeck_draw::{Theme, named_plots, power_diagram_svg};
use loomdeck_model::{LengthUnit, Outline, Point, Severity};
use loomdeck_study::Study;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The names of the sections, in the order in which they are told.
pub const SECTIONS: [&str; 14] = [
    "robot",
    "sheet",
    "parts",
    "plugs",
    "wires",
    "looms",
    "findings",
    "good_news",
    "situations",
    "zones",
    "off_board",
    "plots",
    "diagram",
    "make",
];

/// A section as JSON.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Section {
    /// Told as a whole.
    Whole(Arc<str>),
    /// Things with their names, told apart: of fifty parts a drag moves one.
    List(Vec<(String, Arc<str>)>),
}

impl Section {
    /// All of it.
    pub fn text(&self) -> Arc<str> {
        match self {
            Self::Whole(text) => Arc::clone(text),
            Self::List(items) => {
                let texts: Vec<&str> = items.iter().map(|(_, text)| &**text).collect();
                format!("[{}]", texts.join(",")).into()
            }
        }
    }
}

/// Everything on show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sections {
    /// In the order of [`SECTIONS`].
    pub all: [Section; SECTIONS.len()],
    /// The section `loads` of each situation that a page looks at.
    pub loads: BTreeMap<String, Arc<str>>,
}

/// What the sections take from beside the study.
#[derive(Clone, Debug, Default)]
pub struct Beside<'a> {
    /// Name of the robot's folder.
    pub folder: &'a str,
    /// What the last deep tier found, as long as this study has none.
    pub known: Known,
    /// What was drawn of the last deep tier.
    pub drawn: Drawn,
    /// The situations whose loads somebody looks at.
    pub looked_at: BTreeSet<String>,
}

/// The sections that follow with the deep tier, as JSON: a drag does not wait for them.
#[derive(Clone, Debug)]
pub struct Drawn {
    plots: Arc<str>,
    diagram: Arc<str>,
    make: Arc<str>,
}

impl Default for Drawn {
    fn default() -> Self {
        let none = DiagramOn { paper: String::new(), slate: String::new() };
        Self { plots: "[]".into(), diagram: json(&none), make: "null".into() }
    }
}

impl Drawn {
    /// Of a study that has its deep tier.
    pub fn of(deep: &Study) -> Self {
        let [paper, slate] = [Theme::Paper, Theme::Slate].map(|t| power_diagram_svg(deep, t));
        let each = named_plots(deep, Theme::Paper).into_iter();
        let plots: Vec<PlotOn> = each.map(|p| PlotOn { name: p.name, title: p.title }).collect();
        let diagram = json(&DiagramOn { paper, slate });
        Self { plots: json(&plots), diagram, make: json(&making::make(deep)) }
    }
}

/// The sections of a study.
pub fn sections(study: &Study, beside: &Beside<'_>) -> Sections {
    let robot = &study.robot;
    let unit = robot.book.unit;
    let all = beside.known.with(study);
    let count = |s: Severity| all.iter().filter(|(f, _)| f.severity == s).count();
    let counts = Counts {
        danger: count(Severity::Danger),
        fix: count(Severity::Fix),
        look: count(Severity::Look),
        note: count(Severity::Note),
    };
    let head = RobotOn {
        name: robot.name.clone(),
        folder: beside.folder.to_owned(),
        unit: match unit {
            LengthUnit::Mm => Unit::Mm,
            LengthUnit::Inch => Unit::Inch,
        },
        counts,
        cables: robot.cables.iter().map(|c| c.name.clone()).collect(),
        own_types: robot.types.iter().filter(|t| t.own).map(|t| t.name.clone()).collect(),
    };
    let whole = |text: Arc<str>| Section::Whole(text);
    let loads = |name: &String| Some((name.clone(), json(&electricity::loads(study, name)?)));
    Sections {
        all: [
            whole(json(&head)),
            whole(json(&board::sheet(study))),
            list(&board::parts(study), |p| &p.name),
            list(&plugs::plugs(study), |p| &p.name),
            list(&wiring::wires(study), |w| &w.name),
            list(&wiring::looms(study), |l| &l.name),
            list(&findings::findings(robot, &all), |f| &f.key),
            whole(json(&findings::good_news(study, &beside.known))),
            whole(json(&electricity::situations(robot))),
            whole(json(&board::zones(robot))),
            whole(json(&board::off_board(robot))),
            whole(Arc::clone(&beside.drawn.plots)),
            whole(Arc::clone(&beside.drawn.diagram)),
            whole(Arc::clone(&beside.drawn.make)),
        ],
        loads: beside.looked_at.iter().filter_map(loads).collect(),
    }
}

fn list<T: Serialize>(things: &[T], name: impl Fn(&T) -> &String) -> Section {
    Section::List(things.iter().map(|t| (name(t).clone(), json(t))).collect())
}

fn json<T: Serialize>(section: &T) -> Arc<str> {
    // These types hold nothing that JSON cannot: no maps with odd keys, no numbers that are none.
    serde_json::to_string(section).unwrap_or_else(|_| "null".to_owned()).into()
}

/// Rounded to a thousandth, and a number whatever happens.
fn milli(x: f64) -> f64 {
    if x.is_finite() { (x * 1000.0).round() / 1000.0 + 0.0 } else { 0.0 }
}

fn pt(p: Point) -> Pt {
    [milli(p.x), milli(p.y)]
}

fn pts(points: &[Point]) -> Vec<Pt> {
    points.iter().copied().map(pt).collect()
}

fn corners(outline: &Outline) -> Vec<Pt> {
    pts(&outline.0)
}

/// The word by which a value goes in JSON.
fn word<T: Serialize>(value: &T) -> String {
    let value = serde_json::to_value(value).unwrap_or_default();
    value.as_str().unwrap_or_default().to_owned()
}

#[cfg(test)]
mod tests;
