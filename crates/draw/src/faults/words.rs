//! Figures in words, shared by the chapters.

use loomdeck_model::units::{Amperes, Celsius, Ohms, Volts, Watts, three_digits};

pub(super) fn volts(v: f64) -> String {
    Volts(if v.abs() < 5e-4 { 0.0 } else { v }).to_string()
}

pub(super) fn amperes(a: f64) -> String {
    Amperes(if a.abs() < 5e-4 { 0.0 } else { a }).to_string()
}

pub(super) fn ohms(r: f64) -> String {
    Ohms(r).to_string()
}

pub(super) fn watts(w: f64) -> String {
    Watts(if w.abs() < 5e-3 { 0.0 } else { w }).to_string()
}

pub(super) fn joules(j: f64) -> String {
    if j.abs() < 0.1 {
        format!("{}\u{2009}mJ", three_digits(j * 1e3))
    } else {
        format!("{}\u{2009}J", three_digits(j))
    }
}

pub(super) fn celsius(t: Celsius) -> String {
    format!("{t:.0}")
}

pub(super) fn speed(m_s: f64) -> String {
    format!("{}\u{2009}m/s", three_digits(m_s))
}

pub(super) fn newtons(n: f64) -> String {
    format!("{}\u{2009}N", three_digits(if n.abs() < 0.05 { 0.0 } else { n }))
}

/// I²·t.
pub(super) fn square_seconds(i2t: f64) -> String {
    format!("{}\u{2009}A²s", three_digits(i2t))
}

pub(super) fn farads(f: f64) -> String {
    if f >= 0.1 {
        format!("{}\u{2009}F", three_digits(f))
    } else if f >= 1e-3 {
        format!("{}\u{2009}mF", three_digits(f * 1e3))
    } else {
        format!("{}\u{2009}µF", three_digits(f * 1e6))
    }
}

pub(super) fn percent(p: f64) -> String {
    format!("{}\u{2009}%", three_digits(p))
}

/// A figure that may not be known.
pub(super) fn known<T>(value: Option<T>, say: impl Fn(T) -> String) -> String {
    value.map_or_else(|| "not stated".to_owned(), say)
}

/// A figure that may not exist.
pub(super) fn any<T>(value: Option<T>, say: impl Fn(T) -> String) -> String {
    value.map_or_else(String::new, say)
}

/// Names that are listed before the rest is counted.
const NAMED: usize = 4;

/// A list of names, the first few; nothing when there is none.
pub(super) fn few(names: impl IntoIterator<Item = String>) -> String {
    let names: Vec<String> = names.into_iter().collect();
    // One name more costs no more than the words that would stand for it.
    if names.len() <= NAMED + 1 {
        return names.join(", ");
    }
    format!("{} and {} more", names[..NAMED].join(", "), names.len() - NAMED)
}

/// [`few`], with a word for none.
pub(super) fn few_or_nothing(names: impl IntoIterator<Item = String>) -> String {
    let list = few(names);
    if list.is_empty() { "nothing".to_owned() } else { list }
}

/// A time after which a fuse has opened: its curve knows nothing of less than a millisecond.
pub(super) fn opening(seconds: f64) -> String {
    if seconds < 1e-3 { "under 1\u{2009}ms".to_owned() } else { crate::words::time(seconds) }
}
