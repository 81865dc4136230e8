//! Checking a table against its spec, and asking a checked table for its values.

use super::problem::{Problem, nearest};
use super::tree::{Node, Sources, Span, Table, Value};
use super::value;
use crate::format::type_tables::ELEMENTS;
use crate::format::{Field, Kind, MAX_ENTRIES, Spec};
use crate::geometry::Point;
use crate::wire::Gauge;

/// Where problems are gathered while reading.
#[derive(Debug)]
pub struct Gather<'s> {
    /// The files.
    pub sources: &'s Sources,
    /// What was found so far.
    pub problems: Vec<Problem>,
    /// Names that stand for nothing. They are told last, and not at all while a file cannot be
    /// parsed: what they mean may stand in it.
    pub unresolved: Vec<Problem>,
}

impl<'s> Gather<'s> {
    /// Nothing found yet.
    pub const fn new(sources: &'s Sources) -> Self {
        Self { sources, problems: Vec::new(), unresolved: Vec::new() }
    }

    /// Notes a name that stands for nothing.
    pub fn say_unresolved(&mut self, span: &Span, message: impl Into<String>, help: Option<String>) {
        self.unresolved.push(self.sources.problem(span, message, help));
    }

    /// Notes a problem.
    pub fn say(&mut self, span: &Span, message: impl Into<String>, help: Option<String>) {
        self.problems.push(self.sources.problem(span, message, help));
    }
}

/// Checks a table and all tables in it; every mistake is noted.
pub fn check_table(spec: &'static Spec, table: &Table, gather: &mut Gather<'_>) {
    let mut seen: Vec<(&str, &str)> = Vec::new();
    for (key, span, node) in &table.entries {
        let Some((field, unit)) = spec.field_of(key) else {
            unknown_key(spec, key, span, gather);
            continue;
        };
        if let Some((_, first)) = seen.iter().find(|(k, _)| *k == field.key) {
            gather.say(
                span,
                format!("`{first}` already says this; `{key}` says it a second time."),
                None,
            );
            continue;
        }
        seen.push((field.key, key));
        check_value(field, unit, node, gather);
    }
    for field in spec.fields.iter().filter(|f| f.required && !seen.iter().any(|(k, _)| *k == f.key)) {
        // A key that was meant for this one has been told already.
        let meant = |key: &str| {
            key.starts_with(field.key)
                || nearest(key, field.spellings().iter().map(String::as_str)).is_some()
        };
        if table.entries.iter().any(|(k, ..)| spec.field_of(k).is_none() && meant(k)) {
            continue;
        }
        let spellings = field.spellings();
        let write = spellings.get(1).unwrap_or(&spellings[0]);
        let message = match field.kind {
            Kind::Table(_) => format!("There is no `[{}]` table.", field.key),
            _ => format!("This {} has no `{write}`.", spec.name),
        };
        gather.say(&table.span, message, Some(field.about.to_owned()));
    }
}

fn unknown_key(spec: &Spec, key: &str, span: &Span, gather: &mut Gather<'_>) {
    let spellings: Vec<String> = spec.fields.iter().flat_map(Field::spellings).collect();
    // A known key with a unit that does not go with it deserves its own words.
    let stem = spec.fields.iter().find(|f| {
        key.strip_prefix(f.key).is_some_and(|rest| rest.starts_with('_')) && f.spellings().len() > 1
    });
    let help = match (nearest(key, spellings.iter().map(String::as_str)), stem) {
        (_, Some(f)) => Some(format!("`{}` is written {}.", f.key, f.spellings().join(", "))),
        (Some(near), None) => Some(format!("Did you mean `{near}`?")),
        (None, None) => {
            let keys: Vec<&str> = spec.fields.iter().map(|f| f.key).collect();
            Some(format!("A {} has: {}.", spec.name, keys.join(", ")))
        }
    };
    gather.say(span, format!("`{}` is not known here.", value::shown(key)), help);
}

