//! Findings and remedies: inert data that any crate may make and any output may show.

use crate::geometry::{Face, Point};
use crate::mark::Mark;
use crate::robot::Subject;
use crate::units::*;
use crate::wire::{Colour, Gauge, Insulation};
use serde::Serialize;
use std::collections::BTreeMap;

/// How bad it is, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Fire, injury, destroyed part.
    Danger,
    /// Will not work or cannot be built.
    Fix,
    /// Works, but a careful builder would change it.
    Look,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// All, worst first.
    pub const ALL: [Self; 4] = [Self::Danger, Self::Fix, Self::Look, Self::Note];
    /// The word shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Fix => "fix",
            Self::Look => "look",
            Self::Note => "note",
        }
    }
}

/// One thing the builder must know.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// Readable name of the kind of finding: `fuse-larger-than-wire-allows`.
    pub slug: &'static str,
    /// How bad.
    pub severity: Severity,
    /// What it is about; the first is the one to look at.
    pub subjects: Vec<Subject>,
    /// What happens and how much, against which limit. One or two sentences, second person.
    pub what: String,
    /// Why: the inputs that make it so.
    pub why: String,
    /// Its numbers, unit in the key (`temperature_c`).
    pub values: BTreeMap<&'static str, f64>,
    /// The limits they are held against, same keys where possible.
    pub limits: BTreeMap<&'static str, f64>,
    /// What to do, best first. Never empty for `danger` and `fix`.
    pub remedies: Vec<Remedy>,
    /// Standard, handbook or rule behind the limit.
    pub source: &'static str,
    /// Where to put its tag on the drawing of a face.
    pub spot: Option<(Face, Point)>,
    /// What is drawn where it happens.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Mark>,
    /// Situation in which it shows, if it depends on one.
    pub situation: Option<String>,
}

impl Finding {
    /// A finding with its words; numbers, limits, remedies and spot are added with the `with_` methods.
    pub fn new(
        slug: &'static str,
        severity: Severity,
        subject: Subject,
        what: impl Into<String>,
        why: impl Into<String>,
        source: &'static str,
    ) -> Self {
        Self {
            slug,
            severity,
            subjects: vec![subject],
            what: what.into(),
            why: why.into(),
            values: BTreeMap::new(),
            limits: BTreeMap::new(),
            remedies: Vec::new(),
            source,
            spot: None,
            marks: Vec::new(),
            situation: None,
        }
    }
    /// Adds a further subject.
    #[must_use]
    pub fn with_subject(mut self, subject: Subject) -> Self {
        self.subjects.push(subject);
        self
    }
    /// Adds a number.
    #[must_use]
    pub fn with_value(mut self, key: &'static str, value: f64) -> Self {
        self.values.insert(key, value);
        self
    }
    /// Adds a limit.
    #[must_use]
    pub fn with_limit(mut self, key: &'static str, value: f64) -> Self {
        self.limits.insert(key, value);
        self
    }
    /// Adds a remedy.
    #[must_use]
    pub fn with_remedy(mut self, remedy: Remedy) -> Self {
        self.remedies.push(remedy);
        self
    }
    /// Puts its tag on a face.
    #[must_use]
    pub fn with_spot(mut self, face: Face, at: Point) -> Self {
        self.spot = Some((face, at));
        self
    }
    /// Adds what is drawn where it happens.
    #[must_use]
    pub fn with_marks(mut self, marks: impl IntoIterator<Item = Mark>) -> Self {
        self.marks.extend(marks);
        self
    }
    /// Names the situation it shows in.
    #[must_use]
    pub fn with_situation(mut self, name: &str) -> Self {
        self.situation = Some(name.to_owned());
        self
    }
    /// Sorts worst first, then by slug and subjects, so that order never depends on how it was found.
    pub fn sort(findings: &mut [Self]) {
        findings.sort_by(|a, b| {
            (a.severity, a.slug, &a.subjects, &a.situation).cmp(&(
                b.severity,
                b.slug,
                &b.subjects,
                &b.situation,
            ))
        });
    }
}

/// A change that removes a finding.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Remedy {
    /// What to do, in the builder's words, an imperative sentence.
    pub text: String,
    /// The same as changes of the files. Empty when only the builder's hands can do it.
    pub edits: Vec<Edit>,
}

impl Remedy {
    /// A remedy that the tool can apply.
    pub fn edit(text: impl Into<String>, edits: Vec<Edit>) -> Self {
        Self { text: text.into(), edits }
    }
    /// A remedy that only the builder can carry out.
    pub fn advice(text: impl Into<String>) -> Self {
        Self { text: text.into(), edits: Vec::new() }
    }
}

/// One change of the files, named by meaning; only this crate turns it into text.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Edit {
    /// Sets a key of a named thing. A key that carries its unit is given without it (`size`,
    /// `at`, `length`): the unit the file already uses is kept where the value allows. A dotted
    /// key reaches into a table (`fuses.way-3`).
    Set {
        /// The thing.
        on: Subject,
        /// The key, without unit.
        key: String,
        /// The new value.
        value: EditValue,
    },
    /// Removes a key (whatever unit it is written with).
    Unset {
        /// The thing.
        on: Subject,
        /// The key, without unit.
        key: String,
    },
    /// Gives another name to a key of the builder's own choosing (`activity.lamp`); what stands at it stays.
    Rekey {
        /// The thing.
        on: Subject,
        /// The key with the table it is in.
        key: String,
        /// Its new name within that table.
        to: String,
    },
    /// Adds a named thing to the file that holds its kind, last of its kind.
    Add {
        /// The new thing; its name must be free.
        on: Subject,
        /// Its keys in order, without `name`.
        keys: Vec<(String, EditValue)>,
    },
    /// Takes a named thing out.
    Remove {
        /// The thing.
        on: Subject,
    },
}

/// A value written into a file.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum EditValue {
    Text(String),
    Number(f64),
    Flag(bool),
    Texts(Vec<String>),
    Length(Millimetres),
    Point(Point),
    Points(Vec<Point>),
    /// Corners that a wire runs through, each with the face (`front`, `back`) it is on.
    Pins(Vec<(String, Point)>),
    Current(Amperes),
    Angle(Degrees),
    Gauge(Gauge),
    Insulation(Insulation),
    Colour(Colour),
}

/// What `explain` says about a slug: the physics, the source and its limits. Each finding's module
/// owns one.
#[derive(Clone, Copy, Debug)]
pub struct Page {
    /// The slug.
    pub slug: &'static str,
    /// The worst severity it comes with.
    pub severity: Severity,
    /// A title in plain words.
    pub title: &'static str,
    /// What is computed and why it matters, paragraphs separated by blank lines.
    pub physics: &'static str,
    /// Standards, handbooks, rules of thumb.
    pub source: &'static str,
    /// Where the model ends.
    pub limits: &'static str,
    /// A small robot that has the finding (whole file).
    pub before: &'static str,
    /// The same robot with the remedy applied.
    pub after: &'static str,
}
