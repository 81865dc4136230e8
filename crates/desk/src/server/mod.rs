//! The desk at its doors: pages, what is printed, and the talk. One door is on this machine's own address; guests
//! have others, when the builder says so.

mod guard;
mod lan;
mod paper;
mod picture;
mod plain;
mod rights;
mod socket;

use crate::hand::{self, Hand, Mail, Shared};
use crate::pages;
use crate::talk::{PhoneOn, Tell};
use axum::Router;
use axum::extract::{Path, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, Uri, header};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use guard::Guard;
use rights::Rights;
use std::future::IntoFuture;
use std::net::{Ipv4Addr, TcpListener};
use std::sync::Arc;
use std::sync::atomic::AtomicU64;
use std::thread::JoinHandle;

/// What every request can reach.
#[derive(Debug)]
struct Desk {
    /// The guard of the door it came in by.
    guard: Guard,
    /// Pages that may be open at a time behind this door.
    seats: Arc<tokio::sync::Semaphore>,
    /// What a page is told about itself.
    welcome: Tell,
    shared: Arc<Shared>,
    house: Arc<House>,
}

/// What is behind all doors.
#[derive(Debug)]
struct House {
    /// Pages are counted as they come.
    pages: AtomicU64,
    /// One thing is printed at a time.
    press: tokio::sync::Semaphore,
    /// Small pictures that were drawn last.
    pictures: picture::Pictures,
}

/// Pages that may be open at a time; guests cannot take the seats of who opened the desk.
const SEATS: usize = 16;

/// A desk that is ready to be served.
#[derive(Debug)]
pub struct Open {
    doors: Vec<(TcpListener, Guard)>,
    shared: Arc<Shared>,
    hand: Hand,
}

impl Open {
    /// Opens a robot's folder at a port of this machine; 0 takes any that is free.
    ///
    /// # Errors
    /// A sentence for the builder.
    pub fn new(dir: &std::path::Path, port: u16) -> Result<Self, String> {
        let (shared, hand) = hand::start(dir)?;
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|e| cannot(port, &e))?;
        let port = listener.local_addr().map_err(|e| cannot(port, &e))?.port();
        Ok(Self { doors: vec![(listener, Guard::own(port)?)], shared, hand })
    }

    /// Lets guests in from the networks that this machine is in, or at one of its addresses `only`: to look and to
    /// tick off, and with `may_edit` to change the robot as well.
    ///
    /// # Errors
    /// A sentence: it is in no network, the address is not one that may be served, or the port is taken there.
    pub fn share(&mut self, only: Option<Ipv4Addr>, may_edit: bool) -> Result<(), String> {
        let addresses = match only {
            Some(address) => vec![lan::allowed(address)?],
            None => lan::addresses()?,
        };
        let port = self.doors[0].0.local_addr().map_err(|e| cannot(0, &e))?.port();
        for address in addresses {
            let told = |e| format!("{} (At {address}, for others in the network.)", cannot(port, &e));
            let listener = TcpListener::bind((address, port)).map_err(told)?;
            self.doors.push((listener, Guard::guests(address, port, Rights::Guest { may_edit })?));
        }
        Ok(())
    }

    /// The address to open, with its key.
    pub fn address(&self) -> String {
        self.doors[0].1.address()
    }

    /// The addresses for guests, each with a key of its own.
    pub fn guest_addresses(&self) -> Vec<String> {
        self.doors[1..].iter().map(|(_, guard)| guard.address()).collect()
    }

    /// Serves until `end` comes, or until Ctrl-C. What is being saved then is saved to the end.
    ///
    /// # Errors
    /// A sentence, when the machine does not let it serve.
    pub fn serve(self, end: impl Future<Output = ()>) -> Result<(), String> {
        let told = |e: std::io::Error| format!("The desk cannot be served: {e}.");
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_all()
            .build()
            .map_err(told)?;
        let hand = self.hand;
        let (alive, gone) = tokio::sync::oneshot::channel::<()>();
        let work: JoinHandle<()> = std::thread::spawn(move || {
            // Dropped with the thread, however that ends.
            let _alive = alive;
            hand.work();
        });
        let shared = Arc::clone(&self.shared);
        let house = Arc::new(House {
            pages: AtomicU64::new(1),
            press: tokio::sync::Semaphore::new(1),
            pictures: picture::Pictures::default(),
        });
        let guests = self.doors[1..].iter();
        let phones: Vec<PhoneOn> = guests.clone().map(|(_, g)| lan::phone(g.address())).collect();
        let phones_may_edit = guests.clone().any(|(_, g)| g.rights.may_edit());
        let guest_seats = Arc::new(tokio::sync::Semaphore::new(SEATS));
        let desk = |guard: Guard| {
            let guest = guard.rights.is_guest();
            let seats = if guest {
                Arc::clone(&guest_seats)
            } else {
                Arc::new(tokio::sync::Semaphore::new(SEATS))
            };
            let phones = if guest { Vec::new() } else { phones.clone() };
            let may_edit = guard.rights.may_edit();
            let welcome = Tell::Welcome { guest, may_edit, phones, phones_may_edit };
            let (shared, house) = (Arc::clone(&shared), Arc::clone(&house));
            Arc::new(Desk { guard, seats, welcome, shared, house })
        };
        let served = runtime.block_on(async {
            let mut doors = tokio::task::JoinSet::new();
            for (listener, guard) in self.doors {
                listener.set_nonblocking(true)?;
                let listener = tokio::net::TcpListener::from_std(listener)?;
                doors.spawn(axum::serve(listener, router(desk(guard))).into_future());
            }
            tokio::select! {
                served = doors.join_next() => served.map_or(Ok(()), |s| s.map_err(std::io::Error::other)?),
                () = end => Ok(()),
                () = interrupted() => Ok(()),
                _ = gone => Ok(()),
            }
        });
        shared.mailbox.put(Mail::Stop);
        // It ends after what it is at; nothing waits for longer than that.
        let ended = work.join();
        runtime.shutdown_background();
        served.map_err(told)?;
        ended.map_err(|_| "The desk broke down. Your files are as they were last saved.".to_owned())
    }
}

