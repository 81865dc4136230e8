//! `book`: the build book as a PDF.

use crate::cli::{RobotArg, UnitArg};
use crate::out::{self, Out};
use crate::{End, Trouble, report};
use loomdeck_model::Severity;
use std::path::PathBuf;

/// Print the build book as a PDF: cautions, findings, diagrams, situations, drawings, drilling
/// templates at true size, hole table, fasteners, cut list, labels, order of work, shopping list.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck book demos/samovar -o samovar.pdf\n  \
    loomdeck book my-robot -o book.pdf --unit inch\n\n\
    Print the template pages at 100 % (\"actual size\") and measure their calibration lines.\n\
    Exit status 1 when the book contains findings of `fix` or worse.")]
pub struct Args {
    #[command(flatten)]
    robot: RobotArg,
    #[command(flatten)]
    unit: UnitArg,
    /// File to write.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    super::not_a_robots_file(&args.output)?;
    let study = super::study_in(&args.robot.robot, &args.unit)?;
    let sign = out::busy("setting the book");
    let pdf = loomdeck_draw::book(&study).map_err(|e| Trouble::Told(e.to_string()))?;
    sign.finish_and_clear();
    super::write(&args.output, &pdf)?;
    out.line(&format!("{}: {}", study.robot.name, report::summary(&study)));
    out.line(&format!("Written: {} ({} kB)", args.output.display(), pdf.len().div_ceil(1000)));
    let bad = study.worst().is_some_and(|w| w <= Severity::Fix);
    Ok(if bad { End::Findings } else { End::Clean })
}
