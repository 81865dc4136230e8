//! The desk as its own process: how it begins and ends, and what is left when it is killed.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use tungstenite::client::IntoClientRequest;
use tungstenite::{Message, WebSocket};

struct Desk {
    process: Child,
    port: u16,
    key: String,
}

impl Drop for Desk {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

fn open(dir: &Path) -> Desk {
    let mut process = Command::new(env!("CARGO_BIN_EXE_loomdeck"))
        .arg("open")
        .arg(dir)
        .args(["--no-browser", "--port", "0"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let lines = BufReader::new(process.stdout.take().unwrap()).lines();
    let address =
        lines.map_while(Result::ok).find_map(|l| Some(l.split_once("http://127.0.0.1:")?.1.to_owned()));
    let address = address.unwrap();
    let (port, key) = address.trim().split_once("/?key=").unwrap();
    Desk { process, port: port.parse().unwrap(), key: key.to_owned() }
}

fn talk(desk: &Desk) -> WebSocket<TcpStream> {
    let mut request = format!("ws://127.0.0.1:{}/talk", desk.port).into_client_request().unwrap();
    let headers = request.headers_mut();
    headers.insert("origin", format!("http://127.0.0.1:{}", desk.port).parse().unwrap());
    headers.insert("cookie", format!("desk-{}={}", desk.port, desk.key).parse().unwrap());
    let stream = TcpStream::connect(("127.0.0.1", desk.port)).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    let (mut socket, _) = tungstenite::client(request, stream).unwrap();
    socket.send(Message::text(json!({"ask": "hello"}).to_string())).unwrap();
    socket
}

/// What is told, until it is over.
fn told(socket: &mut WebSocket<TcpStream>) -> impl Iterator<Item = Value> + '_ {
    std::iter::from_fn(|| {
        loop {
            match socket.read() {
                Ok(Message::Text(text)) => return serde_json::from_str(&text).ok(),
                Ok(Message::Close(_)) | Err(_) => return None,
                Ok(_) => {}
            }
        }
    })
}

fn cart() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/cart/robot.toml");
    std::fs::copy(demo, dir.path().join("robot.toml")).unwrap();
    dir
}

fn place(dir: &Path) -> String {
    let text = std::fs::read_to_string(dir.join("robot.toml")).unwrap();
    let driver = text.split("name = \"driver\"").nth(1).unwrap();
    driver.lines().find_map(|l| l.strip_prefix("at_mm = ")).unwrap().to_owned()
}

#[test]
fn what_is_no_robot_is_told_how_to_begin() {
    let dir = tempfile::tempdir().unwrap();
    let done =
        Command::new(env!("CARGO_BIN_EXE_loomdeck")).arg("open").arg(dir.path()).output().unwrap();
    let told = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(2), "{told}");
    assert!(told.contains("no `robot.toml`") && told.contains("loomdeck new"), "{told}");
}

#[cfg(unix)]
#[test]
fn it_ends_cleanly_when_it_is_told_to() {
    for signal in ["-INT", "-TERM"] {
        let dir = cart();
        let mut desk = open(dir.path());
        let mut socket = talk(&desk);
        let first: Vec<Value> = told(&mut socket).take(2).collect();
        assert_eq!([&first[0]["tell"], &first[1]["tell"]], ["welcome", "study"]);
        let id = desk.process.id().to_string();
        assert!(Command::new("kill").args([signal, &id]).status().unwrap().success());
        let ended = desk.process.wait().unwrap();
        assert!(ended.success(), "{signal}: {ended}");
    }
}

/// Killed in the middle of saving, again and again: what was answered is in the files, every file can be read,
/// and every step that is there can be taken back.
#[cfg(unix)]
#[test]
fn a_kill_while_saving_loses_nothing() {
    let dir = cart();
    let original = std::fs::read_to_string(dir.path().join("robot.toml")).unwrap();
    // The state that is known to be saved, and those that may have been.
    let (mut x, mut saved) = (100, None);
    for round in 0..12_u64 {
        let mut desk = open(dir.path());
        let mut socket = talk(&desk);
        let first = told(&mut socket).find(|t| t["tell"] == "study").unwrap();
        let now: Value = serde_json::from_str(&place(dir.path())).unwrap();
        if let Some(saved) = saved {
            assert!(
                now[0].as_i64().unwrap() >= saved && now[0].as_i64().unwrap() <= x,
                "{now} of {saved}..={x}"
            );
        }
        assert_eq!(first["tell"], "study", "the files can be read");
        let kill = std::thread::spawn({
            let id = desk.process.id().to_string();
            move || {
                std::thread::sleep(Duration::from_millis(20 + 17 * round));
                Command::new("kill").args(["-KILL", &id]).status().unwrap();
            }
        });
        // Steps as fast as they are answered.
        for _ in 0..1000 {
            x += 1;
            let edit = json!({"set": {"on": {"kind": "part", "name": "driver"}, "key": "at", "value": {"point_mm": [x, 30]}}});
            let ask = json!({"ask": "edit", "id": x, "base": first["rev"], "words": format!("Move to {x}"), "edits": [edit]});
            if socket.send(Message::text(ask.to_string())).is_err() {
                break;
            }
            match told(&mut socket).find(|t| t["answers"] == x) {
                Some(answer) if answer["tell"] == "study" => saved = Some(x),
                Some(answer) => panic!("{answer}"),
                None => break,
            }
        }
        kill.join().unwrap();
        desk.process.wait().unwrap();
    }
    let saved = saved.unwrap();
    assert!(saved > 101, "steps were made between the kills");
    // Everything can be taken back, to the first byte.
    let desk = open(dir.path());
    let mut socket = talk(&desk);
    for id in 1.. {
        socket.send(Message::text(json!({"ask": "undo", "id": id}).to_string())).unwrap();
        let answer = told(&mut socket).find(|t| t["answers"] == id).unwrap();
        if answer["tell"] == "refused" {
            assert!(answer["why"].as_str().unwrap().contains("nothing to take back"), "{answer}");
            break;
        }
    }
    assert_eq!(std::fs::read_to_string(dir.path().join("robot.toml")).unwrap(), original);
}
