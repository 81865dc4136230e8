//! Who is let in, and with what care.

use crate::page::{Desk, copy};
use loomdeck_desk::{Open, pages_are_there};
use serde_json::json;
use tungstenite::Message;

#[test]
fn the_key_opens_the_door_once_and_the_cookie_keeps_it_open() {
    let desk = Desk::new();
    let host = desk.host();
    let (head, body) = desk.get("/", &[("Host", &host)]);
    assert!(
        head.starts_with("HTTP/1.1 403") && body.contains("as it was printed in the terminal"),
        "{head}"
    );
    let (head, _) = desk.get("/?key=0123456789abcdef0123456789abcdef", &[("Host", &host)]);
    assert!(head.starts_with("HTTP/1.1 403") && !head.contains("set-cookie"), "{head}");
    let (head, _) = desk.get(&format!("/?key={}", desk.key), &[("Host", &host)]);
    assert!(head.starts_with("HTTP/1.1 303") && head.contains("\r\nlocation: /\r\n"), "{head}");
    let set = head.lines().find_map(|l| l.strip_prefix("set-cookie: ")).unwrap();
    assert!(set.contains("HttpOnly") && set.contains("SameSite=Strict"), "{set}");
    let cookie = set.split(';').next().unwrap();
    let (head, body) = desk.get("/", &[("Host", &host), ("Cookie", cookie)]);
    if pages_are_there() {
        assert!(head.starts_with("HTTP/1.1 200") && body.contains("<script"), "{head}");
    } else {
        assert!(head.starts_with("HTTP/1.1 503") && body.contains("cargo xtask pages"), "{head}");
    }
    let (head, body) = desk.get("/nothing", &[("Host", &host), ("Cookie", cookie)]);
    assert!(head.starts_with("HTTP/1.1 404") && body.contains("nothing here"), "{head}");
    let (head, _) = desk.get("/paper/cutlist.csv", &[("Host", &host)]);
    assert!(head.starts_with("HTTP/1.1 403"), "{head}");
}

#[test]
fn every_answer_is_given_with_care() {
    let desk = Desk::new();
    let (host, cookie) = (desk.host(), desk.cookie());
    for path in ["/", "/nothing", "/assets/../../Cargo.toml", "/paper/cutlist.csv"] {
        for headers in [vec![("Host", host.as_str())], vec![("Host", &host), ("Cookie", &cookie)]] {
            let (head, _) = desk.get(path, &headers);
            assert!(
                head.contains("content-security-policy: default-src 'none'; script-src 'self';"),
                "{head}"
            );
            assert!(head.contains("frame-ancestors 'none'") && !head.contains("unsafe"), "{head}");
            assert!(head.contains("x-content-type-options: nosniff"), "{head}");
            assert!(head.contains("referrer-policy: no-referrer"), "{head}");
            assert!(head.contains("cache-control: "), "{head}");
        }
    }
}

#[test]
fn another_name_or_another_page_is_not_let_in() {
    let desk = Desk::new();
    let cookie = desk.cookie();
    let evil = format!("evil.example:{}", desk.port);
    let (head, _) = desk.get("/", &[("Host", &evil), ("Cookie", &cookie)]);
    assert!(head.starts_with("HTTP/1.1 421"), "{head}");
    let host = desk.host();
    let (head, _) = desk.get(
        "/paper/cutlist.csv",
        &[("Host", &host), ("Cookie", &cookie), ("Origin", "http://evil.example")],
    );
    assert!(head.starts_with("HTTP/1.1 403"), "{head}");

    assert!(desk.knock(desk.request()).is_ok());
    let changed = |name: &'static str, value: Option<&str>| {
        let mut request = desk.request();
        request.headers_mut().remove(name);
        if let Some(value) = value {
            request.headers_mut().insert(name, value.parse().unwrap());
        }
        desk.knock(request).err()
    };
    assert_eq!(changed("cookie", None), Some(403));
    assert_eq!(changed("cookie", Some("desk=0123456789abcdef0123456789abcdef")), Some(403));
    assert_eq!(changed("origin", None), Some(403));
    assert_eq!(changed("origin", Some("http://evil.example")), Some(403));
    assert_eq!(changed("origin", Some("null")), Some(403));
    assert_eq!(changed("host", Some(&evil)), Some(421));
}

#[test]
fn a_message_that_is_too_large_ends_the_talk_and_no_other() {
    let desk = Desk::new();
    let (mut page, mut other) = (desk.page(), desk.page());
    let words = "x".repeat((1 << 20) + 1);
    // The desk may close while it is still being sent.
    let _ = page.socket.send(Message::text(json!({"ask": "edit", "words": words}).to_string()));
    while page.hear().is_some() {}
    assert_eq!(other.move_to("driver", 171.0, 31.0)["tell"], "study");
    // One that just fits is read, and is no ask.
    let words = "x".repeat((1 << 20) - 100);
    assert_eq!(other.ask(json!({"ask": "what", "words": words}))["tell"], "refused");
}

