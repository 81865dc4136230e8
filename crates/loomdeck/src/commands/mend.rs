//! `mend`: remedies that were tried and work.

use crate::cli::{RobotArg, UnitArg};
use crate::out::{self, Out};
use crate::{End, Trouble, json, report};
use loomdeck_model::{Folder, Severity, edit, read};
use loomdeck_study::{Outcome, Study, Trial, key, trials};

/// List remedies, each tried on a copy of the files and shown to remove its finding without bringing
/// one as severe; apply the ones you choose. Comments, order and formatting of the files are kept.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck mend demos/samovar-first-try\n  \
    loomdeck mend my-robot --apply 2 --apply 5\n  loomdeck mend my-robot --all\n\n\
    Exit status 1 when findings of `fix` or worse are left.")]
pub struct Args {
    #[command(flatten)]
    robot: RobotArg,
    #[command(flatten)]
    unit: UnitArg,
    /// Write the remedy of this number into the files; may be given several times.
    #[arg(long, value_name = "NUMBER", conflicts_with = "all")]
    apply: Vec<usize>,
    /// Write the best working remedy of every finding of `fix` or worse into the files, one after
    /// the other, each tried again on what the ones before left.
    #[arg(long)]
    all: bool,
    /// Print remedies that do not work as well, with the reason.
    #[arg(long)]
    failed: bool,
    /// Print JSON (its schema: `loomdeck schema mend`).
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let (folder, study) = super::study(&args.robot.robot)?;
    if args.all {
        return all(args, out, &folder, study);
    }
    let tried = try_all(&folder, &study);
    let working: Vec<&Trial> =
        tried.iter().filter(|t| matches!(t.outcome, Outcome::Works { .. })).collect();
    if let Some(n) = args.apply.iter().find(|n| **n == 0 || **n > working.len()) {
        return Err(Trouble::Told(format!(
            "There is no remedy number {n}; there are {}. `loomdeck mend {}` lists them.",
            working.len(),
            args.robot.robot.display()
        )));
    }
    let mut changed = folder.clone();
    for n in &args.apply {
        let t = working[*n - 1];
        let remedy = &study.findings[t.finding].remedies[t.remedy];
        changed = edit::apply(&changed, &remedy.edits).map_err(|e| Trouble::Told(e.to_string()))?;
    }
    let after = if args.apply.is_empty() { study.clone() } else { reread(&changed)? };
    save(args, &folder, &changed)?;
    if args.json {
        print_json(args, out, &study, &tried)?;
    } else if args.apply.is_empty() {
        list(args, out, &study, &tried)?;
    } else {
        out.line(&format!(
            "{} of the remedies written. Before: {}",
            args.apply.len(),
            report::summary(&study)
        ));
        out.line(&format!("Now: {}", report::summary(&after)));
    }
    Ok(end(&after))
}

fn end(study: &Study) -> End {
    if study.worst().is_some_and(|w| w <= Severity::Fix) { End::Findings } else { End::Clean }
}

fn try_all(folder: &Folder, study: &Study) -> Vec<Trial> {
    let bar = out::counting("trying remedies");
    let tried = trials(folder, study, |done, total| {
        bar.set_length(total as u64);
        bar.set_position(done as u64);
    });
    bar.finish_and_clear();
    tried
}

fn reread(folder: &Folder) -> Result<Study, Trouble> {
    match read(folder) {
        (Some(robot), _) => Ok(Study::of(robot)),
        (None, problems) => Err(Trouble::Files(folder.clone(), problems)),
    }
}

fn save(args: &Args, old: &Folder, new: &Folder) -> Result<(), Trouble> {
    let path = &args.robot.robot;
    if path.is_file() {
        if old != new {
            super::write(path, new.files.get("robot.toml").map(String::as_bytes).unwrap_or_default())?;
        }
        return Ok(());
    }
    loomdeck_model::read::journal::save(path, old, new)?;
    Ok(())
}

