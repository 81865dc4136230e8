//! The fuzzers' corpus, replayed: every text that ever broke something, and the seeds.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

use loomdeck_study::testing;
use std::fs;
use std::path::Path;

fn texts(target: &str) -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut files: Vec<_> = fs::read_dir(root.join("fuzz/corpus").join(target))
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    files.sort();
    let mut texts: Vec<String> =
        files.iter().filter_map(|f| String::from_utf8(fs::read(f).unwrap()).ok()).collect();
    for demo in ["cart", "samovar", "samovar-first-try"] {
        let mut whole = String::new();
        for file in ["robot.toml", "board.toml", "wiring.toml"] {
            whole.push_str(
                &fs::read_to_string(root.join("demos").join(demo).join(file)).unwrap_or_default(),
            );
        }
        texts.push(whole);
    }
    texts
}

#[test]
fn any_text_is_read_and_studied() {
    for text in texts("robot") {
        testing::any_text_is_read_and_studied(&text);
    }
}

#[test]
fn edits_lose_no_byte() {
    for text in texts("robot").into_iter().chain(texts("edit")) {
        testing::edits_lose_no_byte(&text);
    }
}
