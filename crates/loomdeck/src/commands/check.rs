//! `check`: read a robot and say what the builder must know.

use crate::cli::{RobotArg, UnitArg};
use crate::out::Out;
use crate::{End, Trouble, json, report};
use loomdeck_model::Severity;

/// Read a robot and say what the builder must know: dangers first, each with its number, its limit,
/// its reason and what to do.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  loomdeck check demos/samovar\n  loomdeck check my-robot --worst fix\n  \
    loomdeck check my-robot --json | jq '.findings[].slug'\n\n\
    Exit status 1 when there are findings of `fix` or worse."
)]
pub struct Args {
    #[command(flatten)]
    robot: RobotArg,
    #[command(flatten)]
    unit: UnitArg,
    /// Print findings of this severity or worse only.
    #[arg(long, value_name = "SEVERITY", default_value = "note")]
    worst: Worst,
    /// Print JSON (its schema: `loomdeck schema check`).
    #[arg(long)]
    json: bool,
}

/// Severities as they are typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Worst {
    /// Fire, injury, destroyed part.
    Danger,
    /// Will not work or cannot be built.
    Fix,
    /// Works, but a careful builder would change it.
    Look,
    /// Worth knowing.
    Note,
}

impl From<Worst> for Severity {
    fn from(w: Worst) -> Self {
        match w {
            Worst::Danger => Self::Danger,
            Worst::Fix => Self::Fix,
            Worst::Look => Self::Look,
            Worst::Note => Self::Note,
        }
    }
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let (_, study) = super::study(&args.robot.robot)?;
    let unit = args.unit.or_of(&study.robot);
    let worst = Severity::from(args.worst);
    let shown = || study.findings.iter().enumerate().filter(|(_, f)| f.severity <= worst);
    if args.json {
        out.json(&json::Checked {
            findings: shown().map(|(_, f)| json::finding(f, &study.robot, unit)).collect(),
            good_news: study.good_news().iter().map(|t| report::in_unit(t, unit)).collect(),
        })?;
    } else {
        out.line(&format!("{}: {}", study.robot.name, report::summary(&study)));
        out.line("");
        for (i, f) in shown() {
            report::finding(out, &study.robot, i + 1, f, unit);
        }
        for news in &study.good_news() {
            out.hanging("  ✓ ", 4, &report::in_unit(news, unit));
        }
        if study.worst().is_some_and(|w| w <= Severity::Fix) {
            out.line("");
            let next = format!(
                "`loomdeck explain SLUG` tells the physics; `loomdeck mend {}` tries the remedies.",
                args.robot.robot.display()
            );
            out.paragraph(0, &next);
        }
    }
    let bad = study.worst().is_some_and(|w| w <= Severity::Fix);
    Ok(if bad { End::Findings } else { End::Clean })
}
