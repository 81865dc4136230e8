//! `compare` as a builder meets it.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

fn demo(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name).display().to_string()
}

/// Runs it and returns what it printed; both texts are shown when the exit status is another one.
#[track_caller]
fn run(status: i32, args: &[&str]) -> (String, String) {
    let done = Command::new(env!("CARGO_BIN_EXE_loomdeck")).args(args).output().unwrap();
    let (out, told) = (String::from_utf8(done.stdout).unwrap(), String::from_utf8(done.stderr).unwrap());
    assert_eq!(done.status.code(), Some(status), "{args:?}\n--- out\n{out}\n--- told\n{told}");
    (out.replace('\u{2009}', " "), told)
}

const TRAY: &str = r#"format = 1
[robot]
name = "tray"
[[type]]
name = "box"
title = "box"
size_mm = [40, 30]
height_mm = 20
mass_g = 50
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 3.4
fixing = { style = "bolt-and-nut", thread = "M3", head = "pan" }
[[type.terminal]]
name = "a"
at_mm = [2, 10]
height_mm = 8
exit = "left"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
room_for = 4
role = "passive"
optional = true
[[type.element]]
kind = "resistor"
a = "a"
b = "b"
ohms_ohm = 100
power_w = 1
[[type.terminal]]
name = "b"
at_mm = [38, 20]
height_mm = 8
exit = "right"
fitting = "screw-clamp"
wire_mm2 = [0.2, 6]
room_for = 4
role = "passive"
optional = true
[board]
size_mm = [300, 200]
thickness_mm = 9
material = "plywood"
depth_front_mm = 60
depth_back_mm = 45
[[part]]
name = "one"
type = "box"
face = "front"
at_mm = [40, 60]
[[part]]
name = "two"
type = "box"
face = "front"
at_mm = [200, 60]
[[wire]]
name = "link"
from = "one.b"
to = "two.a"
size_mm2 = 1.5
colour = "red"
length_mm = 180
"#;

/// Two folders: the tray, and the tray with some text replaced.
fn two(dir: &tempfile::TempDir, changes: &[(&str, &str)]) -> [String; 2] {
    let mut text = TRAY.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let put = |name: &str, text: &str| -> String {
        let folder: PathBuf = dir.path().join(name);
        std::fs::create_dir(&folder).unwrap();
        std::fs::write(folder.join("robot.toml"), text).unwrap();
        folder.display().to_string()
    };
    [put("old", TRAY), put("new", &text)]
}

#[test]
fn the_same_folder_is_the_same() {
    for name in ["cart", "samovar", "samovar-first-try"] {
        let d = demo(name);
        let (out, _) = run(i32::from(name == "samovar-first-try"), &["compare", &d, &d]);
        assert!(out.contains("The two are the same"), "{out}");
    }
}

