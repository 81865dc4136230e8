//! The command line: reads what was typed, asks the other crates, prints.
//!
//! Exit status: 0 clean, 1 findings of `fix` or worse, 2 bad input or usage.

mod cli;
mod commands;
mod json;
mod out;
mod problems;
mod report;
mod table;

use clap::Parser;
use cli::{Cli, Command};
use out::Out;
use std::process::ExitCode;

/// How a command ended, when nothing went wrong with itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Nothing to mend.
    Clean,
    /// Findings of `fix` or worse.
    Findings,
}

/// Why a command could not do its work.
#[derive(Debug)]
pub enum Trouble {
    /// Mistakes in the robot's files.
    Files(loomdeck_model::Folder, Vec<loomdeck_model::Problem>),
    /// Anything else, as a sentence for the builder.
    Told(String),
}

impl From<std::io::Error> for Trouble {
    fn from(e: std::io::Error) -> Self {
        let mut sentence = loomdeck_model::read::folder::plain(&e);
        if let Some(first) = sentence.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        Self::Told(format!("{}.", sentence.trim_end_matches('.')))
    }
}

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => {
            // Help and version are asked for; everything else is a slip in usage.
            let asked = !e.use_stderr();
            if asked {
                return if e.print().is_ok() { ExitCode::SUCCESS } else { ExitCode::from(2) };
            }
            let text = e.render().to_string();
            out::complain(text.strip_prefix("error: ").unwrap_or(&text).trim_end());
            return ExitCode::from(2);
        }
    };
    let mut out = Out::new();
    let ended = match &cli.command {
        Command::New(a) => commands::new::run(a, &mut out),
        Command::Open(a) => commands::open::run(a, &mut out),
        Command::Check(a) => commands::check::run(a, &mut out),
        Command::Situations(a) => commands::situations::run(a, &mut out),
        Command::Book(a) => commands::book::run(a, &mut out),
        Command::Make(a) => commands::make::run(a, &mut out),
        Command::Parts(a) => commands::parts::run(a, &mut out),
        Command::Explain(a) => commands::explain::run(a, &mut out),
        Command::Compare(a) => commands::compare::run(a, &mut out),
        Command::Faults(a) => commands::faults::run(a, &mut out),
        Command::Service(a) => commands::service::run(a, &mut out),
        Command::Mend(a) => commands::mend::run(a, &mut out),
        Command::Schema(a) => commands::schema::run(a, &mut out),
        Command::Completions(a) => commands::completions::run(a, &mut out),
        Command::Man(a) => commands::man::run(a, &mut out),
    };
    // Whoever reads our output may go before its end: that changes nothing about the robot.
    let ended = ended.and_then(|end| match out.flush() {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => Err(Trouble::from(e)),
        _ => Ok(end),
    });
    match ended {
        Ok(End::Clean) => ExitCode::SUCCESS,
        Ok(End::Findings) => ExitCode::from(1),
        Err(Trouble::Told(sentence)) => {
            out::complain(&sentence);
            ExitCode::from(2)
        }
        Err(Trouble::Files(folder, problems)) => {
            problems::print(&folder, &problems);
            ExitCode::from(2)
        }
    }
}
