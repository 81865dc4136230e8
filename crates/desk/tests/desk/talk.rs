//! What pages and desk say to one another.

use crate::page::{Desk, Page, copy, moved};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::time::{Duration, Instant};

fn part<'v>(sections: &'v Value, name: &str) -> &'v Value {
    sections["parts"].as_array().unwrap().iter().find(|p| p["name"] == name).unwrap()
}

#[test]
fn a_page_is_told_everything_once_and_then_what_changes() {
    let desk = Desk::new();
    let mut page = desk.knock(desk.request()).unwrap_or_else(|s| panic!("{s}"));
    page.say(&json!({"ask": "hello", "seen": 3}));
    let welcome = page.hear().unwrap();
    let told = json!({"tell": "welcome", "guest": false, "may_edit": true, "phones": [], "phones_may_edit": false});
    assert_eq!(welcome, told);
    let first = page.hear().unwrap();
    assert_eq!(
        (&first["tell"], &first["rev"], &first["trying"]),
        (&json!("study"), &json!(1), &json!(false))
    );
    assert_eq!(first["sections"].as_object().unwrap().len(), 14);
    assert_eq!(first["sections"]["robot"]["name"], "Cart");
    assert_eq!(page.hear().unwrap()["tell"], "kept");
    assert_eq!(page.hear().unwrap(), json!({"tell": "ticks", "ticks": []}));
    let told = page.move_to("driver", 175.0, 35.0);
    assert_eq!(part(&told["sections"], "driver")["at_mm"], json!([175.0, 35.0]));
    assert!(told["sections"].get("zones").is_none(), "zones did not change");
    let kept = page.until(|t| t["tell"] == "kept");
    assert_eq!((&kept["undo"], &kept["saved"]), (&json!("Move driver"), &json!(true)));
    assert!(desk.text().contains("at_mm = [175, 35]"));
    // The hand rests: the deep tier follows, of the same state.
    let deep = page.until(|t| t["tell"] == "study" && t["deep"] == true);
    assert_eq!(deep["rev"], 2);
    assert!(deep["sections"]["diagram"]["paper"].as_str().unwrap().starts_with("<svg"));
    let make = &deep["sections"]["make"];
    let wires = first["sections"]["wires"].as_array().unwrap().len();
    assert_eq!(make["cuts"].as_array().unwrap().len(), wires, "each is cut or a lead of its own");
    assert_eq!(make["steps"][0]["number"], 1);
    let undone = page.ask(json!({"ask": "undo"}));
    assert_eq!(
        (part(&undone["sections"], "driver")["at_mm"].clone(), &undone["deep"]),
        (json!([170.0, 30.0]), &json!(false))
    );
    page.ask(json!({"ask": "redo"}));
    assert!(desk.text().contains("at_mm = [175, 35]"));
    let refused = page.ask(json!({"ask": "redo"}));
    assert!(refused["why"].as_str().unwrap().contains("nothing to do again"));
}

#[test]
fn the_last_try_wins_and_nothing_is_saved() {
    let desk = Desk::new();
    let before = desk.text();
    let mut page = desk.page();
    let n = 400;
    for i in 1..=n {
        let edits = json!([moved("driver", 100.0 + f64::from(i) / 4.0, 30.0)]);
        page.say(&json!({"ask": "try", "id": i, "base": 1, "edits": edits}));
    }
    let (mut answered, mut last) = (Vec::new(), Value::Null);
    while answered.last() != Some(&u64::from(n as u32)) {
        let told = page.until(|t| t["tell"] == "study" && t["answers"].is_u64());
        assert_eq!(told["trying"], true);
        answered.push(told["answers"].as_u64().unwrap());
        if told["sections"].get("parts").is_some() {
            last = part(&told["sections"], "driver")["at_mm"].clone();
        }
    }
    assert!(
        answered.is_sorted() && answered.len() < n as usize,
        "{} of {n} were studied",
        answered.len()
    );
    assert_eq!(last, json!([200.0, 30.0]));
    page.id = 1000;
    let dropped = page.ask(json!({"ask": "let_go"}));
    assert_eq!(
        (&dropped["trying"], part(&dropped["sections"], "driver")["at_mm"].clone()),
        (&json!(false), json!([170.0, 30.0]))
    );
    assert_eq!(desk.text(), before);
}

