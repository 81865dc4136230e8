//! From a node of the tree to a value of one kind, or the reason why not.

use super::tree::{Node, Value};
use crate::format::dimension::split_number;
use crate::format::{Dimension, Kind, MAX_CORNERS, MAX_ENTRIES, MAX_NAME, MAX_TEXT};
use crate::geometry::Point;
use crate::units::three_digits;
use crate::wire::Gauge;

/// Why a value cannot be used: a sentence, and perhaps what to write instead.
pub type Refusal = (String, Option<String>);

/// Checks a value of a simple kind. Tables are checked by the caller.
pub fn check(kind: &Kind, key: &str, unit: &str, node: &Node) -> Result<(), Refusal> {
    match kind {
        Kind::Text => text(node, MAX_TEXT).map(drop),
        Kind::Name => name(node).map(drop),
        Kind::Reference | Kind::Coded => text(node, 3 * MAX_NAME).map(drop),
        Kind::Flag => flag(node).map(drop),
        Kind::Whole(low, high) => whole(node, *low, *high).map(drop),
        Kind::Number(low, high) => number(node, *low, *high, "").map(drop),
        Kind::Percent(low, high) => number(node, *low, *high, "\u{2009}%").map(drop),
        Kind::Quantity(d, low, high) => quantity(node, *d, unit, key, *low, *high).map(drop),
        Kind::Size => size(node, unit).map(drop),
        Kind::SizeRange => size_range(node, unit).map(drop),
        Kind::Point => point(node, unit).map(drop),
        Kind::Extent => extent(node, unit).map(drop),
        Kind::Points => points(node, unit).map(drop),
        Kind::Word(words) => word(node, words).map(drop),
        Kind::CodedList | Kind::References => texts(node).map(drop),
        Kind::Table(_) | Kind::Tables(_) | Kind::Elements | Kind::ReferenceMap | Kind::MapOf(..) => {
            Ok(())
        }
    }
}

fn expected(what: &str, node: &Node) -> Refusal {
    (format!("Here stands {}; {what} is expected.", node.value.word()), None)
}

/// A text of limited length.
pub fn text(node: &Node, longest: usize) -> Result<&str, Refusal> {
    match &node.value {
        Value::Text(t) if t.chars().count() > longest => Err((
            format!("This text has {} characters; at most {longest} are read.", t.chars().count()),
            None,
        )),
        Value::Text(t) => match t.chars().find(|c| is_unprintable(*c)) {
            Some(c) => Err((
                format!(
                    "The character U+{:04X} cannot be printed; it cannot stand in a text.",
                    u32::from(c)
                ),
                None,
            )),
            None => Ok(t),
        },
        _ => Err(expected("a text in quotes", node)),
    }
}

