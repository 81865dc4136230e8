//! The fields of the form, from the tables of the format.

use super::walk::terminal_spec;
use super::{is_main, kinds};
use crate::fields::typed;
use crate::talk::{ElementForm, FormField, TypeForms};
use loomdeck_model::format::type_tables::{ELEMENTS, TYPE};
use loomdeck_model::format::{Field, Kind, Spec};

/// Everything that the form needs to know.
pub fn forms() -> TypeForms {
    let mut terminal = Vec::new();
    for field in terminal_spec().map_or(&[][..], |s| s.fields) {
        match field.key {
            "at" => {}
            "wire" => terminal.extend([
                size("thinnest", "Thinnest conductor that fits."),
                size("thickest", "Thickest conductor that fits."),
            ]),
            _ => rows(field, "", true, &mut terminal),
        }
    }
    let mut more = Vec::new();
    let seldom = TYPE.fields.iter().filter(|f| !is_main(f.key, &f.kind));
    seldom.for_each(|f| rows(f, "", false, &mut more));
    let element = |spec: &&'static Spec| {
        let mut fields = Vec::new();
        let own = spec.fields.iter().filter(|f| f.key != "kind");
        own.for_each(|f| rows(f, "", false, &mut fields));
        ElementForm { kind: spec.name.to_owned(), about: spec.about.to_owned(), fields }
    };
    TypeForms { kinds: kinds::kinds(), elements: ELEMENTS.iter().map(element).collect(), terminal, more }
}

fn size(key: &str, about: &str) -> FormField {
    FormField {
        key: key.to_owned(),
        hint: typed::hint(&Kind::Size),
        about: about.to_owned(),
        words: Vec::new(),
        only_these: false,
        required: true,
        terminal: false,
        rows: Vec::new(),
    }
}

/// Adds the fields of a key: those of a table one by one, those of a list of tables as its rows.
fn rows(field: &'static Field, before: &str, of_terminal: bool, all: &mut Vec<FormField>) {
    let key = format!("{before}{}", field.key);
    if let Kind::Table(inner) = &field.kind {
        let from = all.len();
        let before = format!("{key}.");
        inner.fields.iter().for_each(|f| rows(f, &before, of_terminal, all));
        // A table that is not there needs none of its keys.
        all.iter_mut().skip(from).for_each(|f| f.required = false);
        return;
    }
    let mut inside = Vec::new();
    if let Kind::Tables(inner) = &field.kind {
        inner.fields.iter().for_each(|f| rows(f, "", of_terminal, &mut inside));
    }
    let words = match &field.kind {
        Kind::Word(words) => words.iter().map(|w| (*w).to_owned()).collect(),
        Kind::Flag => vec!["yes".to_owned(), "no".to_owned()],
        _ if of_terminal && field.key == "fitting" => FITTINGS.map(str::to_owned).to_vec(),
        _ => Vec::new(),
    };
    all.push(FormField {
        hint: typed::hint(&field.kind),
        about: field.about.to_owned(),
        only_these: matches!(field.kind, Kind::Word(_) | Kind::Flag),
        words,
        required: field.required,
        // The name of a model, a channel or an activity is its own.
        terminal: !of_terminal && matches!(field.kind, Kind::Name) && field.key != "name",
        rows: inside,
        key,
    });
}

/// Fittings that are proposed; others have numbers of their own.
const FITTINGS: [&str; 12] = [
    "screw-clamp",
    "spring-clamp",
    "stud-M4",
    "stud-M5",
    "stud-M6",
    "stud-M8",
    "tab-2.8",
    "tab-6.3",
    "contact",
    "pin",
    "solder",
    "lead-150",
];
