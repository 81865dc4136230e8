//! Any text as `robot.toml`: it is read or refused, and a robot that was read can be studied.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| loomdeck_study::testing::any_text_is_read_and_studied(text));
