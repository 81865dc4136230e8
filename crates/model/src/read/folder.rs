//! The files of a robot, as text in memory.

use super::problem::Problem;
use crate::format::{MAX_FILE_BYTES, MAX_FILES};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// The text files of one robot, by path relative to its folder (with `/`).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Folder {
    /// Path and text. A byte-order mark is part of the text.
    pub files: BTreeMap<String, String>,
}

/// The names of the files a robot may have at the top of its folder.
pub const TOP_FILES: [&str; 4] = ["robot.toml", "board.toml", "wiring.toml", "as-built.toml"];

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
            let message = format!("An interrupted change of this folder cannot be finished: {e}.");
            problems.push(about(super::journal::JOURNAL, &message));
        }
        if path.is_file() {
            folder.add(path, "robot.toml", &mut problems);
        } else if !path.is_dir() {
            problems.push(about(&path.display().to_string(), "There is no such folder."));
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
        let Ok(entries) = fs::read_dir(parts) else { return };
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
        let size = fs::metadata(file).map_or(0, |m| m.len());
        if size > MAX_FILE_BYTES as u64 {
            problems.push(about(
                name,
                &format!("This file has {size} bytes; at most {MAX_FILE_BYTES} are read."),
            ));
            return;
        }
        match fs::read(file) {
            Ok(bytes) => match String::from_utf8(bytes) {
                Ok(text) => {
                    self.files.insert(name.to_owned(), text);
                }
                Err(e) => problems.push(about(
                    name,
                    &format!(
                        "This file is not UTF-8 text: byte {} does not fit. Save it as UTF-8.",
                        e.utf8_error().valid_up_to() + 1
                    ),
                )),
            },
            Err(e) => problems.push(about(name, &format!("This file cannot be read: {e}."))),
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
