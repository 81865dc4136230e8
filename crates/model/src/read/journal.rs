//! Writing several files so that a crash leaves all of them new, or all of them old.
//!
//! The new texts are first written to a journal beside the files, which counts once its last line
//! carries its own check sum. Then each file is replaced by renaming, new ones are made, and those that
//! go are taken away; then the journal goes. A complete journal found on loading is finished; a torn one is
//! thrown away.

use super::folder::{Folder, plain};
use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// Name of the journal in a robot's folder.
pub const JOURNAL: &str = ".loomdeck-journal";

/// What becomes of each file: its text, or nothing when it goes.
type Becomes = BTreeMap<String, Option<String>>;

/// Writes the files of `new` that differ from `old`, makes those that come, takes away those that go.
/// Gives their names.
///
/// # Errors
/// When a file on disk no longer reads like `old` (somebody else wrote it), or cannot be written.
/// Nothing is changed then, unless the failure came after the journal was complete: the next load
/// finishes it.
pub fn save(dir: &Path, old: &Folder, new: &Folder) -> io::Result<Vec<String>> {
    let written = new.files.iter().map(|(name, text)| (name.clone(), Some(text.clone())));
    let gone = old.files.keys().filter(|name| !new.files.contains_key(*name));
    let becomes: Becomes = written
        .filter(|(name, text)| old.files.get(name) != text.as_ref())
        .chain(gone.map(|name| (name.clone(), None)))
        .collect();
    for name in becomes.keys() {
        let path = dir.join(name);
        let as_before = match old.files.get(name) {
            Some(text) => fs::read_to_string(&path).is_ok_and(|there| there == *text),
            // Whatever stands there, and be it no text, is somebody's.
            None => fs::symlink_metadata(&path).is_err_and(|e| e.kind() == io::ErrorKind::NotFound),
        };
        if !as_before {
            return Err(io::Error::other(format!(
                "{name} was changed by somebody else meanwhile; nothing was written"
            )));
        }
    }
    if becomes.is_empty() {
        return Ok(Vec::new());
    }
    let body = serde_json::to_string(&becomes)?;
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
    finish(dir, &becomes)?;
    Ok(becomes.into_keys().collect())
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
        Some(becomes) => finish(dir, &becomes),
        None => fs::remove_file(journal),
    }
}

/// Carries a complete journal out; whatever of it is done already is done once more to the same end.
fn finish(dir: &Path, becomes: &Becomes) -> io::Result<()> {
    for (name, text) in becomes {
        // A journal is only ever written with these names; anything else is not ours to touch.
        if !super::folder::is_own(name) {
            continue;
        }
        let path = dir.join(name);
        let done = match text {
            Some(text) => put(&path, text),
            None => match fs::remove_file(&path) {
                Err(e) if e.kind() != io::ErrorKind::NotFound => Err(e),
                _ => Ok(()),
            },
        };
        let what = if text.is_some() { "written" } else { "taken away" };
        done.map_err(|e| io::Error::other(format!("{name} cannot be {what}: {}", plain(&e))))?;
    }
    fs::remove_file(dir.join(JOURNAL))
}

fn put(path: &Path, text: &str) -> io::Result<()> {
    // The first part type of a robot's own wants the folder for it.
    if let Some(folder) = path.parent().filter(|f| !f.exists()) {
        fs::create_dir(folder)?;
    }
    // A linked file stays a link: what it points to is replaced.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    replace(&target.with_extension("toml.new"), &target, text)
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
    fn files_come_and_go_and_a_cut_at_any_byte_leaves_all_or_nothing() {
        let (dir, old) = robot("old");
        let part = dir.path().join("parts/lamp.toml");
        let mut with = old.clone();
        with.files.insert("parts/lamp.toml".into(), "# a lamp\n".into());
        assert_eq!(save(dir.path(), &old, &with).unwrap(), ["parts/lamp.toml"]);
        assert_eq!(fs::read_to_string(&part).unwrap(), "# a lamp\n");
        assert_eq!(save(dir.path(), &with, &old).unwrap(), ["parts/lamp.toml"]);
        assert!(!part.exists());

        // The whole journal of a change that makes one file and takes another away.
        let mut other = old.clone();
        other.files.insert("parts/new.toml".into(), "# new\n".into());
        let becomes: Becomes = BTreeMap::from([
            ("parts/lamp.toml".to_owned(), None),
            ("parts/new.toml".to_owned(), Some("# new\n".to_owned())),
        ]);
        let body = serde_json::to_string(&becomes).unwrap();
        let whole = format!("{body}\n{:016x}\n", check_sum(&body));
        for cut in 0..=whole.len() {
            fs::write(&part, "# a lamp\n").unwrap();
            let _ = fs::remove_file(dir.path().join("parts/new.toml"));
            fs::write(dir.path().join(JOURNAL), &whole[..cut]).unwrap();
            let found = Folder::load(dir.path()).unwrap();
            // The line's end behind the check sum says nothing more.
            let want = if cut + 1 >= whole.len() { &other } else { &with };
            assert_eq!(&found, want, "cut at {cut}");
            assert!(!dir.path().join(JOURNAL).exists());
        }
        // Half of it was done before the crash: it is finished.
        fs::write(dir.path().join(JOURNAL), &whole).unwrap();
        assert_eq!(Folder::load(dir.path()).unwrap(), other);
    }

    #[test]
    fn what_stands_at_a_new_files_place_is_not_overwritten() {
        let (dir, old) = robot("old");
        fs::create_dir(dir.path().join("parts")).unwrap();
        let part = dir.path().join("parts/lamp.toml");
        fs::write(&part, [0xff, 0xfe]).unwrap();
        let mut with = old.clone();
        with.files.insert("parts/lamp.toml".into(), "# a lamp\n".into());
        assert!(save(dir.path(), &old, &with).is_err());
        assert_eq!(fs::read(&part).unwrap(), [0xff, 0xfe]);
        // And who has written to a file that is to go keeps it.
        fs::write(&part, "# somebody's\n").unwrap();
        assert!(save(dir.path(), &with, &old).is_err());
        assert_eq!(fs::read_to_string(&part).unwrap(), "# somebody's\n");
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
