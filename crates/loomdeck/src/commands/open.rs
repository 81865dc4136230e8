//! `open`: the workspace in the browser.

use crate::out::{self, Out};
use crate::{End, Trouble};
use std::net::Ipv4Addr;
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// Open a robot in the browser: the board drawn true to size, parts that can be dragged, and every
/// finding, length and temperature following the hand. What you do is saved at once and can be undone.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  loomdeck open my-robot\n  loomdeck open my-robot --port 4000 --no-browser\n  loomdeck open my-robot --lan\n\n\
    The desk answers on this machine alone, at an address with a key that is new each time.\n\
    With --lan others in the same network may look and tick off, by an address of their own;\n\
    nothing on the way is encrypted. Ctrl-C ends it."
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
    /// Let others in the same network look and tick off, by an address of their own and its code for a phone.
    /// With `--lan=192.168.1.5`: at that address of this machine alone.
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1, require_equals = true)]
    lan: Option<Option<Ipv4Addr>>,
    /// With --lan: let them change the robot too.
    #[arg(long, requires = "lan")]
    lan_edit: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let mut desk = loomdeck_desk::Open::new(&args.folder, args.port).map_err(Trouble::Told)?;
    if let Some(only) = args.lan {
        desk.share(only, args.lan_edit).map_err(Trouble::Told)?;
    }
    let address = desk.address();
    out.line(&format!("{} is open at", args.folder.display()));
    out.line(&format!("  {}", out::strong(&address)));
    if !loomdeck_desk::pages_are_there() {
        out.paragraph(
            0,
            "This program was built without its pages: that address says how to build them.",
        );
    }
    tell_guests(&desk, args.lan_edit, out);
    out.line("Ctrl-C ends it; what you do is saved at once.");
    out.flush()?;
    if !args.no_browser {
        browse(&address);
    }
    desk.serve(std::future::pending()).map_err(Trouble::Told)?;
    Ok(End::Clean)
}

/// The addresses for others in the network, and the code of the first.
fn tell_guests(desk: &loomdeck_desk::Open, may_edit: bool, out: &mut Out) {
    let addresses = desk.guest_addresses();
    let Some(first) = addresses.first() else { return };
    let may = if may_edit { "look, tick off and change the robot" } else { "look and tick off" };
    out.line(&format!("Others in the same network may {may} at"));
    addresses.iter().for_each(|a| out.line(&format!("  {}", out::strong(a))));
    for line in loomdeck_desk::code_for_terminal(first).lines() {
        out.line(&out::on_white(line));
    }
    out.paragraph(
        0,
        "Who has that address can come in, and nothing on the way is encrypted: share it with people you know, in a network you trust.",
    );
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
