//! A part type put together in a form: what of it is missing or wrong, what it looks like so far, and the
//! file that it becomes.
//!
//! The tables of the format say which fields there are and what may stand there. At the end the reader of
//! the files judges the whole text; what it says goes beside the field that it is about.

pub mod form;
mod kinds;
mod like;
mod measure;
mod sheet;
mod walk;

pub use like::like;

use crate::talk::{DraftDrawn, DraftTerminal, DraftType, Pt, Shape, Typed, Wrong};
use loomdeck_model::format::type_tables::{ELEMENTS, TYPE};
use loomdeck_model::format::{Kind, MAX_FILES};
use loomdeck_model::read::names::same;
use loomdeck_model::{Folder, Robot, library, read};
use measure::Measured;
use sheet::Sheet;
use walk::Walk;

/// Most terminals, elements or rows of a draft.
pub const MOST: usize = 200;

/// A draft as it was read.
#[derive(Debug, Default)]
pub struct Drafted {
    /// What can be drawn of it.
    pub drawn: DraftDrawn,
    /// What is missing or wrong.
    pub wrong: Vec<Wrong>,
    /// The file it goes into; empty while the name is none.
    pub file: String,
    /// The whole text; empty while anything is missing or wrong.
    pub text: String,
}

/// Reads a draft for a robot with these files.
pub fn drafted(draft: &DraftType, folder: &Folder, robot: &Robot) -> Drafted {
    let mut walk = Walk::new(draft.unit);
    if draft.terminals.len() > MOST || draft.elements.len() > MOST || draft.holes.len() > MOST {
        walk.say("", &format!("At most {MOST} holes, terminals and models are taken."));
        return Drafted { wrong: walk.wrong, ..Drafted::default() };
    }
    let name = same(draft.name.trim());
    let file = file_of(&name, folder, robot, &mut walk).unwrap_or_default();
    let measured = measure::measured(draft, &mut walk);
    let mut sheet = Sheet::default();
    sheet.words("[[type]]\n");
    sheet.line("name", "name", &walk::quoted(&name));
    for field in TYPE.fields {
        match field.key {
            "name" | "extends" | "outline" | "diameter" | "hole_diameter" | "element" | "fuse"
            | "plug" | "reach" => {}
            "size" => measured.footprint(&mut sheet),
            "holes" => measured.holes(&mut sheet),
            "terminal" => terminals(draft, &mut walk, &mut sheet),
            _ => {
                let entries = walk.entries_of(field, &draft.values, "", "");
                entries.iter().for_each(|e| sheet.entry(e));
            }
        }
    }
    if draft.values.get("height").is_none_or(|t| t.trim().is_empty()) {
        walk.miss("height", "How far does it stand off the board?");
    } else if measured.height == Some(0.0) {
        walk.say("height", "It must be above zero.");
    }
    elements(draft, &mut walk, &mut sheet);
    let drawn = drawn(draft, &measured, &mut Walk::new(draft.unit));
    let mut wrong = walk.wrong;
    if wrong.is_empty() && !file.is_empty() {
        wrong = judged(&sheet, &file, folder);
    }
    let text = if wrong.is_empty() { sheet.text } else { String::new() };
    Drafted { drawn, wrong, file, text }
}

/// The file of a type of this name; says why there can be none.
fn file_of(name: &str, folder: &Folder, robot: &Robot, walk: &mut Walk) -> Option<String> {
    if name.is_empty() {
        walk.miss("name", "It needs a name: letters, digits, `-` and `_`.");
        return None;
    }
    // Names that some systems keep for devices; a folder may go from one machine to another.
    const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
    let low = name.to_lowercase();
    let port = (low.starts_with("com") || low.starts_with("lpt")) && low.chars().count() == 4;
    let bad = name.chars().find(|c| !(c.is_alphanumeric() || matches!(c, '-' | '_')));
    let why = if bad.is_some_and(char::is_whitespace) {
        "A space cannot stand in a name: take letters, digits, `-` and `_`.".to_owned()
    } else if let Some(c) = bad {
        format!("`{}` cannot stand in a name: take letters, digits, `-` and `_`.", c.escape_debug())
    } else if name.len() > 80 {
        "This name is too long for a file: take at most 80 letters.".to_owned()
    } else if DEVICES.contains(&low.as_str()) || port {
        format!("No file can be called `{name}` on every system: take another name.")
    } else if robot.types.iter().any(|t| t.own && same(&t.name) == name) {
        format!("This robot has a part type `{name}` already.")
    } else if library::as_written(name).is_some() {
        format!("The library has a part type `{name}`: take another name.")
    } else {
        let file = format!("parts/{name}.toml");
        let taken = folder.files.keys().any(|f| f.to_lowercase() == file.to_lowercase());
        let own = folder.files.keys().filter(|f| f.starts_with("parts/")).count();
        if taken {
            format!("There is a file {file} already: take another name.")
        } else if own >= MAX_FILES {
            format!("This robot has {own} files of part types; no more are read.")
        } else {
            return Some(file);
        }
    };
    walk.say("name", &why);
    None
}

