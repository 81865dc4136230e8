//! What can be typed.

use crate::commands;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// From a heap of modules to a removable electronics board: describe the robot, check it, print its
/// build book.
#[derive(Debug, Parser)]
#[command(
    name = "loomdeck",
    version,
    max_term_width = 100,
    subcommand_required = true,
    arg_required_else_help = true
)]
#[command(
    after_help = "A robot is a folder of text files; `loomdeck new FOLDER` writes one to start from.\n\
    Exit status: 0 clean, 1 findings of `fix` or worse, 2 bad input or usage."
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a small robot to start from.
    New(commands::new::Args),
    /// Open a robot in the browser, to look at it and to move things about.
    Open(commands::open::Args),
    /// Read a robot and say what the builder must know.
    Check(commands::check::Args),
    /// Show currents, voltages and temperatures in every situation.
    Situations(commands::situations::Args),
    /// Print the build book as a PDF.
    Book(commands::book::Args),
    /// Write all files for the workshop into a folder.
    Make(commands::make::Args),
    /// Search the parts library, or show one part type.
    Parts(commands::parts::Args),
    /// Tell the physics, the source and the limits behind a finding.
    Explain(commands::explain::Args),
    /// Hold two robots side by side: what moved, what to buy, which wires can be used again.
    Compare(commands::compare::Args),
    /// Tell what happens when something goes wrong: shorts, surges, wrong plugs.
    Faults(commands::faults::Args),
    /// Tell what must come off to take a part off, step by step.
    Service(commands::service::Args),
    /// List remedies that were tried and work, and apply the ones you choose.
    Mend(commands::mend::Args),
    /// Print the JSON Schema of the files, or of the JSON that a command prints.
    Schema(commands::schema::Args),
    /// Print completions for a shell.
    Completions(commands::completions::Args),
    /// Print the manual page.
    Man(commands::man::Args),
}

/// The robot a command works on.
#[derive(Debug, Args)]
pub struct RobotArg {
    /// Folder of the robot (or a single file).
    #[arg(value_name = "ROBOT")]
    pub robot: PathBuf,
}

/// The unit lengths are printed in.
#[derive(Debug, Args)]
pub struct UnitArg {
    /// Unit of lengths. Default: as the robot's `[book]` says.
    #[arg(long, value_name = "UNIT")]
    pub unit: Option<Unit>,
}

/// Units of length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Inches.
    Inch,
}

impl UnitArg {
    /// The unit chosen, else the robot's.
    pub fn or_of(&self, robot: &loomdeck_model::Robot) -> loomdeck_model::LengthUnit {
        match self.unit {
            Some(Unit::Mm) => loomdeck_model::LengthUnit::Mm,
            Some(Unit::Inch) => loomdeck_model::LengthUnit::Inch,
            None => robot.book.unit,
        }
    }
}
