//! Changes of the files by somebody else: an editor, another program.

use super::{Room, readable};
use crate::history::{Deed, Step};
use crate::scene::Known;
use crate::talk::Mistake;
use loomdeck_model::{Folder, read};
use loomdeck_study::Study;
use std::sync::Arc;

/// What a look at the files brought.
#[derive(Debug, PartialEq, Eq)]
pub enum Outside {
    /// They are as they were.
    Same,
    /// They cannot be read just now.
    Broken,
    /// They can be read again, and are as they were before.
    Mended,
    /// They were changed: what to write down.
    Changed(Deed),
}

impl Room {
    /// Takes in the files as they were just read from disk.
    pub fn outside(&mut self, found: Result<Folder, Vec<Mistake>>) -> Outside {
        let mistakes = match found {
            Err(mistakes) => mistakes,
            Ok(folder) if folder == self.folder && self.study.is_some() => {
                let was_broken = !self.mistakes.is_empty();
                self.mistakes.clear();
                return if was_broken { Outside::Mended } else { Outside::Same };
            }
            Ok(folder) => match readable(&folder) {
                Ok(robot) => return Outside::Changed(self.replaced(folder, robot)),
                Err(_) => read(&folder).1.iter().map(Mistake::from).collect(),
            },
        };
        if mistakes == self.mistakes {
            return Outside::Same;
        }
        self.mistakes = mistakes;
        self.trying = None;
        Outside::Broken
    }

    /// The program broke down over the files as they were just read: they count as not to be read until they
    /// change again.
    pub fn stumbled(&mut self) {
        let message = "The program itself went wrong over these files; what is shown is older. Take your last change of them back, or go on with it.";
        self.mistakes = vec![Mistake {
            file: "robot.toml".to_owned(),
            line: 0,
            column: 0,
            message: message.to_owned(),
            help: None,
        }];
        self.trying = None;
    }

    fn replaced(&mut self, folder: Folder, robot: loomdeck_model::Robot) -> Deed {
        let before = self.study.clone();
        let words = in_words(&self.folder, &folder);
        // Texts that could not be read are no state to come back to.
        let step = before.as_ref().map(|_| Step::between(&words, &self.folder, &folder));
        let deed = step.map_or(Deed::Begin, Deed::Step);
        let study = match &before {
            Some(study) => study.after(robot),
            None => {
                self.known = Known::default();
                Study::live(robot)
            }
        };
        let had_history = !self.history.is_empty();
        self.history.take_down(&deed);
        self.so(folder, Arc::new(study), None);
        if deed == Deed::Begin && had_history {
            let why = "The files could not be read meanwhile, so what you did before can no longer be taken back.";
            self.note = Some(why.to_owned());
        }
        deed
    }
}

/// What somebody else did to the files, in a few words.
fn in_words(old: &Folder, new: &Folder) -> String {
    let names = |all: Vec<&String>| all.into_iter().map(String::as_str).collect::<Vec<_>>().join(", ");
    let came = new.files.keys().filter(|n| !old.files.contains_key(*n)).collect();
    let went = old.files.keys().filter(|n| !new.files.contains_key(*n)).collect();
    let differs = |(n, t): &(&String, &String)| old.files.get(*n).is_some_and(|o| o != *t);
    let changed = new.files.iter().filter(differs).map(|(n, _)| n).collect();
    let [came, went, changed]: [String; 3] = [came, went, changed].map(names);
    let all = [("Change of", changed), ("New file", came), ("Removal of", went)];
    let said = all.into_iter().filter(|(_, n)| !n.is_empty()).map(|(what, n)| format!("{what} {n}"));
    format!("{} outside the desk", said.collect::<Vec<_>>().join(", "))
}
