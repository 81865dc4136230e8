//! Keys of a thing, and part types, as they are told when a page asks.

use super::Pt;
use serde::Serialize;
#[cfg(test)]
use ts_rs::TS;

/// A key of a thing, and what stands there.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct FieldOn {
    /// The key without its unit; dotted, where it stands in a table.
    pub key: String,
    /// What stands there, with its unit; empty: nothing.
    pub text: String,
    /// What it looks like, in a few words; empty: any text.
    pub hint: String,
    /// What it means, and what holds when nothing stands there.
    pub about: String,
    /// Words that may stand there.
    pub words: Vec<String>,
    /// It is a list of points, and how each is written.
    pub corners: Option<Corners>,
    /// Nothing but those words may.
    pub only_these: bool,
    /// It must be given.
    pub required: bool,
    /// It can be typed here; otherwise it is written in the files.
    pub editable: bool,
}

/// An address under which others may come, and its code to be taken with a phone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct PhoneOn {
    /// The address, with its key.
    pub address: String,
    /// How many modules the code is wide, without the free edge of four that it needs.
    pub size: usize,
    /// Its dark modules as the `d` of an SVG path, one unit a module.
    pub path: String,
}

/// How the points of a list are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(TS))]
#[serde(rename_all = "snake_case")]
pub enum Corners {
    /// `120, 40 mm`.
    Plain,
    /// `front 120, 40 mm`.
    OnFaces,
}

/// A part type.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(test, derive(TS))]
pub struct TypeOn {
    /// Name.
    pub name: String,
    /// Title.
    pub title: String,
    /// Shelf it stands on.
    pub group: String,
    /// What it is for.
    pub about: String,
    /// Width, depth and height in words.
    pub size: String,
    /// Footprint, mm, as seen looking at it.
    pub outline: Vec<Pt>,
    /// It is the robot's own.
    pub own: bool,
}
