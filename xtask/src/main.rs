//! The project's own chores: `cargo xtask test`, `arrows`, `findings`, `verify`.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a chore talks to whoever runs it")]

mod arrows;
mod counts;
mod findings;
mod pages;
mod run;
mod test;
mod verify;

use std::process::ExitCode;

const HELP: &str = "\
usage: cargo xtask CHORE

  test               set up and run everything; ends with a line `N passed, N failed`
  arrows             hold the crates' dependencies against the map in ARCHITECTURE.md
  findings           write docs/findings.md from what `loomdeck explain` says
  findings --check   only say whether that file is fresh
  pages              build the desk's pages in web/ (needs Node.js and npm)
  open FOLDER [ARGS] build pages and program, and open a robot in the browser
  types              write web/src/talk.ts from the messages in crates/desk/src/talk
  verify [ARGS]      run the outside checks in verify/; ARGS go to pytest
";

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["test"] => test::all(),
        ["arrows"] => arrows::check().map(|n| println!("{n} arrows, all on the map")),
        ["findings"] => findings::write(),
        ["findings", "--check"] => findings::check(),
        ["pages"] => pages::build(),
        ["open", rest @ ..] if !rest.is_empty() => pages::open(rest),
        ["types"] => pages::types(),
        ["verify", rest @ ..] => verify::run(rest).and_then(|counts| {
            println!("{counts}");
            if counts.failed == 0 { Ok(()) } else { Err("an outside check failed".to_owned()) }
        }),
        ["help" | "--help" | "-h"] => {
            println!("{HELP}");
            Ok(())
        }
        _ => Err(HELP.to_owned()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}
