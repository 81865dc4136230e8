//! A part type while it is put together in a form: every field a text as it was typed.
//!
//! Fields are named by paths: `width`, `corners.2.x`, `terminals.0.role`, `elements.1.channels.0.a`.

use super::{Pt, Unit};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
#[cfg(test)]
use ts_rs::TS;

/// What was typed, by the key of the field.
pub type Typed = BTreeMap<String, String>;

/// A part type as far as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(deny_unknown_fields)]
pub struct DraftType {
    /// Its name; the file is called after it.
    pub name: String,
    /// What a length without a unit is in.
    pub unit: Unit,
    /// Form of its footprint.
    pub shape: Shape,
    /// Sizes, mass, and the other keys of a type.
    #[cfg_attr(test, ts(type = "Record<string, string>"))]
    pub values: Typed,
    /// Corners of its footprint, when that is no rectangle or circle.
    pub corners: Vec<Place>,
    /// Single mounting holes.
    pub holes: Vec<Place>,
    /// Where wires land.
    #[cfg_attr(test, ts(type = "Record<string, string>[]"))]
    pub terminals: Vec<Typed>,
    /// What it does electrically: a `kind` and its keys.
    #[cfg_attr(test, ts(type = "Record<string, string>[]"))]
    pub elements: Vec<Typed>,
}

/// A point as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// From the left.
    pub x: String,
    /// From below.
    pub y: String,
}

/// Form of a footprint.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// Width and depth.
    #[default]
    Rectangle,
    /// A diameter; its middle is the origin.
    Round,
    /// Corners.
    Corners,
}

/// A field that wants something else, or anything.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct Wrong {
    /// Path of the field; empty: the type as a whole.
    pub field: String,
    /// What is wrong with it, or what is wanted.
    pub why: String,
    /// Nothing stands there yet.
    pub missing: bool,
}

/// What can be drawn of a draft so far, mm, as seen looking at the part where it is mounted.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct DraftDrawn {
    /// Footprint; empty until it is known.
    pub outline: Vec<Pt>,
    /// Height above its mounting surface.
    pub height_mm: Option<f64>,
    /// Mounting holes.
    pub holes: Vec<DraftHole>,
    /// Where wires land.
    pub terminals: Vec<DraftTerminal>,
}

/// A mounting hole of a draft.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct DraftHole {
    /// Its centre.
    pub at_mm: Pt,
    /// Its diameter, when known.
    pub diameter_mm: Option<f64>,
}

/// A terminal of a draft.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct DraftTerminal {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub at_mm: Pt,
    /// Direction in which the wire leaves; absent: straight off the part.
    pub direction_deg: Option<f64>,
    /// Its role, when given.
    pub role: String,
}

/// A field of a form.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct FormField {
    /// Its key without a unit; dotted, where it stands in a table.
    pub key: String,
    /// What it looks like, in a few words.
    pub hint: String,
    /// What it means.
    pub about: String,
    /// Words that may stand there.
    pub words: Vec<String>,
    /// Nothing but those words may.
    pub only_these: bool,
    /// It must be given.
    pub required: bool,
    /// It names one of the terminals.
    pub terminal: bool,
    /// It is a list of rows with these fields; empty: it is none.
    pub rows: Vec<FormField>,
}

/// What a part can be, with what such a part begins with.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct TypeKind {
    /// Name of the choice.
    pub key: String,
    /// What it is, for people.
    pub title: String,
    /// What it begins with: names and roles, none of the sizes.
    pub begin: DraftType,
}

/// A model of what a part does electrically, with its fields.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct ElementForm {
    /// Its kind.
    pub kind: String,
    /// What it is.
    pub about: String,
    /// Its keys.
    pub fields: Vec<FormField>,
}

/// Everything that a form for part types needs to know.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct TypeForms {
    /// What a part can be.
    pub kinds: Vec<TypeKind>,
    /// The models.
    pub elements: Vec<ElementForm>,
    /// Fields of a terminal besides its place.
    pub terminal: Vec<FormField>,
    /// Fields of a type that are seldom given.
    pub more: Vec<FormField>,
}

/// A field of a thing as it was typed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(TS))]
#[serde(deny_unknown_fields)]
pub struct Given {
    /// The key, without unit.
    pub key: String,
    /// What was typed, with its unit.
    pub text: String,
}
