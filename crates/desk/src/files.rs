//! The robot's folder on disk: read, written, and watched for changes by others.
//!
//! Nothing is read or written through a link that leads out of the folder: a robot may come from anyone.

use crate::talk::Mistake;
use loomdeck_model::Folder;
use loomdeck_model::read::folder::{TOP_FILES, plain};
use loomdeck_model::read::journal::{self, JOURNAL};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// How often the content is read although nothing else seems to have changed: every so many looks. Two
/// changes within one tick of the disk's clock can leave time and size alike.
const LOOKS_PER_READING: u32 = 10;

/// A robot's folder.
#[derive(Debug)]
pub struct Files {
    dir: PathBuf,
    seen: Stamps,
    looks: u32,
}

/// Of each file its time of change and its size, as the disk tells them.
type Stamps = BTreeMap<PathBuf, (Option<std::time::Duration>, u64)>;

impl Files {
    /// A folder that holds a robot.
    ///
    /// # Errors
    /// A sentence that says what stands there instead, and how to begin.
    pub fn open(dir: &Path) -> Result<Self, String> {
        let shown = dir.display();
        if dir.is_file() {
            return Err(format!(
                "{shown} is a single file. The desk opens the folder of a robot; put the file into one and call it `robot.toml`."
            ));
        }
        if !dir.exists() {
            return Err(format!(
                "There is no folder {shown}. `loomdeck new {shown}` writes a robot to start from."
            ));
        }
        let own = fs::canonicalize(dir)
            .map_err(|e| format!("The folder {shown} cannot be opened: {}.", plain(&e)))?;
        if !own.is_dir() {
            return Err(format!("{shown} is neither a folder nor a plain file."));
        }
        if !own.join("robot.toml").exists() {
            return Err(format!(
                "There is no robot in {shown}: it has no `robot.toml`. `loomdeck new FOLDER` writes a robot to start from."
            ));
        }
        Ok(Self { dir: own, seen: Stamps::new(), looks: 0 })
    }

    /// Where it is.
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Its name.
    pub fn name(&self) -> String {
        self.dir.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned())
    }

    /// Reads all files.
    ///
    /// # Errors
    /// Every file that cannot be read, or that is a link out of the folder.
    pub fn load(&mut self) -> Result<Folder, Vec<Mistake>> {
        // Before reading: what changes meanwhile is then seen at the next look.
        self.seen = stamps(&self.dir);
        self.guard()?;
        Folder::load(&self.dir).map_err(|problems| problems.iter().map(Mistake::from).collect())
    }

    /// Whether something may have changed since the last reading.
    pub fn changed(&mut self) -> bool {
        self.looks = (self.looks + 1) % LOOKS_PER_READING;
        self.looks == 0 || stamps(&self.dir) != self.seen
    }

    /// Writes what differs. Every file that is written is first held against what was last read.
    ///
    /// # Errors
    /// Why nothing was written; or why it is only half written, which the next reading finishes.
    pub fn save(&mut self, old: &Folder, new: &Folder) -> Result<(), String> {
        self.guard().map_err(|m| m.first().map_or_else(String::new, |m| m.message.clone()))?;
        let saved = journal::save(&self.dir, old, new);
        saved.map(|_| self.seen = stamps(&self.dir)).map_err(|e| match e.raw_os_error() {
            Some(_) => format!("The files cannot be written: {}.", plain(&e)),
            None => format!("{e}."),
        })
    }

    /// Refuses links that lead out of the folder, wherever this program reads or writes.
    fn guard(&self) -> Result<(), Vec<Mistake>> {
        let mut names: Vec<String> = TOP_FILES.iter().map(|n| (*n).to_owned()).collect();
        names.push("parts".to_owned());
        let fresh = TOP_FILES.iter().map(|n| format!("{n}.new"));
        let mut wrong: Vec<Mistake> = names.iter().filter_map(|n| self.leads_out(n)).collect();
        // What a save writes beside a file before it takes its place, and the journal: never links.
        let own = fresh.chain([JOURNAL.to_owned()]);
        wrong.extend(own.filter(|n| is_link(&self.dir.join(n))).map(|n| not_followed(&n, None)));
        if wrong.is_empty() {
            for entry in fs::read_dir(self.dir.join("parts")).into_iter().flatten().flatten() {
                let Ok(name) = entry.file_name().into_string() else { continue };
                let name = format!("parts/{name}");
                if name.ends_with(".toml") {
                    wrong.extend(self.leads_out(&name));
                } else if name.ends_with(".new") && is_link(&entry.path()) {
                    wrong.push(not_followed(&name, None));
                }
            }
        }
        if wrong.is_empty() { Ok(()) } else { Err(wrong) }
    }

    fn leads_out(&self, name: &str) -> Option<Mistake> {
        let path = self.dir.join(name);
        if !is_link(&path) {
            return None;
        }
        match fs::canonicalize(&path) {
            Ok(target) if target.starts_with(&self.dir) => None,
            Ok(target) => Some(not_followed(name, Some(&target))),
            Err(_) => Some(not_followed(name, None)),
        }
    }
}

fn is_link(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|m| m.file_type().is_symlink())
}