/// Writes the best working remedy of each finding of `fix` or worse, worst first, until none is left
/// that works.
fn all(args: &Args, out: &mut Out, folder: &Folder, study: Study) -> Result<End, Trouble> {
    let (mut files, mut now) = (folder.clone(), study);
    let before = report::summary(&now);
    let mut done: Vec<(String, String)> = Vec::new();
    let mut given_up = std::collections::BTreeSet::new();
    let bar = out::busy("trying remedies");
    while let Some(i) =
        now.findings.iter().position(|f| f.severity <= Severity::Fix && !given_up.contains(&key(f)))
    {
        let target = key(&now.findings[i]);
        match loomdeck_study::trial::first_working(&files, &now, i) {
            Some((remedy, changed, after)) => {
                done.push((target.0.to_owned(), now.findings[i].remedies[remedy].text.clone()));
                files = changed;
                now = after;
            }
            None => {
                given_up.insert(target);
            }
        }
    }
    bar.finish_and_clear();
    save(args, folder, &files)?;
    let unit = args.unit.or_of(&now.robot);
    if args.json {
        let remedies = done.iter().enumerate().map(|(i, (slug, text))| json::TriedJson {
            number: Some(i + 1),
            slug: slug.clone(),
            subject: String::new(),
            text: report::in_unit(text, unit),
            works: true,
            outcome: "written".to_owned(),
        });
        let applied = (1..=done.len()).collect();
        out.json(&json::Mended { remedies: remedies.collect(), applied })?;
        return Ok(end(&now));
    }
    for (slug, text) in &done {
        out.line(&out::strong(slug));
        out.hanging("   → ", 5, &report::in_unit(text, unit));
    }
    out.line("");
    out.line(&format!("{} remedies written. Before: {before}", done.len()));
    out.line(&format!("Now: {}", report::summary(&now)));
    if !given_up.is_empty() {
        let left: Vec<String> = given_up.iter().map(|k| k.0.to_owned()).collect();
        out.paragraph(
            0,
            &format!("No remedy that can be written into the files mends these: {}.", left.join(", ")),
        );
    }
    Ok(end(&now))
}

fn told(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Works { also_gone: 0 } => "tried: works".to_owned(),
        Outcome::Works { also_gone: 1 } => "tried: works, and mends one more".to_owned(),
        Outcome::Works { also_gone } => format!("tried: works, and mends {also_gone} more"),
        Outcome::StillThere => "tried: the finding stays".to_owned(),
        Outcome::Brings(new) => format!("tried: brings {}", new.join(", ")),
        Outcome::CannotApply(why) => format!("cannot be written: {why}"),
    }
}

fn list(args: &Args, out: &mut Out, study: &Study, tried: &[Trial]) -> Result<(), Trouble> {
    let unit = args.unit.or_of(&study.robot);
    out.line(&format!("{}: {}", study.robot.name, report::summary(study)));
    let mut number = 0;
    let mut last = None;
    for t in tried {
        let works = matches!(t.outcome, Outcome::Works { .. });
        if !works && !args.failed {
            continue;
        }
        let f = &study.findings[t.finding];
        if last != Some(t.finding) {
            let subject = f.subjects.first().map_or("", |s| s.name());
            out.line(&format!("\n{}  {}  {subject}", out::severity(f.severity), out::strong(f.slug)));
            last = Some(t.finding);
        }
        number += usize::from(works);
        let first = if works { format!("{number:>4}  ") } else { "   –  ".to_owned() };
        let text = report::in_unit(&f.remedies[t.remedy].text, unit);
        out.hanging(&first, 6, &format!("{text} ({})", told(&t.outcome)));
    }
    out.line("");
    if number == 0 {
        out.paragraph(0, "There is no remedy that can be written into the files.");
    } else {
        let text = format!(
            "`loomdeck mend {} --apply NUMBER` writes one into the files.",
            args.robot.robot.display()
        );
        out.paragraph(0, &text);
    }
    let by_hand = (0..study.findings.len())
        .filter(|i| study.findings[*i].severity <= Severity::Fix)
        .filter(|i| !tried.iter().any(|t| t.finding == *i && matches!(t.outcome, Outcome::Works { .. })))
        .count();
    if by_hand > 0 {
        out.paragraph(
            0,
            &format!("{by_hand} of the findings want your own hand; `loomdeck check` says what to do."),
        );
    }
    Ok(())
}

fn print_json(args: &Args, out: &mut Out, study: &Study, tried: &[Trial]) -> Result<(), Trouble> {
    let unit = args.unit.or_of(&study.robot);
    let mut number = 0;
    let mut remedies = Vec::new();
    for t in tried {
        let works = matches!(t.outcome, Outcome::Works { .. });
        number += usize::from(works);
        let f = &study.findings[t.finding];
        remedies.push(json::TriedJson {
            number: works.then_some(number),
            slug: f.slug.to_owned(),
            subject: f.subjects.first().map_or(String::new(), |s| s.name().to_owned()),
            text: report::in_unit(&f.remedies[t.remedy].text, unit),
            works,
            outcome: told(&t.outcome),
        });
    }
    out.json(&json::Mended { remedies, applied: args.apply.clone() })?;
    Ok(())
}
