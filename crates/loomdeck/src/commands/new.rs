//! `new`: a small robot to start from.

use crate::out::Out;
use crate::{End, Trouble};
use loomdeck_model::read::folder::plain;
use std::path::PathBuf;

/// Write a small robot to start from: a battery, a switch, a fuse block and a lamp on a board, with
/// comments that say what can be added.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  loomdeck new my-robot && loomdeck check my-robot")]
pub struct Args {
    /// Folder to make.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    /// What the robot is called. Default: the folder's name.
    #[arg(long)]
    name: Option<String>,
}

const STARTER: &str = include_str!("../starter.toml");

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let file = args.folder.join("robot.toml");
    if file.exists() {
        return Err(Trouble::Told(format!("{} is there already; nothing was written.", file.display())));
    }
    let called = args.folder.file_name().map(|n| n.to_string_lossy().into_owned());
    let name = args.name.clone().or(called).unwrap_or_else(|| "robot".to_owned());
    let quoted = serde_json::to_string(&name).unwrap_or_else(|_| "\"robot\"".to_owned());
    let made = |e: std::io::Error| {
        Trouble::Told(format!("{} cannot be made: {}.", args.folder.display(), plain(&e)))
    };
    std::fs::create_dir_all(&args.folder).map_err(made)?;
    super::write(&file, STARTER.replace("\"NAME\"", &quoted).as_bytes())?;
    let robot = args.folder.display();
    out.line(&format!("Written: {}", file.display()));
    out.paragraph(0, &format!("Next: `loomdeck check {robot}`, then change the file and check again."));
    out.paragraph(
        0,
        &format!(
            "`loomdeck parts` lists the part types, `loomdeck book {robot} -o book.pdf` prints the book."
        ),
    );
    Ok(End::Clean)
}
