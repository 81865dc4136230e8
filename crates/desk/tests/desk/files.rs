//! Files that come and go with a step, whatever moment a crash takes.

use crate::page::{Desk, Page};
use serde_json::{Value, json};
use std::fs;
use std::path::Path;

const FILE: &str = "parts/shelf.toml";
const JOURNAL: &str = ".loomdeck-journal";
const HISTORY: &str = ".loomdeck/history.jsonl";

/// What a crash leaves: history, journal, the file; and whether the step came to pass.
type Moment<'a> = (&'a [u8], Option<&'a str>, Option<&'a str>, bool);

fn draft(name: &str) -> Value {
    json!({
        "name": name, "unit": "mm", "shape": "rectangle", "corners": [], "holes": [], "terminals": [],
        "elements": [], "values": {"title": "a <b>shelf</b>", "width": "60", "depth": "40", "height": "30"},
    })
}

fn kept(page: &mut Page) -> Value {
    page.say(&json!({"ask": "hello"}));
    page.until(|t| t["tell"] == "kept")
}

/// The check sum that the journal carries (FNV-1a, 64 bit), written down apart from the program's.
fn sum(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

#[test]
fn a_type_is_drafted_made_and_taken_back() {
    let desk = Desk::new();
    let mut page = desk.page();
    let forms = page.ask(json!({"ask": "type_forms"}));
    assert!(forms["forms"]["kinds"].as_array().unwrap().len() > 20);
    let told = page.ask(json!({"ask": "draft", "draft": draft("../shelf")}));
    assert_eq!((&told["text"], told["wrong"][0]["field"].as_str()), (&json!(""), Some("name")));
    let told = page.ask(json!({"ask": "make_type", "base": null, "draft": draft("../shelf")}));
    assert_eq!(told["tell"], "wrong");
    let told = page.ask(json!({"ask": "draft", "draft": draft("shelf")}));
    assert_eq!(told["file"], FILE);
    assert!(!desk.file(FILE).exists(), "nothing is written yet");
    page.ask(json!({"ask": "make_type", "base": null, "draft": draft("shelf")}));
    assert_eq!(fs::read_to_string(desk.file(FILE)).unwrap(), told["text"].as_str().unwrap());
    let types = page.ask(json!({"ask": "library"}));
    assert_eq!(types["types"][0]["title"], "LED lamp, 9 V to 32 V, 5 W");
    assert!(types["types"].as_array().unwrap().iter().any(|t| t["name"] == "shelf" && t["own"] == true));
    page.ask(json!({"ask": "undo"}));
    assert!(!desk.file(FILE).exists());
    page.ask(json!({"ask": "redo"}));
    assert!(desk.file(FILE).exists());
    // Somebody puts a file of that name there while it is taken back.
    page.ask(json!({"ask": "undo"}));
    fs::write(desk.file(FILE), [0xff]).unwrap();
    let told = page.ask(json!({"ask": "redo"}));
    assert_eq!(told["tell"], "refused", "{told}");
    assert_eq!(fs::read(desk.file(FILE)).unwrap(), [0xff]);
}

#[test]
fn a_crash_at_any_moment_leaves_file_and_history_together() {
    // Once through, to see what is written.
    let desk = Desk::new();
    let mut page = desk.page();
    let begun = fs::read(desk.file(HISTORY)).unwrap();
    page.ask(json!({"ask": "make_type", "base": null, "draft": draft("shelf")}));
    let (text, history) =
        (fs::read_to_string(desk.file(FILE)).unwrap(), fs::read(desk.file(HISTORY)).unwrap());
    assert!(history.starts_with(&begun) && history.len() > begun.len());
    let body = serde_json::to_string(&json!({FILE: text})).unwrap();
    let journal = format!("{body}\n{:016x}\n", sum(&body));
    drop(page);
    drop(desk);

    let none: Option<&str> = None;
    let half = &journal[..journal.len() / 2];
    let torn = begun.len() + (history.len() - begun.len()) / 2;
    let moments: [Moment<'_>; 7] = [
        (&begun, none, none, false),
        (&history[..torn], none, none, false),
        (&history, none, none, false),
        (&history, Some(half), none, false),
        (&history, Some(&journal), none, true),
        (&history, Some(&journal), Some(&text), true),
        (&history, none, Some(&text), true),
    ];
    for (i, (history, journal, file, came)) in moments.into_iter().enumerate() {
        let dir = crate::page::copy("cart");
        let put = |name: &str, bytes: &[u8]| fs::write(dir.path().join(name), bytes).unwrap();
        fs::create_dir(dir.path().join(".loomdeck")).unwrap();
        put(HISTORY, history);
        if let Some(journal) = journal {
            put(JOURNAL, journal.as_bytes());
        }
        if let Some(file) = file {
            fs::create_dir(dir.path().join("parts")).unwrap();
            put(FILE, file.as_bytes());
        }
        let desk = Desk::at(dir);
        let mut page = desk.page();
        let told = kept(&mut page);
        let there = |p: &Path| fs::read_to_string(p).ok();
        assert_eq!(there(&desk.file(FILE)).as_deref(), came.then_some(text.as_str()), "moment {i}");
        assert_eq!(
            told["undo"],
            if came { json!("Make the type shelf") } else { Value::Null },
            "moment {i}"
        );
        assert!(told["why"].is_null(), "moment {i}: {told}");
        if came {
            page.ask(json!({"ask": "undo"}));
            assert_eq!(there(&desk.file(FILE)), None, "moment {i}");
            page.ask(json!({"ask": "redo"}));
            assert_eq!(there(&desk.file(FILE)).as_deref(), Some(text.as_str()), "moment {i}");
        } else {
            page.ask(json!({"ask": "make_type", "base": null, "draft": draft("shelf")}));
            assert!(desk.file(FILE).exists(), "moment {i}");
        }
        assert!(!desk.file(JOURNAL).exists());
    }
}

#[test]
fn a_file_that_comes_from_outside_is_a_step() {
    let desk = Desk::new();
    let mut page = desk.page();
    page.move_to("driver", 171.0, 30.0);
    fs::create_dir(desk.file("parts")).unwrap();
    fs::write(desk.file(FILE), "[[type]]\nname = \"shelf\"\nsize_mm = [10, 10]\n").unwrap();
    let told =
        page.until(|t| t["tell"] == "kept" && t["undo"].as_str().is_some_and(|u| u.contains("outside")));
    assert_eq!(told["undo"], "New file parts/shelf.toml outside the desk");
    fs::remove_file(desk.file(FILE)).unwrap();
    page.until(|t| {
        t["tell"] == "kept" && t["undo"].as_str().is_some_and(|u| u.starts_with("Removal of"))
    });
    page.ask(json!({"ask": "undo"}));
    assert!(desk.file(FILE).exists());
    page.ask(json!({"ask": "undo"}));
    assert!(!desk.file(FILE).exists());
    page.ask(json!({"ask": "undo"}));
    assert!(desk.text().contains("at_mm = [170, 30]"));
}
