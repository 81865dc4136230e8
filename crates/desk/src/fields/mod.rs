//! What stands in the files about one thing, key by key, as a person reads and types it.
//!
//! The tables of the format say which keys there are, what they mean and what may stand there; this room only
//! looks up what the robot's own files say.

pub mod follow;
pub mod shown;
pub mod typed;

use crate::talk::{Corners, FieldOn};
use loomdeck_model::element::ElementKind;
use loomdeck_model::format::tables::ROOT;
use loomdeck_model::format::{Field, Kind, Spec};
use loomdeck_model::read::names::same;
use loomdeck_model::{EditValue, Folder, Robot, Subject};
use toml::{Table, Value};

/// Sections that are things of their own, and so no keys of the robot.
const THINGS: [&str; 1] = ["board"];

/// What a thing is, a sentence.
pub fn about(on: &Subject) -> &'static str {
    match on {
        // The table itself speaks of files.
        Subject::Robot => {
            "What holds for the robot as a whole: its name, limits, motion, body, and what is printed."
        }
        _ => spec_of(on).map_or("", |s| s.about),
    }
}

/// Every key of a thing with what stands there; `None` when the thing stands in none of the files.
pub fn of(folder: &Folder, robot: Option<&Robot>, on: &Subject) -> Option<Vec<FieldOn>> {
    let spec = spec_of(on)?;
    let table = table_of(folder, on)?;
    let mut all = Vec::new();
    rows(spec, &table, "", true, &mut all);
    if let Some(robot) = robot {
        suggest(&mut all, robot, on);
    }
    Some(all)
}

/// Every key that a new thing of a kind may have, with the names of what exists where one is wanted.
pub fn blank(robot: Option<&Robot>, on: &Subject) -> Vec<FieldOn> {
    let mut all = Vec::new();
    if let Some(spec) = spec_of(on) {
        rows(spec, &Table::new(), "", true, &mut all);
    }
    if let Some(robot) = robot {
        suggest(&mut all, robot, on);
    }
    all
}

/// The keys that a thing has, with their values: what a second one like it begins with.
pub fn written(folder: &Folder, on: &Subject) -> Option<Vec<(String, EditValue)>> {
    let rows = of(folder, None, on)?;
    let given = rows.into_iter().filter(|r| r.editable && !r.text.is_empty() && r.key != "name");
    Some(given.filter_map(|r| Some((r.key.clone(), value(on, &r.key, &r.text).ok()?))).collect())
}

/// The value that a text means for a key of a thing.
///
/// # Errors
/// What was expected instead.
pub fn value(on: &Subject, key: &str, text: &str) -> Result<EditValue, String> {
    let unknown =
        || format!("The key `{}` is not known there.", key.chars().take(40).collect::<String>());
    match field_of(spec_of(on).ok_or_else(unknown)?, key).ok_or_else(unknown)? {
        Found::Field(field) => typed::read(field, text),
        // The name of a fuse, of an activity.
        Found::Free => Ok(EditValue::Text(text.trim().to_owned())),
    }
}

/// Why a key may not be left empty; `None` when it may.
pub fn needed(on: &Subject, key: &str) -> Option<String> {
    match field_of(spec_of(on)?, key)? {
        Found::Field(f) if f.required && !key.contains('.') => {
            Some(format!("`{key}` must be given. {}", f.about))
        }
        _ => None,
    }
}

enum Found {
    Field(&'static Field),
    Free,
}

fn field_of(spec: &'static Spec, key: &str) -> Option<Found> {
    let (first, rest) = key.split_once('.').map_or((key, None), |(a, b)| (a, Some(b)));
    let field = spec.fields.iter().find(|f| f.key == first)?;
    match (&field.kind, rest) {
        (Kind::Table(inner), Some(rest)) => field_of(inner, rest),
        (Kind::ReferenceMap | Kind::MapOf(_, true), Some(_)) => Some(Found::Free),
        (_, None) => Some(Found::Field(field)),
        _ => None,
    }
}

/// The section in which a kind of thing stands; `None`: the top of the file.
fn section(on: &Subject) -> Option<&'static str> {
    Some(match on {
        Subject::Robot => return None,
        Subject::Board => "board",
        Subject::Part(_) => "part",
        Subject::Plug(_) => "plug",
        Subject::Wire(_) => "wire",
        Subject::Loom(_) => "loom",
        Subject::Cable(_) => "cable",
        Subject::Zone(_) => "zone",
        Subject::Pass(_) => "pass",
        Subject::BoardMount(_) => "mount",
        Subject::KeepOut(_) => "keep_out",
        Subject::Situation(_) => "situation",
        Subject::Day => "day",
        Subject::Type(_) => "type",
    })
}

pub fn spec_of(on: &Subject) -> Option<&'static Spec> {
    let Some(section) = section(on) else { return Some(&ROOT) };
    let field = ROOT.fields.iter().find(|f| f.key == section)?;
    match &field.kind {
        Kind::Table(s) | Kind::Tables(s) => Some(*s),
        _ => None,
    }
}

fn table_of(folder: &Folder, on: &Subject) -> Option<Table> {
    let files = folder.files.iter().filter(|(f, _)| *f != "as-built.toml");
    let mut tables =
        files.filter_map(|(f, t)| Some((f, t.trim_start_matches('\u{feff}').parse::<Table>().ok()?)));
    let Some(section) = section(on) else {
        return tables.find(|(f, _)| *f == "robot.toml").map(|(_, t)| t);
    };
    tables.find_map(|(_, mut t)| match t.remove(section)? {
        Value::Table(t) if *on == Subject::Board => Some(t),
        Value::Array(list) => list.into_iter().find_map(|v| match v {
            Value::Table(t) => {
                let name = t.get("name").and_then(Value::as_str).map(same);
                (name == Some(same(on.name()))).then_some(t)
            }
            _ => None,
        }),
        _ => None,
    })
}

