//! The pages as they were built, inside the program; perhaps there are none.

use rust_embed::{EmbeddedFile, RustEmbed};

#[derive(RustEmbed)]
#[folder = "../../web/dist"]
#[allow_missing = true]
struct Built;

/// The page everything begins with.
pub const FIRST: &str = "index.html";

/// A built file, by its path without the first `/`.
pub fn file(path: &str) -> Option<EmbeddedFile> {
    Built::get(path)
}

/// Whether this program has pages.
pub fn are_there() -> bool {
    file(FIRST).is_some()
}

/// What a browser must know about a file to take it for what it is.
pub fn kind(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff" => "font/woff",
        "woff2" => "font/woff2",
        "json" | "map" => "application/json",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}
