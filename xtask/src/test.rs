//! `cargo xtask test`: everything, one line of counts at the end.

use crate::counts::{self, Counts};
use crate::{arrows, findings, pages, run, verify};
use std::time::Instant;

/// Sets up and runs every check, goes on after a failure, and says at the end what came of it.
///
/// # Errors
/// When anything failed.
pub fn all() -> Result<(), String> {
    let started = Instant::now();
    let mut report = Report::default();
    report.check("tools", tools());
    // Before the program, which takes the pages in.
    report.check("pages", pages::build());
    report.tests("tests of the pages", pages::unit_tests());
    report.check("format", succeeds(&["fmt", "--all", "--check"]));
    report.check("arrows", arrows::check().map(|_| ()));
    let lints = ["clippy", "--release", "--workspace", "--all-targets", "--", "-D", "warnings"];
    report.check("lints", succeeds(&lints));
    report.tests("tests", rust_tests());
    report.tests("doctests", counted(&["test", "--release", "--workspace", "--doc"]));
    report.check("documentation", documentation());
    report.check("findings.md is fresh", findings::check());
    report.tests("verify", verify::run(&[]));
    report.tests("browser", pages::browser_tests());
    println!("\n{}({} s)", report.told, started.elapsed().as_secs());
    println!("{}", report.counts);
    if report.counts.failed == 0 { Ok(()) } else { Err("not everything passed".to_owned()) }
}

#[derive(Default)]
struct Report {
    counts: Counts,
    told: String,
}

impl Report {
    /// Takes down a step that passes or fails as a whole; it counts as one.
    fn check(&mut self, name: &str, done: Result<(), String>) {
        let counts = match &done {
            Ok(()) => Counts { passed: 1, failed: 0 },
            Err(_) => Counts { passed: 0, failed: 1 },
        };
        self.note(name, counts, done.err());
    }

    /// Takes down a step that counts its own tests.
    fn tests(&mut self, name: &str, counts: Result<Counts, String>) {
        match counts {
            Ok(counts) => self.note(name, counts, None),
            Err(why) => self.note(name, Counts { passed: 0, failed: 1 }, Some(why)),
        }
    }

    fn note(&mut self, name: &str, counts: Counts, why: Option<String>) {
        let why = why.map(|w| format!("\n    {}", w.trim().replace('\n', "\n    "))).unwrap_or_default();
        let line = format!("  {name}: {counts}{why}\n");
        print!("== {line}");
        self.told.push_str(&line);
        self.counts += counts;
    }
}

/// Sees to it that what the tests run is there: the toolchain's own helpers, a PDF reader's tools, Python's
/// environments, Node.js and a browser.
fn tools() -> Result<(), String> {
    for (component, args) in [("rustfmt", ["fmt", "--version"]), ("clippy", ["clippy", "--version"])] {
        if run::output(run::cargo(&args)).is_err() {
            run::output(run::command("rustup", &["component", "add", component]))?;
        }
    }
    let mut missing = Vec::new();
    if !run::there("pdftotext", "-v") {
        missing.push("poppler-utils");
    }
    let venv = run::output(run::command("python3", &["-c", "import venv, ensurepip"]));
    if venv.is_err() {
        missing.extend(["python3", "python3-venv"]);
    }
    if !run::there("node", "--version") || !run::there("npm", "--version") {
        missing.extend(["nodejs", "npm"]);
    }
    if pages::browser().is_none() {
        missing.push("chromium");
    }
    if missing.is_empty() {
        return Ok(());
    }
    println!("installing {}", missing.join(", "));
    let root = run::output(run::command("id", &["-u"])).is_ok_and(|u| u.trim() == "0");
    let apt = |args: &[&str]| {
        let all: Vec<&str> = if root { args.to_vec() } else { [&["sudo", "-n"], args].concat() };
        run::output(run::command(all[0], &all[1..]))
    };
    apt(&["apt-get", "update"])?;
    let mut install = vec!["apt-get", "install", "-y", "--no-install-recommends"];
    install.extend(missing);
    apt(&install).map(|_| ())
}

fn succeeds(args: &[&str]) -> Result<(), String> {
    if run::tee(run::cargo(args))?.ok { Ok(()) } else { Err(format!("cargo {} failed", args[0])) }
}

/// Random cases are drawn from one seed here, so that a change is judged by its own merit; a plain
/// `cargo test` draws new ones each time.
const SEED: &str = "20261125";

fn counted(args: &[&str]) -> Result<Counts, String> {
    let mut command = run::cargo(args);
    command.env("PROPTEST_RNG_SEED", SEED);
    let outcome = run::tee(command)?;
    let mut counts = counts::read(&outcome.said);
    if !outcome.ok && counts.failed == 0 {
        // It failed before any test did: it does not build.
        counts.failed = 1;
    }
    Ok(counts)
}

/// With nextest when it is installed, else with cargo's own runner: they run the same tests.
fn rust_tests() -> Result<Counts, String> {
    if run::output(run::cargo(&["nextest", "--version"])).is_ok() {
        counted(&["nextest", "run", "--release", "--workspace", "--no-fail-fast"])
    } else {
        let targets = ["--lib", "--bins", "--tests", "--examples"];
        counted(&[&["test", "--release", "--workspace", "--no-fail-fast"], targets.as_slice()].concat())
    }
}

fn documentation() -> Result<(), String> {
    let mut command = run::cargo(&["doc", "--release", "--workspace", "--no-deps"]);
    command.env("RUSTDOCFLAGS", "-D warnings");
    if run::tee(command)?.ok { Ok(()) } else { Err("cargo doc failed".to_owned()) }
}
