//! Writing several files so that a crash leaves all of them new, or all of them old.
//!
//! The new texts are first written to a journal beside the files, which counts once its last line
//! carries its own check sum. Then each file is replaced by renaming; then the journal goes. A
//! complete journal found on loading is finished; a torn one is thrown away.

use super::folder::{Folder, plain};
use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// Name of the journal in a robot's folder.
pub const JOURNAL: &str = ".loomdeck-journal";

/// Writes the files of `new` that differ from `old`.
///
/// # Errors
/// When a file on disk no longer reads like `old` (somebody else wrote it), or cannot be written.
/// Nothing is changed then, unless the failure came after the journal was complete: the next load
/// finishes it.
pub fn save(dir: &Path, old: &Folder, new: &Folder) -> io::Result<Vec<String>> {
    let changed: BTreeMap<&String, &String> =
        new.files.iter().filter(|(name, text)| old.files.get(*name) != Some(*text)).collect();
    for name in changed.keys() {
        let there = fs::read_to_string(dir.join(name)).ok();
        if there.as_ref() != old.files.get(*name) {
            return Err(io::Error::other(format!(
                "{name} was changed by somebody else meanwhile; nothing was written"
            )));
        }
    }
    if changed.is_empty() {
        return Ok(Vec::new());
    }
    let body = serde_json::to_string(&changed)?;
    let journal = dir.join(JOURNAL);
    // Whoever makes the journal may write; a second one meanwhile is told so.
    let mut file = fs::File::create_new(&journal).map_err(|e| match e.kind() {
        io::ErrorKind::AlreadyExists => {
            io::Error::other("another change is just being written; nothing was written")
        }
        _ => io::Error::other(format!("{} cannot be written: {}", journal.display(), plain(&e))),
    })?;
    writeln!(file, "{body}\n{:016x}", check_sum(&body))?;
    file.sync_all()?;
    let names: Vec<String> = changed.keys().map(|n| (*n).clone()).collect();
    let texts = changed.into_iter().map(|(n, t)| (n.clone(), t.clone())).collect();
    finish(dir, &texts)?;
    Ok(names)
}

/// Finishes or throws away what an interrupted [`save`] left behind.
///
/// # Errors
/// When the files cannot be written.
pub fn recover(dir: &Path) -> io::Result<()> {
    let journal = dir.join(JOURNAL);
    let Ok(text) = fs::read_to_string(&journal) else { return Ok(()) };
    let complete = text.trim_end().rsplit_once('\n').and_then(|(body, sum)| {
        (sum == format!("{:016x}", check_sum(body))).then(|| serde_json::from_str(body).ok()).flatten()
    });
    match complete {
        Some(texts) => finish(dir, &texts),
        None => fs::remove_file(journal),
    }
}

fn finish(dir: &Path, texts: &BTreeMap<String, String>) -> io::Result<()> {
    for (name, text) in texts {
        // A journal is only ever written with these names; anything else is not ours to touch.
        if !super::folder::is_own(name) {
            continue;
        }
        // A linked file stays a link: what it points to is replaced.
        let target = fs::canonicalize(dir.join(name)).unwrap_or_else(|_| dir.join(name));
        let fresh = target.with_extension("toml.new");
        replace(&fresh, &target, text)
            .map_err(|e| io::Error::other(format!("{name} cannot be written: {}", plain(&e))))?;
    }
    fs::remove_file(dir.join(JOURNAL))
}

fn replace(fresh: &Path, target: &Path, text: &str) -> io::Result<()> {
    let mut file = fs::File::create(fresh)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    fs::rename(fresh, target)
}

/// FNV-1a, 64 bit: enough to tell a torn file from a whole one.
fn check_sum(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn robot(name: &str) -> (tempfile::TempDir, Folder) {
        let dir = tempfile::tempdir().unwrap();
        let folder = Folder::single(format!("format = 1\n[robot]\nname = \"{name}\"\n"));
        fs::write(dir.path().join("robot.toml"), &folder.files["robot.toml"]).unwrap();
        (dir, folder)
    }

    #[test]
    fn a_complete_journal_is_finished_and_a_torn_one_thrown_away() {
        let (dir, _) = robot("old");
        let body = serde_json::to_string(&BTreeMap::from([("robot.toml", "new")])).unwrap();
        let journal = dir.path().join(JOURNAL);
        let whole = format!("{body}\n{:016x}\n", check_sum(&body));
        for cut in 0..whole.len() - 1 {
            fs::write(&journal, &whole[..cut]).unwrap();
            recover(dir.path()).unwrap();
            assert!(!journal.exists());
            assert!(
                fs::read_to_string(dir.path().join("robot.toml")).unwrap().contains("old"),
                "cut at {cut}"
            );
        }
        fs::write(&journal, &whole).unwrap();
        recover(dir.path()).unwrap();
        assert_eq!(fs::read_to_string(dir.path().join("robot.toml")).unwrap(), "new");
        assert!(!journal.exists());
    }

    #[test]
    fn a_journal_cannot_reach_out_of_the_folder() {
        const NAMES: [&str; 5] =
            ["../evil.toml", "a.sh", "other.toml", "deep/er.toml", "parts/deep/er.toml"];
        let (dir, _) = robot("old");
        fs::create_dir_all(dir.path().join("deep")).unwrap();
        fs::create_dir_all(dir.path().join("parts/deep")).unwrap();
        let body = serde_json::to_string(&BTreeMap::from(NAMES.map(|n| (n, "x")))).unwrap();
        fs::write(dir.path().join(JOURNAL), format!("{body}\n{:016x}\n", check_sum(&body))).unwrap();
        recover(dir.path()).unwrap();
        for name in NAMES {
            assert!(!dir.path().join(name).exists(), "{name}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_linked_file_stays_a_link() {
        let (dir, old) = robot("old");
        let elsewhere = tempfile::tempdir().unwrap();
        let real = elsewhere.path().join("shared.toml");
        fs::rename(dir.path().join("robot.toml"), &real).unwrap();
        std::os::unix::fs::symlink(&real, dir.path().join("robot.toml")).unwrap();
        save(dir.path(), &old, &Folder::single("format = 1\n")).unwrap();
        assert!(fs::symlink_metadata(dir.path().join("robot.toml")).unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&real).unwrap(), "format = 1\n");
    }

    #[test]
    fn somebody_elses_change_is_not_overwritten() {
        let (dir, old) = robot("old");
        let new = Folder::single("format = 1\n");
        fs::write(dir.path().join("robot.toml"), "changed meanwhile").unwrap();
        assert!(save(dir.path(), &old, &new).is_err());
        assert_eq!(fs::read_to_string(dir.path().join("robot.toml")).unwrap(), "changed meanwhile");
        fs::write(dir.path().join("robot.toml"), &old.files["robot.toml"]).unwrap();
        assert_eq!(save(dir.path(), &old, &new).unwrap(), ["robot.toml"]);
        assert_eq!(fs::read_to_string(dir.path().join("robot.toml")).unwrap(), "format = 1\n");
    }
}