/// Control characters other than line ends and tabs, and those that turn the direction of what
/// follows: they would act on the terminal, or make a name look like another one.
fn is_unprintable(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A name.
pub fn name(node: &Node) -> Result<&str, Refusal> {
    let t = text(node, MAX_NAME)?;
    if t.is_empty() {
        return Err((
            "A name is expected here, and nothing stands between the quotes.".to_owned(),
            None,
        ));
    }
    match t.chars().find(|c| !(c.is_alphanumeric() || *c == '-' || *c == '_' || is_mark(*c))) {
        Some(c) => Err((
            format!("`{}` cannot stand in a name.", c.escape_debug()),
            Some("Names are made of letters, digits, `-` and `_`.".to_owned()),
        )),
        None => Ok(t),
    }
}

/// Combining marks, which decomposed letters carry.
fn is_mark(c: char) -> bool {
    matches!(c, '\u{300}'..='\u{36f}' | '\u{1ab0}'..='\u{1aff}' | '\u{20d0}'..='\u{20ff}')
        || unicode_normalization::char::is_combining_mark(c)
}

/// True or false.
pub fn flag(node: &Node) -> Result<bool, Refusal> {
    match node.value {
        Value::Flag(b) => Ok(b),
        _ => Err(expected("`true` or `false`", node)),
    }
}

/// A whole number in a range.
pub fn whole(node: &Node, low: i64, high: i64) -> Result<i64, Refusal> {
    match node.value {
        Value::Whole(n) if (low..=high).contains(&n) => Ok(n),
        Value::Whole(n) if low == high => Err((format!("Here stands {n}; only {low} is known."), None)),
        Value::Whole(n) => {
            Err((format!("Here stands {n}; a whole number from {low} to {high} is expected."), None))
        }
        _ => Err(expected(&format!("a whole number from {low} to {high}"), node)),
    }
}

/// A number in a range.
pub fn number(node: &Node, low: f64, high: f64, unit: &str) -> Result<f64, Refusal> {
    let n = plain_number(node)?;
    if (low..=high).contains(&n) {
        return Ok(n);
    }
    let (n, low, high) = (three_digits(n), three_digits(low), three_digits(high));
    Err((format!("Here stands {n}; a number from {low}{unit} to {high}{unit} is expected."), None))
}

fn plain_number(node: &Node) -> Result<f64, Refusal> {
    match node.value {
        Value::Whole(n) => Ok(n as f64),
        Value::Number(n) => Ok(n),
        _ => Err(expected("a number", node)),
    }
}

/// A quantity in its base unit.
pub fn quantity(
    node: &Node,
    d: Dimension,
    unit: &str,
    key: &str,
    low: f64,
    high: f64,
) -> Result<f64, Refusal> {
    let base = if unit.is_empty() {
        match &node.value {
            Value::Text(t) => d.parse(t).ok_or_else(|| {
                let units: Vec<_> = d
                    .suffixes()
                    .iter()
                    .map(|(s, ..)| s.replace("m_s", "m/s").replace("km_h", "km/h"))
                    .collect();
                (
                    format!(
                        "`{t}` is not a {} with its unit. Units known here: {}.",
                        d.word(),
                        units.join(", ")
                    ),
                    None,
                )
            })?,
            Value::Whole(_) | Value::Number(_) => {
                let suffix = d.suffixes()[0].0;
                return Err((
                    "A number without its unit.".to_owned(),
                    Some(format!(
                        "Write `{key}_{suffix} = …` if it is in {suffix}, or a text with the unit."
                    )),
                ));
            }
            _ => return Err(expected(&format!("a {} with its unit", d.word()), node)),
        }
    } else {
        d.to_base(plain_number(node)?, unit).ok_or_else(|| expected("a number", node))?
    };
    if (low..=high).contains(&base) {
        return Ok(base);
    }
    let base_unit = d.symbol();
    Err((
        format!(
            "This is {} {base_unit}; a {} from {} to {} {base_unit} is expected.",
            three_digits(base),
            d.word(),
            three_digits(low),
            three_digits(high)
        ),
        None,
    ))
}

/// A wire size.
pub fn size(node: &Node, unit: &str) -> Result<Gauge, Refusal> {
    match (unit, &node.value) {
        ("mm2", _) => metric(plain_number(node)?),
        ("awg", Value::Whole(n)) => awg(*n),
        ("awg", Value::Text(t)) => gauge_word(t).ok_or_else(|| bad_size(t)),
        ("awg", _) => Err(expected("a whole gauge number", node)),
        (_, Value::Text(t)) => {
            let gauge = match split_number(t) {
                Some((n, "mm2" | "mm²")) => return metric(n),
                _ => gauge_word(t),
            };
            gauge.ok_or_else(|| bad_size(t))
        }
        _ => Err((
            "A wire size without its unit.".to_owned(),
            Some("Write `size_mm2 = 1.5`, `size_awg = 16` or `size = \"1.5 mm2\"`.".to_owned()),
        )),
    }
}

fn bad_size(t: &str) -> Refusal {
    (format!("`{t}` is not a wire size. Examples: `1.5 mm2`, `16 AWG`, `2/0 AWG`."), None)
}

fn metric(mm2: f64) -> Result<Gauge, Refusal> {
    if (0.02..=300.0).contains(&mm2) {
        Ok(Gauge::Metric(mm2))
    } else {
        Err((
            format!("Here stands {} mm²; a wire from 0.02 to 300 mm² is expected.", three_digits(mm2)),
            None,
        ))
    }
}

fn awg(n: i64) -> Result<Gauge, Refusal> {
    match i32::try_from(n) {
        Ok(n) if (-3..=40).contains(&n) => Ok(Gauge::Awg(n)),
        _ => Err((format!("Here stands gauge {n}; one from 4/0 (-3) to 40 is expected."), None)),
    }
}

/// `16 AWG`, `16`, `2/0 AWG`.
fn gauge_word(text: &str) -> Option<Gauge> {
    let lower = text.trim().to_lowercase();
    let body = lower.strip_suffix("awg").unwrap_or(&lower).trim();
    if let Some(zeros) = body.strip_suffix("/0") {
        let n: i32 = zeros.trim().parse().ok().filter(|n| (1..=4).contains(n))?;
        return Some(Gauge::Awg(1 - n));
    }
    body.parse::<i32>().ok().filter(|n| (-3..=40).contains(n)).map(Gauge::Awg)
}

/// A least and a greatest wire size.
pub fn size_range(node: &Node, unit: &str) -> Result<(Gauge, Gauge), Refusal> {
    match &node.value {
        Value::List(items) if items.len() == 2 => {
            let (a, b) = (size(&items[0], unit)?, size(&items[1], unit)?);
            if a.area() > b.area() {
                let help = "The thinner wire comes first.".to_owned();
                return Err((format!("{a} is thicker than {b}."), Some(help)));
            }
            Ok((a, b))
        }
        _ => Err(expected("a list of two wire sizes, thinnest and thickest,", node)),
    }
}

fn length_pair(node: &Node, unit: &str) -> Result<(f64, f64), Refusal> {
    let Value::List(items) = &node.value else {
        return Err(expected("a list of two lengths", node));
    };
    let [a, b] = items.as_slice() else {
        return Err((format!("Here stand {} numbers; two are expected, x and y.", items.len()), None));
    };
    let far = crate::format::tables::FAR;
    let d = Dimension::Length;
    Ok((quantity(a, d, unit, "at", -far, far)?, quantity(b, d, unit, "at", -far, far)?))
}

/// A point in mm.
pub fn point(node: &Node, unit: &str) -> Result<Point, Refusal> {
    length_pair(node, unit).map(|(x, y)| Point::new(x, y))
}

/// Width and height in mm, both above zero.
pub fn extent(node: &Node, unit: &str) -> Result<(f64, f64), Refusal> {
    let (w, h) = length_pair(node, unit)?;
    if w > 0.0 && h > 0.0 {
        Ok((w, h))
    } else {
        Err(("Width and height must be above zero.".to_owned(), None))
    }
}

/// A list of points in mm.
pub fn points(node: &Node, unit: &str) -> Result<Vec<Point>, Refusal> {
    match &node.value {
        Value::List(items) if items.len() > MAX_CORNERS => {
            Err((format!("Here stand {} points; at most {MAX_CORNERS} are read.", items.len()), None))
        }
        Value::List(items) => items.iter().map(|i| point(i, unit)).collect(),
        _ => Err(expected("a list of points `[[x, y], …]`", node)),
    }
}

/// One of some words.
pub fn word<'a>(node: &Node, words: &[&'a str]) -> Result<&'a str, Refusal> {
    let t = text(node, MAX_TEXT)?;
    if let Some(w) = words.iter().find(|w| **w == t) {
        return Ok(w);
    }
    let help = match super::problem::nearest(t, words.iter().copied()) {
        Some(near) => format!("Did you mean `{near}`?"),
        None => format!("Known here: {}.", words.join(", ")),
    };
    Err((format!("`{}` is not known here.", shown(t)), Some(help)))
}

/// A list of texts.
pub fn texts(node: &Node) -> Result<Vec<(&str, &Node)>, Refusal> {
    match &node.value {
        Value::List(items) if items.len() > MAX_ENTRIES => {
            Err((format!("Here stand {} entries; at most {MAX_ENTRIES} are read.", items.len()), None))
        }
        Value::List(items) => items.iter().map(|i| Ok((text(i, 3 * MAX_NAME)?, i))).collect(),
        _ => Err(expected("a list of texts", node)),
    }
}

/// A piece of somebody's text, short enough for a message and without control characters.
pub fn shown(text: &str) -> String {
    let short: String = text.chars().take(60).collect();
    let dots = if short.len() < text.len() { "…" } else { "" };
    format!("{}{dots}", short.escape_debug())
}
