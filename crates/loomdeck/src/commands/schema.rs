//! `schema`: JSON Schema of the files and of the JSON that commands print.

use crate::out::Out;
use crate::{End, Trouble, json};
use schemars::schema_for;

/// Print the JSON Schema of a robot's files, for an editor; or of the JSON that a command prints.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck schema > robot.schema.json\n  loomdeck schema check")]
pub struct Args {
    /// What to describe.
    #[arg(value_enum, default_value = "files")]
    of: Of,
    /// Print the key tables of the file format as Markdown instead.
    #[arg(long, conflicts_with = "of")]
    tables: bool,
}

/// What can be described.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Of {
    /// The files of a robot.
    Files,
    /// `check --json`.
    Check,
    /// `situations --json`.
    Situations,
    /// `parts --json`.
    Parts,
    /// `mend --json`.
    Mend,
    /// `make --json`.
    Make,
    /// `faults --json`.
    Faults,
    /// `service --json`.
    Service,
    /// `compare --json`.
    Compare,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    if args.tables {
        out.raw(&loomdeck_model::format::reference::markdown());
        return Ok(End::Clean);
    }
    match args.of {
        Of::Files => out.json(&loomdeck_model::format::schema::schema())?,
        Of::Check => out.json(&schema_for!(json::Checked))?,
        Of::Situations => out.json(&schema_for!(json::Situations))?,
        Of::Parts => out.json(&schema_for!(json::Parts))?,
        Of::Mend => out.json(&schema_for!(json::Mended))?,
        Of::Make => out.json(&schema_for!(json::Made))?,
        Of::Faults => out.json(&schema_for!(super::faults::FaultsJson))?,
        Of::Service => out.json(&schema_for!(super::service::Serviced))?,
        Of::Compare => out.json(&schema_for!(super::compare::Compared))?,
    }
    Ok(End::Clean)
}
