//! What was done and can be undone, as the smallest changes of text.
//!
//! A step holds the stretch of each file that it replaced, before and after. Undo puts the one back where
//! the other stands, and only when it does stand there: so what comes back is what was, byte for byte. A file
//! that comes or goes is a stretch that is all of it.
//! [`disk`] keeps the steps in the robot's folder.

pub mod disk;
mod replay;

pub use replay::{ReadBack, read_back};

use loomdeck_model::Folder;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Whether a change leaves its file there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Being {
    /// The file was there and stays.
    #[default]
    Stays,
    /// It was not there before.
    Comes,
    /// It is not there afterwards.
    Goes,
}

impl Being {
    #[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks by reference")]
    fn stays(&self) -> bool {
        *self == Self::Stays
    }
}

/// A stretch of one file that was replaced.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TextChange {
    /// File, relative to the robot's folder.
    pub file: String,
    /// Where it begins, bytes.
    pub from: usize,
    /// What stood there.
    pub before: String,
    /// What stands there now.
    pub after: String,
    /// Whether the file came or went; then the stretch is all of it.
    #[serde(default, skip_serializing_if = "Being::stays")]
    pub being: Being,
}

impl TextChange {
    /// The smallest stretch in which two texts differ; `None` when they do not.
    pub fn between(file: &str, old: &str, new: &str) -> Option<Self> {
        if old == new {
            return None;
        }
        let (a, b) = (old.as_bytes(), new.as_bytes());
        let mut head = a.iter().zip(b).take_while(|(x, y)| x == y).count();
        while !old.is_char_boundary(head) || !new.is_char_boundary(head) {
            head -= 1;
        }
        let room = a.len().min(b.len()) - head;
        let mut tail = a.iter().rev().zip(b.iter().rev()).take(room).take_while(|(x, y)| x == y).count();
        while !old.is_char_boundary(old.len() - tail) || !new.is_char_boundary(new.len() - tail) {
            tail -= 1;
        }
        Some(Self {
            file: file.to_owned(),
            from: head,
            before: old[head..old.len() - tail].to_owned(),
            after: new[head..new.len() - tail].to_owned(),
            being: Being::Stays,
        })
    }

    /// The change of a file between two folders, in either of which it may be missing.
    fn of(file: &str, old: Option<&String>, new: Option<&String>) -> Option<Self> {
        let whole = |being, before: &str, after: &str| Self {
            file: file.to_owned(),
            from: 0,
            before: before.to_owned(),
            after: after.to_owned(),
            being,
        };
        match (old, new) {
            (Some(old), Some(new)) => Self::between(file, old, new),
            (None, Some(new)) => Some(whole(Being::Comes, "", new)),
            (Some(old), None) => Some(whole(Being::Goes, old, "")),
            (None, None) => None,
        }
    }

    /// The change that takes this one back.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self {
            file: self.file.clone(),
            from: self.from,
            before: self.after.clone(),
            after: self.before.clone(),
            being: match self.being {
                Being::Stays => Being::Stays,
                Being::Comes => Being::Goes,
                Being::Goes => Being::Comes,
            },
        }
    }

    /// Carries the change out in a folder; `None` when its file is not what it says.
    fn carry(&self, folder: &mut Folder) -> Option<()> {
        let there = folder.files.get(&self.file);
        let text = match (self.being, there) {
            (Being::Stays, Some(text)) => Some(self.on(text)?),
            (Being::Comes, None) => Some(self.after.clone()),
            (Being::Goes, Some(text)) if *text == self.before => None,
            _ => return None,
        };
        match text {
            Some(text) => folder.files.insert(self.file.clone(), text),
            None => folder.files.remove(&self.file),
        };
        Some(())
    }

    /// Carries the change out in a text; `None` when that is not what it says.
    fn on(&self, text: &str) -> Option<String> {
        let end = self.from.checked_add(self.before.len())?;
        if text.get(self.from..end)? != self.before {
            return None;
        }
        Some([&text[..self.from], &self.after, &text[end..]].concat())
    }
}

/// One step of the builder's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// What it is called.
    pub words: String,
    /// What it changed, at most one stretch of each file.
    pub changes: Vec<TextChange>,
}

impl Step {
    /// The step between two folders.
    pub fn between(words: &str, old: &Folder, new: &Folder) -> Self {
        let names: BTreeSet<&String> = old.files.keys().chain(new.files.keys()).collect();
        let change = |n: &&String| TextChange::of(n, old.files.get(*n), new.files.get(*n));
        Self { words: words.to_owned(), changes: names.iter().filter_map(change).collect() }
    }

