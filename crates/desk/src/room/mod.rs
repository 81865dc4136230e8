//! What is on the desk: the files, their study, what is tried, what can be undone.
//!
//! A machine of states without sockets, disk or clock. Whoever drives it asks for a [`Change`], saves it,
//! and hands it back with [`Room::accept`]; only then is it so.

mod fresh;
mod outside;
mod slide;
mod touch;
mod typed;

pub use outside::Outside;
pub use slide::Slid;

use crate::edits;
use crate::history::{Deed, History, Step};
use crate::scene::{self, Beside, Drawn, Known, Sections};
use crate::talk::{Edit, Mistake, Tell, Wrong};
use loomdeck_model::{
    EditValue, Finding, Folder, PartId, Place, Point, Remedy, Robot, Subject, edit, read,
};
use loomdeck_study::Study;
use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;
use touch::{Touch, touched};

/// Names a page while it is connected.
pub type PageId = u64;

/// How many changes back it is known which keys they touched.
const REMEMBERED: usize = 512;

/// The desk with one robot on it.
#[derive(Debug)]
pub struct Room {
    name: String,
    /// The last texts that could be read.
    folder: Folder,
    /// Their study; `None` until they can be read for the first time.
    study: Option<Arc<Study>>,
    known: Known,
    drawn: Drawn,
    trying: Option<(PageId, Arc<Study>)>,
    /// The parts that the last try moved from where the files of this `rev` have them.
    moving: Option<(u32, Vec<PartId>)>,
    rev: u32,
    history: History,
    log: VecDeque<Logged>,
    mistakes: Vec<Mistake>,
    /// A word about the history.
    note: Option<String>,
}

/// What a change of the files touched.
#[derive(Debug)]
struct Logged {
    rev: u32,
    by: Option<PageId>,
    touched: BTreeSet<Touch>,
}

/// A change of the files that can be made, already studied.
#[derive(Debug)]
pub struct Change {
    /// The texts after it.
    pub after: Folder,
    /// What it is.
    pub deed: Deed,
    study: Arc<Study>,
    by: PageId,
}

/// Why something is not done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum No {
    /// It would leave the files as they are.
    Nothing,
    /// It cannot be done.
    Refused(String),
    /// The files changed underneath.
    Conflict(String),
    /// Some fields want something else.
    Wrong(Vec<Wrong>),
}

impl Room {
    /// A robot whose files read like this; with the mistakes, when they cannot be read.
    pub fn new(name: &str, folder: Folder, history: History, note: Option<String>) -> Self {
        let (study, mistakes) = match read(&folder) {
            (Some(robot), _) => (Some(Arc::new(Study::live(robot))), Vec::new()),
            (None, problems) => (None, problems.iter().map(Mistake::from).collect()),
        };
        Self {
            name: name.to_owned(),
            folder,
            study,
            known: Known::default(),
            drawn: Drawn::default(),
            trying: None,
            moving: None,
            rev: 1,
            history,
            log: VecDeque::new(),
            mistakes,
            note,
        }
    }

    /// The texts as they were last read.
    pub const fn folder(&self) -> &Folder {
        &self.folder
    }
    /// Counts up with every change of the files.
    pub const fn rev(&self) -> u32 {
        self.rev
    }
    /// The study of the files; `None` until they can be read.
    pub const fn study(&self) -> Option<&Arc<Study>> {
        self.study.as_ref()
    }
    /// What is shown is a try.
    pub const fn trying(&self) -> bool {
        self.trying.is_some()
    }
    /// The deep tier is of what is shown.
    pub fn is_deep(&self) -> bool {
        self.shown().is_some_and(|s| s.deep.is_some())
    }
    /// What can be undone and redone.
    pub const fn history(&self) -> &History {
        &self.history
    }

    fn shown(&self) -> Option<&Arc<Study>> {
        self.trying.as_ref().map(|(_, s)| s).or(self.study.as_ref())
    }

    /// What is on show, in sections, with the loads of the situations that somebody looks at; `None` until the files
    /// can be read.
    pub fn sections(&self, looked_at: &BTreeSet<String>) -> Option<Sections> {
        let (known, drawn) = (self.known.clone(), self.drawn.clone());
        let beside = Beside { folder: &self.name, known, drawn, looked_at: looked_at.clone() };
        self.shown().map(|study| scene::sections(study, &beside))
    }

    /// The room that bends, tools and hands want, in the state on show.
    pub fn rooms(&self, answers: u32) -> Tell {
        let (bends, reach) = self.shown().map(|study| scene::rooms(study)).unwrap_or_default();
        Tell::Rooms { answers, bends, reach }
    }

    /// What is on disk and what can be undone.
    pub fn kept(&self, trouble: Option<&str>) -> Tell {
        let words = |s: Option<&Step>| s.map(|s| s.words.clone());
        Tell::Kept {
            rev: self.rev,
            undo: words(self.history.undo()),
            redo: words(self.history.redo()),
            saved: trouble.is_none(),
            why: trouble.map(str::to_owned).or_else(|| self.note.clone()),
        }
    }

