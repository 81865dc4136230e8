//! What page and program say to one another: JSON, one message to a text frame.
//!
//! These are the only types that know the wire. `web/src/talk.ts` is made of them (`cargo xtask types`), and
//! a test holds the two together.

macro_rules! shown {
    ($($item:item)*) => {
        $(
            #[derive(Clone, Debug, PartialEq, Serialize)]
            #[cfg_attr(test, derive(TS))]
            $item
        )*
    };
}

mod draft;
mod make;
mod sections;
mod thing;
#[cfg(test)]
mod types;

pub use draft::*;
pub use make::*;
pub use sections::*;
pub use thing::*;

use serde::{Deserialize, Serialize};
#[cfg(test)]
use ts_rs::TS;

/// Page to program.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(tag = "ask", rename_all = "snake_case")]
pub enum Ask {
    /// Change the files: one step that can be undone.
    Edit {
        /// Number that the answer carries.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// What the step is called: `Move heart`.
        words: String,
        /// The changes, in order; all or none.
        edits: Vec<Edit>,
    },
    /// Show what changes would do, while a hand moves. The last one wins; nothing is saved.
    Try {
        /// Number that the answer carries. A try that a later one overtakes is not answered.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// The changes, in order.
        edits: Vec<Edit>,
    },
    /// Drop the try and show the files again.
    LetGo {
        /// Number that the answer carries.
        id: u32,
    },
    /// Take the last step back.
    Undo {
        /// Number that the answer carries.
        id: u32,
    },
    /// Do the step that was taken back last once more.
    Redo {
        /// Number that the answer carries.
        id: u32,
    },
    /// Apply a remedy: one step that can be undone.
    Remedy {
        /// Number that the answer carries.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// Key of the finding.
        finding: String,
        /// Which of its remedies, from 0.
        remedy: usize,
    },
    /// Try a remedy on a copy and say what comes of it.
    Preview {
        /// Number that the answer carries.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// Key of the finding.
        finding: String,
        /// Which of its remedies, from 0.
        remedy: usize,
    },
    /// Solve a situation with another speed, state of charge or volume. Nothing is saved; the last one wins.
    Slide {
        /// Number that the answer carries. A slide that a later one overtakes is not answered.
        id: u32,
        /// Name of the situation.
        situation: String,
        /// Speed over ground; absent: as the files say.
        #[cfg_attr(test, ts(optional))]
        speed_m_s: Option<f64>,
        /// State of charge of every battery, 0 to 100; absent: as the files say.
        #[cfg_attr(test, ts(optional))]
        charge_percent: Option<f64>,
        /// Volume of every amplifier, 0 to 100; absent: as the files say.
        #[cfg_attr(test, ts(optional))]
        volume_percent: Option<f64>,
    },
    /// Tick something off, or take its tick away. Told to every page.
    Tick {
        /// Number that the answer carries.
        id: u32,
        /// What it is: a cut, a step …
        list: TickList,
        /// Which: its key in that list.
        name: String,
        /// How it was when it was done: of a cut, its length.
        said: String,
        /// It is done.
        on: bool,
    },
    /// What the files say about a thing, key by key.
    Fields {
        /// Number that the answer carries.
        id: u32,
        /// The thing.
        on: EditSubject,
    },
    /// Write what was typed into a key, with its unit; nothing typed takes the key out. One step that can be undone.
    Field {
        /// Number that the answer carries.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// The thing.
        on: EditSubject,
        /// The key, without unit.
        key: String,
        /// What was typed.
        text: String,
    },
    /// What a form for a part type needs to know.
    TypeForms {
        /// Number that the answer carries.
        id: u32,
    },
    /// What a type of the library or the robot's own says, as a draft.
    DraftLike {
        /// Number that the answer carries.
        id: u32,
        /// Name of the type.
        of: String,
    },
    /// What of a part type holds so far; nothing is written.
    Draft {
        /// Number that the answer carries.
        id: u32,
        /// The type as far as it was typed.
        draft: DraftType,
    },
    /// Write a part type into a file of its own. One step that can be undone.
    MakeType {
        /// Number that the answer carries.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// The type.
        draft: DraftType,
    },
    /// The fields of a kind of thing that a new one must or may have.
    Form {
        /// Number that the answer carries.
        id: u32,
        /// The kind.
        #[cfg_attr(test, ts(type = "SubjectKind"))]
        kind: String,
    },
    /// Make a thing from what was typed. One step that can be undone.
    New {
        /// Number that the answer carries.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// The thing; its name must be free.
        on: EditSubject,
        /// Its keys.
        given: Vec<Given>,
    },
    /// The part types that can be put into the robot.
    Library {
        /// Number that the answer carries.
        id: u32,
    },
    /// The room that bends, tools and hands want, in the state on show.
    Rooms {
        /// Number that the answer carries.
        id: u32,
    },
    /// Take a thing out, and out of whatever names it. One step that can be undone.
    TakeOut {
        /// Number that the answer carries.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// The thing.
        on: EditSubject,
        /// With the wires that end at it; otherwise it is refused when there are any.
        with_wires: bool,
    },
    /// A second part like one that is there. One step that can be undone.
    Twin {
        /// Number that the answer carries.
        id: u32,
        /// The `rev` that the page saw.
        base: u32,
        /// Name of the part that is there.
        of: String,
        /// Name of the new one; it must be free.
        name: String,
        /// Where it goes; absent: as the other (in a zone).
        #[cfg_attr(test, ts(optional))]
        at_mm: Option<Pt>,
    },
    /// What the page shows, from now on: nothing else is sent to it, however much changes. A page that has not said
    /// so is sent all but the loads. Said before `hello` it is not answered.
    Look {
        /// Number that the answer carries.
        id: u32,
        /// The situation whose loads it shows.
        situation: Option<String>,
        /// What it shows beside the board, the lists and the findings.
        beside: Vec<BesideTheBoard>,
    },
    /// The first word after connecting: everything is told, then what changes.
    Hello {
        /// The last `rev` that the page saw, when it was connected before.
        #[cfg_attr(test, ts(optional))]
        seen: Option<u32>,
    },
}

