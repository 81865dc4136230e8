//! The commands, a file each: its words for `--help`, its options, what it does.

pub mod book;
pub mod check;
pub mod completions;
pub mod explain;
pub mod make;
pub mod man;
pub mod mend;
pub mod new;
pub mod parts;
pub mod schema;
pub mod situations;

use crate::Trouble;
use crate::cli::UnitArg;
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

/// Writes a file whole or not at all: beside its place first, then moved there.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let told = |e: std::io::Error| Trouble::Told(format!("{} cannot be written: {e}.", path.display()));
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".new");
    let fresh = path.with_file_name(name);
    std::fs::write(&fresh, bytes).map_err(told)?;
    std::fs::rename(&fresh, path).map_err(|e| {
        // The half-done file would only confuse.
        let _ = std::fs::remove_file(&fresh);
        told(e)
    })
}