    /// The mistakes, while the files cannot be read.
    pub fn broken(&self) -> Option<Tell> {
        let rev = self.rev;
        (!self.mistakes.is_empty()).then(|| Tell::Broken { rev, mistakes: self.mistakes.clone() })
    }

    /// A change that a page wants.
    ///
    /// # Errors
    /// Why it is not made.
    pub fn edit(&self, page: PageId, base: u32, words: &str, edits: &[Edit]) -> Result<Change, No> {
        let study = self.open()?;
        let edits = edits::read(edits).map_err(No::Refused)?;
        self.change(study, page, base, words, &edits)
    }

    /// A remedy of a finding, as a change.
    ///
    /// # Errors
    /// Why it is not made.
    pub fn remedy(&self, page: PageId, base: u32, finding: &str, remedy: usize) -> Result<Change, No> {
        let study = self.open()?;
        let (_, remedy) = self.remedy_of(base, finding, remedy)?;
        self.change(study, page, base, &remedy.text, &remedy.edits)
    }

    /// A remedy with its finding, by the finding's key.
    ///
    /// # Errors
    /// When it is not there, or the page has seen an older robot: its remedies may read otherwise.
    pub fn remedy_of(&self, base: u32, finding: &str, remedy: usize) -> Result<(Finding, Remedy), No> {
        let study = self.open()?;
        if base != self.rev {
            let why = "The robot has changed since this remedy was shown. Look at it again.";
            return Err(No::Conflict(why.to_owned()));
        }
        let all = self.known.with(study);
        let keys = scene::keys(&all);
        let found = keys.iter().position(|k| k == finding).map(|i| all[i].0);
        let found = found.ok_or_else(|| No::Refused("This finding is gone already.".to_owned()))?;
        let remedy = found.remedies.get(remedy).filter(|r| !r.edits.is_empty());
        let by_hand = || No::Refused("This remedy wants your own hands.".to_owned());
        Ok((found.clone(), remedy.ok_or_else(by_hand)?.clone()))
    }

    fn change(
        &self,
        study: &Study,
        page: PageId,
        base: u32,
        words: &str,
        edits: &[loomdeck_model::Edit],
    ) -> Result<Change, No> {
        let old = base != self.rev;
        let after = edit::apply(&self.folder, edits).map_err(|e| {
            let why = edits::told(&e);
            if old { No::Conflict(why) } else { No::Refused(why) }
        })?;
        if old {
            self.may_follow(page, base, &touched(&self.folder, &after))?;
        }
        if after == self.folder {
            return Err(No::Nothing);
        }
        let words = words.trim();
        let words: String = if words.is_empty() { "Change" } else { words }.chars().take(200).collect();
        let step = Step::between(&words, &self.folder, &after);
        self.studied(study, page, after, Deed::Step(step))
    }

    /// Whether a change made from what was seen at `base` may still be made.
    fn may_follow(&self, page: PageId, base: u32, wants: &BTreeSet<Touch>) -> Result<(), No> {
        let known_from = self.log.front().map_or(self.rev, |l| l.rev - 1);
        if base > self.rev || base < known_from {
            let why =
                "You saw an older state of this robot. Here it is as it stands; make your change again.";
            return Err(No::Conflict(why.to_owned()));
        }
        let others = self.log.iter().filter(|l| l.rev > base && l.by != Some(page));
        match others.flat_map(|l| l.touched.intersection(wants)).next() {
            None => Ok(()),
            Some((section, name, key)) => {
                let of = if name.is_empty() { section } else { name };
                Err(No::Conflict(format!(
                    "`{key}` of `{of}` was changed meanwhile, so your change was not made. Here it is as it stands; make your change again."
                )))
            }
        }
    }

    /// Studies the texts after a change. What was tried last is often the same robot.
    fn studied(&self, study: &Study, by: PageId, after: Folder, deed: Deed) -> Result<Change, No> {
        let robot = readable(&after)?;
        let tried = self.trying.as_ref().map(|(_, s)| s).filter(|s| s.robot == robot);
        let study = tried.cloned().unwrap_or_else(|| Arc::new(study.after(robot)));
        Ok(Change { after, deed, study, by })
    }

    /// The last step taken back.
    ///
    /// # Errors
    /// When there is none.
    pub fn undo(&self, page: PageId) -> Result<Change, No> {
        let study = self.open()?;
        let none = || No::Refused("There is nothing to take back.".to_owned());
        let after = self.history.undo().ok_or_else(none)?.back(&self.folder).map_err(No::Refused)?;
        self.studied(study, page, after, Deed::Undo)
    }

    /// The step that was taken back last, once more.
    ///
    /// # Errors
    /// When there is none.
    pub fn redo(&self, page: PageId) -> Result<Change, No> {
        let study = self.open()?;
        let none = || No::Refused("There is nothing to do again.".to_owned());
        let after = self.history.redo().ok_or_else(none)?.forth(&self.folder).map_err(No::Refused)?;
        self.studied(study, page, after, Deed::Redo)
    }

