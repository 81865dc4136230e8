//! `completions`: completions for a shell.

use crate::cli::Cli;
use crate::out::Out;
use crate::{End, Trouble};
use clap::CommandFactory;
use clap_complete::Shell;

/// Print completions for a shell.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  loomdeck completions bash > ~/.local/share/bash-completion/completions/loomdeck"
)]
pub struct Args {
    /// The shell.
    shell: Shell,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "loomdeck", &mut text);
    out.raw(&String::from_utf8_lossy(&text));
    Ok(End::Clean)
}
