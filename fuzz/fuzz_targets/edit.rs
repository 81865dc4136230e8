//! Any text as `robot.toml`, with edits: everything outside the edited lines keeps its bytes.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| loomdeck_study::testing::edits_lose_no_byte(text));
