//! What is ticked off, kept in the robot's folder: `.loomdeck/ticks.json`.
//!
//! A file of its own, because ticks are no part of the robot: they tell how far its builder is.

use crate::history::disk::{OWN, own_folder};
use crate::talk::{Tick, TickList};
use loomdeck_model::read::folder::plain;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Name of the file.
pub const FILE: &str = "ticks.json";
/// Longest name or word that is kept, bytes.
const LONGEST: usize = 1000;
/// So many ticks no robot has.
const MOST: usize = 20_000;

/// The file.
#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    format: u32,
    ticks: Vec<Tick>,
}

/// Ticks by list and name, with what was said of them.
type All = BTreeMap<(TickList, String), String>;

/// The ticks of a robot.
#[derive(Debug)]
pub struct Ticks {
    dir: PathBuf,
    all: All,
    trouble: Option<String>,
}

impl Ticks {
    /// Those of the robot in this folder. What cannot be read is told by [`Ticks::trouble`].
    pub fn open(dir: &Path) -> Self {
        let mut ticks = Self { dir: dir.to_owned(), all: All::new(), trouble: None };
        ticks.read();
        ticks
    }

    /// All, by list and name.
    pub fn list(&self) -> Vec<Tick> {
        let each = self.all.iter();
        each.map(|((list, name), said)| Tick { list: *list, name: name.clone(), said: said.clone() })
            .collect()
    }

    /// Why nothing can be ticked, a sentence.
    pub fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// Ticks something off, or takes its tick away, and writes that down.
    ///
    /// # Errors
    /// A sentence. Nothing has changed then.
    pub fn set(&mut self, tick: Tick, on: bool) -> Result<(), String> {
        // Somebody may have written it meanwhile, or mended it.
        self.read();
        if let Some(why) = &self.trouble {
            return Err(why.clone());
        }
        if tick.name.is_empty() || tick.name.len() > LONGEST || tick.said.len() > LONGEST {
            return Err("What is ticked off has no name that could be kept.".to_owned());
        }
        let mut all = self.all.clone();
        if on {
            all.insert((tick.list, tick.name), tick.said);
        } else {
            all.remove(&(tick.list, tick.name));
        }
        if all.len() > MOST {
            return Err(format!(
                "{OWN}/{FILE} holds {MOST} ticks already. Delete it to begin anew; nothing else is in it."
            ));
        }
        let before = std::mem::replace(&mut self.all, all);
        self.write().inspect_err(|_| self.all = before)
    }

    fn read(&mut self) {
        match read(&self.dir.join(OWN).join(FILE)) {
            Ok(all) => (self.all, self.trouble) = (all, None),
            Err(why) => self.trouble = Some(why),
        }
    }

    /// The new file takes the place of the old one as a whole, or not at all.
    fn write(&self) -> Result<(), String> {
        let own = own_folder(&self.dir, "nothing can be ticked off")?;
        let told = |e: io::Error| format!("{OWN}/{FILE} cannot be written: {}.", plain(&e));
        let mut text = serde_json::to_vec_pretty(&Kept { format: 1, ticks: self.list() })
            .map_err(|e| told(e.into()))?;
        text.push(b'\n');
        let fresh = own.join(format!("{FILE}.new"));
        // What a crash has left; a link there is taken away, and not followed.
        match fs::remove_file(&fresh) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(told(e)),
            _ => {}
        }
        let mut file = File::options().write(true).create_new(true).open(&fresh).map_err(told)?;
        file.write_all(&text).and_then(|()| file.sync_all()).map_err(told)?;
        fs::rename(&fresh, own.join(FILE)).map_err(told)
    }
}

