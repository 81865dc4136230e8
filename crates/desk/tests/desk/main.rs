//! The real server, met by pages as a browser would be one.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

mod doors;
mod files;
mod guests;
mod page;
mod talk;
