//! Pages of plain words, for when there is nothing else to show.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};

/// A page with a heading and paragraphs; what they say is text, never markup.
pub fn page(status: StatusCode, heading: &str, paragraphs: &[&str]) -> Response {
    let words: String = paragraphs.iter().map(|p| format!("<p>{}</p>\n", text(p))).collect();
    let heading = text(heading);
    let html = format!(
        "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n<title>Loomdeck: {heading}</title>\n<h1>{heading}</h1>\n{words}</html>\n"
    );
    (status, [(header::CONTENT_TYPE, "text/html; charset=utf-8")], html).into_response()
}

fn text(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// For who has not got the key.
pub fn no_key() -> Response {
    page(
        StatusCode::FORBIDDEN,
        "This desk needs its address as it was printed in the terminal",
        &[
            "Go to the terminal in which `loomdeck open` runs and open the whole address that it printed, with its key. The key is new each time the desk is opened.",
            "If you came here by a link from another page, reload this one.",
        ],
    )
}

/// For a name that is not ours.
pub fn wrong_host(guest: bool) -> Response {
    let heading = if guest {
        "This desk answers under its own address only"
    } else {
        "This desk answers on this machine only"
    };
    page(
        StatusCode::MISDIRECTED_REQUEST,
        heading,
        &["Open the address that `loomdeck open` printed in the terminal, as it stands there."],
    )
}

/// For a page of another site.
pub fn wrong_origin() -> Response {
    page(
        StatusCode::FORBIDDEN,
        "Another page tried to reach this desk",
        &["It was not let in. Only the desk's own page may talk to the desk."],
    )
}

/// For a program without pages.
pub fn no_pages() -> Response {
    page(
        StatusCode::SERVICE_UNAVAILABLE,
        "This program was built without its pages",
        &[
            "The desk is running, but what it shows in the browser was not built into the program.",
            "In the project's folder, `cargo xtask pages` builds the pages (it needs Node.js and its npm); then build the program again. `cargo xtask open FOLDER` does both and opens the robot.",
            "Everything but the desk works without: `loomdeck check`, `loomdeck book`, `loomdeck make`.",
        ],
    )
}

/// For what is not there.
pub fn not_found() -> Response {
    page(
        StatusCode::NOT_FOUND,
        "There is nothing here",
        &[
            "The board is at the first page of this address: take everything behind the port number away.",
        ],
    )
}
