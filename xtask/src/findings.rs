//! `docs/findings.md`: every finding as `loomdeck explain` tells it.

use crate::run;
use std::path::PathBuf;

fn file() -> PathBuf {
    run::root().join("docs").join("findings.md")
}

/// The whole file as it should be. Builds the program first.
fn text() -> Result<String, String> {
    let built = run::tee(run::cargo(&["build", "--release", "--quiet", "--workspace", "--bins"]))?;
    if !built.ok {
        return Err("the program does not build".to_owned());
    }
    let program = run::loomdeck();
    let pages = run::output(run::command(&program.to_string_lossy(), &["explain", "--all"]))?;
    Ok(format!("{}\n", pages.trim()))
}

/// Writes the file.
///
/// # Errors
/// When the program does not build, or the file cannot be written.
pub fn write() -> Result<(), String> {
    let file = file();
    std::fs::write(&file, text()?).map_err(|e| format!("{}: {e}", file.display()))
}

/// Says whether the file is fresh.
///
/// # Errors
/// When it is not, or cannot be read.
pub fn check() -> Result<(), String> {
    let file = file();
    let there = std::fs::read_to_string(&file).map_err(|e| format!("{}: {e}", file.display()))?;
    if there == text()? {
        Ok(())
    } else {
        Err("docs/findings.md is stale: run `cargo xtask findings`".to_owned())
    }
}
