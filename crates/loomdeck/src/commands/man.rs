//! `man`: the manual page.

use crate::cli::Cli;
use crate::out::Out;
use crate::{End, Trouble};
use clap::CommandFactory;

/// Print the manual page, or one for every command into a folder.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck man | man -l -\n  loomdeck man --into man1")]
pub struct Args {
    /// Folder to write `loomdeck.1` and a page for every command into.
    #[arg(long, value_name = "FOLDER")]
    into: Option<std::path::PathBuf>,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    match &args.into {
        Some(folder) => {
            std::fs::create_dir_all(folder)?;
            clap_mangen::generate_to(Cli::command(), folder)?;
            out.line(&format!("Written into {}", folder.display()));
        }
        None => {
            let mut text = Vec::new();
            clap_mangen::Man::new(Cli::command()).render(&mut text)?;
            out.raw(&String::from_utf8_lossy(&text));
        }
    }
    Ok(End::Clean)
}
