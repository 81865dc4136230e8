//! A type that there is already, as a draft.

use super::shape_of;
use super::walk::terminal_spec;
use crate::fields::{shown, table_list};
use crate::talk::{DraftType, Place, Typed, Unit};
use loomdeck_model::format::type_tables::{ELEMENTS, TYPE};
use loomdeck_model::format::{Field, Kind, Spec};
use loomdeck_model::read::names::same;
use loomdeck_model::{Folder, library};
use toml::{Table, Value};

/// A type of the robot's own or of the library as a draft without a name, and what of it a form cannot hold.
///
/// # Errors
/// When there is none of that name.
pub fn like(of: &str, folder: &Folder) -> Result<(DraftType, Vec<String>), String> {
    let named = |t: &Table| t.get("name").and_then(Value::as_str).is_some_and(|n| same(n) == same(of));
    let own = table_list(folder, "type").into_iter().find(named);
    let table = own.or_else(|| from_library(of));
    let table = table.ok_or_else(|| {
        format!("There is no part type called `{}`.", of.chars().take(40).collect::<String>())
    })?;
    Ok(draft(&table))
}

fn from_library(of: &str) -> Option<Table> {
    let text = format!("[[type]]{}", library::as_written(of)?);
    match text.parse::<Table>().ok()?.remove("type")? {
        Value::Array(list) => list.into_iter().find_map(|v| match v {
            Value::Table(t) => Some(t),
            _ => None,
        }),
        _ => None,
    }
}

fn draft(table: &Table) -> (DraftType, Vec<String>) {
    let find = |key: &str| {
        let field = TYPE.fields.iter().find(|f| f.key == key)?;
        table.iter().find_map(|(k, v)| Some((field.unit_in(k)?, v)))
    };
    let mut d = DraftType { shape: shape_of(|key| find(key).is_some()), ..DraftType::default() };
    let mut left_out = Vec::new();
    for field in TYPE.fields {
        let Some((unit, value)) = find(field.key) else { continue };
        match field.key {
            "name" => {}
            "size" => {
                if let Some((x, y)) = point(unit, value) {
                    d.values.insert("width".to_owned(), x);
                    d.values.insert("depth".to_owned(), y);
                }
            }
            "outline" => d.corners = places(unit, value),
            "holes" => d.holes = places(unit, value),
            "terminal" => d.terminals = tables(value).map(terminal).collect(),
            "element" => d.elements = tables(value).filter_map(element).collect(),
            "extends" | "fuse" | "plug" | "reach" => left_out.push(field.key.to_owned()),
            _ => put(&mut d.values, field, "", unit, value),
        }
    }
    d.unit = if find("size").is_some_and(|(unit, _)| unit == "in") { Unit::Inch } else { Unit::Mm };
    (d, left_out)
}

fn tables(value: &Value) -> impl Iterator<Item = &Table> {
    value.as_array().into_iter().flatten().filter_map(Value::as_table)
}

fn terminal(table: &Table) -> Typed {
    let mut typed = Typed::new();
    for field in terminal_spec().map_or(&[][..], |s| s.fields) {
        let Some((unit, value)) = table.iter().find_map(|(k, v)| Some((field.unit_in(k)?, v))) else {
            continue;
        };
        match field.key {
            "at" => {
                if let Some((x, y)) = point(unit, value) {
                    typed.insert("x".to_owned(), x);
                    typed.insert("y".to_owned(), y);
                }
            }
            "wire" => {
                let sizes = value.as_array().into_iter().flatten();
                for (key, size) in ["thinnest", "thickest"].into_iter().zip(sizes) {
                    typed.insert(key.to_owned(), shown::text(&Kind::Size, unit, size));
                }
            }
            _ => put(&mut typed, field, "", unit, value),
        }
    }
    typed
}

fn element(table: &Table) -> Option<Typed> {
    let kind = table.get("kind")?.as_str()?;
    let spec = ELEMENTS.iter().find(|s| s.name == kind)?;
    let mut typed = Typed::new();
    fill(&mut typed, spec, "", table);
    Some(typed)
}

fn fill(typed: &mut Typed, spec: &'static Spec, before: &str, table: &Table) {
    for (key, value) in table {
        if let Some((field, unit)) = spec.field_of(key) {
            put(typed, field, before, unit, value);
        }
    }
}

fn put(typed: &mut Typed, field: &'static Field, before: &str, unit: &str, value: &Value) {
    let key = format!("{before}{}", field.key);
    match (&field.kind, value) {
        (Kind::Table(spec), Value::Table(t)) => fill(typed, spec, &format!("{key}."), t),
        (Kind::Tables(spec), value) => {
            for (i, t) in tables(value).enumerate() {
                fill(typed, spec, &format!("{key}.{i}."), t);
            }
        }
        (kind, value) => {
            typed.insert(key, shown::text(kind, unit, value));
        }
    }
}

/// Both lengths of a point, each with its unit.
fn point(unit: &str, value: &Value) -> Option<(String, String)> {
    let [x, y] = value.as_array()?.as_slice() else { return None };
    Some((format!("{x} {unit}"), format!("{y} {unit}")))
}

fn places(unit: &str, value: &Value) -> Vec<Place> {
    let all = value.as_array().into_iter().flatten();
    all.filter_map(|p| point(unit, p).map(|(x, y)| Place { x, y })).collect()
}
