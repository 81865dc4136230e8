//! Measures the desk over its socket: how long tries take to come back while a part is dragged, and what a
//! long day takes of memory.
//!
//!     cargo run --release -p loomdeck-desk --example measure -- drag samovar 1000
//!     cargo run --release -p loomdeck-desk --example measure -- memory cart 10000

#![allow(clippy::print_stdout, clippy::print_stderr, reason = "this is a tool for a terminal")]

use loomdeck_desk::Open;
use serde_json::{Value, json};
use std::error::Error;
use std::net::TcpStream;
use std::path::Path;
use std::time::Instant;
use tungstenite::client::IntoClientRequest;
use tungstenite::{Message, WebSocket};

type Tried<T> = Result<T, Box<dyn Error>>;

fn main() -> Tried<()> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["drag", demo, n] => drag(demo, n.parse()?),
        ["memory", demo, n] => memory(demo, n.parse()?),
        _ => {
            eprintln!("measure drag|memory DEMO COUNT");
            Ok(())
        }
    }
}

struct Page {
    socket: WebSocket<TcpStream>,
    id: u64,
    bytes: usize,
}

impl Page {
    fn hear(&mut self) -> Tried<Value> {
        loop {
            if let Message::Text(text) = self.socket.read()? {
                self.bytes = text.len();
                return Ok(serde_json::from_str(&text)?);
            }
        }
    }

    /// Asks and waits for the answer; gives the milliseconds it took, reading the JSON left out.
    fn ask(&mut self, mut ask: Value) -> Tried<(Value, f64)> {
        self.id += 1;
        ask["id"] = json!(self.id);
        let since = Instant::now();
        self.socket.send(Message::text(ask.to_string()))?;
        loop {
            if let Message::Text(text) = self.socket.read()? {
                let took = since.elapsed().as_secs_f64() * 1e3;
                let told: Value = serde_json::from_str(&text)?;
                if told["answers"] == self.id {
                    self.bytes = text.len();
                    return Ok((told, took));
                }
            }
        }
    }
}

/// Opens a copy of a demo; gives the page, the first part on the board and where it is.
fn open(demo: &str, dir: &Path) -> Tried<(Page, String, f64, f64)> {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(demo);
    for entry in std::fs::read_dir(from)? {
        let file = entry?.path();
        if let (true, Some(name)) = (file.is_file(), file.file_name()) {
            std::fs::copy(&file, dir.join(name))?;
        }
    }
    let desk = Open::new(dir, 0)?;
    let address = desk.address();
    let (head, key) = address.split_once("/?key=").ok_or("an address without a key")?;
    let host = head.trim_start_matches("http://").to_owned();
    let port = host.rsplit(':').next().unwrap_or_default();
    let mut request = format!("ws://{host}/talk").into_client_request()?;
    request.headers_mut().insert("origin", head.parse()?);
    request.headers_mut().insert("cookie", format!("desk-{port}={key}").parse()?);
    std::thread::spawn(move || desk.serve(std::future::pending()));
    let (socket, _) = tungstenite::client(request, TcpStream::connect(&host)?)?;
    let mut page = Page { socket, id: 0, bytes: 0 };
    // As the pages do: the board, the lists and the findings.
    let look = json!({"ask": "look", "id": 0, "situation": null, "beside": ["good_news"]});
    page.socket.send(Message::text(look.to_string()))?;
    page.socket.send(Message::text(json!({"ask": "hello"}).to_string()))?;
    let first = loop {
        let told = page.hear()?;
        if told["tell"] == "study" {
            break told;
        }
    };
    println!("everything at once: {} kB", page.bytes / 1000);
    let part = &first["sections"]["parts"][0];
    let at = |i: usize| part["at_mm"][i].as_f64().unwrap_or_default();
    Ok((page, part["name"].as_str().unwrap_or_default().to_owned(), at(0), at(1)))
}

fn moved(part: &str, x: f64, y: f64) -> Value {
    json!([{"set": {"on": {"kind": "part", "name": part}, "key": "at", "value": {"point_mm": [x, y]}}}])
}

fn drag(demo: &str, n: usize) -> Tried<()> {
    let dir = tempfile::tempdir()?;
    let (mut page, part, x, y) = open(demo, dir.path())?;
    // The first deep tier would be worked out beside the first tries.
    while page.hear()?["deep"] != true {}
    let mut times = Vec::with_capacity(n);
    let mut bytes = 0;
    for i in 0..n {
        let edits = moved(&part, x + (i % 97) as f64 / 10.0, y + (i % 31) as f64 / 10.0);
        let (told, took) = page.ask(json!({"ask": "try", "base": 1, "edits": edits}))?;
        if told["tell"] != "study" {
            return Err(told.to_string().into());
        }
        times.push(took);
        bytes += page.bytes;
    }
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    println!(
        "{demo}: {n} tries of `{part}`: median {:.1} ms, p95 {:.1} ms, p99 {:.1} ms, longest {:.1} ms, {} kB each",
        at(0.5),
        at(0.95),
        at(0.99),
        at(1.0),
        bytes / n / 1000
    );
    Ok(())
}

/// Memory of this process, server and page together, MB; `None` where the system does not tell.
fn resident() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmRSS:"))?;
    Some(line.trim().trim_end_matches(" kB").parse::<f64>().ok()? / 1000.0)
}

fn memory(demo: &str, n: usize) -> Tried<()> {
    let dir = tempfile::tempdir()?;
    let (mut page, part, x, y) = open(demo, dir.path())?;
    let since = Instant::now();
    for i in 0..=n {
        if i % (n / 10).max(1) == 0 {
            let history = std::fs::metadata(dir.path().join(".loomdeck/history.jsonl"))?.len();
            println!(
                "{i:>6} edits, {:>4.0} s: {:.1} MB resident, history {} kB",
                since.elapsed().as_secs_f64(),
                resident().unwrap_or(f64::NAN),
                history / 1000
            );
        }
        let edits = moved(&part, x + (i % 97 + 1) as f64 / 10.0, y + (i % 31) as f64 / 10.0);
        let base = i + 1;
        let words = format!("Move {part}");
        let (told, _) =
            page.ask(json!({"ask": "edit", "base": base, "words": words, "edits": edits}))?;
        if told["tell"] != "study" {
            return Err(told.to_string().into());
        }
    }
    Ok(())
}