impl Ask {
    /// The number that the answer carries; 0 for a hello.
    pub const fn id(&self) -> u32 {
        match self {
            Self::Edit { id, .. }
            | Self::Try { id, .. }
            | Self::LetGo { id }
            | Self::Undo { id }
            | Self::Redo { id }
            | Self::Remedy { id, .. }
            | Self::Preview { id, .. }
            | Self::Slide { id, .. }
            | Self::Look { id, .. }
            | Self::Tick { id, .. }
            | Self::Fields { id, .. }
            | Self::Field { id, .. }
            | Self::Library { id }
            | Self::Rooms { id }
            | Self::TypeForms { id }
            | Self::DraftLike { id, .. }
            | Self::Draft { id, .. }
            | Self::MakeType { id, .. }
            | Self::Form { id, .. }
            | Self::New { id, .. }
            | Self::TakeOut { id, .. }
            | Self::Twin { id, .. } => *id,
            Self::Hello { .. } => 0,
        }
    }
}

/// What not every page shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "they are the names of sections")]
pub enum BesideTheBoard {
    GoodNews,
    Diagram,
    Make,
}

/// Program to page.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(tag = "tell", rename_all = "snake_case")]
pub enum Tell {
    /// What is shown has changed.
    Study {
        /// Counts up with every change of the files.
        rev: u32,
        /// The ask that this answers, when it was one of this page's.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[cfg_attr(test, ts(optional))]
        answers: Option<u32>,
        /// What is shown is a try, and not what the files say.
        trying: bool,
        /// The deep tier is of this state; otherwise findings marked `deep` and some good news are older.
        deep: bool,
        /// Only the sections that changed. Filled in as text, as what follows: they are JSON already.
        #[cfg_attr(test, ts(type = "Partial<Sections>"))]
        sections: (),
        /// Of lists whose names and order are as told before: only the things that changed, to be put in the
        /// place of those of the same name (findings: of the same key).
        #[serde(skip_serializing_if = "skip")]
        #[cfg_attr(
            test,
            ts(
                optional,
                type = "Partial<Pick<Sections, \"parts\" | \"plugs\" | \"wires\" | \"looms\" | \"findings\">>"
            )
        )]
        changed: (),
    },
    /// It could not be done. Nothing changed.
    Refused {
        /// The ask.
        answers: u32,
        /// Why, a sentence for the builder.
        why: String,
    },
    /// The files changed underneath. Nothing was written.
    Conflict {
        /// The ask.
        answers: u32,
        /// Why, a sentence for the builder.
        why: String,
        /// The `rev` of the files now.
        rev: u32,
    },
    /// The room that is wanted.
    Rooms {
        /// The ask.
        answers: u32,
        /// By the bends of wires in front of their terminals.
        bends: Vec<RoomWanted>,
        /// By tools and hands at screws, terminals, latches and what is used.
        reach: Vec<RoomWanted>,
    },
    /// What a remedy would do.
    Previewed {
        /// The ask.
        answers: u32,
        /// The finding goes and nothing as severe comes.
        works: bool,
        /// What comes of it, a sentence.
        outcome: String,
        /// Titles of the findings that go.
        gone: Vec<String>,
        /// Titles of the findings that come.
        brings: Vec<String>,
        /// The lines that change.
        changes: Vec<FileChange>,
    },
    /// What the files say about a thing.
    Fields {
        /// The ask.
        answers: u32,
        /// What such a thing is.
        about: String,
        /// Its keys in the order of the format.
        fields: Vec<FieldOn>,
    },
    /// The part types that can be put into the robot.
    Library {
        /// The ask.
        answers: u32,
        /// The types, the robot's own first.
        types: Vec<TypeOn>,
    },
    /// What a form for a part type needs to know.
    TypeForms {
        /// The ask.
        answers: u32,
        /// All of it.
        forms: TypeForms,
    },
    /// A type as a draft.
    DraftLike {
        /// The ask.
        answers: u32,
        /// The draft; its name is still to be given.
        draft: DraftType,
        /// What of the type a form cannot hold.
        left_out: Vec<String>,
    },
    /// What of a part type holds so far.
    Drafted {
        /// The ask.
        answers: u32,
        /// What can be drawn of it.
        drawn: DraftDrawn,
        /// What is missing or wrong.
        wrong: Vec<Wrong>,
        /// The file it would be written into; empty while the name is none.
        file: String,
        /// What would be written; empty until it is whole.
        text: String,
    },
    /// Nothing was made: some fields want something else.
    Wrong {
        /// The ask.
        answers: u32,
        /// The fields.
        wrong: Vec<Wrong>,
    },
    /// The files cannot be read just now. The last study stays on show.
    Broken {
        /// The `rev` of that study.
        rev: u32,
        /// Every mistake in them.
        mistakes: Vec<Mistake>,
    },
    /// Who the page is to this desk. The first that it is told.
    Welcome {
        /// It came over the network, by an address that is made for others.
        guest: bool,
        /// It may change the robot; otherwise it looks and ticks off.
        may_edit: bool,
        /// Addresses under which others may come; empty for a guest, and when there are none.
        phones: Vec<PhoneOn>,
        /// Who comes by them may change the robot too.
        phones_may_edit: bool,
    },
    /// What is ticked off.
    Ticks {
        /// All of it.
        ticks: Vec<Tick>,
        /// Why nothing can be ticked, when it cannot.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[cfg_attr(test, ts(optional))]
        why: Option<String>,
    },
    /// What is on disk, and what can be undone.
    Kept {
        /// The `rev` on disk.
        rev: u32,
        /// The step that undo takes back.
        undo: Option<String>,
        /// The step that redo does again.
        redo: Option<String>,
        /// The files hold what is shown.
        saved: bool,
        /// A word about saving or about the history, when there is one.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[cfg_attr(test, ts(optional))]
        why: Option<String>,
    },
}

