//! The talk with one page.

use super::{Desk, plain};
use crate::hand::{Mail, Out};
use crate::room::PageId;
use crate::shown::{Kind, Look, Seen, Shown};
use crate::talk::{Ask, Tell};
use axum::extract::State;
use axum::extract::ws::{CloseFrame, Message, WebSocket, WebSocketUpgrade, close_code};
use axum::http::HeaderMap;
use axum::response::Response;
use futures_util::stream::{SplitSink, SplitStream};
use futures_util::{SinkExt, StreamExt};
use std::sync::Arc;
use std::sync::atomic::Ordering;
use tokio::sync::{mpsc, watch};

/// Largest message that is taken, bytes.
const LARGEST: usize = 1 << 20;

/// Messages that may wait for a page that does not read; it is let go when there are more.
const WAITING: usize = 256;

const TOO_MUCH: &str = "So much is waiting already that this was not taken. Try again in a moment.";

/// The door to the talk.
pub async fn talk(State(desk): State<Arc<Desk>>, headers: HeaderMap, up: WebSocketUpgrade) -> Response {
    if !desk.guard.origin_fits(&headers, true) {
        return plain::wrong_origin();
    }
    let Ok(seat) = Arc::clone(&desk.seats).try_acquire_owned() else {
        return plain::page(
            axum::http::StatusCode::SERVICE_UNAVAILABLE,
            "So many pages of this desk are open that no more are let in",
            &["Close some of them."],
        );
    };
    up.max_message_size(LARGEST).max_frame_size(LARGEST).on_upgrade(move |socket| async move {
        let page = desk.house.pages.fetch_add(1, Ordering::Relaxed);
        let (way, out) = mpsc::channel(WAITING);
        let (send, receive) = socket.split();
        let shown = desk.shared.shown.subscribe();
        desk.shared.mailbox.put(Mail::Join(page, way.clone()));
        tokio::select! {
            () = listen(&desk, page, receive, way) => {}
            () = speak(page, &desk.welcome, send, shown, out) => {}
        }
        desk.shared.mailbox.put(Mail::Leave(page));
        drop(seat);
    })
}

/// Reads what the page asks and passes it on at once, so that nothing ever waits in the socket.
async fn listen(desk: &Desk, page: PageId, mut from: SplitStream<WebSocket>, way: mpsc::Sender<Out>) {
    while let Some(Ok(message)) = from.next().await {
        let text = match message {
            Message::Text(text) => text,
            Message::Close(_) => return,
            Message::Binary(_) => return,
            Message::Ping(_) | Message::Pong(_) => continue,
        };
        let refused = match serde_json::from_str::<Ask>(&text) {
            Ok(ask) => {
                let id = ask.id();
                if let Some(why) = desk.guard.rights.refuses(&ask) {
                    (id, why.to_owned())
                } else if desk.shared.mailbox.ask(page, ask) {
                    continue;
                } else {
                    (id, TOO_MUCH.to_owned())
                }
            }
            Err(e) => {
                let id = serde_json::from_str::<serde_json::Value>(&text).ok();
                let id = id.and_then(|v| v.get("id")?.as_u64()).and_then(|n| u32::try_from(n).ok());
                (
                    id.unwrap_or(0),
                    format!(
                        "The page asked for something that this program does not know ({e}). Reload the page."
                    ),
                )
            }
        };
        let (answers, why) = refused;
        if way.try_send(Out::Tell(Tell::Refused { answers, why })).is_err() {
            return;
        }
    }
}

/// Tells the page what is on show, always the newest: what changes while a message is on its way is told
/// together afterwards.
async fn speak(
    page: PageId,
    welcome: &Tell,
    mut to: SplitSink<WebSocket, Message>,
    shown: watch::Receiver<Arc<Shown>>,
    mut out: mpsc::Receiver<Out>,
) {
    let mut view = View::new(page, shown);
    loop {
        let next = tokio::select! {
            biased;
            next = out.recv() => match next {
                Some(out) => Some(out),
                // The hand has let this page go.
                None => {
                    let close = CloseFrame { code: close_code::AGAIN, reason: "come again".into() };
                    let _ = to.send(Message::Close(Some(close))).await;
                    return;
                }
            },
            changed = view.shown.changed(), if view.seen.is_some() => {
                if changed.is_err() {
                    return;
                }
                None
            }
        };
        let texts = match next {
            None => [view.news(), None],
            Some(Out::Everything) => {
                view.seen = Some(Seen::default());
                [serde_json::to_string(welcome).ok(), view.tell(None)]
            }
            Some(Out::Answered(id)) => [view.answer(id), None],
            Some(Out::Look(id, look)) => {
                view.look = look;
                [view.answer(id), None]
            }
            // What it speaks of is shown first.
            Some(Out::Tell(tell)) => [view.news(), serde_json::to_string(&tell).ok()],
        };
        for text in texts.into_iter().flatten() {
            if to.send(Message::Text(text.into())).await.is_err() {
                return;
            }
        }
    }
}

/// What a page has been told.
struct View {
    page: PageId,
    shown: watch::Receiver<Arc<Shown>>,
    /// `None` until it has said hello.
    seen: Option<Seen>,
    look: Look,
    told: Kind,
    /// The ask that was answered last.
    answered: Option<u32>,
}

impl View {
    fn new(page: PageId, shown: watch::Receiver<Arc<Shown>>) -> Self {
        Self { page, shown, seen: None, look: Look::default(), told: Kind::default(), answered: None }
    }

    /// What is on show now, as far as the page has not seen it.
    fn tell(&mut self, answers: Option<u32>) -> Option<String> {
        let now = Arc::clone(&self.shown.borrow_and_update());
        self.told = now.kind;
        now.tell(self.seen.as_mut()?, &self.look, answers)
    }

    /// The same, when there is anything new; with the ask of this page that brought it.
    fn news(&mut self) -> Option<String> {
        let now = Arc::clone(&self.shown.borrow());
        let answers = now.answers.filter(|(page, _)| *page == self.page).map(|(_, id)| id);
        let answers = answers.filter(|id| self.answered != Some(*id));
        if answers.is_none() && now.kind == self.told && now.is_seen(self.seen.as_ref()?, &self.look) {
            self.shown.mark_unchanged();
            return None;
        }
        self.answered = answers.or(self.answered);
        self.tell(answers)
    }

    /// The answer to an ask, unless it went with the news.
    fn answer(&mut self, id: u32) -> Option<String> {
        if self.answered == Some(id) {
            return None;
        }
        self.answered = Some(id);
        self.tell(Some(id))
    }
}