fn check_value(field: &'static Field, unit: &str, node: &Node, gather: &mut Gather<'_>) {
    if let Err((message, help)) = value::check(&field.kind, field.key, unit, node) {
        gather.say(&node.span, message, help);
        return;
    }
    match (&field.kind, &node.value) {
        (Kind::Table(spec), Value::Table(t)) => check_table(spec, t, gather),
        // A type that extends another is checked once that other is laid under it.
        (Kind::Tables(spec), Value::List(items)) => check_list(items, gather, |t, g| {
            if t.get("extends").is_none() {
                check_table(spec, t, g);
            }
        }),
        (Kind::Elements, Value::List(items)) => check_list(items, gather, check_element),
        (Kind::MapOf(spec, texts), Value::Table(t)) => {
            for (_, _, n) in &t.entries {
                match &n.value {
                    Value::Table(inner) => check_table(spec, inner, gather),
                    Value::Text(_) if *texts => {}
                    _ => gather.say(
                        &n.span,
                        format!("Here stands {}; a table is expected.", n.value.word()),
                        None,
                    ),
                }
            }
        }
        (Kind::ReferenceMap, Value::Table(t)) => {
            for (_, _, n) in &t.entries {
                if let Err((message, help)) = value::text(n, 3 * crate::format::MAX_NAME) {
                    gather.say(&n.span, message, help);
                }
            }
        }
        (Kind::Table(_) | Kind::MapOf(..) | Kind::ReferenceMap, other) => {
            gather.say(&node.span, format!("Here stands {}; a table is expected.", other.word()), None);
        }
        (Kind::Tables(_) | Kind::Elements, Value::Table(_)) => gather.say(
            &node.span,
            "Here stands a single table; a list of tables is expected.",
            Some(format!("Write `[[{}]]` with two brackets.", field.key)),
        ),
        (Kind::Tables(_) | Kind::Elements, other) => {
            gather.say(
                &node.span,
                format!("Here stands {}; a list of tables is expected.", other.word()),
                None,
            );
        }
        _ => {}
    }
}

fn check_list(items: &[Node], gather: &mut Gather<'_>, mut each: impl FnMut(&Table, &mut Gather<'_>)) {
    if let Some(extra) = items.get(MAX_ENTRIES) {
        gather.say(
            &extra.span,
            format!("Here stand {} tables; at most {MAX_ENTRIES} are read.", items.len()),
            None,
        );
        return;
    }
    for item in items {
        match &item.value {
            Value::Table(t) => each(t, gather),
            other => gather.say(
                &item.span,
                format!("Here stands {}; a table is expected.", other.word()),
                None,
            ),
        }
    }
}

/// The spec of an element by its `kind`.
pub fn element_spec(table: &Table) -> Option<&'static Spec> {
    match &table.get("kind")?.value {
        Value::Text(kind) => ELEMENTS.iter().find(|s| s.name == kind).copied(),
        _ => None,
    }
}

fn check_element(table: &Table, gather: &mut Gather<'_>) {
    match element_spec(table) {
        Some(spec) => check_table(spec, table, gather),
        None => {
            let names: Vec<&str> = ELEMENTS.iter().map(|s| s.name).collect();
            match table.get("kind") {
                None => {
                    let help = format!("Kinds: {}.", names.join(", "));
                    gather.say(&table.span, "This element has no `kind`.", Some(help));
                }
                Some(node) => {
                    if let Err((message, help)) = value::word(node, &names) {
                        gather.say(&node.span, message, help);
                    }
                }
            }
        }
    }
}

/// A table whose values can be asked for. Values that were refused by [`check_table`] are absent.
#[derive(Clone, Copy, Debug)]
pub struct View<'t> {
    /// Its spec.
    pub spec: &'static Spec,
    /// The table.
    pub table: &'t Table,
}

impl<'t> View<'t> {
    /// A view of a table.
    pub const fn new(spec: &'static Spec, table: &'t Table) -> Self {
        Self { spec, table }
    }

    /// The node of a field, with the spelling's unit.
    pub fn node(&self, key: &str) -> Option<(&'t Node, &'t str)> {
        let field = self.spec.fields.iter().find(|f| f.key == key);
        debug_assert!(field.is_some(), "no field {key} in {}", self.spec.name);
        let field = field?;
        self.table.entries.iter().find_map(|(k, _, node)| Some((node, field.unit_in(k)?)))
    }

    /// Whether a field is given.
    pub fn has(&self, key: &str) -> bool {
        self.node(key).is_some()
    }