/// What is filled in as text is not serialised.
#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands it over so")]
const fn skip((): &()) -> bool {
    true
}

/// Lines of a file that a change replaces.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct FileChange {
    /// File, relative to the robot's folder.
    pub file: String,
    /// Lines as they are.
    pub before: Vec<String>,
    /// Lines as they would be.
    pub after: Vec<String>,
    /// Number of the first of them, from 1.
    pub line: usize,
}

/// Something in the files that cannot be read.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct Mistake {
    /// File, relative to the robot's folder.
    pub file: String,
    /// Line, from 1; 0: the file as a whole.
    pub line: usize,
    /// Column in characters, from 1; 0: the file as a whole.
    pub column: usize,
    /// What is wrong, whole sentences.
    pub message: String,
    /// What to write instead, when that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, ts(optional))]
    pub help: Option<String>,
}

impl From<&loomdeck_model::Problem> for Mistake {
    fn from(p: &loomdeck_model::Problem) -> Self {
        Self {
            file: p.file.clone(),
            line: p.line,
            column: p.column,
            message: p.message.clone(),
            help: p.help.clone(),
        }
    }
}

/// One change of the files.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Edit {
    /// Sets a key, named without its unit.
    Set {
        /// The thing.
        on: EditSubject,
        /// The key.
        key: String,
        /// Its value.
        value: EditValue,
    },
    /// Takes a key out, whatever unit it is written with.
    Unset {
        /// The thing.
        on: EditSubject,
        /// The key.
        key: String,
    },
    /// Adds a thing.
    Add {
        /// The thing; its name must be free.
        on: EditSubject,
        /// Its keys in order, without `name`.
        keys: Vec<(String, EditValue)>,
    },
    /// Takes a thing out.
    Remove {
        /// The thing.
        on: EditSubject,
    },
}

/// A named thing of the files.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(deny_unknown_fields)]
pub struct EditSubject {
    /// Its kind.
    #[cfg_attr(test, ts(type = "SubjectKind"))]
    pub kind: String,
    /// Its name; absent for `robot`, `board` and `day`.
    #[cfg_attr(test, ts(optional))]
    pub name: Option<String>,
}

/// A value, with its unit in the name.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum EditValue {
    Text(String),
    Number(f64),
    Flag(bool),
    Texts(Vec<String>),
    LengthMm(f64),
    PointMm(Pt),
    CurrentA(f64),
    AngleDeg(f64),
    Mm2(f64),
    Awg(i32),
}
