//! A desk on a copy of a demo, and pages that talk with it.

use loomdeck_desk::Open;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::path::{Path, PathBuf};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};
use tempfile::TempDir;
use tokio::sync::oneshot;
use tungstenite::client::IntoClientRequest;
use tungstenite::handshake::client::Request;
use tungstenite::{Message, WebSocket};

/// Longer than anything takes on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(30);

/// A desk that is being served.
pub struct Desk {
    pub dir: TempDir,
    pub port: u16,
    pub key: String,
    /// Where guests come in: address of this machine, and the whole address with its key.
    there: Option<(Ipv4Addr, String)>,
    end: Option<oneshot::Sender<()>>,
    serving: Option<JoinHandle<Result<(), String>>>,
}

impl Desk {
    /// On a copy of the cart.
    pub fn new() -> Self {
        Self::at(copy("cart"))
    }

    /// On this folder.
    pub fn at(dir: TempDir) -> Self {
        let open = Open::new(dir.path(), 0).unwrap();
        Self::serving(dir, open, None)
    }

    /// The same, with a door for guests at another address of this machine.
    pub fn shared(dir: TempDir, there: [u8; 4], may_edit: bool) -> Self {
        let mut open = Open::new(dir.path(), 0).unwrap();
        let there = Ipv4Addr::from(there);
        open.share(Some(there), may_edit).unwrap();
        let address = open.guest_addresses().remove(0);
        Self::serving(dir, open, Some((there, address)))
    }

    fn serving(dir: TempDir, open: Open, there: Option<(Ipv4Addr, String)>) -> Self {
        let address = open.address();
        let (head, key) = address.split_once("/?key=").unwrap();
        let port = head.rsplit(':').next().unwrap().parse().unwrap();
        let (end, ended) = oneshot::channel::<()>();
        let serving = std::thread::spawn(move || {
            open.serve(async {
                let _ = ended.await;
            })
        });
        Self { dir, port, key: key.to_owned(), there, end: Some(end), serving: Some(serving) }
    }

    /// Ends it and gives the folder back.
    pub fn end(mut self) -> TempDir {
        self.end.take().unwrap().send(()).unwrap();
        self.serving.take().unwrap().join().unwrap().unwrap();
        self.dir
    }