fn terminals(draft: &DraftType, walk: &mut Walk, sheet: &mut Sheet) {
    if draft.terminals.is_empty() {
        return;
    }
    sheet.words("terminal = [\n");
    for (i, typed) in draft.terminals.iter().enumerate() {
        let path = format!("terminals.{i}.");
        let entries = walk.terminal(typed, &path);
        sheet.words("  ");
        sheet.inline(&entries);
        sheet.words(",\n");
    }
    sheet.words("]\n");
}

fn elements(draft: &DraftType, walk: &mut Walk, sheet: &mut Sheet) {
    for (i, typed) in draft.elements.iter().enumerate() {
        let path = format!("elements.{i}.");
        let kind = typed.get("kind").map_or("", String::as_str);
        let Some(spec) = ELEMENTS.iter().find(|s| s.name == kind) else {
            walk.say(&format!("{path}kind"), "There is no such model.");
            continue;
        };
        if draft.elements.len() > 1 && typed.get("name").is_none_or(|n| n.trim().is_empty()) {
            walk.miss(&format!("{path}name"), "One of several models needs a name.");
        }
        sheet.words("[[type.element]]\n");
        walk.entries(spec, typed, "", &path, &[]).iter().for_each(|e| sheet.entry(e));
    }
}

/// What the reader of the files says to the new file beside all the others.
fn judged(sheet: &Sheet, file: &str, folder: &Folder) -> Vec<Wrong> {
    let mut with = folder.clone();
    with.files.insert(file.to_owned(), sheet.text.clone());
    let (_, problems) = read(&with);
    let said = problems.iter().map(|p| {
        let help = p.help.as_deref().map_or_else(String::new, |h| format!(" {h}"));
        let field = if p.file == file { sheet.path_at(&p.span) } else { String::new() };
        Wrong { field, why: format!("{}{help}", p.message), missing: false }
    });
    said.collect()
}

fn drawn(draft: &DraftType, measured: &Measured, walk: &mut Walk) -> DraftDrawn {
    let outline = measured.outline();
    let terminals = draft.terminals.iter().filter_map(|t| {
        let text = |key: &str| t.get(key).map_or("", |t| t.trim());
        let (x, y) = (text("x"), text("y"));
        let at = [walk.length(x)?, walk.length(y)?];
        Some(DraftTerminal {
            name: text("name").to_owned(),
            at_mm: at,
            direction_deg: direction(text("exit"), t, at, &outline),
            role: text("role").to_owned(),
        })
    });
    DraftDrawn {
        terminals: terminals.collect(),
        height_mm: measured.height,
        holes: measured.drawn_holes(),
        outline,
    }
}

/// The way a wire leaves; as in the files: over the nearest edge when nothing is said.
fn direction(exit: &str, typed: &Typed, at: Pt, outline: &[Pt]) -> Option<f64> {
    match exit {
        "right" => return Some(0.0),
        "up" => return Some(90.0),
        "left" => return Some(180.0),
        "down" => return Some(270.0),
        "off" => return None,
        _ => {}
    }
    let angle = typed.get("exit_angle").map(|t| t.trim().trim_end_matches('°').trim().parse::<f64>());
    if let Some(Ok(angle)) = angle
        && angle.is_finite()
    {
        return Some(angle.rem_euclid(360.0));
    }
    let (low, high) = measure::bounds(outline)?;
    let sides = [
        (high[0] - at[0], 0.0),
        (high[1] - at[1], 90.0),
        (at[0] - low[0], 180.0),
        (at[1] - low[1], 270.0),
    ];
    let nearest = sides.into_iter().fold((f64::INFINITY, 0.0), |b, s| if s.0 < b.0 { s } else { b });
    Some(nearest.1)
}

/// Whether a key of a type is asked for in a place of its own in the form.
pub(super) fn is_main(key: &str, kind: &Kind) -> bool {
    matches!(key, "name" | "extends" | "title" | "about" | "group" | "size" | "outline" | "diameter")
        || matches!(key, "height" | "mass" | "holes" | "hole_diameter")
        || matches!(kind, Kind::Tables(_) | Kind::Elements)
        || matches!(key, "fuse" | "plug")
}

/// Which shape the keys of a type speak of.
pub(super) fn shape_of(has: impl Fn(&str) -> bool) -> Shape {
    if has("diameter") {
        Shape::Round
    } else if has("outline") {
        Shape::Corners
    } else {
        Shape::Rectangle
    }
}

#[cfg(test)]
mod tests;
