//! New things from forms: a part type in a file of its own, and whatever else stands in the files.

use super::{Change, No, PageId, Room};
use crate::draft::{self, drafted, form};
use crate::history::{Deed, Step};
use crate::talk::{DraftType, EditSubject, Given, Tell, Wrong};
use crate::{edits, fields};
use loomdeck_model::{Edit, Subject};

impl Room {
    /// What a form for a part type needs to know.
    pub fn type_forms(&self, answers: u32) -> Tell {
        Tell::TypeForms { answers, forms: form::forms() }
    }

    /// A type that there is, as a draft.
    ///
    /// # Errors
    /// When there is none of that name.
    pub fn draft_like(&self, answers: u32, of: &str) -> Result<Tell, No> {
        let (draft, left_out) = draft::like(of, self.folder()).map_err(No::Refused)?;
        Ok(Tell::DraftLike { answers, draft, left_out })
    }

    /// What of a part type holds so far.
    ///
    /// # Errors
    /// While the files cannot be read.
    pub fn draft(&self, answers: u32, draft: &DraftType) -> Result<Tell, No> {
        let study = self.open()?;
        let d = drafted(draft, self.folder(), &study.robot);
        Ok(Tell::Drafted { answers, drawn: d.drawn, wrong: d.wrong, file: d.file, text: d.text })
    }

    /// A part type written into a file of its own, as a change.
    ///
    /// # Errors
    /// Which fields are missing or wrong.
    pub fn make_type(&self, page: PageId, draft: &DraftType) -> Result<Change, No> {
        let study = self.open()?;
        let d = drafted(draft, self.folder(), &study.robot);
        if !d.wrong.is_empty() {
            return Err(No::Wrong(d.wrong));
        }
        let mut after = self.folder().clone();
        after.files.insert(d.file, d.text);
        let step = Step::between(&format!("Make the type {}", draft.name.trim()), self.folder(), &after);
        self.studied(study, page, after, Deed::Step(step))
    }

    /// The fields that a new thing of a kind may have.
    ///
    /// # Errors
    /// When there is no such kind.
    pub fn form(&self, answers: u32, kind: &str) -> Result<Tell, No> {
        let on = EditSubject { kind: kind.to_owned(), name: Some("new".to_owned()) };
        let on = edits::subject(&on).map_err(No::Refused)?;
        let robot = self.study().map(|s| &s.robot);
        let found = fields::blank(robot, &on);
        Ok(Tell::Fields { answers, about: fields::about(&on).to_owned(), fields: found })
    }

    /// A new thing, as a change.
    ///
    /// # Errors
    /// Which fields are missing or wrong, or why it is not made.
    pub fn fresh(
        &self,
        page: PageId,
        base: u32,
        on: &EditSubject,
        given: &[Given],
    ) -> Result<Change, No> {
        let study = self.open()?;
        let on = edits::subject(on).map_err(No::Refused)?;
        let mut wrong = Vec::new();
        let mut keys = Vec::new();
        for g in given.iter().filter(|g| !g.text.trim().is_empty()) {
            match fields::value(&on, &g.key, &g.text) {
                Ok(value) => keys.push((g.key.clone(), value)),
                Err(why) => wrong.push(Wrong { field: g.key.clone(), why, missing: false }),
            }
        }
        let has = |key: &str| given.iter().any(|g| g.key == key && !g.text.trim().is_empty());
        for row in fields::blank(Some(&study.robot), &on) {
            if row.required && row.key != "name" && !has(&row.key) {
                wrong.push(Wrong { field: row.key, why: row.about, missing: true });
            }
        }
        if on == Subject::Board && !has("size") && !has("outline") {
            let why = "How wide and how high is the board?".to_owned();
            wrong.push(Wrong { field: "size".to_owned(), why, missing: true });
        }
        if !wrong.is_empty() {
            return Err(No::Wrong(wrong));
        }
        let words = if on == Subject::Board {
            "Make the board".to_owned()
        } else {
            format!("Add {}", on.name())
        };
        self.change(study, page, base, &words, &[Edit::Add { on, keys }])
    }
}