    /// Carries the step out.
    ///
    /// # Errors
    /// The first file that does not read as the step says.
    pub fn forth(&self, folder: &Folder) -> Result<Folder, String> {
        carried(self.changes.iter(), folder)
    }

    /// Takes the step back.
    ///
    /// # Errors
    /// The first file that does not read as the step left it.
    pub fn back(&self, folder: &Folder) -> Result<Folder, String> {
        let reversed: Vec<TextChange> = self.changes.iter().map(TextChange::reversed).collect();
        carried(reversed.iter(), folder)
    }
}

fn carried<'c>(
    changes: impl Iterator<Item = &'c TextChange>,
    folder: &Folder,
) -> Result<Folder, String> {
    let mut changed = folder.clone();
    for change in changes {
        if change.carry(&mut changed).is_none() {
            return Err(format!("{} no longer reads as this step left it.", change.file));
        }
    }
    Ok(changed)
}

/// Steps that are held each way; the others are on the disk alone.
pub const HELD: usize = 256;

/// Steps done, and steps taken back. Those nearest to now are held; what lies below them can be on the disk
/// alone, so that a long day takes no more memory than a short one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct History {
    past: Vec<Step>,
    future: Vec<Step>,
    /// Steps below `past` and below `future` that are not held.
    below: [usize; 2],
}

impl History {
    /// The step that undo takes back.
    pub fn undo(&self) -> Option<&Step> {
        self.past.last()
    }
    /// The step that redo does again.
    pub fn redo(&self) -> Option<&Step> {
        self.future.last()
    }
    /// How many steps can be taken back.
    pub const fn len(&self) -> usize {
        self.past.len() + self.below[0]
    }
    /// Whether nothing can be taken back.
    pub const fn is_empty(&self) -> bool {
        self.len() == 0
    }
    /// Steps that are held.
    pub const fn held(&self) -> usize {
        self.past.len() + self.future.len()
    }
    /// The next step to take back or to do again is one that is not held.
    pub const fn is_short(&self) -> bool {
        (self.past.is_empty() && self.below[0] > 0) || (self.future.is_empty() && self.below[1] > 0)
    }
    /// Takes down what was done.
    pub fn take_down(&mut self, deed: &Deed) {
        match deed {
            Deed::Begin => *self = Self::default(),
            Deed::Step(step) => {
                self.past.push(step.clone());
                self.future.clear();
                self.below[1] = 0;
            }
            Deed::Undo => self.future.extend(self.past.pop()),
            Deed::Redo => self.past.extend(self.future.pop()),
        }
    }
    /// Lets go of what is far below; only when the disk has it.
    pub fn let_go(&mut self) {
        for (steps, below) in [&mut self.past, &mut self.future].into_iter().zip(&mut self.below) {
            if steps.len() >= 2 * HELD {
                *below += steps.len() - HELD;
                steps.drain(..steps.len() - HELD);
                steps.shrink_to_fit();
            }
        }
    }
    /// What is not held is gone for good. Says whether there was any.
    pub fn cut_off(&mut self) -> bool {
        std::mem::take(&mut self.below) != [0, 0]
    }
}

/// Something done to the files.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Deed {
    /// Nothing before this can be undone.
    Begin,
    /// A new step.
    Step(Step),
    /// The last step was taken back.
    Undo,
    /// A step was done again.
    Redo,
}

/// A line of the history file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Line {
    /// When, seconds since the beginning of 1970, UTC.
    pub at_unix_s: u64,
    /// What was done.
    pub deed: Deed,
    /// Check sum of all files after it.
    pub sum: String,
}

impl Line {
    /// A line about a deed that left the folder like this.
    pub fn new(at_unix_s: u64, deed: Deed, after: &Folder) -> Self {
        Self { at_unix_s, deed, sum: sum(after) }
    }
}

/// A check sum of all files of a robot (FNV-1a, 64 bit): enough to tell one state from another.
pub fn sum(folder: &Folder) -> String {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut take = |bytes: &[u8]| {
        for b in bytes.iter().chain(&[0xff]) {
            hash = (hash ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3);
        }
    };
    for (name, text) in &folder.files {
        take(name.as_bytes());
        take(text.as_bytes());
    }
    format!("{hash:016x}")
}

#[cfg(test)]
mod tests;
