//! Running other programs: with their output passed on and kept.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The root of the repository.
pub fn root() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    own.parent().unwrap_or(own).to_owned()
}

/// Where cargo puts what it builds.
pub fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), PathBuf::from)
}

/// The program under test. Build it with [`cargo`] first.
pub fn loomdeck() -> PathBuf {
    target().join("release").join(format!("loomdeck{}", std::env::consts::EXE_SUFFIX))
}

/// A cargo command at the root, in the toolchain that runs this program.
pub fn cargo(args: &[&str]) -> Command {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut command = Command::new(cargo);
    command.args(args).current_dir(root());
    command
}

/// Any other command at the root.
pub fn command(program: &str, args: &[&str]) -> Command {
    let mut command = Command::new(program);
    command.args(args).current_dir(root());
    command
}

/// What came of a program.
pub struct Outcome {
    /// It ended with status 0.
    pub ok: bool,
    /// All it said, both streams, in the order in which lines arrived.
    pub said: String,
}

/// Runs a program, passes its output on line by line, and keeps it.
pub fn tee(mut command: Command) -> Result<Outcome, String> {
    let name = command.get_program().to_string_lossy().into_owned();
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().map_err(|e| format!("{name} does not start: {e}"))?;
    let (send, lines) = std::sync::mpsc::channel::<String>();
    let out = child.stdout.take().map(|s| follow(s, send.clone()));
    let err = child.stderr.take().map(|s| follow(s, send));
    let mut said = String::new();
    for line in lines {
        print!("{line}");
        said.push_str(&line);
    }
    // A closed pipe of our own is no reason to stop the work.
    let _ = std::io::stdout().flush();
    for thread in [out, err].into_iter().flatten() {
        thread.join().map_err(|_| format!("the output of {name} was lost"))?;
    }
    let status = child.wait().map_err(|e| format!("{name}: {e}"))?;
    Ok(Outcome { ok: status.success(), said })
}

fn follow(
    stream: impl Read + Send + 'static,
    send: std::sync::mpsc::Sender<String>,
) -> std::thread::JoinHandle<()> {
    std::thread::spawn(move || {
        let mut reader = BufReader::new(stream);
        let mut line = Vec::new();
        while reader.read_until(b'\n', &mut line).is_ok_and(|n| n > 0) {
            if send.send(String::from_utf8_lossy(&line).into_owned()).is_err() {
                break;
            }
            line.clear();
        }
    })
}

/// Runs a program quietly and gives its standard output.
pub fn output(mut command: Command) -> Result<String, String> {
    let name = command.get_program().to_string_lossy().into_owned();
    let out = command.output().map_err(|e| format!("{name} does not start: {e}"))?;
    if !out.status.success() {
        return Err(format!("{name} failed:\n{}", String::from_utf8_lossy(&out.stderr)));
    }
    String::from_utf8(out.stdout).map_err(|_| format!("{name} said something that is not UTF-8"))
}

/// Whether a program can be run at all.
pub fn there(program: &str, arg: &str) -> bool {
    let probe = Command::new(program).arg(arg).stdout(Stdio::null()).stderr(Stdio::null()).status();
    probe.is_ok_and(|s| s.success())
}
