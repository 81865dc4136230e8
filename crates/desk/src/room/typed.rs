//! Fields as they are read and typed, and a second part like one that is there.

use super::{Change, No, PageId, Room};
use crate::talk::{EditSubject, Pt, Tell};
use crate::{edits, fields, shelf};
use loomdeck_model::{Edit, EditValue, Point, Subject};

impl Room {
    /// What the files say about a thing.
    ///
    /// # Errors
    /// When it stands in none of them.
    pub fn fields(&self, answers: u32, on: &EditSubject) -> Result<Tell, No> {
        let on = edits::subject(on).map_err(No::Refused)?;
        let robot = self.study().map(|s| &s.robot);
        let found = fields::of(self.folder(), robot, &on).ok_or_else(|| nowhere(&on))?;
        Ok(Tell::Fields { answers, about: fields::about(&on).to_owned(), fields: found })
    }

    /// The part types that can be put into the robot.
    pub fn library(&self, answers: u32) -> Tell {
        Tell::Library { answers, types: shelf::types(self.study().map(|s| &s.robot)) }
    }

    /// What was typed into a key, as a change.
    ///
    /// # Errors
    /// What was expected instead, or why it is not made.
    pub fn field(
        &self,
        page: PageId,
        base: u32,
        on: &EditSubject,
        key: &str,
        text: &str,
    ) -> Result<Change, No> {
        let study = self.open()?;
        let on = edits::subject(on).map_err(No::Refused)?;
        let (name, text) = (on.name().to_owned(), text.trim());
        let (words, edit) = if text.is_empty() {
            if let Some(why) = fields::needed(&on, key) {
                return Err(No::Refused(why));
            }
            (format!("Take {key} out of {name}"), Edit::Unset { on, key: key.to_owned() })
        } else {
            let value = fields::value(&on, key, text).map_err(No::Refused)?;
            if key == "name" && on != Subject::Robot {
                let edits = fields::follow::renamed(self.folder(), &on, text);
                return self.change(study, page, base, &format!("Call {name} {text}"), &edits);
            }
            (format!("Set {key} of {name} to {text}"), Edit::Set { on, key: key.to_owned(), value })
        };
        self.change(study, page, base, &words, &[edit])
    }

    /// A thing taken out, as a change, with what names it; wires that end at it go only when that is asked.
    ///
    /// # Errors
    /// Which wires hang on it, what still needs it, or why it is not made.
    pub fn take_out(
        &self,
        page: PageId,
        base: u32,
        on: &EditSubject,
        with_wires: bool,
    ) -> Result<Change, No> {
        let study = self.open()?;
        let on = edits::subject(on).map_err(No::Refused)?;
        let wires = fields::follow::hanging(self.folder(), &on);
        let name = on.name().to_owned();
        if !wires.is_empty() && !with_wires {
            let one = wires.len() == 1;
            let (hang, go) = if one { ("A wire hangs", "it goes") } else { ("Wires hang", "they go") };
            let all = wires.join(", ");
            return Err(No::Refused(format!(
                "{hang} on `{name}`: {all}. Take it out with its wires, and {go} too."
            )));
        }
        let words = match wires.len() {
            0 => format!("Remove {name}"),
            1 => format!("Remove {name} with its wire"),
            n => format!("Remove {name} with {n} wires"),
        };
        let mut all = fields::follow::without(self.folder(), &on).map_err(No::Refused)?;
        all.extend(wires.into_iter().map(|w| Edit::Remove { on: Subject::Wire(w) }));
        all.push(Edit::Remove { on });
        self.change(study, page, base, &words, &all)
    }

    /// A second part like one that is there, as a change.
    ///
    /// # Errors
    /// Why it is not made.
    pub fn twin(
        &self,
        page: PageId,
        base: u32,
        of: &str,
        name: &str,
        at_mm: Option<Pt>,
    ) -> Result<Change, No> {
        let study = self.open()?;
        let first = Subject::Part(of.to_owned());
        let mut keys = fields::written(self.folder(), &first).ok_or_else(|| nowhere(&first))?;
        if let Some([x, y]) = at_mm.filter(|at| at.iter().all(|x| x.is_finite()))
            && let Some((_, at)) = keys.iter_mut().find(|(key, _)| key == "at")
        {
            *at = EditValue::Point(Point::new(x, y));
        }
        let on = edits::subject(&EditSubject { kind: "part".to_owned(), name: Some(name.to_owned()) });
        let add = Edit::Add { on: on.map_err(No::Refused)?, keys };
        self.change(study, page, base, &format!("Add {name}, like {of}"), &[add])
    }
}

fn nowhere(on: &Subject) -> No {
    No::Refused(format!(
        "`{}` stands in none of the robot's own files, so there is nothing of it to write here.",
        on.name()
    ))
}