    pub fn file(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    pub fn text(&self) -> String {
        std::fs::read_to_string(self.file("robot.toml")).unwrap()
    }

    pub fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    pub fn cookie(&self) -> String {
        format!("desk-{}={}", self.port, self.key)
    }

    /// Asks for a path and gives status line with headers, and body.
    pub fn get(&self, path: &str, headers: &[(&str, &str)]) -> (String, String) {
        self.get_at(Ipv4Addr::LOCALHOST, path, headers)
    }

    /// The same at the guests' door.
    pub fn get_there(&self, path: &str, headers: &[(&str, &str)]) -> (String, String) {
        self.get_at(self.there.as_ref().unwrap().0, path, headers)
    }

    /// The same, with what a guest's browser sends.
    pub fn get_as_guest(&self, path: &str, headers: &[(&str, &str)]) -> (String, String) {
        let (host, cookie) = (self.guests_host(), self.guests_cookie());
        self.get_there(path, &[headers, &[("Host", &host), ("Cookie", &cookie)]].concat())
    }

    pub fn guests_address(&self) -> &str {
        &self.there.as_ref().unwrap().1
    }

    pub fn guests_key(&self) -> String {
        self.guests_address().split_once("/?key=").unwrap().1.to_owned()
    }

    pub fn guests_host(&self) -> String {
        format!("{}:{}", self.there.as_ref().unwrap().0, self.port)
    }

    fn guests_cookie(&self) -> String {
        format!("desk-{}={}", self.port, self.guests_key())
    }

    fn get_at(&self, at: Ipv4Addr, path: &str, headers: &[(&str, &str)]) -> (String, String) {
        let mut stream = TcpStream::connect((at, self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        let mut text = format!("GET {path} HTTP/1.1\r\nConnection: close\r\n");
        headers.iter().for_each(|(n, v)| text.push_str(&format!("{n}: {v}\r\n")));
        stream.write_all(format!("{text}\r\n").as_bytes()).unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap();
        (head.to_owned(), body.to_owned())
    }

    /// What a page asks with to be let in.
    pub fn request(&self) -> Request {
        request(&self.host(), &self.cookie())
    }

    /// What a guest's page asks with.
    pub fn guests_request(&self) -> Request {
        request(&self.guests_host(), &self.guests_cookie())
    }

    /// Opens the talk; the status when it is not let in.
    pub fn knock(&self, request: Request) -> Result<Page, u16> {
        self.knock_at(Ipv4Addr::LOCALHOST, request)
    }

    /// The same at the guests' door.
    pub fn knock_there(&self, request: Request) -> Result<Page, u16> {
        self.knock_at(self.there.as_ref().unwrap().0, request)
    }

    fn knock_at(&self, at: Ipv4Addr, request: Request) -> Result<Page, u16> {
        let stream = TcpStream::connect((at, self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        match tungstenite::client(request, stream) {
            Ok((socket, _)) => Ok(Page {
                socket,
                id: 0,
                rev: 0,
                welcome: Value::Null,
                lists: BTreeMap::new(),
                parts: Vec::new(),
            }),
            Err(tungstenite::HandshakeError::Failure(tungstenite::Error::Http(answer))) => {
                Err(answer.status().as_u16())
            }
            Err(e) => panic!("{e}"),
        }
    }

    /// A page that has been told everything.
    pub fn page(&self) -> Page {
        Self::greeted(self.knock(self.request()).unwrap_or_else(|status| panic!("{status}")))
    }

    /// A guest's page that has been told everything.
    pub fn guest(&self) -> Page {
        let page = self.knock_there(self.guests_request());
        Self::greeted(page.unwrap_or_else(|status| panic!("{status}")))
    }

    fn greeted(mut page: Page) -> Page {
        page.say(&json!({"ask": "hello"}));
        page.welcome = page.until(|t| t["tell"] == "welcome");
        let first = page.until(|t| t["tell"] == "study");
        page.rev = first["rev"].as_u64().unwrap();
        page.until(|t| t["tell"] == "kept");
        page
    }
}

fn request(host: &str, cookie: &str) -> Request {
    let mut request = format!("ws://{host}/talk").into_client_request().unwrap();
    let headers = request.headers_mut();
    headers.insert("origin", format!("http://{host}").parse().unwrap());
    headers.insert("cookie", cookie.parse().unwrap());
    request
}

/// A page.
pub struct Page {
    pub socket: WebSocket<TcpStream>,
    pub id: u64,
    pub rev: u64,
    /// What it was told about itself.
    pub welcome: Value,
    /// The lists as they stand.
    lists: BTreeMap<String, Vec<Value>>,
    /// The parts among them.
    pub parts: Vec<Value>,
}

impl Page {
    pub fn say(&mut self, ask: &Value) {
        self.socket.send(Message::text(ask.to_string())).unwrap();
    }

    /// The next thing that it is told; `None` when the talk is over.
    pub fn hear(&mut self) -> Option<Value> {
        loop {
            match self.socket.read() {
                Ok(Message::Text(text)) => {
                    let mut told: Value = serde_json::from_str(&text).unwrap();
                    self.put_together(&mut told);
                    if let Some(rev) = told["rev"].as_u64() {
                        self.rev = rev;
                    }
                    return Some(told);
                }
                Ok(Message::Close(_)) | Err(_) => return None,
                Ok(_) => {}
            }
        }
    }

    /// Puts what changed of a list in its place, and gives the list as a whole with what was told.
    fn put_together(&mut self, told: &mut Value) {
        for (name, section) in told["sections"].as_object().into_iter().flatten() {
            if let Some(list) = section.as_array() {
                self.lists.insert(name.clone(), list.clone());
            }
        }
        let changed = told["changed"].as_object().cloned();
        for (name, things) in changed.into_iter().flatten() {
            let key = if name == "findings" { "key" } else { "name" };
            let list = self.lists.get_mut(&name).unwrap();
            for thing in things.as_array().unwrap() {
                *list.iter_mut().find(|t| t[key] == thing[key]).unwrap() = thing.clone();
            }
            told["sections"][&name] = json!(list);
        }
        self.parts = self.lists.get("parts").cloned().unwrap_or_default();
    }

    /// What it is told first that fits.
    #[track_caller]
    pub fn until(&mut self, fits: impl Fn(&Value) -> bool) -> Value {
        let since = Instant::now();
        while since.elapsed() < PATIENCE {
            match self.hear() {
                Some(told) if fits(&told) => return told,
                Some(_) => {}
                None => panic!("the talk is over"),
            }
        }
        panic!("it was never told")
    }

    /// Asks, and waits for the answer.
    #[track_caller]
    pub fn ask(&mut self, mut ask: Value) -> Value {
        self.id += 1;
        let id = self.id;
        ask["id"] = json!(id);
        if ask.get("base").is_some_and(Value::is_null) {
            ask["base"] = json!(self.rev);
        }
        self.say(&ask);
        self.until(|t| t["answers"] == id)
    }

    /// Moves a part, as a step of its own.
    #[track_caller]
    pub fn move_to(&mut self, part: &str, x: f64, y: f64) -> Value {
        self.ask(json!({"ask": "edit", "base": null, "words": format!("Move {part}"), "edits": [moved(part, x, y)]}))
    }
}

/// A change of a part's place.
pub fn moved(part: &str, x: f64, y: f64) -> Value {
    json!({"set": {"on": {"kind": "part", "name": part}, "key": "at", "value": {"point_mm": [x, y]}}})
}

/// A copy of a demo that may be changed.
pub fn copy(name: &str) -> TempDir {
    let dir = tempfile::tempdir().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name);
    for entry in std::fs::read_dir(demo).unwrap() {
        let from = entry.unwrap().path();
        if from.extension().is_some_and(|e| e == "toml") {
            std::fs::copy(&from, dir.path().join(from.file_name().unwrap())).unwrap();
        }
    }
    dir
}
