//! The history file read back.

use super::{History, Line, sum};
use loomdeck_model::Folder;

/// What a history file still says about the files as they are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadBack {
    /// What can be undone and redone.
    pub history: History,
    /// How much of the file stays, bytes: what comes after was never finished.
    pub keep: usize,
    /// The files are not what the history left: it has to begin anew.
    pub anew: bool,
}

/// Reads a history file back and holds it against the files.
///
/// A line is written before the files are. So the last one may be torn, or may tell of a change that
/// never came to the files; it is dropped then, and it alone.
pub fn read_back(text: &[u8], folder: &Folder) -> ReadBack {
    let (lines, keep, whole) = lines(text);
    let now = sum(folder);
    let replayed = |n: usize| {
        let mut history = History::default();
        lines[..n].iter().for_each(|(line, _)| history.take_down(&line.deed));
        history
    };
    let says = |n: usize| n > 0 && lines[n - 1].0.sum == now;
    let n = lines.len();
    if says(n) && whole {
        return ReadBack { history: replayed(n), keep, anew: false };
    }
    if n > 1 && whole && says(n - 1) {
        return ReadBack { history: replayed(n - 1), keep: lines[n - 2].1, anew: false };
    }
    ReadBack { history: History::default(), keep, anew: n > 0 || !whole }
}

/// The lines that can be read, each with the byte after it; how far they go; and whether nothing but the
/// last line was bad.
fn lines(text: &[u8]) -> (Vec<(Line, usize)>, usize, bool) {
    let mut lines = Vec::new();
    let (mut at, mut kept) = (0, 0);
    for piece in text.split_inclusive(|b| *b == b'\n') {
        at += piece.len();
        let finished = piece.ends_with(b"\n");
        match serde_json::from_slice::<Line>(piece) {
            Ok(line) if finished => {
                lines.push((line, at));
                kept = at;
            }
            _ => return (lines, kept, at == text.len()),
        }
    }
    (lines, kept, true)
}
