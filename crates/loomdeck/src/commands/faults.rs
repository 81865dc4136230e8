//! `faults`: what happens when something goes wrong.

use crate::cli::RobotArg;
use crate::out::{self, Out};
use crate::table::Columns;
use crate::{End, Trouble, json};
use loomdeck_draw::book::Table;
use loomdeck_draw::faults::{Chapter, chapters};
use loomdeck_model::{Finding, Robot, Severity};
use loomdeck_study::Study;
use schemars::JsonSchema;
use serde::Serialize;

/// Tell what happens when something goes wrong: shorts, surges, wrong plugs.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck faults demos/samovar\n  \
    loomdeck faults demos/samovar --only motion\n  loomdeck faults my-robot --json\n\n\
    Exit status 1 when a fault is a finding of `fix` or worse.")]
pub struct Args {
    #[command(flatten)]
    robot: RobotArg,
    /// Only this family of faults.
    #[arg(long, value_name = "FAMILY", value_parser = loomdeck_draw::faults::WORDS)]
    only: Option<String>,
    /// Print every row of every table, not only the first dozen.
    #[arg(long)]
    all: bool,
    /// Print JSON (its schema: `loomdeck schema faults`).
    #[arg(long)]
    json: bool,
}

/// Rows of a table that are printed unless all are asked for: the worst come first.
const ROWS: usize = 12;

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let (_, study) = super::study(&args.robot.robot)?;
    let found = about_faults(&study, args.only.as_deref());
    let wanted = chapters(&study)
        .into_iter()
        .filter(|c| args.only.as_deref().is_none_or(|w| c.word == w))
        .collect::<Vec<_>>();
    if args.json {
        out.json(&told(&study, &wanted, &found))?;
    } else {
        if wanted.is_empty() {
            out.paragraph(0, "Nothing can go wrong yet: there is nothing that carries current.");
        }
        let most = if args.all { usize::MAX } else { ROWS };
        wanted.iter().for_each(|c| chapter(out, c, most));
        last_words(out, &found);
    }
    let bad = found.iter().any(|f| f.severity <= Severity::Fix);
    Ok(if bad { End::Findings } else { End::Clean })
}

/// The findings that come from faults.
fn about_faults<'s>(study: &'s Study, only: Option<&str>) -> Vec<&'s Finding> {
    let rooms = loomdeck_power::FAULT_PAGES.iter().zip(loomdeck_power::faults::WORDS);
    let rooms = rooms.filter(|(_, word)| only.is_none_or(|w| w == *word));
    let slugs: Vec<&str> = rooms.flat_map(|(pages, _)| pages.iter().map(|p| p.slug)).collect();
    study.findings.iter().filter(|f| slugs.contains(&f.slug)).collect()
}

fn chapter(out: &mut Out, c: &Chapter, most: usize) {
    out.line(&out::strong(c.title));
    out.paragraph(2, c.intro);
    c.says.iter().for_each(|s| out.hanging("  - ", 4, s));
    for t in c.tables.iter().filter(|t| !t.rows.is_empty()) {
        out.line("");
        out.paragraph(2, &format!("{}:", t.title));
        if !t.note.is_empty() {
            out.paragraph(2, &t.note);
        }
        columns(out, t, most);
    }
    if !c.limits.is_empty() {
        out.line("");
        out.hanging("  ", 2, &format!("What these figures leave out: {}", c.limits.join(" ")));
    }
    out.line("");
}

/// A table as columns, as wide as it needs to be.
fn columns(out: &mut Out, t: &Table, most: usize) {
    let heads: Vec<String> = t.columns.iter().map(|c| c.head.clone()).collect();
    let left: Vec<usize> = (0..t.columns.len()).filter(|i| !t.columns[*i].right).collect();
    let mut rows = Columns::new(&heads.iter().map(String::as_str).collect::<Vec<_>>(), &left);
    t.rows.iter().take(most).for_each(|r| rows.row(r.clone()));
    rows.lines().iter().for_each(|l| out.line(&format!("  {l}")));
    let more = t.rows.len().saturating_sub(most);
    if more > 0 {
        out.line(&out::quiet(&format!("  and {more} more rows (--all)")));
    }
}

fn last_words(out: &mut Out, found: &[&Finding]) {
    let count = |s: Severity| found.iter().filter(|f| f.severity == s).count();
    let each = [Severity::Danger, Severity::Fix, Severity::Look, Severity::Note].map(|s| (count(s), s));
    let words: Vec<String> =
        each.iter().filter(|(n, _)| *n > 0).map(|(n, s)| format!("{n} {}", s.word())).collect();
    if words.is_empty() {
        out.paragraph(0, "None of it needs mending.");
    } else {
        let text = format!(
            "Of this, `loomdeck check` lists with what to do: {}. `loomdeck explain` tells the physics.",
            words.join(", ")
        );
        out.paragraph(0, &text);
    }
}

/// What `faults --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FaultsJson {
    /// The families, as `faults` prints them.
    pub families: Vec<FamilyJson>,
    /// The findings among them, worst first.
    pub findings: Vec<json::FindingJson>,
    /// Every figure that was worked out, by family; keys carry their unit.
    pub figures: serde_json::Value,
}

/// One family of faults.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FamilyJson {
    /// The word to ask for it.
    pub word: String,
    /// Its title.
    pub title: String,
    /// What came out.
    pub says: Vec<String>,
    /// Where the models end.
    pub leaves_out: Vec<String>,
}

fn told(study: &Study, wanted: &[Chapter], found: &[&Finding]) -> FaultsJson {
    let robot: &Robot = &study.robot;
    let figures = study.deep.as_ref().and_then(|d| serde_json::to_value(&d.faults).ok());
    let mut figures = figures.unwrap_or_default();
    if let Some(object) = figures.as_object_mut() {
        object.retain(|word, _| wanted.iter().any(|c| c.word == word));
    }
    FaultsJson {
        families: wanted
            .iter()
            .map(|c| FamilyJson {
                word: c.word.to_owned(),
                title: c.title.to_owned(),
                says: c.says.clone(),
                leaves_out: c.limits.clone(),
            })
            .collect(),
        findings: found.iter().map(|f| json::finding(f, robot, robot.book.unit)).collect(),
        figures,
    }
}
