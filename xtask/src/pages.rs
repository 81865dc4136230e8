//! The desk's pages: building them, their types, and opening a robot with them.

use crate::counts::{self, Counts};
use crate::run;
use std::path::PathBuf;
use std::process::Command;

fn web() -> PathBuf {
    run::root().join("web")
}

fn npm_command(args: &[&str]) -> Command {
    // On Windows npm is a script, which only its shell finds.
    let mut command = if cfg!(windows) {
        run::command("cmd", &[&["/C", "npm"], args].concat())
    } else {
        run::command("npm", args)
    };
    command.current_dir(web());
    command
}

fn npm(args: &[&str]) -> Result<(), String> {
    if run::tee(npm_command(args))?.ok { Ok(()) } else { Err(format!("npm {} failed", args.join(" "))) }
}

fn counted(command: Command) -> Result<Counts, String> {
    let outcome = run::tee(command)?;
    let mut counts = counts::read(&outcome.said);
    if !outcome.ok && counts.failed == 0 {
        counts.failed = 1;
    }
    Ok(counts)
}

/// The pages' own tests, without a browser. Build the pages first.
///
/// # Errors
/// When they cannot be run.
pub fn unit_tests() -> Result<Counts, String> {
    counted(npm_command(&["test"]))
}

/// The pages in a real browser on the real program, which must be built, with the pages in it.
///
/// # Errors
/// When they cannot be run.
pub fn browser_tests() -> Result<Counts, String> {
    let mut command = npm_command(&["run", "test:browser"]);
    command.env("LOOMDECK_DESK", run::loomdeck());
    if let Some(browser) = browser() {
        command.env("CHROMIUM", browser);
    }
    counted(command)
}

/// The browser of the tests, by the names it has on different systems.
pub fn browser() -> Option<&'static str> {
    let names = ["chromium", "chromium-browser"];
    let paths = ["/usr/bin/chromium", "/usr/bin/chromium-browser"];
    let at = names.iter().position(|name| run::there(name, "--version"))?;
    Some(paths[at])
}

/// Builds the pages into `web/dist`, with exactly the packages of the lock file.
///
/// # Errors
/// When there is no npm, or the build fails.
pub fn build() -> Result<(), String> {
    if !web().join("package-lock.json").is_file() {
        return Err(format!(
            "{} has no package-lock.json: there are no pages to build",
            web().display()
        ));
    }
    npm(&["ci", "--no-audit", "--no-fund"])
        .map_err(|e| format!("{e}\nThe pages need Node.js with npm."))?;
    npm(&["run", "build"])
}

/// Builds pages and program, and opens a robot.
///
/// # Errors
/// When something does not build, or the desk cannot be opened.
pub fn open(args: &[&str]) -> Result<(), String> {
    build()?;
    let built = run::tee(run::cargo(&["build", "--release", "--quiet", "--workspace", "--bins"]))?;
    if !built.ok {
        return Err("the program does not build".to_owned());
    }
    let mut command = run::command(&run::loomdeck().to_string_lossy(), &[&["open"], args].concat());
    // Relative folders are meant from where the chore was called.
    if let Ok(here) = std::env::current_dir() {
        command.current_dir(here);
    }
    let status = command.status().map_err(|e| format!("loomdeck does not start: {e}"))?;
    if status.success() { Ok(()) } else { Err("loomdeck open ended with a complaint".to_owned()) }
}

/// Writes `web/src/talk.ts`. The test that holds it fresh does the writing when it is told to.
///
/// # Errors
/// When that test does not build or run.
pub fn types() -> Result<(), String> {
    // Both packages: alone, the desk would have its libraries built a second time, with fewer features.
    let test = [
        "test",
        "--release",
        "--package",
        "loomdeck-desk",
        "--package",
        "loomdeck",
        "--lib",
        "talk::types",
    ];
    let mut command = run::cargo(&test);
    command.env("LOOMDECK_WRITE_TYPES", "1");
    if run::tee(command)?.ok { Ok(()) } else { Err("the types were not written".to_owned()) }
}
