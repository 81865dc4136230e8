//! How many tests passed and failed, read from what the runners say.

use std::fmt;
use std::ops::AddAssign;

/// Tests that passed and failed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Passed.
    pub passed: usize,
    /// Failed.
    pub failed: usize,
}

impl AddAssign for Counts {
    fn add_assign(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
    }
}

impl fmt::Display for Counts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} passed, {} failed", self.passed, self.failed)
    }
}

/// Adds up the closing lines of `cargo test`, `cargo nextest`, `pytest`, `vitest` and `node --test`:
/// `test result: ok. 5 passed; 0 failed; …`, `Summary [ 1.2s] 35 tests run: 33 passed, 2 failed`,
/// `==== 12 passed, 1 failed in 3.45s ====`, `Tests  1 failed | 37 passed (38)`, `# pass 12`.
pub fn read(said: &str) -> Counts {
    let mut counts = Counts::default();
    for line in said.lines() {
        let line = plain(line);
        let line = line.trim();
        let closing = line.starts_with("test result:")
            || line.starts_with("Summary [")
            || line.starts_with("Tests  ")
            || (line.starts_with('=') && line.ends_with('=') && line.contains(" in "));
        if let Some(rest) = line.strip_prefix("# ").or(line.strip_prefix("\u{2139} ")) {
            let count = |word| rest.strip_prefix(word).and_then(|n| n.trim().parse().ok()).unwrap_or(0);
            counts.passed += count("pass ");
            counts.failed += count("fail ") + count("cancelled ");
        }
        if closing {
            counts.passed += before(line, "passed");
            counts.failed += before(line, "failed") + before(line, "timed out");
            if line.starts_with('=') {
                counts.failed += before(line, "error").max(before(line, "errors"));
            }
        }
    }
    counts
}

/// The number in front of a word; nothing when the word is not there.
fn before(line: &str, word: &str) -> usize {
    let words: Vec<&str> =
        line.split([' ', ',', ';', '=', '.', '(', ')']).filter(|w| !w.is_empty()).collect();
    let wanted: Vec<&str> = word.split(' ').collect();
    let at = (1..words.len()).find(|i| words[*i..].starts_with(&wanted));
    at.and_then(|i| words[i - 1].parse().ok()).unwrap_or(0)
}

/// Without the colour codes of a terminal.
fn plain(line: &str) -> String {
    let mut out = String::with_capacity(line.len());
    let mut chars = line.chars();
    while let Some(c) = chars.next() {
        if c == '\u{1b}' {
            // A sequence ends with a letter.
            for c in chars.by_ref() {
                if c.is_ascii_alphabetic() {
                    break;
                }
            }
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closing_lines_of_the_runners_are_read() {
        let said = "test result: FAILED. 32 passed; 3 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.35s\n\
            \u{1b}[32;1m     Summary\u{1b}[0m [   1.204s] 35 tests run: 33 passed (1 slow), 2 failed, 0 skipped\n\
            ===== 1 failed, 12 passed, 2 warnings in 3.45s =====\n\
            ==== 3 passed, 1 error in 1.00s ====\n\
            \u{1b}[2m      Tests \u{1b}[22m \u{1b}[31m1 failed\u{1b}[39m | \u{1b}[32m37 passed\u{1b}[39m (38)\n\
            # tests 14\n# pass 12\n# fail 1\n# cancelled 1\n\
            some words about 9 passed, 9 failed\n";
        let (passed, failed) = (32 + 33 + 12 + 3 + 37 + 12, 3 + 2 + 1 + 1 + 1 + 2);
        assert_eq!(read(said), Counts { passed, failed });
        assert_eq!(read(""), Counts::default());
    }
}
