//! What happens when something goes wrong, in words, tables and plots: a chapter for each family of
//! faults. The book prints them and the command line does.

mod body;
mod crossed;
mod exchange;
mod motion;
mod pack;
mod short;
mod stop;
mod surge;
mod upset;
mod words;

use crate::book::Table;
use crate::palette::Theme;
use crate::plot::Lines;
use loomdeck_model::{PartId, Robot, SituationId};
use loomdeck_power::faults::Faults;
use loomdeck_study::Study;

/// One family of faults.
#[derive(Clone, Debug)]
pub struct Chapter {
    /// A word to ask for it.
    pub word: &'static str,
    /// Its title.
    pub title: &'static str,
    /// What was asked, and how it was worked out.
    pub intro: &'static str,
    /// What came out, as sentences; first of all what is well and why.
    pub says: Vec<String>,
    /// The figures.
    pub tables: Vec<Table>,
    /// The curves.
    pub plots: Vec<Lines>,
    /// Where the models end.
    pub limits: Vec<String>,
}

impl Chapter {
    /// An empty one.
    const fn new(word: &'static str, title: &'static str, intro: &'static str) -> Self {
        Self {
            word,
            title,
            intro,
            says: Vec::new(),
            tables: Vec::new(),
            plots: Vec::new(),
            limits: Vec::new(),
        }
    }

    /// Nothing came out.
    pub fn is_empty(&self) -> bool {
        self.says.is_empty() && self.tables.iter().all(|t| t.rows.is_empty()) && self.plots.is_empty()
    }
}

/// What the chapters are made from.
struct Matter<'a> {
    /// The robot.
    robot: &'a Robot,
    /// What happens when something goes wrong.
    faults: &'a Faults,
}

impl Matter<'_> {
    /// Name of a part.
    fn part(&self, id: PartId) -> String {
        self.robot.parts[id.0].name.clone()
    }

    /// Name of a situation.
    fn situation(&self, id: SituationId) -> String {
        self.robot.situations[id.0].name.clone()
    }
}

/// All chapters that have something to say; none while the study has no deep tier.
pub fn chapters(study: &Study) -> Vec<Chapter> {
    let Some(deep) = &study.deep else { return Vec::new() };
    let m = Matter { robot: &study.robot, faults: &deep.faults };
    let all = [
        short::chapter(&m),
        crossed::chapter(&m),
        exchange::chapter(&m),
        motion::chapter(&m),
        stop::chapter(&m),
        surge::chapter(&m),
        upset::chapter(&m),
        body::chapter(&m),
        pack::chapter(&m),
    ];
    all.into_iter().filter(|c| !c.is_empty()).collect()
}

/// The words that chapters are asked for by.
pub const WORDS: [&str; loomdeck_power::faults::WORDS.len()] = loomdeck_power::faults::WORDS;

/// The plots of a chapter, drawn.
pub fn plots(chapter: &Chapter, theme: Theme, size: (f64, f64)) -> Vec<(String, crate::plot::Plot)> {
    let each = chapter.plots.iter();
    each.filter_map(|l| Some((l.title.clone(), crate::plot::lines(l, theme, size)?))).collect()
}

/// Name of a fuse way: its part's, with the way's own where the part has several elements.
fn way(robot: &Robot, part: PartId, way: &str) -> String {
    let name = &robot.parts[part.0].name;
    if robot.type_of(part).elements.len() > 1 { format!("{name} {way}") } else { name.clone() }
}
