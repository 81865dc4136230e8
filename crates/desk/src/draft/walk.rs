//! Typed texts made into keys of the files, by the tables of the format.

use super::MOST;
use super::sheet::Entry;
use crate::fields::typed;
use crate::talk::{Typed, Unit, Wrong};
use loomdeck_model::EditValue;
use loomdeck_model::format::type_tables::TYPE;
use loomdeck_model::format::{Dimension, Field, Kind, Spec};
use loomdeck_model::units::three_digits;
use loomdeck_model::wire::Gauge;
use std::collections::BTreeSet;
use toml::Value;

/// Farthest that a length may go, mm.
const FAR: f64 = 100_000.0;

/// A length as it was typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Length {
    /// Its number.
    pub number: f64,
    /// The unit of that.
    pub unit: &'static str,
    /// The same in mm.
    pub mm: f64,
}

/// Reads fields and notes what is wrong with them.
#[derive(Debug)]
pub struct Walk {
    unit: Unit,
    /// What is missing or wrong.
    pub wrong: Vec<Wrong>,
}

impl Walk {
    /// Lengths without a unit are in this one.
    pub const fn new(unit: Unit) -> Self {
        Self { unit, wrong: Vec::new() }
    }

    /// Notes what is wrong with a field.
    pub fn say(&mut self, field: &str, why: &str) {
        self.wrong.push(Wrong { field: field.to_owned(), why: why.to_owned(), missing: false });
    }

    /// Notes that a field is still to be given.
    pub fn miss(&mut self, field: &str, why: &str) {
        self.wrong.push(Wrong { field: field.to_owned(), why: why.to_owned(), missing: true });
    }

    /// A bare number with the unit that holds for it.
    fn with_unit(&self, text: &str) -> String {
        let bare = !text.chars().any(|c| c.is_alphabetic() || c == '"');
        let unit = if self.unit == Unit::Inch { "in" } else { "mm" };
        if bare { format!("{text} {unit}") } else { text.to_owned() }
    }

    /// A length in mm, when it is one; nothing is noted.
    pub fn length(&self, text: &str) -> Option<f64> {
        let far = -FAR..=FAR;
        let read = typed::as_typed(Dimension::Length, &self.with_unit(text)).ok();
        read.map(|(.., mm)| mm).filter(|mm| far.contains(mm))
    }

    /// A length that must be there and lie in a range, mm.
    pub fn need(
        &mut self,
        field: &str,
        text: Option<&String>,
        low: f64,
        wanted: &str,
    ) -> Option<Length> {
        let text = text.map_or("", |t| t.trim());
        if text.is_empty() {
            self.miss(field, wanted);
            return None;
        }
        match typed::as_typed(Dimension::Length, &self.with_unit(text)) {
            Ok((number, unit, mm)) if (low..=FAR).contains(&mm) => Some(Length { number, unit, mm }),
            Ok((.., mm)) => {
                let [mm, low, far] = [mm, low, FAR].map(three_digits);
                let why = format!(
                    "This is {mm}\u{2009}mm; a length from {low} to {far}\u{2009}mm is expected."
                );
                self.say(field, &why);
                None
            }
            Err(why) => {
                self.say(field, &why);
                None
            }
        }
    }

    /// The keys of a table as they are written; rows and tables within as well.
    pub fn entries(
        &mut self,
        spec: &'static Spec,
        typed: &Typed,
        prefix: &str,
        path: &str,
        without: &[&str],
    ) -> Vec<Entry> {
        let fields = spec.fields.iter().filter(|f| !without.contains(&f.key));
        fields.flat_map(|f| self.entries_of(f, typed, prefix, path)).collect()
    }

    /// The same for one key of it.
    pub fn entries_of(
        &mut self,
        field: &'static Field,
        typed: &Typed,
        prefix: &str,
        path: &str,
    ) -> Vec<Entry> {
        let own = format!("{prefix}{}", field.key);
        let full = format!("{path}{own}");
        let begun =
            |before: &str| typed.iter().any(|(k, t)| k.starts_with(before) && !t.trim().is_empty());
        match &field.kind {
            Kind::Tables(inner) => {
                let numbers = rows(typed, &format!("{own}."));
                if numbers.len() > MOST {
                    self.say(&full, &format!("At most {MOST} rows are taken."));
                    return Vec::new();
                }
                if numbers.is_empty() {
                    if field.required {
                        self.miss(&full, field.about);
                    }
                    return Vec::new();
                }
                let row = |n: &usize| self.entries(inner, typed, &format!("{own}.{n}."), path, &[]);
                let rows = numbers.iter().map(row).collect();
                vec![Entry::Rows { path: full, key: field.key.to_owned(), rows }]
            }
            Kind::Table(inner) => {
                let before = format!("{own}.");
                if !begun(&before) {
                    return Vec::new();
                }
                let inside = self.entries(inner, typed, &before, path, &[]);
                vec![Entry::Table { key: field.key.to_owned(), inside }]
            }
            _ => self.one(field, typed.get(&own), full).into_iter().collect(),
        }
    }

