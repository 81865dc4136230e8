//! The one hand that works at the desk: a thread that owns room, files and history.
//!
//! It takes what waits in the [`Mailbox`](crate::mailbox::Mailbox), studies it, saves it, and tells the pages.
//! Between asks it looks whether somebody else has changed the files. What takes longer (the deep tier, the
//! trial of a remedy) goes to other threads and comes back as mail, so that a drag never waits for it.

mod aside;
mod start;

pub use start::start;

use crate::files::Files;
use crate::history::disk::Disk;
use crate::history::{Deed, Line};
use crate::mailbox::{self, Mailbox};
use crate::room::{Change, No, Outside, PageId, Room, Slid};
use crate::scene::Drawn;
use crate::shown::{Kind, Look, Shown};
use crate::talk::{Ask, Tell, Tick};
use crate::ticks::Ticks;
use loomdeck_study::Study;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::{mpsc, watch};

/// How often the files are looked at: a change outside is seen within half a second.
const LOOK: Duration = Duration::from_millis(200);
/// How long the hand rests before the deep tier is worked out.
const REST: Duration = Duration::from_millis(400);

/// How long an editor may take to write a file.
const MOMENT: Duration = Duration::from_millis(40);

/// What a page is sent besides what is on show.
#[derive(Debug)]
pub enum Out {
    /// Everything from the beginning.
    Everything,
    /// A message.
    Tell(Tell),
    /// This ask is done; what it brought is on show.
    Answered(u32),
    /// What the page looks at from now on; the ask that said so.
    Look(u32, Look),
}

/// The way to a page.
pub type Way = mpsc::Sender<Out>;
/// Mail of this desk.
pub type Mail = mailbox::Mail<Way, Deepened>;
/// Box of this desk.
pub type Post = Mailbox<Way, Deepened>;

/// The deep tier as it comes back.
#[derive(Debug)]
pub struct Deepened {
    rev: u32,
    /// `None`: it broke down.
    study: Option<(Arc<Study>, Drawn)>,
}

/// What server and hand share.
#[derive(Debug)]
pub struct Shared {
    /// What waits to be done.
    pub mailbox: Post,
    /// What is on show.
    pub shown: watch::Sender<Arc<Shown>>,
    /// The study of the files, for what is printed.
    pub study: Mutex<Option<Arc<Study>>>,
}

/// The hand with all it holds.
#[derive(Debug)]
pub struct Hand {
    shared: Arc<Shared>,
    room: Room,
    files: Files,
    disk: Option<Disk>,
    ticks: Ticks,
    pages: BTreeMap<PageId, Way>,
    /// The situation that each page looks at.
    looks: BTreeMap<PageId, String>,
    moved: Instant,
    /// The deep tier is being worked out.
    deepening: bool,
    /// The `rev` whose deep tier broke down: it would do so again.
    shallow: Option<u32>,
    /// Held by every trial of a remedy that runs.
    trials: Arc<()>,
}

impl Hand {
    /// Works until it is told to stop.
    pub fn work(mut self) {
        let mut look = Instant::now() + LOOK;
        loop {
            let now = Instant::now();
            let rest = self.wants_deep().then(|| self.moved + REST);
            let until = rest.map_or(look, |r| r.min(look)).saturating_duration_since(now);
            match self.shared.mailbox.take(until) {
                Some(Mail::Stop) => return,
                Some(mail) => self.open(mail),
                None => {}
            }
            if Instant::now() >= look {
                let looked = catch_unwind(AssertUnwindSafe(|| {
                    if self.files.changed() {
                        self.look();
                    }
                }));
                // It may go wrong again at every look; once is enough to tell.
                if looked.is_err() && self.room.broken().is_none() {
                    self.room.stumbled();
                    self.tell_broken();
                }
                look = Instant::now() + LOOK;
            }
            if self.wants_deep() && self.moved.elapsed() >= REST {
                self.deepen();
            }
        }
    }

    fn open(&mut self, mail: Mail) {
        match mail {
            Mail::Join(page, way) => {
                self.pages.insert(page, way);
            }
            Mail::Leave(page) => {
                self.pages.remove(&page);
                self.looks.remove(&page);
                if self.room.let_go(page) {
                    self.show(None);
                }
            }
            Mail::Done(deep) => self.deepened(deep),
            Mail::Ask(page, ask) => {
                let id = ask.id();
                // A study that breaks down must not take the desk with it: nothing was written yet.
                let done = catch_unwind(AssertUnwindSafe(|| self.answer(page, ask)));
                if done.is_err() {
                    let why = "The program itself went wrong over this, so it was not done. Your files are as they were.";
                    self.tell(page, Tell::Refused { answers: id, why: why.to_owned() });
                }
            }
            Mail::Stop => {}
        }
    }