#[test]
fn pages_see_one_another_and_a_page_that_goes_lets_go() {
    let desk = Desk::new();
    let (mut one, mut two) = (desk.page(), desk.page());
    one.move_to("driver", 175.0, 35.0);
    let seen = two.until(|t| t["tell"] == "study" && t["rev"] == 2);
    assert!(seen.get("answers").is_none());
    assert_eq!(part(&seen["sections"], "driver")["at_mm"], json!([175.0, 35.0]));
    assert_eq!(two.until(|t| t["tell"] == "kept")["undo"], "Move driver");
    two.ask(json!({"ask": "try", "base": null, "edits": [moved("driver", 180.0, 40.0)]}));
    let seen = one.until(|t| t["tell"] == "study" && t["trying"] == true);
    assert_eq!(part(&seen["sections"], "driver")["at_mm"], json!([180.0, 40.0]));
    drop(two);
    let seen = one.until(|t| t["tell"] == "study" && t["trying"] == false);
    assert_eq!(part(&seen["sections"], "driver")["at_mm"], json!([175.0, 35.0]));
    // The other page may take back what this one did.
    let mut three = desk.page();
    three.ask(json!({"ask": "undo"}));
    let seen = one.until(|t| t["tell"] == "study" && t["rev"] == 3);
    assert_eq!(part(&seen["sections"], "driver")["at_mm"], json!([170.0, 30.0]));
}

#[test]
fn a_change_by_an_editor_appears_and_is_not_overwritten() {
    let desk = Desk::new();
    let mut page = desk.page();
    let text = desk.text();
    let since = Instant::now();
    std::fs::write(desk.file("robot.toml"), text.replace("at_mm = [170, 30]", "at_mm = [160, 30]"))
        .unwrap();
    let seen = page.until(|t| t["tell"] == "study" && t["rev"] == 2);
    let took = since.elapsed();
    assert_eq!(part(&seen["sections"], "driver")["at_mm"], json!([160.0, 30.0]));
    assert!(
        took < Duration::from_secs(5),
        "{took:?}; half a second on a machine with nothing else to do"
    );
    assert!(page.until(|t| t["tell"] == "kept")["undo"].as_str().unwrap().contains("outside the desk"));
    // A hand that saw the state before it: the same key is a conflict, another is not.
    let edit = |part: &str, x: f64| json!({"ask": "edit", "base": 1, "words": "Move", "edits": [moved(part, x, 40.0)]});
    let told = page.ask(edit("driver", 1.0));
    assert_eq!((&told["tell"], &told["rev"]), (&json!("conflict"), &json!(2)));
    assert!(told["why"].as_str().unwrap().contains("`driver`"));
    assert_eq!(page.ask(edit("receiver", 251.0))["tell"], "study");
    assert!(desk.text().contains("[160, 30]") && desk.text().contains("[251, 40]"));
}

#[test]
fn what_an_editor_writes_just_before_a_save_is_taken_in_first() {
    let desk = Desk::new();
    let mut page = desk.page();
    for i in 0..20 {
        // Between two looks of the desk: its save finds files that it has not read.
        let text = desk.text();
        let about = format!("about = \"round {i}\"");
        let begin = text.find("about = ").unwrap();
        let end = begin + text[begin..].find('\n').unwrap();
        std::fs::write(desk.file("robot.toml"), [&text[..begin], &about, &text[end..]].concat())
            .unwrap();
        let told = page.move_to("driver", 150.0 + f64::from(i), 30.0);
        assert_eq!(told["tell"], "study", "{told}");
        let text = desk.text();
        assert!(text.contains(&about) && text.contains(&format!("at_mm = [{}, 30]", 150 + i)), "{i}");
    }
}