fn not_followed(name: &str, target: Option<&Path>) -> Mistake {
    let to = target.map_or_else(|| "somewhere else".to_owned(), |t| t.display().to_string());
    Mistake {
        file: name.to_owned(),
        line: 0,
        column: 0,
        message: format!(
            "`{name}` is a link to {to}, outside this robot's folder. The desk reads and writes nothing there."
        ),
        help: Some("Put the file itself into the folder.".to_owned()),
    }
}

/// Time of change and size of everything a robot can consist of.
fn stamps(dir: &Path) -> Stamps {
    let mut stamps = Stamps::new();
    let mut note = |path: PathBuf| {
        if let Ok(m) = fs::metadata(&path) {
            let at = m.modified().ok().and_then(|t| t.duration_since(std::time::UNIX_EPOCH).ok());
            stamps.insert(path, (at, m.len()));
        }
    };
    TOP_FILES.iter().for_each(|n| note(dir.join(n)));
    note(dir.join(JOURNAL));
    for entry in fs::read_dir(dir.join("parts")).into_iter().flatten().flatten() {
        note(entry.path());
    }
    stamps
}

#[cfg(test)]
mod tests {
    use super::*;

    fn robot() -> tempfile::TempDir {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join("robot.toml"), "format = 1\n[robot]\nname = \"r\"\n").unwrap();
        dir
    }

    #[test]
    fn what_is_no_robot_is_told_how_to_begin() {
        let dir = tempfile::tempdir().unwrap();
        let told = |p: &Path| Files::open(p).err().unwrap();
        assert!(told(dir.path()).contains("loomdeck new"));
        assert!(told(&dir.path().join("nowhere")).contains("loomdeck new"));
        let file = dir.path().join("robot.toml");
        fs::write(&file, "").unwrap();
        assert!(told(&file).contains("single file"));
    }

    #[test]
    fn changes_are_seen_by_their_content_at_last() {
        let dir = robot();
        let mut files = Files::open(dir.path()).unwrap();
        let first = files.load().unwrap();
        assert!(!files.changed());
        fs::write(dir.path().join("board.toml"), "x").unwrap();
        assert!(files.changed());
        let second = files.load().unwrap();
        assert_ne!(first, second);
        // The same size and the same time: seen within a few looks.
        let there = dir.path().join("board.toml");
        let at = fs::metadata(&there).unwrap().modified().unwrap();
        fs::write(&there, "y").unwrap();
        fs::File::options().write(true).open(&there).unwrap().set_modified(at).unwrap();
        let looks = (0..LOOKS_PER_READING).take_while(|_| !files.changed()).count();
        assert!(looks < LOOKS_PER_READING as usize);
        assert_ne!(files.load().unwrap(), second);
    }

    #[test]
    fn own_saves_are_no_change_and_others_are_not_overwritten() {
        let dir = robot();
        let mut files = Files::open(dir.path()).unwrap();
        let old = files.load().unwrap();
        let mut new = old.clone();
        new.files.insert("robot.toml".into(), "format = 1\n".into());
        files.save(&old, &new).unwrap();
        assert!(!files.changed());
        fs::write(dir.path().join("robot.toml"), "somebody's").unwrap();
        let why = files.save(&new, &old).unwrap_err();
        assert!(why.contains("changed by somebody else"), "{why}");
        assert_eq!(fs::read_to_string(dir.path().join("robot.toml")).unwrap(), "somebody's");
    }

    #[cfg(unix)]
    #[test]
    fn links_out_of_the_folder_are_neither_read_nor_written() {
        use std::os::unix::fs::symlink;
        let away = tempfile::tempdir().unwrap();
        let secret = away.path().join("secret.toml");
        fs::write(&secret, "secret = 1\n").unwrap();
        for name in
            ["robot.toml", "board.toml", "parts", "parts/own.toml", "robot.toml.new", "parts/a.toml.new"]
        {
            let dir = robot();
            let path = dir.path().join(name);
            if name.starts_with("parts/") {
                fs::create_dir(dir.path().join("parts")).unwrap();
            }
            let mut files = Files::open(dir.path()).unwrap();
            let old = files.load().unwrap();
            let _ = fs::remove_file(&path);
            symlink(if name == "parts" { away.path() } else { &secret }, &path).unwrap();
            let told = files.load().unwrap_err();
            assert!(told.len() == 1 && told[0].message.contains(name), "{name}: {told:?}");
            let mut new = old.clone();
            new.files.insert("robot.toml".into(), "format = 1\n".into());
            assert!(files.save(&old, &new).is_err(), "{name}");
            assert_eq!(fs::read_to_string(&secret).unwrap(), "secret = 1\n", "{name}");
        }
        // Within the folder a link is as good as a file.
        let dir = robot();
        fs::write(dir.path().join("real.toml"), "").unwrap();
        symlink(dir.path().join("real.toml"), dir.path().join("board.toml")).unwrap();
        let mut files = Files::open(dir.path()).unwrap();
        let old = files.load().unwrap();
        let mut new = old.clone();
        new.files.insert("board.toml".into(), "# kept\n".into());
        files.save(&old, &new).unwrap();
        assert_eq!(fs::read_to_string(dir.path().join("real.toml")).unwrap(), "# kept\n");
    }
}
