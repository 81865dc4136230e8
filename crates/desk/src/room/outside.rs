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
        let changed: Vec<&str> = folder
            .files
            .iter()
            .filter(|(n, t)| self.folder.files.get(*n) != Some(t))
            .map(|(n, _)| n.as_str())
            .collect();
        let words = format!("Change of {} outside the desk", changed.join(", "));
        // Texts that could not be read are no state to come back to.
        let step = before.as_ref().and_then(|_| Step::between(&words, &self.folder, &folder));
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
            let why = "A file came or went, so what you did before can no longer be taken back.";
            self.note = Some(why.to_owned());
        }
        deed
    }
}