    fn answer(&mut self, page: PageId, ask: Ask) {
        match ask {
            Ask::Hello { .. } => {
                self.send(page, Out::Everything);
                self.tell(page, self.room.kept(None));
                if let Some(broken) = self.room.broken() {
                    self.tell(page, broken);
                }
                self.tell(page, self.ticked());
            }
            Ask::Edit { id, base, words, edits } => {
                self.change(page, id, |room| room.edit(page, base, &words, &edits));
            }
            Ask::Remedy { id, base, finding, remedy } => {
                self.change(page, id, |room| room.remedy(page, base, &finding, remedy));
            }
            Ask::Field { id, base, on, key, text } => {
                self.change(page, id, |room| room.field(page, base, &on, &key, &text));
            }
            Ask::TakeOut { id, base, on, with_wires } => {
                self.change(page, id, |room| room.take_out(page, base, &on, with_wires));
            }
            Ask::Twin { id, base, of, name, at_mm } => {
                self.change(page, id, |room| room.twin(page, base, &of, &name, at_mm));
            }
            Ask::Rooms { id } => self.tell(page, self.room.rooms(id)),
            Ask::Fields { id, on } => self.told(page, id, self.room.fields(id, &on)),
            Ask::TypeForms { id } => self.tell(page, self.room.type_forms(id)),
            Ask::DraftLike { id, of } => self.told(page, id, self.room.draft_like(id, &of)),
            Ask::Draft { id, draft } => self.told(page, id, self.room.draft(id, &draft)),
            Ask::Form { id, kind } => self.told(page, id, self.room.form(id, &kind)),
            Ask::MakeType { id, draft, .. } => {
                self.change(page, id, |room| room.make_type(page, &draft));
            }
            Ask::New { id, base, on, given } => {
                self.change(page, id, |room| room.fresh(page, base, &on, &given));
            }
            Ask::Library { id } => self.tell(page, self.room.library(id)),
            Ask::Undo { id } => self.change(page, id, |room| room.undo(page)),
            Ask::Redo { id } => self.change(page, id, |room| room.redo(page)),
            Ask::Try { id, edits, .. } => {
                let done = self.room.try_on(page, &edits);
                self.tried(page, id, done);
            }
            Ask::Slide { id, situation, speed_m_s, charge_percent, volume_percent } => {
                let to = Slid { speed_m_s, charge_percent, volume_percent };
                let done = self.room.slide(page, &situation, to);
                self.tried(page, id, done);
            }
            Ask::Look { id, situation, beside } => {
                let look = Look { situation, beside: Some(beside) };
                self.look_at(page, id, look);
            }
            Ask::LetGo { id } => {
                self.room.let_go(page);
                self.moved = Instant::now();
                self.done(page, id);
            }
            Ask::Tick { id, list, name, said, on } => self.tick(page, id, Tick { list, name, said }, on),
            Ask::Preview { id, base, finding, remedy } => self.preview(page, id, base, &finding, remedy),
        }
    }

    /// Tells what was asked for, or why it is not told.
    fn told(&mut self, page: PageId, id: u32, told: Result<Tell, No>) {
        match told {
            Ok(tell) => self.tell(page, tell),
            Err(no) => self.refuse(page, id, no),
        }
    }

    /// Ticks something off; every page is told.
    fn tick(&mut self, page: PageId, id: u32, tick: Tick, on: bool) {
        match self.ticks.set(tick, on) {
            Ok(()) => self.send(page, Out::Answered(id)),
            Err(why) => self.tell(page, Tell::Refused { answers: id, why }),
        }
        let ticked = self.ticked();
        self.tell_all(&ticked);
    }

    fn ticked(&self) -> Tell {
        Tell::Ticks { ticks: self.ticks.list(), why: self.ticks.trouble().map(str::to_owned) }
    }

    /// From now on this is what the page shows.
    fn look_at(&mut self, page: PageId, id: u32, look: Look) {
        let was = match &look.situation {
            Some(now) => self.looks.insert(page, now.clone()),
            None => self.looks.remove(&page),
        };
        if was != look.situation {
            self.show(None);
        }
        self.send(page, Out::Look(id, look));
    }

    fn tried(&mut self, page: PageId, id: u32, done: Result<(), No>) {
        self.moved = Instant::now();
        match done {
            Ok(()) => self.done(page, id),
            Err(no) => self.refuse(page, id, no),
        }
    }

    /// Makes a change: studied, written into the history, saved, shown.
    fn change(&mut self, page: PageId, id: u32, wanted: impl Fn(&Room) -> Result<Change, No>) {
        if self.room.broken().is_some() {
            // Perhaps they have been mended since the last look.
            self.look();
        }
        // Somebody else may write between our look and our save. Then what they wrote is taken in, and the
        // change is judged anew; once, because who writes so often is no hand.
        for again in [true, false] {
            let change = match wanted(&self.room) {
                Ok(change) => change,
                Err(no) => return self.refuse(page, id, no),
            };
            let history = match self.save(&change) {
                Ok(history) => history,
                Err(why) => {
                    let rev = self.room.rev();
                    self.look();
                    if self.room.folder() == &change.after {
                        // It was another program that finished our journal for us.
                        return self.done(page, id);
                    }
                    if again && self.room.rev() != rev {
                        continue;
                    }
                    let refused = Tell::Refused { answers: id, why: why.clone() };
                    self.tell(page, refused);
                    return self.tell_all(&self.room.kept(Some(&why)));
                }
            };
            self.room.accept(change);
            self.mind_history();
            self.moved = Instant::now();
            self.done(page, id);
            return self.tell_all(&with_word(self.room.kept(None), history));
        }
    }

