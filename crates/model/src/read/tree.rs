//! A file as a tree in which every key and value knows its place.

use super::problem::{Problem, column};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// A place in one of the files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// Index into [`Sources`].
    pub file: usize,
    /// Bytes.
    pub bytes: Range<usize>,
}

/// The files being read, by number.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    /// Name and text of each.
    pub files: Vec<(String, String)>,
    /// Offsets at which the lines of each begin: every named thing is asked for its line.
    line_starts: Vec<Vec<usize>>,
}

impl Sources {
    /// Files by name and text.
    pub fn new(files: Vec<(String, String)>) -> Self {
        let starts = |text: &str| {
            std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect()
        };
        let line_starts = files.iter().map(|(_, t)| starts(t)).collect();
        Self { files, line_starts }
    }

    /// The line of a place, from 1.
    pub fn line(&self, span: &Span) -> usize {
        self.line_starts[span.file].partition_point(|start| *start <= span.bytes.start)
    }

    /// The name of a place's file.
    pub fn name(&self, span: &Span) -> &str {
        &self.files[span.file].0
    }

    /// A problem at a place.
    pub fn problem(&self, span: &Span, message: impl Into<String>, help: Option<String>) -> Problem {
        let text = &self.files[span.file].1;
        let line = self.line(span);
        let column = column(text, self.line_starts[span.file][line - 1], span.bytes.start);
        let file = self.name(span).to_owned();
        Problem { file, span: span.bytes.clone(), line, column, message: message.into(), help }
    }
}

/// A value with its place.
#[derive(Clone, Debug)]
pub struct Node {
    /// What stands there.
    pub value: Value,
    /// Where.
    pub span: Span,
}

/// A value.
#[derive(Clone, Debug)]
pub enum Value {
    /// A text.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// Any other number; never NaN or infinite.
    Number(f64),
    /// True or false.
    Flag(bool),
    /// A list.
    List(Vec<Node>),
    /// A table.
    Table(Table),
    /// Something the format does not use (dates), or a number that is none.
    Other(&'static str),
}

impl Value {
    /// What it is, for messages.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text",
            Self::Whole(_) => "a whole number",
            Self::Number(_) => "a number",
            Self::Flag(_) => "true or false",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
            Self::Other(word) => word,
        }
    }
}

/// A table: its entries in the order of the file.
#[derive(Clone, Debug)]
pub struct Table {
    /// Key, place of the key, value.
    pub entries: Vec<(String, Span, Node)>,
    /// Where the table stands (its header or braces).
    pub span: Span,
}

impl Table {
    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entries.iter().find(|(k, ..)| k == key).map(|(.., n)| n)
    }
}

/// Parses one text. Every mistake of syntax becomes a problem; what could be read is returned.
pub fn parse(sources: &Sources, file: usize, problems: &mut Vec<Problem>) -> Table {
    let text = &sources.files[file].1;
    // A byte-order mark is no part of TOML; offsets must still count it.
    let skip = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let (tree, errors) = DeTable::parse_recoverable(&text[skip..]);
    for e in errors {
        let bytes = e.span().unwrap_or(0..0);
        let span = Span { file, bytes: bytes.start + skip..bytes.end + skip };
        let message =
            format!("This is not TOML here: {}.", e.message().trim_end_matches('.').replace('\n', ", "));
        problems.push(sources.problem(&span, message, None));
    }
    let at = |r: Range<usize>| Span { file, bytes: r.start + skip..r.end + skip };
    let span = at(tree.span());
    table(tree.into_inner(), span, &at)
}

fn table(tree: DeTable<'_>, span: Span, at: &dyn Fn(Range<usize>) -> Span) -> Table {
    let entries = tree
        .into_iter()
        .map(|(key, value)| {
            let place = at(key.span());
            (key.into_inner().into_owned(), place, node(value, at))
        })
        .collect();
    Table { entries, span }
}

fn list(items: DeArray<'_>, at: &dyn Fn(Range<usize>) -> Span) -> Vec<Node> {
    items.into_iter().map(|v| node(v, at)).collect()
}

fn node(value: Spanned<DeValue<'_>>, at: &dyn Fn(Range<usize>) -> Span) -> Node {
    let span = at(value.span());
    let value = match value.into_inner() {
        DeValue::String(s) => Value::Text(s.into_owned()),
        DeValue::Integer(i) => match i64::from_str_radix(i.as_str(), i.radix()) {
            Ok(n) => Value::Whole(n),
            Err(_) => Value::Other("a whole number too large to use"),
        },
        DeValue::Float(f) => match f.as_str().parse::<f64>() {
            Ok(n) if n.is_finite() => Value::Number(n),
            _ => Value::Other("not a number that can be used (nan, inf or too large)"),
        },
        DeValue::Boolean(b) => Value::Flag(b),
        DeValue::Datetime(_) => Value::Other("a date or time"),
        DeValue::Array(a) => Value::List(list(a, at)),
        DeValue::Table(t) => Value::Table(table(t, span.clone(), at)),
    };
    Node { value, span }
}
