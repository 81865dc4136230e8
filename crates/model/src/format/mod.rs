//! The format of the files as data: every table, every key, its kind, its range, its meaning.
//!
//! One set of tables serves four ends, so that they cannot drift apart: the reader checks files
//! against it, the JSON Schema and the key tables of `docs/format.md` are generated from it, and
//! near-miss suggestions choose among its words.

pub mod dimension;
pub mod reference;
pub mod schema;
pub mod tables;
pub mod type_tables;

pub use dimension::Dimension;

/// Version of the format this program writes and reads.
pub const FORMAT: i64 = 1;

/// Largest size of one file, bytes.
pub const MAX_FILE_BYTES: usize = 4 << 20;
/// Most files in a robot's folder.
pub const MAX_FILES: usize = 200;
/// Most entries of one list of tables (parts, wires …).
pub const MAX_ENTRIES: usize = 20_000;
/// Most corners of an outline.
pub const MAX_CORNERS: usize = 2_000;
/// Longest name, characters.
pub const MAX_NAME: usize = 80;
/// Longest other text, characters.
pub const MAX_TEXT: usize = 4_000;

/// A table of the format.
#[derive(Debug)]
pub struct Spec {
    /// What it is called in messages: `part`, `wire`.
    pub name: &'static str,
    /// What it is, a sentence.
    pub about: &'static str,
    /// Its keys, in the order of the documentation.
    pub fields: &'static [Field],
}

/// One key of a table.
#[derive(Debug)]
pub struct Field {
    /// The key without its unit.
    pub key: &'static str,
    /// What may stand there.
    pub kind: Kind,
    /// It must be given.
    pub required: bool,
    /// Meaning, default, a sentence.
    pub about: &'static str,
}

/// What may stand at a key.
#[derive(Debug)]
pub enum Kind {
    /// Any text.
    Text,
    /// A name: letters, digits, `-`, `_`.
    Name,
    /// A reference to something named elsewhere.
    Reference,
    /// `true` or `false`.
    Flag,
    /// A whole number in a range.
    Whole(i64, i64),
    /// A number without unit in a range.
    Number(f64, f64),
    /// A share given as `…_percent`, in a range of percent.
    Percent(f64, f64),
    /// A quantity with its unit, in a range of the base unit.
    Quantity(Dimension, f64, f64),
    /// A wire size: `…_mm2`, `…_awg`, or a text with unit.
    Size,
    /// A least and a greatest wire size.
    SizeRange,
    /// A point: two lengths.
    Point,
    /// A width and a height, both above zero.
    Extent,
    /// A list of points.
    Points,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A word with its own small grammar, explained in `about`.
    Coded,
    /// A list of texts with a grammar explained in `about`.
    CodedList,
    /// A list of references.
    References,
    /// A table.
    Table(&'static Spec),
    /// A list of tables.
    Tables(&'static Spec),
    /// A list of tables whose keys depend on their `kind`.
    Elements,
    /// Free keys, each with a reference as value.
    ReferenceMap,
    /// Free keys, each with a reference or a table.
    MapOf(&'static Spec, bool),
}

impl Field {
    /// The unit with which `key` spells this field, empty for the bare key; `None` when it does not.
    /// The same as asking [`Field::spellings`], without making them (reading asks this very often).
    pub fn unit_in<'k>(&self, key: &'k str) -> Option<&'k str> {
        let rest = key.strip_prefix(self.key)?;
        let bare = rest.is_empty();
        let unit = if bare { "" } else { rest.strip_prefix('_')? };
        let fits = match &self.kind {
            Kind::Quantity(d, ..) => bare || d.suffixes().iter().any(|(s, ..)| *s == unit),
            Kind::Point | Kind::Extent | Kind::Points => matches!(unit, "mm" | "cm" | "m" | "in"),
            Kind::Percent(..) => unit == "percent",
            Kind::Size => bare || matches!(unit, "mm2" | "awg"),
            Kind::SizeRange => matches!(unit, "mm2" | "awg"),
            _ => bare,
        };
        fits.then_some(unit)
    }

    /// Every way the key may be written.
    pub fn spellings(&self) -> Vec<String> {
        let key = self.key;
        match &self.kind {
            Kind::Quantity(d, ..) => with_units(key, d.suffixes()),
            Kind::Point | Kind::Extent | Kind::Points => {
                ["mm", "cm", "m", "in"].map(|u| format!("{key}_{u}")).to_vec()
            }
            Kind::Percent(..) => vec![format!("{key}_percent")],
            Kind::Size => vec![key.to_owned(), format!("{key}_mm2"), format!("{key}_awg")],
            Kind::SizeRange => vec![format!("{key}_mm2"), format!("{key}_awg")],
            _ => vec![key.to_owned()],
        }
    }
}

fn with_units(key: &str, suffixes: &[(&str, f64, f64)]) -> Vec<String> {
    std::iter::once(key.to_owned())
        .chain(suffixes.iter().map(|(unit, ..)| format!("{key}_{unit}")))
        .collect()
}

impl Spec {
    /// The field a key belongs to, and the spelling's unit (`"mm"` for `height_mm`, empty for the
    /// bare key).
    pub fn field_of<'k>(&self, key: &'k str) -> Option<(&'static Field, &'k str)> {
        self.fields.iter().find_map(|f| f.unit_in(key).map(|unit| (f, unit)))
    }
}

#[cfg(test)]
mod tests {
    use super::tables::ROOT;
    use super::*;

    fn every_field(spec: &'static Spec, each: &mut dyn FnMut(&'static Field)) {
        for f in spec.fields {
            each(f);
            match &f.kind {
                Kind::Table(s) | Kind::Tables(s) | Kind::MapOf(s, _) => every_field(s, each),
                Kind::Elements => type_tables::ELEMENTS.iter().for_each(|s| every_field(s, each)),
                _ => {}
            }
        }
    }

    #[test]
    fn a_key_is_known_by_exactly_its_spellings() {
        every_field(&ROOT, &mut |f| {
            for s in f.spellings() {
                assert!(f.unit_in(&s).is_some(), "{s}");
                assert!(
                    f.unit_in(&format!("{s}_x")).is_none() && f.unit_in(&format!("x{s}")).is_none(),
                    "{s}"
                );
            }
            for unit in [
                "",
                "_mm",
                "_in",
                "_a",
                "_mv",
                "_percent",
                "_mm2",
                "_awg",
                "_degf",
                "_m_s",
                "_kg",
                "_nonsense",
            ] {
                let key = format!("{}{unit}", f.key);
                assert_eq!(f.unit_in(&key).is_some(), f.spellings().contains(&key), "{key}");
            }
        });
    }
}