#[test]
fn files_that_break_are_told_and_mended() {
    let desk = Desk::new();
    let mut page = desk.page();
    let text = desk.text();
    std::fs::write(desk.file("robot.toml"), text.replace("at_mm = [170, 30]", "at_mm = [170,")).unwrap();
    let told = page.until(|t| t["tell"] == "broken");
    assert!(told["mistakes"][0]["line"].as_u64().unwrap() > 1, "{told}");
    let told = page.move_to("receiver", 251.0, 160.0);
    assert!(
        told["tell"] == "refused" && told["why"].as_str().unwrap().contains("cannot be read just now"),
        "{told}"
    );
    // A page that comes meanwhile sees the last good study, and the mistakes.
    let mut late = desk.knock(desk.request()).unwrap_or_else(|s| panic!("{s}"));
    late.say(&json!({"ask": "hello"}));
    let told: Vec<String> =
        (0..4).map(|_| late.hear().unwrap()["tell"].as_str().unwrap().to_owned()).collect();
    assert_eq!(told, ["welcome", "study", "kept", "broken"]);
    std::fs::write(desk.file("robot.toml"), &text).unwrap();
    page.until(|t| t["tell"] == "kept");
    assert_eq!(page.move_to("receiver", 251.0, 160.0)["tell"], "study");
}

#[test]
fn a_remedy_is_previewed_and_applied() {
    let desk = Desk::at(copy("samovar-first-try"));
    let mut page = desk.knock(desk.request()).unwrap_or_else(|s| panic!("{s}"));
    page.say(&json!({"ask": "hello"}));
    let first = page.until(|t| t["tell"] == "study");
    let findings = first["sections"]["findings"].as_array().unwrap().clone();
    let able = findings.iter().filter(|f| f["remedies"][0]["can_be_applied"] == true);
    let (finding, told) = able
        .map(|f| (f, page.ask(json!({"ask": "preview", "base": 1, "finding": f["key"], "remedy": 0}))))
        .find(|(_, told)| told["works"] == true)
        .unwrap();
    assert_eq!(told["tell"], "previewed");
    let title = finding["title"].as_str().unwrap();
    assert!(
        told["gone"].as_array().unwrap().iter().any(|g| g.as_str().unwrap().starts_with(title)),
        "{told}"
    );
    let change = &told["changes"][0];
    let file = desk.file(change["file"].as_str().unwrap());
    let before = std::fs::read_to_string(&file).unwrap();
    let line = change["line"].as_u64().unwrap() as usize;
    for (i, expected) in change["before"].as_array().unwrap().iter().enumerate() {
        assert_eq!(
            before.lines().nth(line - 1 + i),
            expected.as_str(),
            "the lines that it shows stand there"
        );
    }
    let told = page.ask(json!({"ask": "remedy", "base": 1, "finding": finding["key"], "remedy": 0}));
    let keys: BTreeSet<&str> = told["sections"]["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["key"].as_str().unwrap())
        .collect();
    assert!(!keys.contains(finding["key"].as_str().unwrap()));
    assert_ne!(std::fs::read_to_string(&file).unwrap(), before);
    page.ask(json!({"ask": "undo"}));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), before);
}

#[test]
fn what_was_done_can_be_taken_back_after_a_restart() {
    let desk = Desk::new();
    let original = desk.text();
    let mut page = desk.page();
    for x in [171.0, 172.0, 173.0] {
        page.move_to("driver", x, 30.0);
    }
    page.ask(json!({"ask": "undo"}));
    drop(page);
    let desk = Desk::at(desk.end());
    let mut page = desk.page();
    page.ask(json!({"ask": "redo"}));
    assert!(desk.text().contains("[173, 30]"));
    for _ in 0..3 {
        page.ask(json!({"ask": "undo"}));
    }
    assert_eq!(desk.text(), original);
    // Changed while no desk was open: nothing can be taken back, and that is said.
    page.move_to("driver", 171.0, 30.0);
    drop(page);
    let dir = desk.end();
    std::fs::write(dir.path().join("robot.toml"), format!("# mine\n{original}")).unwrap();
    let desk = Desk::at(dir);
    let mut page = desk.knock(desk.request()).unwrap_or_else(|s| panic!("{s}"));
    page.say(&json!({"ask": "hello"}));
    let kept = page.until(|t| t["tell"] == "kept");
    assert!(
        kept["undo"].is_null() && kept["why"].as_str().unwrap().contains("while no desk was open"),
        "{kept}"
    );
    assert_eq!(page.move_to("driver", 171.0, 30.0)["tell"], "study");
}

