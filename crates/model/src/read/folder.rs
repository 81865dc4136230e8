//! The files of a robot, as text in memory.

use super::problem::Problem;
use crate::format::{MAX_FILE_BYTES, MAX_FILES};
use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Read};
use std::path::Path;

/// The text files of one robot, by path relative to its folder (with `/`).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Folder {
    /// Path and text. A byte-order mark is part of the text.
    pub files: BTreeMap<String, String>,
}

/// The names of the files a robot may have at the top of its folder.
pub const TOP_FILES: [&str; 4] = ["robot.toml", "board.toml", "wiring.toml", "as-built.toml"];

/// Whether a robot's folder may hold a file of this name: what [`Folder::load`] reads, and no other.
pub fn is_own(name: &str) -> bool {
    let part = |n: &str| n.ends_with(".toml") && !n.starts_with('.') && !n.contains(['/', '\\']);
    TOP_FILES.contains(&name) || name.strip_prefix("parts/").is_some_and(part)
}

impl Folder {
    /// A robot in one text, as if it were `robot.toml`.
    pub fn single(text: impl Into<String>) -> Self {
        Self { files: BTreeMap::from([("robot.toml".to_owned(), text.into())]) }
    }

    /// Reads the folder (or a single file taken as `robot.toml`).
    ///
    /// # Errors
    /// Every file that is missing, too large or not UTF-8, each as a [`Problem`].
    pub fn load(path: &Path) -> Result<Self, Vec<Problem>> {
        let mut folder = Self::default();
        let mut problems = Vec::new();
        if let Err(e) = super::journal::recover(path) {
            let message =
                format!("An interrupted change of this folder cannot be finished: {}.", plain(&e));
            problems.push(about(super::journal::JOURNAL, &message));
        }
        if path.is_file() {
            folder.add(path, "robot.toml", &mut problems);
        } else if !path.is_dir() {
            let there = path.exists();
            let what = if there {
                "This is neither a folder nor a plain file."
            } else {
                "There is no such folder."
            };
            problems.push(about(&path.display().to_string(), what));
        } else {
            for name in TOP_FILES {
                let file = path.join(name);
                if file.exists() {
                    folder.add(&file, name, &mut problems);
                }
            }
            if !folder.files.contains_key("robot.toml") && problems.is_empty() {
                problems.push(about(
                    &path.display().to_string(),
                    "There is no `robot.toml` in this folder. `loomdeck new FOLDER` writes one to start from.",
                ));
            }
            folder.add_own_parts(&path.join("parts"), &mut problems);
        }
        if problems.is_empty() { Ok(folder) } else { Err(problems) }
    }

    fn add_own_parts(&mut self, parts: &Path, problems: &mut Vec<Problem>) {
        if !parts.exists() {
            return;
        }
        let entries = match fs::read_dir(parts) {
            Ok(entries) => entries,
            Err(e) => {
                let message =
                    format!("The folder of your own part types cannot be read: {}.", plain(&e));
                problems.push(about("parts", &message));
                return;
            }
        };
        let mut names: Vec<String> = entries
            .filter_map(|e| e.ok()?.file_name().into_string().ok())
            .filter(|n| n.ends_with(".toml") && !n.starts_with('.'))
            .collect();
        names.sort();
        if names.len() > MAX_FILES {
            problems.push(about(
                "parts",
                &format!("There are {} files here; at most {MAX_FILES} are read.", names.len()),
            ));
            names.truncate(MAX_FILES);
        }
        for name in names {
            self.add(&parts.join(&name), &format!("parts/{name}"), problems);
        }
    }

    fn add(&mut self, file: &Path, name: &str, problems: &mut Vec<Problem>) {
        match text_of(file) {
            Ok(text) => {
                self.files.insert(name.to_owned(), text);
            }
            Err(why) => problems.push(about(name, &why)),
        }
    }
}

/// The text of a file, or a sentence that says why it is none. Pipes and devices are not opened:
/// they may never end.
fn text_of(file: &Path) -> Result<String, String> {
    let told = |e: io::Error| format!("This file cannot be read: {}.", plain(&e));
    if !fs::metadata(file).map_err(told)?.is_file() {
        return Err("This is not a plain file, so it is not read.".to_owned());
    }
    let mut bytes = Vec::new();
    let most = MAX_FILE_BYTES as u64;
    fs::File::open(file).map_err(told)?.take(most + 1).read_to_end(&mut bytes).map_err(told)?;
    if bytes.len() as u64 > most {
        return Err(format!("This file has more than {most} bytes; no more are read."));
    }
    String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to() + 1;
        format!("This file is not UTF-8 text: byte {at} does not fit. Save it as UTF-8.")
    })
}

/// What went wrong with a file, in plain words and without the system's numbers.
pub fn plain(e: &io::Error) -> String {
    match e.kind() {
        io::ErrorKind::NotFound => "it is not there".to_owned(),
        io::ErrorKind::PermissionDenied => "you have no permission".to_owned(),
        io::ErrorKind::AlreadyExists => "something of that name is there already".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::NotADirectory => "a part of the path is no folder".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        io::ErrorKind::ResourceBusy => "it is in use".to_owned(),
        _ => {
            let text = e.to_string();
            text.split(" (os ").next().unwrap_or_default().to_lowercase()
        }
    }
}

fn about(file: &str, message: &str) -> Problem {
    Problem {
        file: file.to_owned(),
        span: 0..0,
        line: 0,
        column: 0,
        message: message.to_owned(),
        help: None,
    }
}
