//! JSON Schema of the files, generated from the format.

use super::dimension::Dimension;
use super::tables::{AS_BUILT, ROOT};
use super::type_tables::ELEMENTS;
use super::{Field, Kind, MAX_NAME, Spec};
use serde_json::{Map, Value, json};

/// Names, for validators of any make: not all of them know Unicode's classes, so what is shut out is
/// white space and ASCII punctuation; the reader is a little stricter.
const NAME_PATTERN: &str = r"^[^\s!-,./:-@\[-^`{-~]+$";

/// The schema of `robot.toml`, `board.toml`, `wiring.toml` and `parts/*.toml` (any section may stand
/// in any of them, so nothing but the kinds is required at the top).
pub fn schema() -> Value {
    let mut root = table(&ROOT);
    if let Some(o) = root.as_object_mut() {
        o.remove("required");
        o.remove("allOf");
        o.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
        o.insert("title".into(), json!("Files of a robot"));
        o.insert("$defs".into(), json!({ "as-built": table(&AS_BUILT) }));
    }
    root
}

fn table(spec: &Spec) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    let mut all_of = Vec::new();
    for field in spec.fields {
        let spellings = field.spellings();
        for s in &spellings {
            properties.insert(s.clone(), value(field, s));
        }
        if field.required {
            match spellings.as_slice() {
                [one] => required.push(json!(one)),
                many => {
                    let any: Vec<Value> = many.iter().map(|s| json!({ "required": [s] })).collect();
                    all_of.push(json!({ "oneOf": any }));
                }
            }
        }
    }
    let mut object = json!({
        "type": "object",
        "description": spec.about,
        "properties": properties,
        "additionalProperties": false,
    });
    if let Some(o) = object.as_object_mut() {
        if !required.is_empty() {
            o.insert("required".into(), json!(required));
        }
        if !all_of.is_empty() {
            o.insert("allOf".into(), json!(all_of));
        }
    }
    object
}

fn value(field: &Field, spelling: &str) -> Value {
    let unit = spelling[field.key.len()..].trim_start_matches('_');
    let mut v = match &field.kind {
        Kind::Text | Kind::Coded => json!({ "type": "string" }),
        Kind::Reference => json!({ "type": "string", "minLength": 1 }),
        Kind::Name => {
            json!({ "type": "string", "minLength": 1, "maxLength": MAX_NAME, "pattern": NAME_PATTERN })
        }
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Whole(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Kind::Number(low, high) | Kind::Percent(low, high) => {
            json!({ "type": "number", "minimum": low, "maximum": high })
        }
        Kind::Quantity(d, low, high) => quantity(*d, unit, *low, *high),
        Kind::Size => size(unit),
        Kind::SizeRange => json!({ "type": "array", "items": size(unit), "minItems": 2, "maxItems": 2 }),
        Kind::Point | Kind::Extent => {
            json!({ "type": "array", "items": { "type": "number" }, "minItems": 2, "maxItems": 2 })
        }
        Kind::Points => json!({
            "type": "array",
            "items": { "type": "array", "items": { "type": "number" }, "minItems": 2, "maxItems": 2 },
        }),
        Kind::Word(words) => json!({ "enum": words }),
        Kind::CodedList | Kind::References => json!({ "type": "array", "items": { "type": "string" } }),
        Kind::Table(spec) => table(spec),
        Kind::Tables(spec) => json!({ "type": "array", "items": table(spec) }),
        Kind::Elements => {
            let any: Vec<Value> = ELEMENTS.iter().map(|s| table(s)).collect();
            json!({ "type": "array", "items": { "oneOf": any } })
        }
        Kind::ReferenceMap => json!({ "type": "object", "additionalProperties": { "type": "string" } }),
        Kind::MapOf(spec, true) => json!({
            "type": "object",
            "additionalProperties": { "oneOf": [{ "type": "string" }, table(spec)] },
        }),
        Kind::MapOf(spec, false) => json!({ "type": "object", "additionalProperties": table(spec) }),
    };
    if let Some(o) = v.as_object_mut()
        && !matches!(field.kind, Kind::Table(_))
    {
        o.insert("description".into(), json!(field.about));
    }
    v
}

fn quantity(d: Dimension, unit: &str, low: f64, high: f64) -> Value {
    match (d.from_base(low, unit), d.from_base(high, unit)) {
        (Some(low), Some(high)) => json!({ "type": "number", "minimum": low, "maximum": high }),
        _ => json!({ "type": "string", "pattern": r"^\s*[+-]?[0-9.]+\s*\S+" }),
    }
}

fn size(unit: &str) -> Value {
    match unit {
        "mm2" => json!({ "type": "number", "minimum": 0.02, "maximum": 300 }),
        "awg" => json!({ "anyOf": [
            { "type": "integer", "minimum": -3, "maximum": 40 },
            { "type": "string", "pattern": "^[1-4]/0$|^[0-9]+$" },
        ]}),
        _ => json!({ "type": "string" }),
    }
}
