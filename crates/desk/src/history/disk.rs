//! The history in the robot's folder: `.loomdeck/history.jsonl`, a line for each deed, only ever added to.
//!
//! Each line is on the disk before the files are changed, so that a crash at any moment leaves either both or
//! a line too many, which reading back takes off.

use super::replay::told_by;
use super::{History, Line, read_back};
use loomdeck_model::Folder;
use loomdeck_model::read::folder::plain;
use std::fs::{self, File};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// The desk's own folder in a robot's.
pub const OWN: &str = ".loomdeck";
/// The history in it.
pub const FILE: &str = "history.jsonl";

/// A history larger than this is not read back: 64 MiB are several hundred thousand steps.
const LARGEST: u64 = 64 << 20;

/// The open history file. Holding it keeps a second desk away from the same robot.
#[derive(Debug)]
pub struct Disk {
    file: File,
    end: u64,
}

/// The history as it was found.
#[derive(Debug)]
pub struct Found {
    /// What can be undone.
    pub history: History,
    /// Where it goes on.
    pub disk: Disk,
    /// It could not go on from what was there: it has to begin anew.
    pub anew: bool,
}

/// Why the history cannot be kept.
#[derive(Debug)]
pub enum Trouble {
    /// Another desk holds it.
    Taken,
    /// A sentence.
    Told(String),
}

/// Opens the history of a robot, reads it back, and takes off what was never finished.
///
/// # Errors
/// When another desk has it open, or it cannot be read and written, or is a link.
pub fn open(dir: &Path, folder: &Folder) -> Result<Found, Trouble> {
    let path = place(dir).map_err(Trouble::Told)?;
    let told = |e: io::Error| Trouble::Told(format!("{OWN}/{FILE} cannot be kept: {}.", plain(&e)));
    let options = File::options().read(true).write(true).create(true).truncate(false).open(&path);
    let mut file = options.map_err(told)?;
    match file.try_lock() {
        Ok(()) => {}
        Err(fs::TryLockError::WouldBlock) => return Err(Trouble::Taken),
        // A disk without locks: two desks there are the builder's own care.
        Err(fs::TryLockError::Error(_)) => {}
    }
    let length = file.metadata().map_err(told)?.len();
    let mut bytes = Vec::new();
    if length <= LARGEST {
        file.read_to_end(&mut bytes).map_err(told)?;
    }
    let mut found = read_back(&bytes, folder);
    if length > LARGEST {
        found.anew = true;
    }
    let end = found.keep as u64;
    if length != end {
        file.set_len(end).map_err(told)?;
    }
    file.seek(SeekFrom::Start(end)).map_err(told)?;
    Ok(Found { history: found.history, disk: Disk { file, end }, anew: found.anew })
}

/// Where the history is, its folder made when it is not there.
fn place(dir: &Path) -> Result<PathBuf, String> {
    let path = own_folder(dir, "no history is kept")?.join(FILE);
    match fs::symlink_metadata(&path) {
        Ok(there) if !there.is_file() => {
            Err(format!("{OWN}/{FILE} is not a plain file, so no history is kept."))
        }
        _ => Ok(path),
    }
}

/// The desk's own folder in a robot's, made when it is not there. Links are not followed: they could lead
/// anywhere.
///
/// # Errors
/// A sentence that says what follows from it.
pub fn own_folder(dir: &Path, so: &str) -> Result<PathBuf, String> {
    let own = dir.join(OWN);
    match fs::symlink_metadata(&own) {
        Ok(there) if there.is_dir() => {}
        Ok(_) => return Err(format!("{OWN} is not a folder, so {so}.")),
        Err(_) => {
            fs::create_dir(&own).map_err(|e| format!("{OWN} cannot be made: {}.", plain(&e)))?;
        }
    }
    Ok(own)
}

impl Disk {
    /// Whether anything stands in it.
    pub const fn has_lines(&self) -> bool {
        self.end > 0
    }

    /// Adds a line and waits until the disk has it. Gives what [`Disk::take_back`] wants.
    ///
    /// # Errors
    /// When it cannot be written; nothing of it stays then.
    pub fn add(&mut self, line: &Line) -> io::Result<u64> {
        let before = self.end;
        let mut bytes = serde_json::to_vec(line)?;
        bytes.push(b'\n');
        let written = self.file.write_all(&bytes).and_then(|()| self.file.sync_data());
        match written {
            Ok(()) => {
                self.end += bytes.len() as u64;
                Ok(before)
            }
            Err(e) => {
                self.take_back(before)?;
                Err(e)
            }
        }
    }

    /// The history as it stands on the disk, the steps next to now held.
    ///
    /// # Errors
    /// When it cannot be read any more.
    pub fn history(&mut self) -> io::Result<History> {
        let mut bytes = vec![0; usize::try_from(self.end).map_err(io::Error::other)?];
        self.file.seek(SeekFrom::Start(0))?;
        let read = self.file.read_exact(&mut bytes);
        self.file.seek(SeekFrom::Start(self.end))?;
        read.map(|()| told_by(&bytes))
    }

    /// Takes a line off again, because what it told of did not come to pass.
    ///
    /// # Errors
    /// When the file cannot be written; reading back takes the line off then.
    pub fn take_back(&mut self, end: u64) -> io::Result<()> {
        self.file.set_len(end)?;
        self.file.seek(SeekFrom::Start(end))?;
        self.end = end;
        Ok(())
    }
}