#[test]
fn what_moved_is_told_with_how_far() {
    let dir = tempfile::tempdir().unwrap();
    let [old, new] = two(
        &dir,
        &[
            ("at_mm = [200, 60]", "at_mm = [203, 64]"),
            ("length_mm = 180", "length_mm = 165"),
            ("thickness_mm = 9", "thickness_mm = 12"),
        ],
    );
    let (out, _) = run(0, &["compare", &old, &new]);
    for words in [
        "Holes  2 moved",
        "moved 5.0 mm from 200.0 mm, 60.0 mm to 203.0 mm, 64.0 mm",
        "It is 12.0 mm thick instead of 9.0 mm.",
        "take 15.0 mm off, new end at its end",
        "-15.0 mm",
    ] {
        assert!(out.contains(words), "{words}:\n{out}");
    }
    let (inch, _) = run(0, &["compare", &old, &new, "--unit", "inch"]);
    assert!(inch.contains("moved 0.197 in"), "{inch}");
    let left: Vec<&str> = inch.lines().filter(|l| l.contains(" mm") && !l.contains("mm²")).collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn json_tells_the_same_in_numbers() {
    let dir = tempfile::tempdir().unwrap();
    let [old, new] = two(
        &dir,
        &[
            ("at_mm = [200, 60]", "at_mm = [203, 64]\nturn_deg = 90"),
            ("length_mm = 180", "length_mm = 200"),
            ("[board]", "[[shelf]]\nsize_mm2 = 1.5\ncolours = [\"red\"]\n[board]"),
        ],
    );
    let (text, _) = run(0, &["compare", &old, &new, "--json"]);
    let c: Value = serde_json::from_str(&text).unwrap();
    assert_eq!((&c["old"], &c["new"]), (&Value::from("tray"), &Value::from("tray")));
    let part = &c["parts"][0];
    assert_eq!(part["changes"], serde_json::json!(["moved", "turned"]));
    assert_eq!((part["moved_mm"].as_f64(), part["turned_deg"].as_f64()), (Some(5.0), Some(90.0)));
    let wire = &c["wires"][0];
    assert_eq!(wire["old_piece"], "too-short");
    assert_eq!(wire["short_by_mm"].as_f64(), wire["longer_mm"].as_f64());
    assert_eq!(c["reels"][0]["cut_mm"].as_f64(), wire["new"]["cut_mm"].as_f64());
    assert!(c.get("board").is_none());
}

/// Every key stands in the schema, and the schema asks for no other.
#[test]
fn json_is_what_its_schema_says() {
    let (text, _) = run(0, &["compare", &demo("samovar-first-try"), &demo("samovar"), "--json"]);
    let value: Value = serde_json::from_str(&text).unwrap();
    let (schema, _) = run(0, &["schema", "compare"]);
    let schema: Value = serde_json::from_str(&schema).unwrap();
    let mut wrong = Vec::new();
    conforms(&value, &schema, &schema, "", &mut wrong);
    assert!(wrong.is_empty(), "{wrong:?}");
    assert!(!value["holes"].as_array().unwrap().is_empty());
    assert!(!value["findings_gone"].as_array().unwrap().is_empty());
}

fn conforms(v: &Value, schema: &Value, root: &Value, path: &str, wrong: &mut Vec<String>) {
    let any_of = schema.get("anyOf").and_then(Value::as_array).and_then(|a| a.first());
    let schema = any_of.unwrap_or(schema);
    if let Some(reference) = schema.get("$ref").and_then(Value::as_str) {
        let name = reference.rsplit('/').next().unwrap_or_default();
        return conforms(v, &root["$defs"][name], root, path, wrong);
    }
    match v {
        Value::Object(o) => {
            let Some(known) = schema.get("properties").and_then(Value::as_object) else { return };
            for (key, inner) in o {
                match known.get(key) {
                    Some(s) => conforms(inner, s, root, &format!("{path}.{key}"), wrong),
                    None => wrong.push(format!("{path}.{key} is not in the schema")),
                }
            }
            for key in schema.get("required").and_then(Value::as_array).into_iter().flatten() {
                if !o.contains_key(key.as_str().unwrap_or_default()) {
                    wrong.push(format!("{path} lacks {key}"));
                }
            }
        }
        Value::Array(a) => {
            a.iter().for_each(|i| conforms(i, &schema["items"], root, &format!("{path}[]"), wrong));
        }
        _ => {}
    }
}

#[test]
fn mistakes_of_either_robot_are_told() {
    let dir = tempfile::tempdir().unwrap();
    let [old, new] = two(&dir, &[("thickness_mm", "thikness_mm")]);
    for pair in [[&old, &new], [&new, &old]] {
        let (out, told) = run(2, &["compare", pair[0], pair[1]]);
        assert_eq!(out, "");
        assert!(told.contains("thikness_mm"), "{told}");
    }
    run(2, &["compare", &old]);
    run(2, &["compare", &old, "no such folder"]);
}
