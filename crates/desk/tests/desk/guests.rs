//! Who comes over the network: what they may do, and what they may not.

use crate::page::{Desk, copy, moved};
use serde_json::{Value, json};

/// Another address of this machine, in place of one in a network.
const ELSEWHERE: [u8; 4] = [127, 0, 0, 2];

/// A desk with a door for guests; `None` where a machine has one loopback address alone.
fn desk(may_edit: bool) -> Option<Desk> {
    if std::net::TcpListener::bind((std::net::Ipv4Addr::from(ELSEWHERE), 0)).is_err() {
        if cfg!(target_os = "linux") {
            panic!("Linux answers on all of 127/8");
        }
        return None;
    }
    Some(Desk::shared(copy("samovar-first-try"), ELSEWHERE, may_edit))
}

/// Asks that change the robot, or what all see of it.
fn forbidden() -> Vec<Value> {
    let part = json!({"kind": "part", "name": "driver"});
    vec![
        json!({"ask": "edit", "base": 1, "words": "Move", "edits": [moved("amplifier", 50.0, 50.0)]}),
        json!({"ask": "field", "base": 1, "on": {"kind": "robot"}, "key": "name", "text": "Mine"}),
        json!({"ask": "take_out", "base": 1, "on": part, "with_wires": true}),
        json!({"ask": "twin", "base": 1, "of": "amplifier", "name": "another"}),
        json!({"ask": "undo"}),
        json!({"ask": "redo"}),
        json!({"ask": "remedy", "base": 1, "finding": "x", "remedy": 0}),
        json!({"ask": "preview", "base": 1, "finding": "x", "remedy": 0}),
        json!({"ask": "try", "base": 1, "edits": [moved("amplifier", 50.0, 50.0)]}),
        json!({"ask": "slide", "situation": "show", "charge_percent": 10}),
    ]
}

#[test]
fn a_guest_looks_and_ticks_and_nothing_else() {
    let Some(desk) = desk(false) else { return };
    let before = desk.text();
    let mut own = desk.page();
    let mut guest = desk.guest();
    assert_eq!((&guest.welcome["guest"], &guest.welcome["may_edit"]), (&json!(true), &json!(false)));
    assert_eq!(guest.welcome["phones"], json!([]), "the addresses are not handed on");
    assert_eq!(own.welcome["phones"].as_array().unwrap().len(), 1);
    assert_eq!(own.welcome["phones"][0]["address"], desk.guests_address());
    for ask in forbidden() {
        let told = guest.ask(ask.clone());
        let why = told["why"].as_str().unwrap_or_default();
        assert!(told["tell"] == "refused" && why.contains("--lan-edit"), "{ask}: {told}");
    }
    assert_eq!(desk.text(), before);
    // Nothing of it was seen by the other, not even for a moment: the next that it is told is a tick (after the
    // empty list that came with the hello).
    own.until(|t| t["tell"] == "ticks");
    let tick = json!({"ask": "tick", "list": "step", "name": "x", "said": "", "on": true});
    assert_eq!(guest.ask(tick)["tell"], "study");
    let next = own.until(|t| t["tell"] != "study" || t["trying"] == true || t["rev"] != 1);
    assert_eq!((&next["tell"], &next["ticks"][0]["name"]), (&json!("ticks"), &json!("x")));
    // Reading is free.
    assert_eq!(guest.ask(json!({"ask": "fields", "on": {"kind": "robot"}}))["tell"], "fields");
    assert_eq!(guest.ask(json!({"ask": "library"}))["tell"], "library");
    let look = json!({"ask": "look", "situation": "show", "beside": ["make"]});
    assert_eq!(guest.ask(look)["sections"]["loads"]["situation"], "show");
    assert_eq!(guest.ask(json!({"ask": "let_go"}))["tell"], "study");
    let (head, _) = desk.get_as_guest("/paper/cutlist.csv", &[]);
    assert!(head.starts_with("HTTP/1.1 200"), "{head}");
    // And what the other does is seen by the guest, with all rights kept.
    assert_eq!(own.move_to("amplifier", 50.0, 50.0)["tell"], "study");
    guest.until(|t| t["tell"] == "study" && t["rev"] == 2);
}

