//! The commands, a file each: its words for `--help`, its options, what it does.

pub mod book;
pub mod check;
pub mod compare;
pub mod completions;
pub mod explain;
pub mod faults;
pub mod make;
pub mod man;
pub mod mend;
pub mod new;
pub mod open;
pub mod parts;
pub mod schema;
pub mod service;
pub mod situations;

use crate::Trouble;
use crate::cli::UnitArg;
use loomdeck_model::read::folder::plain;
use loomdeck_model::{Folder, read};
use loomdeck_study::Study;
use std::path::Path;

/// Reads the files of a robot.
pub fn load(path: &Path) -> Result<Folder, Trouble> {
    Folder::load(path).map_err(|problems| Trouble::Files(Folder::default(), problems))
}

/// Reads and studies a robot.
pub fn study(path: &Path) -> Result<(Folder, Study), Trouble> {
    let folder = load(path)?;
    match Study::of_folder(&folder) {
        Ok(study) => Ok((folder, study)),
        Err(problems) => Err(Trouble::Files(folder, problems)),
    }
}

/// Reads and studies a robot in the unit asked for: bits, screws and rounding follow it.
pub fn study_in(path: &Path, unit: &UnitArg) -> Result<Study, Trouble> {
    let folder = load(path)?;
    match read(&folder) {
        (Some(mut robot), _) => {
            robot.book.unit = unit.or_of(&robot);
            Ok(Study::of(robot))
        }
        (None, problems) => Err(Trouble::Files(folder, problems)),
    }
}

/// Writes a file whole or not at all: beside its place first, then moved there. A link is followed; a
/// folder, a device or a robot's own file is refused.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let told = |e: std::io::Error| {
        Trouble::Told(format!("{} cannot be written: {}.", path.display(), plain(&e)))
    };
    let target = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    if let Ok(there) = std::fs::metadata(&target) {
        if there.is_dir() {
            return Err(Trouble::Told(format!("{} is a folder; name a file.", path.display())));
        }
        if !there.is_file() {
            return Err(Trouble::Told(format!(
                "{} is not a plain file; nothing was written.",
                path.display()
            )));
        }
    }
    let Some(name) = target.file_name() else {
        return Err(Trouble::Told(format!("{} is not the name of a file.", path.display())));
    };
    let mut fresh = name.to_owned();
    fresh.push(".new");
    let fresh = target.with_file_name(fresh);
    std::fs::write(&fresh, bytes).map_err(told)?;
    std::fs::rename(&fresh, &target).map_err(|e| {
        // The half-done file would only confuse.
        let _ = std::fs::remove_file(&fresh);
        told(e)
    })
}

/// Refuses to write a result over one of a robot's files.
pub fn not_a_robots_file(path: &Path) -> Result<(), Trouble> {
    if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml")) {
        let text =
            format!("{} would replace a file of a robot; give the result another name.", path.display());
        return Err(Trouble::Told(text));
    }
    Ok(())
}
