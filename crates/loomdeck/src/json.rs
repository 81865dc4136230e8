//! The JSON that commands print. Published: keys may be added, never renamed or removed.

use loomdeck_model::{Finding, LengthUnit, Robot, Subject};
use loomdeck_power::{PowerStudy, SituationResult};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// What `check --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Checked {
    /// Findings, worst first.
    pub findings: Vec<FindingJson>,
    /// What is well, with its margin.
    pub good_news: Vec<String>,
}

/// One finding.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FindingJson {
    /// Readable name of the kind of finding.
    pub slug: String,
    /// `danger`, `fix`, `look` or `note`.
    pub severity: String,
    /// What it is about, the main one first.
    pub subjects: Vec<SubjectJson>,
    /// What happens and how much, then why.
    pub because: String,
    /// Numbers, unit in the key.
    pub values: BTreeMap<String, f64>,
    /// Limits they are held against.
    pub limit: BTreeMap<String, f64>,
    /// What to do, best first.
    pub remedies: Vec<RemedyJson>,
    /// Standard, handbook or rule behind it.
    pub source: String,
    /// Situation it shows in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<String>,
}

/// A named thing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SubjectJson {
    /// `part`, `wire`, `plug` …
    pub kind: String,
    /// Its name in the files.
    pub name: String,
    /// File it stands in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Line, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
}

/// A remedy.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RemedyJson {
    /// What to do.
    pub text: String,
    /// `mend` can write it into the files.
    pub can_be_applied: bool,
}

fn subject(s: &Subject, robot: &Robot) -> SubjectJson {
    let value = serde_json::to_value(s).unwrap_or_default();
    let kind = value.get("kind").and_then(|k| k.as_str()).unwrap_or_default().to_owned();
    let place = robot.places.get(s);
    SubjectJson {
        kind,
        name: s.name().to_owned(),
        file: place.map(|p| p.file.clone()),
        line: place.map(|p| p.line),
    }
}

/// A finding as JSON.
pub fn finding(f: &Finding, robot: &Robot, unit: LengthUnit) -> FindingJson {
    let words = |t: &str| crate::report::in_unit(t, unit);
    let numbers =
        |m: &BTreeMap<&'static str, f64>| m.iter().map(|(k, v)| ((*k).to_owned(), *v)).collect();
    FindingJson {
        slug: f.slug.to_owned(),
        severity: f.severity.word().to_owned(),
        subjects: f.subjects.iter().map(|s| subject(s, robot)).collect(),
        because: words(format!("{} {}", f.what, f.why).trim()),
        values: numbers(&f.values),
        limit: numbers(&f.limits),
        remedies: f
            .remedies
            .iter()
            .map(|r| RemedyJson { text: words(&r.text), can_be_applied: !r.edits.is_empty() })
            .collect(),
        source: f.source.to_owned(),
        situation: f.situation.clone(),
    }
}

/// What `situations --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Situations {
    /// One per situation, in the order of the files.
    pub situations: Vec<SituationJson>,
}

/// One situation.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SituationJson {
    /// Its name.
    pub name: String,
    /// The solution was found at full load.
    pub solved: bool,
    /// Share of the load up to which it was found.
    pub load_fraction: f64,
    /// Wires that something feeds.
    pub wires: Vec<WireJson>,
    /// Terminals that something feeds.
    pub terminals: Vec<TerminalJson>,
    /// All parts.
    pub parts: Vec<PartJson>,
    /// Terminals that nothing feeds.
    pub unfed: Vec<String>,
}

/// A wire in a situation.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WireJson {
    /// Its name.
    pub name: String,
    /// Mean current, positive from `from` to `to`.
    pub current_a: f64,
    /// Root of the mean square.
    pub rms_a: f64,
    /// Mean voltage along it.
    pub drop_v: f64,
    /// Conductor temperature; absent outside the model's validity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature_c: Option<f64>,
}

/// A terminal in a situation.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TerminalJson {
    /// `part.terminal` or `plug.half.contact`.
    pub name: String,
    /// Against the negative pole of the battery that feeds it.
    pub voltage_v: f64,
}

/// A part in a situation.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PartJson {
    /// Its name.
    pub name: String,
    /// Electrical power it takes; negative when it gives.
    pub power_w: f64,
    /// Power it turns into heat.
    pub heat_w: f64,
}

/// All situations as JSON.
pub fn situations(robot: &Robot, power: &PowerStudy) -> Situations {
    Situations { situations: power.situations.iter().map(|s| situation(robot, s)).collect() }
}

fn situation(robot: &Robot, s: &SituationResult) -> SituationJson {
    let (solved, load_fraction) = match &s.outcome {
        loomdeck_power::Outcome::Solved => (true, 1.0),
        loomdeck_power::Outcome::Ends { fraction, .. } => (false, *fraction),
        _ => (false, 0.0),
    };
    let fed_wires = s.wires.iter().filter(|w| w.fed);
    SituationJson {
        name: robot.situations[s.situation.0].name.clone(),
        solved,
        load_fraction,
        wires: fed_wires
            .map(|w| WireJson {
                name: robot.wires[w.wire.0].name.clone(),
                current_a: w.current.0,
                rms_a: w.rms.0,
                drop_v: w.drop.0,
                temperature_c: w.temperature.map(|t| t.0),
            })
            .collect(),
        terminals: s
            .terminals
            .iter()
            .filter_map(|t| Some(TerminalJson { name: t.name.clone(), voltage_v: t.voltage?.0 }))
            .collect(),
        parts: s
            .parts
            .iter()
            .map(|p| PartJson {
                name: robot.parts[p.part.0].name.clone(),
                power_w: p.power.0,
                heat_w: p.heat.0,
            })
            .collect(),
        unfed: s.terminals.iter().filter(|t| t.voltage.is_none()).map(|t| t.name.clone()).collect(),
    }
}

/// What `parts --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Parts {
    /// Types found.
    pub types: Vec<PartTypeJson>,
}

/// A part type in short.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PartTypeJson {
    /// Name for the files.
    pub name: String,
    /// What it is.
    pub title: String,
    /// Shelf it stands on.
    pub group: String,
    /// What it is for.
    pub about: String,
    /// Where its numbers come from.
    pub basis: String,
    /// Electrical models in it.
    pub elements: Vec<String>,
    /// Terminals.
    pub terminals: Vec<String>,
    /// Width of its footprint.
    pub width_mm: f64,
    /// Height of its footprint.
    pub depth_mm: f64,
    /// How far it stands off.
    pub height_mm: f64,
    /// Mass.
    pub mass_kg: f64,
}

/// What `mend --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Mended {
    /// Remedies tried, in the order of the findings.
    pub remedies: Vec<TriedJson>,
    /// Numbers of those written into the files.
    pub applied: Vec<usize>,
}

/// A remedy that was tried.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TriedJson {
    /// Number for `--apply`; absent for remedies that do not work.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<usize>,
    /// Slug of its finding.
    pub slug: String,
    /// What the finding is about.
    pub subject: String,
    /// What to do.
    pub text: String,
    /// It removes its finding and brings nothing as severe.
    pub works: bool,
    /// What came of it, in words.
    pub outcome: String,
}

/// What `make --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Made {
    /// Files written, relative to the folder.
    pub files: Vec<String>,
}