#[test]
fn guests_may_edit_when_it_is_said_so() {
    let Some(desk) = desk(true) else { return };
    let mut own = desk.page();
    let mut guest = desk.guest();
    assert_eq!((&guest.welcome["guest"], &guest.welcome["may_edit"]), (&json!(true), &json!(true)));
    assert_eq!(own.welcome["phones_may_edit"], true);
    assert_eq!(guest.move_to("amplifier", 50.0, 50.0)["tell"], "study");
    own.until(|t| t["tell"] == "study" && t["rev"] == 2);
    assert_eq!(guest.ask(json!({"ask": "undo"}))["tell"], "study");
    let slid = guest.ask(json!({"ask": "slide", "situation": "show", "charge_percent": 10}));
    assert_eq!(slid["trying"], true);
}

#[test]
fn a_guests_key_opens_no_other_door_and_the_other_way_round() {
    let Some(desk) = desk(false) else { return };
    let (own, there) = (desk.host(), desk.guests_host());
    let starts = |(head, _): (String, String), with: &str| assert!(head.starts_with(with), "{head}");
    let key = desk.guests_key();
    assert_ne!(key, desk.key);
    // Each key at its door, and at no other.
    starts(desk.get(&format!("/?key={}", desk.key), &[("Host", &own)]), "HTTP/1.1 303");
    starts(desk.get(&format!("/?key={key}"), &[("Host", &own)]), "HTTP/1.1 403");
    starts(desk.get_there(&format!("/?key={key}"), &[("Host", &there)]), "HTTP/1.1 303");
    starts(desk.get_there(&format!("/?key={}", desk.key), &[("Host", &there)]), "HTTP/1.1 403");
    // A cookie with the one key under the other's name.
    let [owns, guests] = [&desk.key, &key].map(|k| format!("desk-{}={k}", desk.port));
    starts(desk.get("/paper/cutlist.csv", &[("Host", &own), ("Cookie", &guests)]), "HTTP/1.1 403");
    starts(desk.get_there("/paper/cutlist.csv", &[("Host", &there), ("Cookie", &owns)]), "HTTP/1.1 403");
    // The name that is asked for must be the door's: neither door answers under the other's.
    starts(desk.get_there("/", &[("Host", &own), ("Cookie", &owns)]), "HTTP/1.1 421");
    starts(desk.get("/", &[("Host", &there), ("Cookie", &guests)]), "HTTP/1.1 421");
    starts(desk.get_there("/", &[("Host", "robot.local"), ("Cookie", &guests)]), "HTTP/1.1 421");
    // The talk: the guest's cookie with the other door's names, and a page from elsewhere.
    let talk = |host: &str, origin: &str, cookie: &str| {
        let mut request = desk.guests_request();
        let headers = request.headers_mut();
        for (name, value) in [("host", host), ("origin", origin), ("cookie", cookie)] {
            headers.insert(name, value.parse().unwrap());
        }
        desk.knock_there(request).err()
    };
    let origin = |host: &str| format!("http://{host}");
    assert_eq!(talk(&there, &origin(&there), &guests), None);
    assert_eq!(talk(&there, &origin(&there), &owns), Some(403));
    assert_eq!(talk(&there, &origin(&own), &guests), Some(403));
    assert_eq!(talk(&there, "http://evil.example", &guests), Some(403));
    assert_eq!(talk(&own, &origin(&own), &owns), Some(421));
}

#[test]
fn guests_cannot_take_the_seats_of_who_opened_the_desk() {
    let Some(desk) = desk(false) else { return };
    let mut guests = Vec::new();
    loop {
        match desk.knock_there(desk.guests_request()) {
            Ok(guest) => guests.push(guest),
            Err(status) => break assert_eq!(status, 503),
        }
        assert!(guests.len() < 100);
    }
    assert!(guests.len() > 3);
    assert_eq!(desk.page().move_to("amplifier", 50.0, 50.0)["tell"], "study");
}

#[test]
fn nobody_comes_over_the_network_unless_it_is_said_so() {
    let desk = Desk::new();
    let there = std::net::SocketAddr::from((ELSEWHERE, desk.port));
    assert!(std::net::TcpStream::connect(there).is_err());
    assert_eq!(desk.page().welcome["phones"], json!([]));
}