#[test]
fn a_situation_slides_and_comes_back() {
    let desk = Desk::new();
    let mut page = desk.knock(desk.request()).unwrap_or_else(|s| panic!("{s}"));
    page.say(&json!({"ask": "hello"}));
    let first = page.until(|t| t["tell"] == "study");
    assert!(first["sections"].get("loads").is_none(), "nobody looks at a situation yet");
    let name = first["sections"]["situations"][0]["name"].clone();
    let looked = page.ask(json!({"ask": "look", "situation": name, "beside": []}));
    let loads = looked["sections"]["loads"].clone();
    assert!(loads["situation"] == name && !loads["wires"].as_array().unwrap().is_empty());
    let told = page.ask(json!({"ask": "slide", "situation": name, "charge_percent": 15}));
    assert_eq!(told["trying"], true);
    assert_ne!(told["sections"]["loads"], loads);
    let told = page.ask(json!({"ask": "let_go"}));
    assert_eq!(told["sections"]["loads"], loads);
}

#[test]
fn a_page_is_sent_what_it_looks_at_and_the_rest_as_soon_as_it_does() {
    let desk = Desk::new();
    let mut other = desk.page();
    let mut page = desk.knock(desk.request()).unwrap_or_else(|s| panic!("{s}"));
    page.say(&json!({"ask": "look", "id": 1, "situation": null, "beside": []}));
    page.say(&json!({"ask": "hello"}));
    page.id = 1;
    let first = page.until(|t| t["tell"] == "study");
    assert!(first.get("answers").is_none(), "before the hello there is no answer");
    let has = |told: &Value, name: &str| told["sections"].get(name).is_some();
    for beside in ["make", "diagram", "good_news", "loads"] {
        assert!(!has(&first, beside), "{beside}");
    }
    assert!(has(&first, "parts") && has(&first, "findings") && has(&first, "situations"));
    // The deep tier comes to who looks at it …
    let deep = page.until(|t| t["tell"] == "study" && t["deep"] == true);
    assert!(!has(&deep, "make") && !has(&deep, "diagram"));
    assert!(has(&other.until(|t| t["tell"] == "study" && t["deep"] == true), "make"));
    // … and to the other when it does; once.
    let look = json!({"ask": "look", "situation": null, "beside": ["make"]});
    let made = page.ask(look.clone());
    assert!(made["sections"]["make"]["steps"].is_array() && !has(&made, "diagram"));
    assert_eq!(page.ask(look)["sections"], json!({}));
    assert!(has(&page.ask(json!({"ask": "look", "situation": null, "beside": ["diagram"]})), "diagram"));
    assert_eq!(
        page.ask(json!({"ask": "look", "situation": null, "beside": ["kettle"]}))["tell"],
        "refused"
    );
    // A situation that is not there (any more) has no loads.
    let told = page.ask(json!({"ask": "look", "situation": "no such", "beside": []}));
    assert_eq!(told["sections"], json!({}));
}

#[test]
fn of_a_drag_only_what_moved_is_sent() {
    let desk = Desk::new();
    let mut page = desk.page();
    page.until(|t| t["tell"] == "study" && t["deep"] == true);
    let whole = page.parts.clone();
    let edits = [moved("driver", 171.0, 30.0)];
    page.say(&json!({"ask": "try", "id": 900, "base": 1, "edits": edits}));
    let told = page.until(|t| t["answers"] == 900);
    assert_eq!(told["changed"]["parts"].as_array().unwrap().len(), 1, "of {}", whole.len());
    // What is put together from it is what a page that comes now is told.
    let fresh = desk.page();
    assert_eq!(page.parts, fresh.parts);
    assert_ne!(page.parts, whole);
}

/// A page that asks and never listens does not hold up the others, and does not fill the memory: it is let go.
#[test]
fn a_page_that_does_not_listen_is_let_go() {
    let desk = Desk::new();
    let mut deaf: Page = desk.page();
    let mut page = desk.page();
    deaf.socket.get_mut().set_write_timeout(Some(Duration::from_millis(200))).unwrap();
    for i in 0..4000 {
        let ask = json!({"ask": "hello", "seen": i}).to_string();
        if deaf.socket.send(tungstenite::Message::text(ask)).is_err() {
            break;
        }
    }
    let since = Instant::now();
    assert_eq!(page.move_to("driver", 171.0, 31.0)["tell"], "study");
    assert!(since.elapsed() < Duration::from_secs(20), "{:?}", since.elapsed());
    // What was on its way is read to its end, and it has an end: long before everything was told that was asked.
    let since = Instant::now();
    let heard = std::iter::from_fn(|| deaf.hear()).filter(|t| t["tell"] == "study").count();
    assert!(
        heard < 4000 && since.elapsed() < Duration::from_secs(20),
        "{heard} in {:?}",
        since.elapsed()
    );
}

