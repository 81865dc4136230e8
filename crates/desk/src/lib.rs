//! The browser workspace: a robot's folder served to a page on this machine.
//!
//! [`Open`] reads the folder, takes a port of this machine and serves. One thread works at the desk
//! (`hand`): it owns what is on it (`room`, a machine of states without sockets, disk or clock), the files
//! (`files`) and the history of what was done (`history`). What a study shows goes to the pages as sections
//! (`scene`, `shown`), and only those that changed (`talk` has the messages). No engineering result is worked out
//! here: a number on the page is a number of the study.

mod draft;
mod edits;
mod fields;
mod files;
mod hand;
pub mod history;
mod mailbox;
mod pages;
pub mod room;
pub mod scene;
mod server;
mod shelf;
mod shown;
pub mod talk;
mod ticks;

pub use pages::are_there as pages_are_there;
pub use server::{Open, code_for_terminal};
