//! The built-in library of generic part types.

use crate::format::type_tables::TYPE;
use crate::part_type::PartType;
use crate::read::tree::{Sources, Table, parse};
use crate::read::types::part_type;
use crate::read::view::{Gather, check_table, tables_of};
use std::sync::LazyLock;

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        /// The library's files: name and text.
        pub const FILES: &[(&str, &str)] = &[$(($name, include_str!(concat!("../library/", $name)))),*];
    };
}
include!("library_files.rs");

/// The library as trees, read once.
pub(crate) struct Library {
    /// Its files.
    pub sources: Sources,
    /// Name and table of each type, in the order of the files.
    pub types: Vec<(String, Table)>,
}

/// The parsed library.
pub(crate) static LIBRARY: LazyLock<Library> = LazyLock::new(|| {
    let sources =
        Sources::new(FILES.iter().map(|(n, t)| (format!("library/{n}"), (*t).to_owned())).collect());
    let mut types = Vec::new();
    for file in 0..sources.files.len() {
        let tree = parse(&sources, file, &mut Vec::new());
        if let Some(list) = tree.get("type") {
            for table in tables_of(list) {
                if let Some(name) = table.get("name") {
                    types.push((crate::read::elements::node_text(name).to_owned(), table.clone()));
                }
            }
        }
    }
    Library { sources, types }
});

/// Every type of the library, in the order of its files, with what is wrong in it (a test of this
/// crate holds that nothing is).
pub fn all() -> (Vec<PartType>, Vec<crate::read::Problem>) {
    let library = &*LIBRARY;
    let mut gather = Gather::new(&library.sources);
    for file in 0..library.sources.files.len() {
        parse(&library.sources, file, &mut gather.problems);
    }
    let mut types = Vec::new();
    for (_, table) in &library.types {
        check_table(&TYPE, table, &mut gather);
        types.extend(part_type(table, false, &mut gather));
    }
    (types, gather.problems)
}

/// The fuses of the library alone, in the order of the files: far quicker than [`all`].
pub fn fuses() -> Vec<PartType> {
    let library = &*LIBRARY;
    let mut gather = Gather::new(&library.sources);
    library
        .types
        .iter()
        .filter(|(_, table)| table.get("fuse").is_some())
        .filter_map(|(_, table)| part_type(table, false, &mut gather))
        .collect()
}

/// The plug families of the library alone, in the order of the files: far quicker than [`all`].
pub fn plugs() -> Vec<PartType> {
    let library = &*LIBRARY;
    let mut gather = Gather::new(&library.sources);
    library
        .types
        .iter()
        .filter(|(_, table)| table.get("plug").is_some())
        .filter_map(|(_, table)| part_type(table, false, &mut gather))
        .collect()
}

/// The types of the library with an element of this kind ([`crate::element::ElementKind::word`]), in
/// the order of the files: far quicker than [`all`].
pub fn with_element(kind: &str) -> Vec<PartType> {
    let library = &*LIBRARY;
    let mut gather = Gather::new(&library.sources);
    let has = |table: &Table| {
        let elements = table.get("element").into_iter().flat_map(tables_of);
        elements.filter_map(|e| e.get("kind")).any(|k| crate::read::elements::node_text(k) == kind)
    };
    library
        .types
        .iter()
        .filter(|(_, table)| has(table))
        .filter_map(|(_, table)| part_type(table, false, &mut gather))
        .collect()
}

/// A type of the library as its file writes it: every number under its own key, with its unit.
pub fn as_written(name: &str) -> Option<&'static str> {
    let header = "[[type]]";
    FILES.iter().find_map(|(_, text)| {
        text.split(header).skip(1).find(|body| {
            body.lines()
                .any(|l| l.strip_prefix("name = ").is_some_and(|n| n.trim().trim_matches('"') == name))
        })
    })
}

/// The types whose name, title, group or electrical model has all the words; when there are none,
/// those that have them in their description.
pub fn search<'a>(types: &'a [PartType], words: &[String]) -> Vec<&'a PartType> {
    let words: Vec<String> = words.iter().map(|w| w.to_lowercase()).collect();
    let head = |t: &PartType| {
        let kinds: Vec<&str> = t.elements.iter().map(|e| e.kind.word()).collect();
        format!("{} {} {} {}", t.name, t.title, t.group, kinds.join(" ")).to_lowercase()
    };
    let has = |hay: &str| words.iter().all(|w| hay.contains(w));
    let found: Vec<&PartType> = types.iter().filter(|t| has(&head(t))).collect();
    if !found.is_empty() {
        return found;
    }
    types.iter().filter(|t| has(&format!("{} {}", head(t), t.about.to_lowercase()))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn nothing_is_wrong_in_the_library() {
        let (types, problems) = all();
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert!(told.is_empty(), "{}", told.join("\n"));
        let names: BTreeSet<&str> = types.iter().map(|t| t.name.as_str()).collect();
        assert_eq!(names.len(), types.len(), "two types share a name");
        for t in &types {
            assert!(
                !t.basis.is_empty() && !t.about.is_empty(),
                "{} has no basis or no description",
                t.name
            );
        }
    }

    #[test]
    fn types_are_found_by_what_they_do() {
        let (types, _) = all();
        for kind in ["converter", "battery", "driver"] {
            let whole = types.iter().filter(|t| t.elements.iter().any(|e| e.kind.word() == kind));
            assert_eq!(whole.cloned().collect::<Vec<_>>(), with_element(kind), "{kind}");
        }
    }

    #[test]
    fn every_type_can_be_shown_as_it_is_written() {
        for t in all().0 {
            let text = as_written(&t.name).unwrap();
            assert!(text.contains(&t.basis.replace('"', "\\\"")) || t.basis.contains('"'), "{}", t.name);
            assert_eq!(text.matches("fitting = ").count(), t.terminals.len(), "{}", t.name);
        }
    }

    #[test]
    fn there_are_enough_types_of_every_electrical_model() {
        let (types, _) = all();
        assert!(types.len() >= 60, "{}", types.len());
        let used: BTreeSet<&str> =
            types.iter().flat_map(|t| &t.elements).map(|e| e.kind.word()).collect();
        for spec in &crate::format::type_tables::ELEMENTS {
            assert!(used.contains(spec.name), "no type has a {}", spec.name);
        }
        assert!(types.iter().any(|t| t.fuse.is_some()) && types.iter().any(|t| t.plug_family.is_some()));
    }
}
