//! `open`: the workspace in the browser.

use crate::out::{self, Out};
use crate::{End, Trouble};
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// Open a robot in the browser: the board drawn true to size, parts that can be dragged, and every
/// finding, length and temperature following the hand. What you do is saved at once and can be undone.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  loomdeck open my-robot\n  loomdeck open my-robot --port 4000 --no-browser\n\n\
    The desk answers on this machine alone, at an address with a key that is new each time.\n\
    Ctrl-C ends it."
)]
pub struct Args {
    /// Folder of the robot.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    /// Port to serve at. Default: any that is free.
    #[arg(long, value_name = "NUMBER", default_value_t = 0)]
    port: u16,
    /// Only print the address; open no browser.
    #[arg(long)]
    no_browser: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let desk = loomdeck_desk::Open::new(&args.folder, args.port).map_err(Trouble::Told)?;
    let address = desk.address();
    out.line(&format!("{} is open at", args.folder.display()));
    out.line(&format!("  {}", out::strong(&address)));
    if !loomdeck_desk::pages_are_there() {
        out.paragraph(
            0,
            "This program was built without its pages: that address says how to build them.",
        );
    }
    out.line("Ctrl-C ends it; what you do is saved at once.");
    out.flush()?;
    if !args.no_browser {
        browse(&address);
    }
    desk.serve(std::future::pending()).map_err(Trouble::Told)?;
    Ok(End::Clean)
}

/// Asks the system to open the address. When it cannot, the address is printed all the same.
fn browse(address: &str) {
    let program = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(target_os = "windows") {
        "explorer"
    } else {
        "xdg-open"
    };
    let mut command = Command::new(program);
    command.arg(address).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    if let Ok(mut child) = command.spawn() {
        // Somebody has to see it end, or it stays as a shadow of itself.
        std::thread::spawn(move || child.wait());
    }
}
