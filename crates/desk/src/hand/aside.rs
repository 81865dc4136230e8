//! Work that other threads do meanwhile.

use super::{Deepened, Hand, Mail, Out};
use crate::edits::told;
use crate::history::TextChange;
use crate::room::PageId;
use crate::scene::{Drawn, title};
use crate::talk::{FileChange, Tell};
use loomdeck_model::{Finding, Folder, Remedy, edit};
use loomdeck_study::{Outcome, Study, attempt};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// Trials of remedies at a time; each keeps two cores busy for a moment.
const TRIALS: usize = 3;

impl Hand {
    /// Whether the deep tier of what the files say is still to be worked out. One at a time.
    pub(super) fn wants_deep(&self) -> bool {
        let live = self.room.study().is_some_and(|s| s.deep.is_none());
        live && !self.room.trying() && !self.deepening && self.shallow != Some(self.room.rev())
    }

    pub(super) fn deepen(&mut self) {
        let Some(study) = self.room.study().cloned() else { return };
        let (rev, shared) = (self.room.rev(), Arc::clone(&self.shared));
        self.deepening = true;
        std::thread::spawn(move || {
            let work = || {
                let deep = Study::clone(&study).deepened();
                let drawn = Drawn::of(&deep);
                (Arc::new(deep), drawn)
            };
            let study = catch_unwind(AssertUnwindSafe(work)).ok();
            shared.mailbox.put(Mail::Done(Deepened { rev, study }));
        });
    }

    pub(super) fn deepened(&mut self, done: Deepened) {
        self.deepening = false;
        let Some((study, drawn)) = done.study else {
            self.shallow = Some(done.rev);
            return;
        };
        if self.room.deepened(done.rev, study, drawn) {
            self.show(None);
        }
    }

    /// Tries a remedy on a copy and tells the page what comes of it.
    pub(super) fn preview(&mut self, page: PageId, id: u32, base: u32, finding: &str, remedy: usize) {
        if Arc::strong_count(&self.trials) > TRIALS {
            let why = "Other remedies are still being tried. Ask again when one is done.";
            return self.tell(page, Tell::Refused { answers: id, why: why.to_owned() });
        }
        let (target, remedy) = match self.room.remedy_of(base, finding, remedy) {
            Ok(found) => found,
            Err(no) => return self.refuse(page, id, no),
        };
        let Some(study) = self.room.study().cloned() else { return };
        let (folder, way) = (self.room.folder().clone(), self.pages.get(&page).cloned());
        let running = Arc::clone(&self.trials);
        std::thread::spawn(move || {
            let work = || previewed(id, &folder, &study, &target, &remedy);
            let tell = catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| Tell::Refused {
                answers: id,
                why: "The program itself went wrong over this trial. Your files are as they were."
                    .to_owned(),
            });
            // A page that has gone asks for nothing.
            if let Some(way) = way {
                let _ = way.blocking_send(Out::Tell(tell));
            }
            drop(running);
        });
    }
}

fn previewed(id: u32, folder: &Folder, study: &Study, target: &Finding, remedy: &Remedy) -> Tell {
    let deep;
    let before = if study.deep.is_some() {
        study
    } else {
        deep = study.clone().deepened();
        &deep
    };
    let tried = attempt(folder, before, target, remedy);
    let titles = |all: &[Finding]| all.iter().map(titled).collect();
    Tell::Previewed {
        answers: id,
        works: matches!(tried.outcome, Outcome::Works { .. }),
        outcome: in_words(&tried.outcome),
        gone: titles(&tried.gone),
        brings: titles(&tried.brought),
        changes: changes(folder, &remedy.edits),
    }
}

fn titled(f: &Finding) -> String {
    let subject = f.subjects.first().map_or("", |s| s.name());
    format!("{}: {subject}", title(f.slug))
}

fn in_words(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Works { also_gone: 0 } => {
            "It works: the finding goes, and nothing as severe comes.".to_owned()
        }
        Outcome::Works { also_gone: 1 } => "It works, and one more finding goes with it.".to_owned(),
        Outcome::Works { also_gone } => format!("It works, and {also_gone} more findings go with it."),
        Outcome::StillThere => "The finding stays.".to_owned(),
        Outcome::Brings(_) => "The finding goes, but what comes instead is as severe.".to_owned(),
        Outcome::CannotApply(why) => format!("It cannot be written into the files. {why}"),
    }
}

/// The lines that each change of a remedy replaces, one change after the other.
fn changes(folder: &Folder, edits: &[loomdeck_model::Edit]) -> Vec<FileChange> {
    let mut now = folder.clone();
    let mut all = Vec::new();
    for e in edits {
        let Ok(next) = edit::apply(&now, std::slice::from_ref(e)).map_err(|why| told(&why)) else {
            break;
        };
        let differs = next
            .files
            .iter()
            .filter_map(|(file, new)| lines(file, now.files.get(file).map_or("", String::as_str), new));
        all.extend(differs);
        now = next;
    }
    all
}

/// The whole lines in which two texts differ.
fn lines(file: &str, old: &str, new: &str) -> Option<FileChange> {
    let change = TextChange::between(file, old, new)?;
    let begin = old[..change.from].rfind('\n').map_or(0, |i| i + 1);
    let end_of = |text: &str, at: usize| {
        // A change that ends with a line's end takes that line and no more.
        if at > begin && text[..at].ends_with('\n') {
            at
        } else {
            text[at..].find('\n').map_or(text.len(), |i| at + i + 1)
        }
    };
    let old_end = change.from + change.before.len();
    let new_end = change.from + change.after.len();
    // Where one of them is empty at the beginning of a line, neither may take the line behind it.
    let whole = begin == change.from
        && (change.before.is_empty() || change.before.ends_with('\n'))
        && (change.after.is_empty() || change.after.ends_with('\n'));
    let (old_end, new_end) =
        if whole { (old_end, new_end) } else { (end_of(old, old_end), end_of(new, new_end)) };
    let cut = |text: &str, end: usize| text[begin..end].lines().map(str::to_owned).collect();
    Some(FileChange {
        file: file.to_owned(),
        before: cut(old, old_end),
        after: cut(new, new_end),
        line: old[..begin].matches('\n').count() + 1,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_preview_shows_whole_lines() {
        let told = |old, new| {
            let c = lines("f", old, new).unwrap();
            (c.before.join("|"), c.after.join("|"), c.line)
        };
        let s = str::to_owned;
        assert_eq!(told("a = 1\nb = 25\nc\n", "a = 1\nb = 35\nc\n"), (s("b = 25"), s("b = 35"), 2));
        assert_eq!(told("a\nc\n", "a\nb\nc\n"), (s(""), s("b"), 2));
        assert_eq!(told("a\nb\nc\n", "a\nc\n"), (s("b"), s(""), 2));
        assert_eq!(told("a", "a\nb\n"), (s("a"), s("a|b"), 1));
        assert_eq!(told("x = 1\r\ny\r\n", "x = 2\r\ny\r\n"), (s("x = 1"), s("x = 2"), 1));
        assert!(lines("f", "a", "a").is_none());
    }
}
