//! What is wrong in the files, with its place.

use serde::Serialize;
use std::fmt;
use std::ops::Range;

/// One mistake in a file: where, what stands there, what was expected.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// File, relative to the robot's folder.
    pub file: String,
    /// Bytes of the offending text.
    pub span: Range<usize>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is wrong, whole sentences.
    pub message: String,
    /// What to write instead, when that is known: a sentence.
    pub help: Option<String>,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line > 0 {
            write!(f, "{}, line {}: {}", self.file, self.line, self.message)?;
        } else {
            write!(f, "{}: {}", self.file, self.message)?;
        }
        match &self.help {
            Some(help) => write!(f, " {help}"),
            None => Ok(()),
        }
    }
}

/// Line and column (both from 1, column in characters) of a byte offset.
pub fn line_and_column(text: &str, offset: usize) -> (usize, usize) {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    let before = &text[..offset];
    let line = before.bytes().filter(|b| *b == b'\n').count() + 1;
    let start = before.rfind('\n').map_or(0, |i| i + 1);
    (line, before[start..].chars().count() + 1)
}

/// The nearest of some words, when one is near enough to be a slip of the pen.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let folded = word.to_lowercase();
    known
        .into_iter()
        .map(|k| (strsim::damerau_levenshtein(&folded, &k.to_lowercase()), k))
        .filter(|(distance, k)| {
            let length = word.chars().count().max(k.chars().count());
            *distance <= (length / 3).max(1)
        })
        .min()
        .map(|(_, k)| k)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_counted_in_characters() {
        let text = "ä = 1\r\nbö = 2";
        assert_eq!(line_and_column(text, text.find("2").unwrap_or(0)), (2, 6));
        assert_eq!(line_and_column(text, 1), (1, 1));
        assert_eq!(line_and_column("", 10), (1, 1));
    }

    #[test]
    fn only_near_words_are_offered() {
        assert_eq!(nearest("rotaton", ["rotation", "face"]), Some("rotation"));
        assert_eq!(nearest("Thikness_mm", ["thickness_mm", "material"]), Some("thickness_mm"));
        assert_eq!(nearest("xyz", ["rotation", "face"]), None);
    }
}
