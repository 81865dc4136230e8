//! Says when the pages that are built into the program have changed. It builds nothing itself: that is
//! `cargo xtask pages`, and a program without pages is a program that says so.

#![allow(clippy::print_stdout, reason = "this is how a build script speaks to cargo")]

use std::path::Path;

fn main() {
    // A path that is not there would count as changed at every build.
    let watched = ["../../web/dist", "../../web"].into_iter().find(|p| Path::new(p).is_dir());
    println!("cargo::rerun-if-changed={}", watched.unwrap_or("build.rs"));
}