    /// The line of the history goes first, so that a crash leaves at most a line too many. Gives a word when
    /// the history could not be kept.
    fn save(&mut self, change: &Change) -> Result<Option<String>, String> {
        let line = Line::new(now_unix_s(), change.deed.clone(), &change.after);
        let added = self.disk.as_mut().map(|d| d.add(&line));
        let saved = self.files.save(self.room.folder(), &change.after);
        match (saved, added) {
            (Ok(()), Some(Err(_))) => {
                // From here on the file would not tell the truth.
                self.disk = None;
                Ok(Some(NOT_KEPT.to_owned()))
            }
            (Ok(()), _) => Ok(None),
            (Err(why), added) => {
                if let (Some(Ok(end)), Some(disk)) = (added, self.disk.as_mut())
                    && disk.take_back(end).is_err()
                {
                    self.disk = None;
                }
                Err(why)
            }
        }
    }

    /// Reads the files again and takes in what somebody else wrote.
    fn look(&mut self) {
        let found = self.files.load();
        let mut came = self.room.outside(found);
        if came == Outside::Broken {
            // Somebody may be in the middle of writing.
            std::thread::sleep(MOMENT);
            let found = self.files.load();
            let then = self.room.outside(found);
            if then != Outside::Same {
                came = then;
            }
        }
        match came {
            Outside::Same => {}
            Outside::Broken => {
                self.show(None);
                self.tell_broken();
            }
            Outside::Mended => {
                self.show(None);
                self.tell_all(&self.room.kept(None));
            }
            Outside::Changed(deed) => {
                self.write_down(deed);
                self.moved = Instant::now();
                self.show(None);
                self.tell_all(&self.room.kept(None));
            }
        }
    }

    fn tell_broken(&mut self) {
        if let Some(broken) = self.room.broken() {
            self.tell_all(&broken);
        }
    }

    /// Adds a deed that is already on disk to the history.
    fn write_down(&mut self, deed: Deed) {
        let line = Line::new(now_unix_s(), deed, self.room.folder());
        if self.disk.as_mut().is_some_and(|d| d.add(&line).is_err()) {
            self.disk = None;
        }
        self.mind_history();
    }

    /// Steps far back are left to the disk, and fetched when they are next. Without a disk all are held.
    fn mind_history(&mut self) {
        if self.disk.is_some() {
            self.room.let_go_of_steps();
        }
        if self.room.history().is_short() {
            let history = self.disk.as_mut().and_then(|d| d.history().ok());
            self.room.fetch_steps(history);
        }
    }

    fn refuse(&mut self, page: PageId, id: u32, no: No) {
        match no {
            No::Nothing => self.done(page, id),
            No::Refused(why) => self.tell(page, Tell::Refused { answers: id, why }),
            No::Wrong(wrong) => self.tell(page, Tell::Wrong { answers: id, wrong }),
            No::Conflict(why) => {
                let rev = self.room.rev();
                self.room.let_go(page);
                self.show(None);
                self.tell(page, Tell::Conflict { answers: id, why, rev });
            }
        }
    }

    /// Shows what an ask brought, and says that it is done.
    fn done(&mut self, page: PageId, id: u32) {
        self.show(Some((page, id)));
        self.send(page, Out::Answered(id));
    }

    fn show(&mut self, answers: Option<(PageId, u32)>) {
        let room = &self.room;
        let kind = Kind { rev: room.rev(), trying: room.trying(), deep: room.is_deep() };
        let looked_at = self.looks.values().cloned().collect();
        let sections = self.room.sections(&looked_at);
        *self.shared.study.lock().unwrap_or_else(PoisonError::into_inner) = self.room.study().cloned();
        self.shared.shown.send_modify(|shown| {
            *shown = Arc::new(shown.next(kind, sections, answers));
        });
    }

    fn tell(&mut self, page: PageId, tell: Tell) {
        self.send(page, Out::Tell(tell));
    }

    fn tell_all(&mut self, tell: &Tell) {
        let pages: Vec<PageId> = self.pages.keys().copied().collect();
        pages.into_iter().for_each(|p| self.send(p, Out::Tell(tell.clone())));
    }

    /// A page that does not read what it is sent is let go: it comes back and is told everything.
    fn send(&mut self, page: PageId, out: Out) {
        if self.pages.get(&page).is_some_and(|way| way.try_send(out).is_err()) {
            self.pages.remove(&page);
        }
    }
}

const NOT_KEPT: &str =
    "The history cannot be written, so after a restart nothing before it can be taken back.";

fn with_word(kept: Tell, word: Option<String>) -> Tell {
    match kept {
        Tell::Kept { rev, undo, redo, saved, why } => {
            Tell::Kept { rev, undo, redo, saved, why: word.or(why) }
        }
        other => other,
    }
}

/// The wall clock, for the history alone: no result of a study depends on it.
#[allow(clippy::disallowed_types, reason = "the history says when something was done")]
fn now_unix_s() -> u64 {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    since.map_or(0, |d| d.as_secs())
}
