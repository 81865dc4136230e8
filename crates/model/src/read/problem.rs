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

/// Column of a byte offset, in characters from 1, on a line that begins at `start`.
pub fn column(text: &str, start: usize, offset: usize) -> usize {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    text.get(start..offset).map_or(0, |t| t.chars().count()) + 1
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
    fn columns_are_counted_in_characters() {
        let text = "ä = 1\r\nbö = 2";
        assert_eq!(column(text, 8, text.find('2').unwrap()), 6);
        assert_eq!(column(text, 0, 1), 1, "within a character");
        assert_eq!(column("", 0, 10), 1);
    }

    #[test]
    fn only_near_words_are_offered() {
        assert_eq!(nearest("rotaton", ["rotation", "face"]), Some("rotation"));
        assert_eq!(nearest("Thikness_mm", ["thickness_mm", "material"]), Some("thickness_mm"));
        assert_eq!(nearest("xyz", ["rotation", "face"]), None);
    }
}