fn read(path: &Path) -> Result<All, String> {
    let help = "Mend or delete it; until then nothing can be ticked off.";
    match fs::symlink_metadata(path) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(All::new()),
        Ok(there) if !there.is_file() => {
            return Err(format!("{OWN}/{FILE} is not a plain file. {help}"));
        }
        _ => {}
    }
    let text = fs::read_to_string(path)
        .map_err(|e| format!("{OWN}/{FILE} cannot be read: {}. {help}", plain(&e)))?;
    let kept: Kept = serde_json::from_str(&text).map_err(|e| {
        format!("{OWN}/{FILE}, line {}, is not as the desk writes it ({e}). {help}", e.line())
    })?;
    if kept.format != 1 {
        return Err(format!(
            "{OWN}/{FILE} is of format {}, and this program knows format 1. {help}",
            kept.format
        ));
    }
    Ok(kept.ticks.into_iter().map(|t| ((t.list, t.name), t.said)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(name: &str, said: &str) -> Tick {
        Tick { list: TickList::Cut, name: name.to_owned(), said: said.to_owned() }
    }

    #[test]
    fn ticks_are_kept_and_taken_away() {
        let dir = tempfile::tempdir().unwrap();
        let mut ticks = Ticks::open(dir.path());
        assert!(ticks.list().is_empty() && ticks.trouble().is_none());
        assert!(!dir.path().join(OWN).exists(), "looking writes nothing");
        ticks.set(cut("b", "30 mm"), true).unwrap();
        ticks.set(cut("a", "20 mm"), true).unwrap();
        ticks.set(cut("b", "35 mm"), true).unwrap();
        assert_eq!(Ticks::open(dir.path()).list(), [cut("a", "20 mm"), cut("b", "35 mm")]);
        ticks.set(cut("a", ""), false).unwrap();
        ticks.set(cut("never", ""), false).unwrap();
        assert_eq!(Ticks::open(dir.path()).list(), [cut("b", "35 mm")]);
        let names: Vec<_> =
            fs::read_dir(dir.path().join(OWN)).unwrap().map(|e| e.unwrap().file_name()).collect();
        assert_eq!(names, [FILE], "nothing else is left");
    }

    #[test]
    fn what_somebody_else_ticked_meanwhile_stays() {
        let dir = tempfile::tempdir().unwrap();
        let (mut one, mut two) = (Ticks::open(dir.path()), Ticks::open(dir.path()));
        one.set(cut("a", ""), true).unwrap();
        two.set(cut("b", ""), true).unwrap();
        assert_eq!(Ticks::open(dir.path()).list(), [cut("a", ""), cut("b", "")]);
    }

    #[test]
    fn what_cannot_be_read_is_told_and_not_overwritten() {
        for text in [
            "{",
            "[]",
            "{\"format\":2,\"ticks\":[]}",
            "{\"format\":1,\"ticks\":[{\"list\":\"x\",\"name\":\"a\"}]}",
        ] {
            let dir = tempfile::tempdir().unwrap();
            fs::create_dir(dir.path().join(OWN)).unwrap();
            let path = dir.path().join(OWN).join(FILE);
            fs::write(&path, text).unwrap();
            let mut ticks = Ticks::open(dir.path());
            assert!(ticks.trouble().unwrap().contains("Mend or delete it"), "{text}");
            assert!(ticks.set(cut("a", ""), true).is_err());
            assert_eq!(fs::read_to_string(&path).unwrap(), text);
            fs::remove_file(&path).unwrap();
            ticks.set(cut("a", ""), true).unwrap();
            assert!(ticks.trouble().is_none());
        }
        let mut ticks = Ticks::open(tempfile::tempdir().unwrap().path());
        assert!(
            ticks.set(cut("", ""), true).is_err()
                && ticks.set(cut(&"x".repeat(2000), ""), true).is_err()
        );
    }

    #[cfg(unix)]
    #[test]
    fn links_are_neither_read_nor_written() {
        use std::os::unix::fs::symlink;
        let away = tempfile::tempdir().unwrap();
        let secret = away.path().join("secret");
        fs::write(&secret, "{\"format\":1,\"ticks\":[]}").unwrap();
        for name in [OWN.to_owned(), format!("{OWN}/{FILE}"), format!("{OWN}/{FILE}.new")] {
            let dir = tempfile::tempdir().unwrap();
            let path = dir.path().join(&name);
            if name != OWN {
                fs::create_dir(dir.path().join(OWN)).unwrap();
            }
            symlink(if name == OWN { away.path() } else { &secret }, &path).unwrap();
            let told = Ticks::open(dir.path()).set(cut("a", ""), true);
            assert_eq!(told.is_ok(), name.ends_with(".new"), "{name}: {told:?}");
            assert_eq!(fs::read_to_string(&secret).unwrap(), "{\"format\":1,\"ticks\":[]}", "{name}");
            assert_eq!(fs::read_dir(away.path()).unwrap().count(), 1, "{name}");
        }
    }
}
