//! The key tables of `docs/format.md`, generated from the format.

use super::tables::{AS_BUILT, ROOT};
use super::type_tables::ELEMENTS;
use super::{Field, Kind, Spec};
use crate::units::three_digits;
use std::fmt::Write;

/// Markdown tables of every section, in the order of the format.
pub fn markdown() -> String {
    let mut out = String::new();
    let mut done: Vec<&'static str> = Vec::new();
    section(&ROOT, "", &mut out, &mut done);
    section(&AS_BUILT, "", &mut out, &mut done);
    out
}

fn section(spec: &'static Spec, path: &str, out: &mut String, done: &mut Vec<&'static str>) {
    if done.contains(&spec.about) {
        return;
    }
    done.push(spec.about);
    let title = if path.is_empty() { spec.name.to_owned() } else { format!("`{path}`") };
    let _ = writeln!(out, "### {title}\n\n{}\n\n| key | what | |\n|---|---|---|", spec.about);
    for f in spec.fields {
        let must = if f.required { "**required.** " } else { "" };
        let _ = writeln!(
            out,
            "| `{}` | {} | {must}{} |",
            shown_key(f),
            kind(f),
            f.about.replace('|', "\\|")
        );
    }
    out.push('\n');
    // `[[type.element]] kind = "battery"`: what is below such a heading hangs on its bare path.
    let inner = path.split("]").next().unwrap_or_default().trim_start_matches('[');
    let dot = if inner.is_empty() { "" } else { "." };
    for f in spec.fields {
        let below = |open: &str, close: &str| format!("{open}{inner}{dot}{}{close}", f.key);
        match &f.kind {
            Kind::Table(s) | Kind::MapOf(s, _) => section(s, &below("[", "]"), out, done),
            Kind::Tables(s) => section(s, &below("[[", "]]"), out, done),
            Kind::Elements => {
                for s in ELEMENTS {
                    let name = format!("{} kind = \"{}\"", below("[[", "]]"), s.name);
                    section(s, &name, out, done);
                }
            }
            _ => {}
        }
    }
}

fn shown_key(f: &Field) -> String {
    match &f.kind {
        Kind::Quantity(d, ..) => format!("{}_{}", f.key, d.suffixes()[0].0),
        Kind::Point | Kind::Extent | Kind::Points => format!("{}_mm", f.key),
        Kind::Percent(..) => format!("{}_percent", f.key),
        Kind::Size | Kind::SizeRange => format!("{}_mm2", f.key),
        _ => f.key.to_owned(),
    }
}

fn kind(f: &Field) -> String {
    match &f.kind {
        Kind::Text => "text".to_owned(),
        Kind::Name => "name".to_owned(),
        Kind::Reference => "name of another thing".to_owned(),
        Kind::Coded => "text".to_owned(),
        Kind::CodedList => "list of texts".to_owned(),
        Kind::References => "list of names".to_owned(),
        Kind::Flag => "true or false".to_owned(),
        Kind::Whole(a, b) if a == b => format!("{a}"),
        Kind::Whole(a, b) => format!("whole number, {a} to {b}"),
        Kind::Number(a, b) => format!("number, {} to {}", three_digits(*a), three_digits(*b)),
        Kind::Percent(a, b) => format!("percent, {} to {}", three_digits(*a), three_digits(*b)),
        Kind::Quantity(d, a, b) => {
            format!("{}, {} to {} {}", d.word(), three_digits(*a), three_digits(*b), d.symbol())
        }
        Kind::Size => "wire size".to_owned(),
        Kind::SizeRange => "two wire sizes".to_owned(),
        Kind::Point => "point [x, y]".to_owned(),
        Kind::Extent => "[width, height]".to_owned(),
        Kind::Points => "list of points".to_owned(),
        Kind::Word(words) => words.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(" "),
        Kind::Table(_) => "table".to_owned(),
        Kind::Tables(_) | Kind::Elements => "list of tables".to_owned(),
        Kind::ReferenceMap => "table of names".to_owned(),
        Kind::MapOf(_, true) => "table by part: a name or a table".to_owned(),
        Kind::MapOf(_, false) => "table by part".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::{Folder, read};

    const MARK: &str = "do not edit below -->\n\n";
    const PAGE: &str = include_str!("../../../../docs/format.md");

    #[test]
    fn the_page_holds_the_tables_of_the_format() {
        let (head, tables) = PAGE.split_once(MARK).unwrap();
        if std::env::var_os("RENEW").is_some() {
            let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/format.md");
            std::fs::write(path, format!("{head}{MARK}{}", markdown())).unwrap();
        } else {
            assert!(
                tables == markdown(),
                "docs/format.md is behind the format: RENEW=1 cargo test -p loomdeck-model"
            );
        }
    }

    #[test]
    fn the_examples_of_the_page_can_be_read() {
        let example = PAGE.split("```toml\n").nth(1).unwrap().split("```").next().unwrap();
        let (robot, problems) = read(&Folder::single(example));
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert_eq!(told, [] as [String; 0]);
        assert_eq!(robot.unwrap().wires.len(), 3);
    }
}