    /// Where a field's value stands, else the table.
    pub fn span(&self, key: &str) -> &'t Span {
        self.node(key).map_or(&self.table.span, |(n, _)| &n.span)
    }

    /// A text.
    pub fn text(&self, key: &str) -> Option<&'t str> {
        match &self.node(key)?.0.value {
            Value::Text(t) => Some(t),
            _ => None,
        }
    }

    /// A text, or nothing of it.
    pub fn text_or_empty(&self, key: &str) -> String {
        self.text(key).unwrap_or_default().to_owned()
    }

    /// True or false; false when absent.
    pub fn flag(&self, key: &str) -> bool {
        self.node(key).is_some_and(|(n, _)| matches!(n.value, Value::Flag(true)))
    }

    /// A number: plain, percent as a share of one, or a quantity in its base unit.
    pub fn number(&self, key: &str) -> Option<f64> {
        let (node, unit) = self.node(key)?;
        let field = self.spec.fields.iter().find(|f| f.key == key)?;
        match &field.kind {
            Kind::Number(low, high) => value::number(node, *low, *high, "").ok(),
            Kind::Percent(low, high) => value::number(node, *low, *high, "").ok().map(|p| p / 100.0),
            Kind::Whole(low, high) => value::whole(node, *low, *high).ok().map(|n| n as f64),
            Kind::Quantity(d, low, high) => value::quantity(node, *d, unit, key, *low, *high).ok(),
            _ => None,
        }
    }

    /// A wire size.
    pub fn size(&self, key: &str) -> Option<Gauge> {
        let (node, unit) = self.node(key)?;
        value::size(node, unit).ok()
    }

    /// Two wire sizes.
    pub fn size_range(&self, key: &str) -> Option<(Gauge, Gauge)> {
        let (node, unit) = self.node(key)?;
        value::size_range(node, unit).ok()
    }

    /// A point in mm.
    pub fn point(&self, key: &str) -> Option<Point> {
        let (node, unit) = self.node(key)?;
        value::point(node, unit).ok()
    }

    /// Width and height in mm.
    pub fn extent(&self, key: &str) -> Option<(f64, f64)> {
        let (node, unit) = self.node(key)?;
        value::extent(node, unit).ok()
    }

    /// Points in mm.
    pub fn points(&self, key: &str) -> Option<Vec<Point>> {
        let (node, unit) = self.node(key)?;
        value::points(node, unit).ok()
    }

    /// A list of texts, each with its place.
    pub fn texts(&self, key: &str) -> Vec<(&'t str, &'t Span)> {
        self.node(key)
            .and_then(|(n, _)| value::texts(n).ok())
            .unwrap_or_default()
            .into_iter()
            .map(|(t, n)| (t, &n.span))
            .collect()
    }

    /// The table at a field.
    pub fn table(&self, key: &str) -> Option<View<'t>> {
        let field = self.spec.fields.iter().find(|f| f.key == key)?;
        match (&field.kind, &self.node(key)?.0.value) {
            (Kind::Table(spec), Value::Table(t)) => Some(View::new(spec, t)),
            _ => None,
        }
    }

    /// The tables of a list.
    pub fn tables(&self, key: &str) -> Vec<View<'t>> {
        let spec = self.spec.fields.iter().find(|f| f.key == key).map(|f| &f.kind);
        let (Some(Kind::Tables(spec)), Some((node, _))) = (spec, self.node(key)) else {
            return Vec::new();
        };
        tables_of(node).map(|t| View::new(spec, t)).collect()
    }

    /// The entries of a table with free keys: key, place of the key, node.
    pub fn entries(&self, key: &str) -> &'t [(String, Span, Node)] {
        match self.node(key).map(|(n, _)| &n.value) {
            Some(Value::Table(t)) => &t.entries,
            _ => &[],
        }
    }
}

/// The tables among the items of a list.
pub fn tables_of(node: &Node) -> impl Iterator<Item = &Table> {
    let items: &[Node] = match &node.value {
        Value::List(items) => items,
        _ => &[],
    };
    items.iter().filter_map(|i| match &i.value {
        Value::Table(t) => Some(t),
        _ => None,
    })
}