#[test]
fn ticks_are_told_to_every_page_and_kept() {
    let desk = Desk::new();
    let (mut page, mut other) = (desk.page(), desk.page());
    let tick =
        |on: bool| json!({"ask": "tick", "list": "cut", "name": "heart-1", "said": "312 mm", "on": on});
    let before = desk.text();
    let told = page.ask(tick(true));
    assert_eq!((&told["tell"], &told["sections"]), (&json!("study"), &json!({})));
    let all = json!([{"list": "cut", "name": "heart-1", "said": "312 mm"}]);
    assert_eq!(other.until(|t| t["tell"] == "ticks" && t["ticks"] == all)["ticks"], all);
    assert_eq!(desk.text(), before, "the robot's own files stay");
    let kept = std::fs::read_to_string(desk.file(".loomdeck/ticks.json")).unwrap();
    assert!(kept.contains("312 mm"), "{kept}");

    let again = Desk::at(desk.end());
    let mut page = again.page();
    assert_eq!(page.until(|t| t["tell"] == "ticks")["ticks"], all, "they outlive the desk");
    page.ask(tick(false));
    assert_eq!(page.until(|t| t["tell"] == "ticks")["ticks"], json!([]));
    std::fs::write(again.file(".loomdeck/ticks.json"), "{").unwrap();
    let refused = page.ask(tick(true));
    assert!(refused["why"].as_str().unwrap().contains("Mend or delete"), "{refused}");
    assert!(page.until(|t| t["tell"] == "ticks")["why"].is_string());
}

#[test]
fn keys_are_told_typed_and_refused_with_what_was_expected() {
    let desk = Desk::new();
    let original = desk.text();
    let mut page = desk.page();
    let on = json!({"kind": "part", "name": "driver"});
    let told = page.ask(json!({"ask": "fields", "on": on}));
    let fields = told["fields"].as_array().unwrap();
    let at = fields.iter().find(|f| f["key"] == "at").unwrap();
    assert_eq!((&at["text"], &at["editable"]), (&json!("170, 30 mm"), &json!(true)));
    let told = page.ask(json!({"ask": "field", "base": 1, "on": on, "key": "at", "text": "7 in, 2 in"}));
    assert_eq!(part(&told["sections"], "driver")["at_mm"], json!([177.8, 50.8]));
    let told = page.ask(json!({"ask": "field", "base": 2, "on": on, "key": "turn", "text": "steep"}));
    assert_eq!(told["tell"], "refused");
    assert!(told["why"].as_str().unwrap().contains("is not an angle with its unit"), "{told}");
    let told = page.ask(json!({"ask": "fields", "on": {"kind": "part", "name": "nobody"}}));
    assert!(told["why"].as_str().unwrap().contains("stands in none"), "{told}");
    let told = page.ask(json!({"ask": "library"}));
    assert!(
        told["types"].as_array().unwrap().iter().all(|t| t["outline"].as_array().unwrap().len() >= 3)
    );
    let told = page
        .ask(json!({"ask": "twin", "base": 2, "of": "driver", "name": "driver-2", "at_mm": [60, 120]}));
    assert_eq!(part(&told["sections"], "driver-2")["at_mm"], json!([60.0, 120.0]));
    let told = page.ask(json!({"ask": "take_out", "base": 3, "on": on, "with_wires": false}));
    assert!(told["why"].as_str().unwrap().contains("Wires hang on `driver`"), "{told}");
    let told = page.ask(json!({"ask": "take_out", "base": 3, "on": on, "with_wires": true}));
    assert!(!told["sections"]["parts"].as_array().unwrap().iter().any(|p| p["name"] == "driver"));
    for _ in 0..3 {
        page.ask(json!({"ask": "undo"}));
    }
    assert_eq!(desk.text(), original);
}
