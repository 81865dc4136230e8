//! The history file read back.

use super::{Deed, HELD, History, Line, Step, sum};
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
    let lines = Lines::of(text);
    let now = sum(folder);
    let (n, [before, last]) = (lines.kinds.len(), &lines.sums);
    if last.as_ref() == Some(&now) && lines.whole {
        return ReadBack { history: lines.replayed(text, n), keep: lines.keep(n), anew: false };
    }
    if lines.whole && before.as_ref() == Some(&now) {
        return ReadBack { history: lines.replayed(text, n - 1), keep: lines.keep(n - 1), anew: false };
    }
    ReadBack { history: History::default(), keep: lines.keep(n), anew: n > 0 || !lines.whole }
}

/// The history that a file tells, whatever the files say.
pub fn told_by(text: &[u8]) -> History {
    let lines = Lines::of(text);
    lines.replayed(text, lines.kinds.len())
}

/// What a line tells of.
#[derive(Clone, Copy)]
enum Kind {
    Begin,
    Step,
    Undo,
    Redo,
}

/// The lines that can be read. Their steps are not kept: a long history has many.
struct Lines {
    kinds: Vec<Kind>,
    /// Where each ends.
    ends: Vec<usize>,
    /// Check sums of the last but one and of the last.
    sums: [Option<String>; 2],
    /// Nothing but the last line was bad.
    whole: bool,
}

impl Lines {
    fn of(text: &[u8]) -> Self {
        let mut lines = Self { kinds: Vec::new(), ends: Vec::new(), sums: [None, None], whole: true };
        let mut at = 0;
        for piece in text.split_inclusive(|b| *b == b'\n') {
            at += piece.len();
            let finished = piece.ends_with(b"\n");
            match serde_json::from_slice::<Line>(piece) {
                Ok(line) if finished => {
                    lines.kinds.push(match line.deed {
                        Deed::Begin => Kind::Begin,
                        Deed::Step(_) => Kind::Step,
                        Deed::Undo => Kind::Undo,
                        Deed::Redo => Kind::Redo,
                    });
                    lines.ends.push(at);
                    lines.sums = [lines.sums[1].take(), Some(line.sum)];
                }
                _ => {
                    lines.whole = at == text.len();
                    break;
                }
            }
        }
        lines
    }

    /// How far the first `n` of them go, bytes.
    fn keep(&self, n: usize) -> usize {
        n.checked_sub(1).map_or(0, |i| self.ends[i])
    }

    /// What the first `n` of them lead to.
    fn replayed(&self, text: &[u8], n: usize) -> History {
        let (mut past, mut future) = (Vec::new(), Vec::new());
        for (i, kind) in self.kinds[..n].iter().enumerate() {
            match kind {
                Kind::Begin => {
                    past.clear();
                    future.clear();
                }
                Kind::Step => {
                    past.push(i);
                    future.clear();
                }
                Kind::Undo => future.extend(past.pop()),
                Kind::Redo => past.extend(future.pop()),
            }
        }
        let step = |i: &usize| -> Option<Step> {
            match serde_json::from_slice::<Line>(&text[self.keep(*i)..self.ends[*i]]).ok()?.deed {
                Deed::Step(step) => Some(step),
                _ => None,
            }
        };
        let below = [&past, &future].map(|all: &Vec<usize>| all.len().saturating_sub(HELD));
        let held = |all: &[usize], below: usize| all[below..].iter().filter_map(step).collect();
        History { past: held(&past, below[0]), future: held(&future, below[1]), below }
    }
}
