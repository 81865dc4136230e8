//! The outside checks in `verify/`: Python with an environment of its own.

use crate::counts::{self, Counts};
use crate::run;
use std::path::{Path, PathBuf};

fn environment() -> PathBuf {
    run::root().join("verify").join(".venv")
}

fn python(environment: &Path) -> PathBuf {
    let (folder, name) = if cfg!(windows) { ("Scripts", "python.exe") } else { ("bin", "python") };
    environment.join(folder).join(name)
}

/// Makes the environment, or renews it when the requirements changed.
///
/// # Errors
/// When Python or the package index is out of reach.
pub fn set_up() -> Result<PathBuf, String> {
    let environment = environment();
    let requirements = run::root().join("verify").join("requirements.txt");
    let wanted = std::fs::read_to_string(&requirements)
        .map_err(|e| format!("{}: {e}", requirements.display()))?;
    let stamp = environment.join("installed.txt");
    let python = python(&environment);
    if std::fs::read_to_string(&stamp).is_ok_and(|have| have == wanted) && python.exists() {
        return Ok(python);
    }
    let system = if run::there("python3", "--version") { "python3" } else { "python" };
    println!("verify: setting up {}", environment.display());
    let place = environment.to_string_lossy();
    let made = run::tee(run::command(system, &["-m", "venv", "--clear", &place]))?;
    if !made.ok {
        return Err("the Python environment cannot be made; is python3-venv installed?".to_owned());
    }
    let install = [
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        "-r",
        &requirements.to_string_lossy(),
    ];
    let installed = run::tee(run::command(&python.to_string_lossy(), &install))?;
    if !installed.ok {
        return Err("the requirements of verify/ cannot be installed".to_owned());
    }
    std::fs::write(&stamp, wanted).map_err(|e| format!("{}: {e}", stamp.display()))?;
    Ok(python)
}

/// Builds the program and runs the checks.
///
/// # Errors
/// When they cannot be run at all. Failed checks are in the counts.
pub fn run(args: &[&str]) -> Result<Counts, String> {
    let python = set_up()?;
    let build = ["build", "--release", "--quiet", "--workspace", "--bins", "--examples"];
    if !run::tee(run::cargo(&build))?.ok {
        return Err("the program does not build".to_owned());
    }
    let mut all = vec!["-m", "pytest", "-p", "no:cacheprovider", "verify"];
    all.extend(args);
    let mut command = run::command(&python.to_string_lossy(), &all);
    command
        .env("LOOMDECK", run::loomdeck())
        .env("LOOMDECK_EXAMPLES", run::target().join("release/examples"));
    command.env("PYTHONDONTWRITEBYTECODE", "1");
    let outcome = run::tee(command)?;
    let mut counts = counts::read(&outcome.said);
    if !outcome.ok && counts.failed == 0 {
        counts.failed = 1;
    }
    Ok(counts)
}