#[test]
fn what_is_no_ask_is_refused_and_the_talk_goes_on() {
    let desk = Desk::new();
    let mut page = desk.page();
    for wrong in [
        "",
        "{",
        "[]",
        "{\"ask\":\"edit\"}",
        "{\"ask\":\"undo\",\"id\":-1}",
        "{\"ask\":\"undo\",\"id\":1e99}",
    ] {
        page.socket.send(Message::text(wrong)).unwrap();
        let told = page.until(|t| t["tell"] == "refused");
        assert_eq!(told["answers"], 0, "{wrong}");
    }
    assert_eq!(page.move_to("driver", 171.0, 31.0)["tell"], "study");
}

#[test]
fn what_is_printed_is_what_the_files_say() {
    let desk = Desk::new();
    let (host, cookie) = (desk.host(), desk.cookie());
    let get = |name: &str| desk.get(&format!("/paper/{name}"), &[("Host", &host), ("Cookie", &cookie)]);
    let (head, body) = get("cutlist.csv");
    assert!(head.contains("content-type: text/csv") && body.contains("heart-1"), "{head}\n{body}");
    for list in ["holes.csv", "drill-plan.csv", "fasteners.csv", "labels.csv", "shopping.csv"] {
        let (head, body) = get(list);
        assert!(head.starts_with("HTTP/1.1 200") && body.lines().count() > 1, "{list}: {head}");
    }
    assert!(get("front.dxf").1.contains("SECTION") && get("back.dxf").1.contains("SECTION"));
    for pdf in ["template.pdf", "book.pdf"] {
        let (head, body) = get(pdf);
        assert!(
            head.contains("content-type: application/pdf") && body.starts_with("%PDF"),
            "{pdf}: {head}"
        );
    }
    assert!(get("nothing.pdf").0.starts_with("HTTP/1.1 404"));
}

#[test]
fn one_desk_to_a_robot() {
    let desk = Desk::new();
    let told = Open::new(desk.dir.path(), 0).err().unwrap();
    assert!(told.contains("open in another desk already"), "{told}");
    let dir = desk.end();
    assert!(Open::new(dir.path(), 0).is_ok());
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let told = Open::new(copy("cart").path(), taken.local_addr().unwrap().port()).err().unwrap();
    assert!(told.contains("--port 0"), "{told}");
}

#[test]
fn pictures_are_drawn_when_they_are_asked_for() {
    let desk = Desk::new();
    let mut page = desk.page();
    // The order of work is of the deep tier.
    let made = page.until(|t| t["tell"] == "study" && t["sections"]["make"].is_object());
    let (host, cookie) = (desk.host(), desk.cookie());
    let get =
        |path: &str| desk.get(&format!("/picture/{path}"), &[("Host", &host), ("Cookie", &cookie)]);
    let picture = |path: &str| -> serde_json::Value {
        let (head, body) = get(path);
        assert!(head.starts_with("HTTP/1.1 200") && head.contains("application/json"), "{path}: {head}");
        serde_json::from_str(&body).unwrap()
    };
    let steps = made["sections"]["make"]["steps"].as_array().unwrap();
    let fits = |s: &&serde_json::Value| s["group"] == "parts" && s["face"] == "front";
    let number = steps.iter().find(fits).unwrap()["number"].as_u64().unwrap();
    let [paper, slate] = ["paper", "slate"].map(|t| picture(&format!("{t}/step-{number}")));
    assert!(paper["svg"].as_str().unwrap().starts_with("<svg") && paper["keys"].is_array());
    assert_ne!(paper, slate);
    assert!(picture("paper/drill-1")["svg"].is_string());
    let plots = made["sections"]["plots"].as_array().unwrap();
    for plot in plots {
        let name = plot["name"].as_str().unwrap();
        assert!(picture(&format!("paper/plot-{name}"))["svg"].is_string(), "{name}");
    }
    assert!(plots.iter().any(|p| p["name"] == "currents"));
    assert!(picture("paper/step-9999").is_null());
    assert!(get("gold/step-1").0.starts_with("HTTP/1.1 404"));
    assert!(get("paper/secret").0.starts_with("HTTP/1.1 404"));
    let (head, _) = desk.get("/picture/paper/step-1", &[("Host", &host)]);
    assert!(head.starts_with("HTTP/1.1 403"), "{head}");
}
