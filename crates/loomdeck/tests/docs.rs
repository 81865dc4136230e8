//! The pages in `docs/` quote what the program prints; here it is held to that.
//!
//! A quoted block that begins with `$ loomdeck … demos/…` is run, and what stands below it must occur
//! in what the program prints, in order; `…` stands for anything. In `first-try.md` every other
//! quoted block must occur in what `check demos/samovar-first-try` prints.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

use std::path::Path;
use std::process::Command;

fn root() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// What the program prints, with every run of white space as one space.
fn printed(args: &[&str]) -> String {
    let done =
        Command::new(env!("CARGO_BIN_EXE_loomdeck")).args(args).current_dir(root()).output().unwrap();
    words(&String::from_utf8(done.stdout).unwrap())
}

fn words(text: &str) -> String {
    // The thin space between number and unit is white space like any other in a page.
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The indented blocks of a page.
fn blocks(page: &str) -> Vec<String> {
    let mut blocks = vec![String::new()];
    for line in page.lines() {
        match line.strip_prefix("    ") {
            Some(quoted) => {
                let last = blocks.len() - 1;
                blocks[last].push_str(quoted);
                blocks[last].push('\n');
            }
            None if line.is_empty() => blocks.last_mut().unwrap().push('\n'),
            None => blocks.push(String::new()),
        }
    }
    blocks.into_iter().map(|b| b.trim_matches('\n').to_owned()).filter(|b| !b.is_empty()).collect()
}

/// The first piece of a quotation that does not occur, in order, in what was printed.
fn missing<'q>(quoted: &'q str, printed: &str) -> Option<&'q str> {
    let mut rest = printed;
    // Lines, because a page may leave one out between two that it quotes.
    for piece in quoted.split(['…', '\n']) {
        let piece_words = words(piece);
        match rest.find(&piece_words) {
            Some(at) => rest = &rest[at + piece_words.len()..],
            None => return Some(piece),
        }
    }
    None
}

fn wrong_in(page: &str, otherwise: Option<&str>) -> (usize, Vec<String>) {
    let text = std::fs::read_to_string(root().join("docs").join(page)).unwrap();
    let (mut checked, mut wrong) = (0, Vec::new());
    for block in blocks(&text) {
        let (first, rest) = block.split_once('\n').unwrap_or((&block, ""));
        let output = match first.strip_prefix("$ loomdeck ") {
            Some(command) if command.contains("demos/") && !command.contains("-o ") => {
                (printed(&command.split_whitespace().collect::<Vec<_>>()), rest.to_owned())
            }
            Some(_) => continue,
            None => match otherwise {
                Some(output) => (output.to_owned(), block.clone()),
                None => continue,
            },
        };
        checked += 1;
        // Several quotations in one block are set apart by empty lines.
        for part in output.1.split("\n\n") {
            if let Some(piece) = missing(part, &output.0) {
                wrong.push(format!("{page} quotes what is not printed:\n{piece}"));
            }
        }
    }
    (checked, wrong)
}

#[test]
fn the_pages_quote_what_is_printed() {
    let (tutorial, mut wrong) = wrong_in("tutorial.md", None);
    let first_try = printed(&["check", "demos/samovar-first-try"]);
    let (walk, more) = wrong_in("first-try.md", Some(&first_try));
    wrong.extend(more);
    assert!(tutorial >= 2 && walk >= 10, "{tutorial} and {walk} quotations");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