    fn one(&mut self, field: &'static Field, text: Option<&String>, path: String) -> Option<Entry> {
        let text = text.map_or("", |t| t.trim());
        if text.is_empty() {
            if field.required {
                self.miss(&path, field.about);
            }
            return None;
        }
        match self.written(field, text) {
            Ok((key, value)) => Some(Entry::One { path, key, value }),
            Err(why) => {
                self.say(&path, &why);
                None
            }
        }
    }

    /// Key and value of a text, in the unit it was typed with.
    fn written(&self, field: &Field, text: &str) -> Result<(String, String), String> {
        let key = field.key.to_owned();
        if let Kind::Quantity(d, ..) = &field.kind {
            let text = if *d == Dimension::Length { self.with_unit(text) } else { text.to_owned() };
            // The range is judged where every other key is.
            typed::read(field, &text)?;
            let (n, unit, _) = typed::as_typed(*d, &text)?;
            return Ok((format!("{key}_{unit}"), number(n)));
        }
        Ok(match typed::read(field, text)? {
            EditValue::Text(t) => (key, quoted(&t)),
            EditValue::Flag(b) => (key, b.to_string()),
            EditValue::Number(n) if matches!(field.kind, Kind::Percent(..)) => {
                (format!("{key}_percent"), number(n))
            }
            EditValue::Number(n) => (key, number(n)),
            EditValue::Texts(all) => {
                let all: Vec<String> = all.iter().map(|t| quoted(t)).collect();
                (key, format!("[{}]", all.join(", ")))
            }
            _ => return Err(format!("`{key}` is written in the files, not here.")),
        })
    }

    /// A terminal, with its place and its least and greatest wire.
    pub fn terminal(&mut self, typed: &Typed, path: &str) -> Vec<Entry> {
        let Some(spec) = terminal_spec() else { return Vec::new() };
        let mut all = Vec::new();
        for field in spec.fields {
            match field.key {
                "at" => {
                    let (px, py) = (format!("{path}x"), format!("{path}y"));
                    let x = self.need(&px, typed.get("x"), -FAR, "How far from the left?");
                    let y = self.need(&py, typed.get("y"), -FAR, "How far from below?");
                    if let (Some(x), Some(y)) = (x, y) {
                        let (unit, text) = pair(x, y);
                        all.push(Entry::One { path: px, key: format!("at_{unit}"), value: text });
                    }
                }
                "wire" => all.extend(self.sizes(typed, path)),
                _ => all.extend(self.entries_of(field, typed, "", path)),
            }
        }
        all
    }

    fn sizes(&mut self, typed: &Typed, path: &str) -> Option<Entry> {
        let mut one = |key: &str, wanted: &str| {
            let (field, text) = (format!("{path}{key}"), typed.get(key).map_or("", |t| t.trim()));
            if text.is_empty() {
                self.miss(&field, wanted);
                return None;
            }
            typed::wire_size(text).map_err(|why| self.say(&field, &why)).ok()
        };
        let thin = one("thinnest", "The thinnest conductor that fits, like 0.5 mm².");
        let thick = one("thickest", "The thickest conductor that fits, like 2.5 mm².");
        let (thin, thick) = (thin?, thick?);
        let path = format!("{path}thickest");
        if thin.area() > thick.area() {
            self.say(&path, "This is thinner than the thinnest.");
            return None;
        }
        let (key, value) = match (thin, thick) {
            (Gauge::Awg(a), Gauge::Awg(b)) => ("wire_awg", format!("[{a}, {b}]")),
            _ => ("wire_mm2", format!("[{}, {}]", number(thin.area().0), number(thick.area().0))),
        };
        Some(Entry::One { path, key: key.to_owned(), value })
    }
}

/// The table of a terminal.
pub fn terminal_spec() -> Option<&'static Spec> {
    TYPE.fields.iter().find(|f| f.key == "terminal").and_then(|f| match &f.kind {
        Kind::Tables(spec) => Some(*spec),
        _ => None,
    })
}

/// Numbers of the rows that are begun: `channels.0.name` speaks of row 0.
fn rows(typed: &Typed, before: &str) -> BTreeSet<usize> {
    let number = |key: &String| key.strip_prefix(before)?.split('.').next()?.parse().ok();
    typed.keys().filter_map(number).collect()
}

/// Two lengths as a list: in their own unit when they share one.
pub fn pair(x: Length, y: Length) -> (&'static str, String) {
    if x.unit == y.unit {
        return (x.unit, format!("[{}, {}]", number(x.number), number(y.number)));
    }
    ("mm", format!("[{}, {}]", number(x.mm), number(y.mm)))
}

/// A text as it stands in the files.
pub fn quoted(text: &str) -> String {
    Value::String(text.to_owned()).to_string()
}

/// A number without the noise of binary fractions: six decimals at most.
pub fn number(x: f64) -> String {
    let rounded = (x * 1e6).round() / 1e6;
    // Very small ones (a capacitance in farads) keep their digits.
    if rounded == 0.0 && x != 0.0 { format!("{x:e}") } else { format!("{}", rounded + 0.0) }
}