/// Every table of a section, from all files.
pub fn table_list(folder: &Folder, section: &str) -> Vec<Table> {
    let files = folder.files.iter().filter(|(f, _)| *f != "as-built.toml");
    let tables = files.filter_map(|(_, t)| t.trim_start_matches('\u{feff}').parse::<Table>().ok());
    let lists = tables.filter_map(|mut t| t.remove(section));
    let all = lists.flat_map(|v| match v {
        Value::Array(list) => list,
        _ => Vec::new(),
    });
    all.filter_map(|v| match v {
        Value::Table(t) => Some(t),
        _ => None,
    })
    .collect()
}

fn rows(spec: &'static Spec, table: &Table, before: &str, top: bool, all: &mut Vec<FieldOn>) {
    for field in spec.fields {
        let key = format!("{before}{}", field.key);
        let found = table.iter().find_map(|(k, v)| field.unit_in(k).map(|unit| (unit, v)));
        match &field.kind {
            // The sections of the file are things of their own.
            Kind::Table(_) if top && spec.name == ROOT.name && THINGS.contains(&field.key) => {}
            Kind::Tables(_) | Kind::Whole(..) if spec.name == ROOT.name => {}
            Kind::Table(inner) => {
                let empty = Table::new();
                let inside = found.and_then(|(_, v)| v.as_table());
                let from = all.len();
                rows(inner, inside.unwrap_or(&empty), &format!("{key}."), false, all);
                if inside.is_none() {
                    // A table that is not there needs none of its keys.
                    all.iter_mut().skip(from).for_each(|row| row.required = false);
                }
            }
            Kind::ReferenceMap | Kind::MapOf(..) => {
                let free = !matches!(field.kind, Kind::MapOf(_, false));
                let inside = found.and_then(|(_, v)| v.as_table());
                for (k, v) in inside.into_iter().flatten() {
                    let text = v.as_str().map(str::to_owned);
                    all.push(FieldOn {
                        key: format!("{key}.{k}"),
                        editable: free && text.is_some() && !k.contains('.'),
                        text: text.unwrap_or_else(|| v.to_string()),
                        hint: String::new(),
                        about: field.about.to_owned(),
                        words: Vec::new(),
                        corners: None,
                        only_these: false,
                        required: false,
                    });
                }
            }
            kind => {
                let pins = matches!(kind, Kind::Tables(inner) if inner.name == typed::PIN);
                let said = !pins && matches!(kind, Kind::SizeRange | Kind::Tables(_) | Kind::Elements);
                let words = match kind {
                    Kind::Word(words) => words.iter().map(|w| (*w).to_owned()).collect(),
                    Kind::Flag => vec!["yes".to_owned(), "no".to_owned()],
                    _ => Vec::new(),
                };
                if said && found.is_none() {
                    continue;
                }
                all.push(FieldOn {
                    text: found.map_or_else(String::new, |(unit, v)| shown::text(kind, unit, v)),
                    hint: typed::hint(kind),
                    about: field.about.to_owned(),
                    editable: !said,
                    only_these: !words.is_empty(),
                    corners: match kind {
                        Kind::Points => Some(Corners::Plain),
                        _ if pins => Some(Corners::OnFaces),
                        _ => None,
                    },
                    words,
                    required: field.required,
                    key,
                });
            }
        }
    }
}

/// Names that a reference may take, and the ways of a part that could hold a fuse.
fn suggest(all: &mut Vec<FieldOn>, robot: &Robot, on: &Subject) {
    let names: Vec<String> = robot.zones.iter().map(|z| z.name.clone()).collect();
    let cables: Vec<String> = robot.cables.iter().map(|c| c.name.clone()).collect();
    let looms: Vec<String> = robot.looms.iter().map(|l| l.name.clone()).collect();
    for row in all.iter_mut() {
        match (on, row.key.as_str()) {
            (Subject::Part(_) | Subject::Plug(_), "zone") => row.words = names.clone(),
            (Subject::Plug(_), "family") => row.words = families(robot),
            (Subject::Wire(_), "loom") => row.words = looms.clone(),
            (Subject::Wire(_), "cable") => row.words = cables.clone(),
            _ => {}
        }
    }
    let Subject::Part(name) = on else { return };
    let Some(part) = robot.parts.iter().find(|p| same(&p.name) == same(name)) else { return };
    let kind = &robot.types[part.kind.0];
    let fuses: Vec<String> = loomdeck_model::library::fuses().into_iter().map(|t| t.name).collect();
    for way in kind.elements.iter().filter(|e| matches!(e.kind, ElementKind::FuseWay(_))) {
        let key = format!("fuses.{}", way.name);
        match all.iter_mut().find(|r| r.key == key) {
            Some(row) => row.words = fuses.clone(),
            None => all.push(FieldOn {
                key,
                text: String::new(),
                hint: "a fuse, or empty".to_owned(),
                about: "The fuse in this way. Empty: none, and the way is open.".to_owned(),
                words: fuses.clone(),
                corners: None,
                only_these: false,
                required: false,
                editable: true,
            }),
        }
    }
}

/// Families of plugs, the robot's own first.
fn families(robot: &Robot) -> Vec<String> {
    let own = robot.types.iter().filter(|t| t.own && t.plug_family.is_some()).map(|t| t.name.clone());
    let mut all: Vec<String> = own.collect();
    all.extend(loomdeck_model::library::plugs().into_iter().map(|t| t.name));
    all.dedup();
    all
}

#[cfg(test)]
mod tests;
