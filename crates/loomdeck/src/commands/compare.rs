//! `compare`: what is different between two robots.

mod as_json;
mod words;

use crate::cli::{Unit, UnitArg};
use crate::out::Out;
use crate::{End, Trouble};
use loomdeck_model::{LengthUnit, Severity};
use std::path::PathBuf;

pub use as_json::Compared;

/// Hold two robots side by side, as from the prototype on scrap board to the final one: holes, parts,
/// wires, what to buy or what is left over, findings new and gone.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck compare demos/samovar-first-try demos/samovar\n  \
    loomdeck compare scrap final --json\n\n\
    Things are matched by name, holes by what they are for, wires that were only renamed by where they land.\n\
    Exit status 1 when the new robot has findings of `fix` or worse.")]
pub struct Args {
    /// Folder of the old robot (or a single file).
    #[arg(value_name = "OLD")]
    old: PathBuf,
    /// Folder of the new robot (or a single file).
    #[arg(value_name = "NEW")]
    new: PathBuf,
    #[command(flatten)]
    unit: UnitArg,
    /// Print JSON (its schema: `loomdeck schema compare`).
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let old = super::study_in(&args.old, &args.unit)?;
    let new = super::study_in(&args.new, &args.unit)?;
    let unit = match args.unit.unit {
        Some(Unit::Mm) => LengthUnit::Mm,
        Some(Unit::Inch) => LengthUnit::Inch,
        None => new.robot.book.unit,
    };
    let comparison = loomdeck_study::compare::compare(&old, &new);
    if args.json {
        out.json(&as_json::compared(&comparison, &old, &new, unit))?;
    } else {
        words::print(out, &comparison, &old, &new, unit);
    }
    let bad = new.worst().is_some_and(|w| w <= Severity::Fix);
    Ok(if bad { End::Findings } else { End::Clean })
}
