//! Text of comma-separated tables, safe to open in a spreadsheet.
//!
//! Quoting follows RFC 4180. A text cell that a spreadsheet would run as a formula (it begins with
//! `=`, `+`, `-`, `@`, a tab or a carriage return) gets an apostrophe in front, which spreadsheets take
//! for "this is text".

use std::fmt::Write;

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Words.
    Text(String),
    /// A number with this many decimals.
    Number(f64, usize),
    /// Nothing.
    Empty,
}

impl Cell {
    /// Words; thin spaces become plain ones, which every spreadsheet shows.
    pub fn text(words: impl AsRef<str>) -> Self {
        Self::Text(words.as_ref().replace('\u{2009}', " "))
    }
}

/// A table with a heading for each column.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Name, also that of its file.
    pub name: &'static str,
    /// Headings; quantities carry their unit.
    pub columns: Vec<&'static str>,
    /// Rows.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// The table as text, lines ended by CR LF.
    pub fn to_csv(&self) -> String {
        let mut out = String::new();
        let headings: Vec<String> = self.columns.iter().map(|c| quoted(c)).collect();
        line(&mut out, headings);
        for row in &self.rows {
            line(&mut out, row.iter().map(cell).collect());
        }
        out
    }
}

fn line(out: &mut String, cells: Vec<String>) {
    out.push_str(&cells.join(","));
    out.push_str("\r\n");
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Text(words) => quoted(&harmless(words)),
        Cell::Number(x, decimals) => number(*x, *decimals),
        Cell::Empty => String::new(),
    }
}

/// Without trailing zeros, and never `-0`.
fn number(x: f64, decimals: usize) -> String {
    let mut text = String::new();
    if write!(text, "{x:.decimals$}").is_err() || !x.is_finite() {
        return String::new();
    }
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

fn harmless(words: &str) -> String {
    match words.chars().next() {
        Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n') => format!("'{words}"),
        // The full-width forms are run as formulas too by some spreadsheets.
        Some('＝' | '＋' | '－' | '＠') => format!("'{words}"),
        _ => words.to_owned(),
    }
}

fn quoted(words: &str) -> String {
    if words.contains([',', '"', '\n', '\r']) || words.starts_with(' ') || words.ends_with(' ') {
        format!("\"{}\"", words.replace('"', "\"\""))
    } else {
        words.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A reader by the rules of RFC 4180, written for the test alone.
    fn read(text: &str) -> Vec<Vec<String>> {
        let (mut rows, mut row, mut cell, mut inside) = (Vec::new(), Vec::new(), String::new(), false);
        let mut chars = text.chars().peekable();
        while let Some(c) = chars.next() {
            match (inside, c) {
                (true, '"') if chars.peek() == Some(&'"') => {
                    chars.next();
                    cell.push('"');
                }
                (_, '"') => inside = !inside,
                (false, ',') => row.push(std::mem::take(&mut cell)),
                (false, '\r') if chars.peek() == Some(&'\n') => {
                    chars.next();
                    row.push(std::mem::take(&mut cell));
                    rows.push(std::mem::take(&mut row));
                }
                (_, c) => cell.push(c),
            }
        }
        rows
    }

    proptest! {
        #[test]
        fn any_words_come_back(words in prop::collection::vec("[ -~\\r\\n\\t\"=+@é✓-]{0,12}", 1..6)) {
            let table = Table {
                name: "t",
                columns: vec!["c"; words.len()],
                rows: vec![words.iter().map(|w| Cell::Text(w.clone())).collect()],
            };
            let back = read(&table.to_csv());
            prop_assert_eq!(back.len(), 2);
            for (cell, words) in back[1].iter().zip(&words) {
                let plain = cell.strip_prefix('\'').filter(|p| p == words).unwrap_or(cell);
                prop_assert_eq!(plain, words);
                prop_assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']));
            }
        }
    }

    #[test]
    fn numbers_stay_numbers() {
        let table = Table {
            name: "t",
            columns: vec!["x_mm", "note"],
            rows: vec![
                vec![Cell::Number(-12.50, 2), Cell::text("=1+1")],
                vec![Cell::Number(-0.001, 2), Cell::text("a \"b\", c")],
                vec![Cell::Number(f64::NAN, 2), Cell::Empty],
                vec![Cell::Number(100.0, 0), Cell::text("4\u{2009}mm")],
            ],
        };
        let text = "x_mm,note\r\n-12.5,'=1+1\r\n0,\"a \"\"b\"\", c\"\r\n,\r\n100,4 mm\r\n";
        assert_eq!(table.to_csv(), text);
    }
}