    /// The study of the files, when they can be written to.
    fn open(&self) -> Result<&Study, No> {
        if let Some(m) = self.mistakes.first() {
            let line = if m.line > 0 { format!(", line {}", m.line) } else { String::new() };
            return Err(No::Refused(format!(
                "The files cannot be read just now, so nothing is changed in them. {}{line}: {}",
                m.file, m.message
            )));
        }
        let none = || No::Refused("The files cannot be read yet.".to_owned());
        self.study.as_deref().ok_or_else(none)
    }

    /// A change that was saved: from now on it is so.
    pub fn accept(&mut self, change: Change) {
        self.history.take_down(&change.deed);
        self.so(change.after, change.study, Some(change.by));
    }

    fn so(&mut self, after: Folder, study: Arc<Study>, by: Option<PageId>) {
        self.rev += 1;
        let touched = touched(&self.folder, &after);
        self.log.push_back(Logged { rev: self.rev, by, touched });
        if self.log.len() > REMEMBERED {
            self.log.pop_front();
        }
        self.folder = after;
        self.study = Some(study);
        self.trying = None;
        self.mistakes.clear();
        self.note = None;
    }

    /// Shows what changes would do.
    ///
    /// # Errors
    /// When they cannot be made.
    pub fn try_on(&mut self, page: PageId, edits: &[Edit]) -> Result<(), No> {
        let study = self.open()?;
        let edits = edits::read(edits).map_err(No::Refused)?;
        let moves = moves(&study.robot, &edits);
        let parts = moves.as_ref().map(|m| (self.rev, m.iter().map(|(part, _)| *part).collect()));
        let robot = match moves {
            // They could be moved a moment ago: then the texts need not be written and read for every place that a
            // hand passes. When it rests, the change is made in the texts, and what they say is studied.
            Some(moves) if parts == self.moving => moved(&study.robot, &moves),
            _ => {
                let after =
                    edit::apply(&self.folder, &edits).map_err(|e| No::Refused(edits::told(&e)))?;
                readable(&after)?
            }
        };
        // Whatever a study goes on from, it comes to the same; it is nearer to the place before.
        let near = self.trying.as_ref().map_or(study, |(_, tried)| tried);
        let tried = Arc::new(near.after(robot));
        self.trying = Some((page, tried));
        self.moving = parts;
        Ok(())
    }

    /// Lets go of steps that are far back, when the disk has them.
    pub fn let_go_of_steps(&mut self) {
        self.history.let_go();
    }

    /// The steps next to now as the disk has them; `None`: it has not got them any more.
    pub fn fetch_steps(&mut self, from_disk: Option<History>) {
        match from_disk {
            Some(history) if history.len() == self.history.len() => self.history = history,
            _ => {
                if self.history.cut_off() {
                    self.note = Some(CUT_OFF.to_owned());
                }
            }
        }
    }

    /// Drops what a page tries. Says whether anything changed on show.
    pub fn let_go(&mut self, page: PageId) -> bool {
        let mine = self.trying.as_ref().is_some_and(|(by, _)| *by == page);
        if mine {
            self.trying = None;
        }
        mine
    }

    /// The deep tier of the study of `rev` has come. Says whether it is still wanted.
    pub fn deepened(&mut self, rev: u32, study: Arc<Study>, drawn: Drawn) -> bool {
        let Some(live) = self.study.as_ref().filter(|_| rev == self.rev) else { return false };
        self.known = Known::of(live, &study);
        self.study = Some(study);
        self.drawn = drawn;
        true
    }
}

const CUT_OFF: &str =
    "The history on the disk cannot be read any more, so what you did before cannot be taken back.";

/// Changes that do nothing but put parts elsewhere on their face.
fn moves(robot: &Robot, edits: &[loomdeck_model::Edit]) -> Option<Vec<(PartId, Point)>> {
    let each = edits.iter().map(|edit| match edit {
        loomdeck_model::Edit::Set { on: Subject::Part(name), key, value: EditValue::Point(at) }
            if key == "at" && at.x.is_finite() && at.y.is_finite() =>
        {
            let part = robot.part(name)?;
            matches!(robot.parts[part.0].place, Place::Board(_)).then_some((part, *at))
        }
        _ => None,
    });
    each.collect::<Option<Vec<_>>>().filter(|all| !all.is_empty())
}

/// Millimetres, rounded to a nanometre, as the texts hold it.
fn nanometre(x: f64) -> f64 {
    (x * 1e6).round() / 1e6
}

/// The robot with parts elsewhere on their face.
fn moved(robot: &Robot, moves: &[(PartId, Point)]) -> Robot {
    let mut robot = robot.clone();
    for (part, to) in moves {
        if let Place::Board(place) = &mut robot.parts[part.0].place {
            // As it would be written.
            place.at = Point::new(nanometre(to.x), nanometre(to.y));
        }
    }
    robot
}

/// The robot that texts describe.
fn readable(folder: &Folder) -> Result<Robot, No> {
    let (robot, problems) = read(folder);
    robot.ok_or_else(|| {
        let why = problems.first().map(ToString::to_string).unwrap_or_default();
        No::Refused(format!("The files could not be read after this, so it was not done. {why}"))
    })
}

#[cfg(test)]
mod tests;