fn cannot(port: u16, e: &std::io::Error) -> String {
    let why = loomdeck_model::read::folder::plain(e);
    format!(
        "Port {port} cannot be used: {why}. Another program may have it; `--port 0` takes any that is free."
    )
}

/// The code of an address for a terminal, to be shown dark on light; empty, when there is none.
pub fn code_for_terminal(address: &str) -> String {
    lan::in_the_terminal(address)
}

/// Ctrl-C, or being told to end.
async fn interrupted() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut term) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => {}
                _ = term.recv() => {}
            }
            return;
        }
    }
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}

fn router(desk: Arc<Desk>) -> Router {
    Router::new()
        .route("/", get(first))
        .route("/assets/{*path}", get(asset))
        .route("/talk", get(socket::talk))
        .route("/paper/{name}", get(paper::print))
        .route("/picture/{theme}/{name}", get(picture::picture))
        .fallback(other)
        .method_not_allowed_fallback(|| async { plain::not_found() })
        .layer(from_fn_with_state(Arc::clone(&desk), guarded))
        .with_state(desk)
}

/// Nothing is answered before the guard has looked at it, and everything is answered with the same care.
async fn guarded(State(desk): State<Arc<Desk>>, request: Request, next: Next) -> Response {
    let headers = request.headers();
    let mut response = if !desk.guard.host_fits(headers) {
        plain::wrong_host(desk.guard.rights.is_guest())
    } else if !desk.guard.origin_fits(headers, false) {
        plain::wrong_origin()
    } else if request.uri().path() != "/" && !desk.guard.cookie_fits(headers) {
        plain::no_key()
    } else {
        next.run(request).await
    };
    let headers = response.headers_mut();
    for (name, value) in CARE {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

/// Headers of every answer.
const CARE: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; \
         font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "no-referrer"),
    ("x-frame-options", "DENY"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
];

async fn first(State(desk): State<Arc<Desk>>, uri: Uri, headers: HeaderMap) -> Response {
    let mut asked = uri.query().unwrap_or_default().split('&');
    if asked.any(|pair| pair.strip_prefix("key=").is_some_and(|k| desk.guard.key_fits(k))) {
        let to = [(header::LOCATION, "/".to_owned()), (header::SET_COOKIE, desk.guard.cookie())];
        return (StatusCode::SEE_OTHER, to).into_response();
    }
    if !desk.guard.cookie_fits(&headers) {
        return plain::no_key();
    }
    if pages::are_there() { built(pages::FIRST, "no-cache") } else { plain::no_pages() }
}

/// Built files beside the first one.
async fn other(uri: Uri) -> Response {
    built(uri.path().trim_start_matches('/'), "no-cache")
}

/// Built files carry what is in them in their name, so they never change.
async fn asset(Path(path): Path<String>) -> Response {
    built(&format!("assets/{path}"), "private, max-age=31536000, immutable")
}

fn built(path: &str, keep: &'static str) -> Response {
    let Some(file) = pages::file(path) else { return plain::not_found() };
    let headers = [(header::CONTENT_TYPE, pages::kind(path)), (header::CACHE_CONTROL, keep)];
    (headers, file.data.into_owned()).into_response()
}
