//! The program as a builder meets it: the real binary in a fresh folder.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where they fail")]

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn demos() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos")
}

fn loomdeck(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_loomdeck")).args(args).output().unwrap()
}

/// Runs it and returns what it printed; both texts are shown when the exit status is another one.
#[track_caller]
fn run(status: i32, args: &[&str]) -> (String, String) {
    let done = loomdeck(args);
    let (out, told) = (String::from_utf8(done.stdout).unwrap(), String::from_utf8(done.stderr).unwrap());
    assert_eq!(done.status.code(), Some(status), "{args:?}\n--- out\n{out}\n--- told\n{told}");
    (out, told)
}

fn demo(name: &str) -> String {
    demos().join(name).display().to_string()
}

/// A copy of a demo that may be changed.
fn copy(name: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    for entry in std::fs::read_dir(demos().join(name)).unwrap() {
        let from = entry.unwrap().path();
        if from.is_file() {
            std::fs::copy(&from, dir.path().join(from.file_name().unwrap())).unwrap();
        }
    }
    dir
}

/// The keys of a JSON value with the kinds of their values: its shape without its numbers.
fn shape(v: &Value, path: &str, into: &mut BTreeSet<String>) {
    match v {
        Value::Object(o) => o.iter().for_each(|(k, v)| shape(v, &format!("{path}.{k}"), into)),
        Value::Array(a) => a.iter().for_each(|v| shape(v, &format!("{path}[]"), into)),
        Value::String(_) => drop(into.insert(format!("{path}: text"))),
        Value::Number(_) => drop(into.insert(format!("{path}: number"))),
        Value::Bool(_) => drop(into.insert(format!("{path}: flag"))),
        Value::Null => drop(into.insert(format!("{path}: nothing"))),
    }
}

#[test]
fn a_new_robot_is_clean_and_is_not_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let robot = dir.path().join("töpfer robot").display().to_string();
    run(0, &["new", &robot]);
    let (out, _) = run(0, &["check", &robot]);
    assert!(out.starts_with("töpfer robot: "), "{out}");
    let (_, told) = run(2, &["new", &robot]);
    assert!(told.contains("is there already; nothing was written"), "{told}");
    // A name with quotes does not break the file.
    let odd = dir.path().join("odd").display().to_string();
    run(0, &["new", &odd, "--name", "a \"b\" \\ c"]);
    let (out, _) = run(0, &["check", &odd]);
    assert!(out.starts_with("a \"b\" \\ c: "), "{out}");
}

#[test]
fn mistakes_in_the_files_are_underlined_and_end_with_two() {
    let dir = tempfile::tempdir().unwrap();
    let robot = dir.path().join("r").display().to_string();
    run(0, &["new", &robot, "--name", "R"]);
    let file = dir.path().join("r/robot.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    let text =
        text.replace("thickness_mm", "thikness_mm").replace("to = \"lamp.plus\"", "to = \"lamp.pls\"");
    std::fs::write(&file, &text).unwrap();
    for command in [vec!["check", &robot], vec!["situations", &robot], vec!["mend", &robot, "--all"]] {
        let (out, told) = run(2, &command);
        assert_eq!(out, "");
        assert!(
            told.contains("`thikness_mm` is not known here. Did you mean `thickness_mm`?"),
            "{told}"
        );
        assert!(told.contains("thikness_mm = 9\n"), "{told}");
        assert!(told.contains("^^^^^^^^^^^"), "{told}");
        assert!(told.contains("Did you mean `lamp.plus`?"), "{told}");
        assert!(told.contains("2 things in the files must be put right first."), "{told}");
    }
    assert_eq!(
        std::fs::read_to_string(&file).unwrap(),
        text,
        "nothing is written to files with mistakes"
    );
}

#[test]
fn exit_status_tells_clean_from_findings_from_bad_usage() {
    run(0, &["check", &demo("samovar")]);
    run(1, &["check", &demo("samovar-first-try")]);
    run(2, &["check", "no such folder"]);
    run(2, &["check"]);
    run(2, &["chek", &demo("cart")]);
    run(2, &["explain", "no-such-finding"]);
    run(2, &["situations", &demo("cart"), "--only", "no-such"]);
    let (_, told) = run(2, &["check", "--unit", "furlong", &demo("cart")]);
    assert!(!told.contains("error"), "{told}");
}

#[test]
fn json_is_what_its_schema_says() {
    for (command, args, status) in [
        ("check", vec!["check", "samovar-first-try"], 1),
        ("situations", vec!["situations", "samovar"], 0),
        ("parts", vec!["parts", "-"], 0),
        ("mend", vec!["mend", "samovar-first-try"], 1),
    ] {
        let robot = demo(args[1]);
        let mut args: Vec<&str> =
            if command == "parts" { vec!["parts", "relay"] } else { vec![args[0], &robot] };
        args.push("--json");
        let (out, _) = run(status, &args);
        let value: Value = serde_json::from_str(&out).unwrap();
        let (schema, _) = run(0, &["schema", command]);
        let schema: Value = serde_json::from_str(&schema).unwrap();
        let mut wrong = Vec::new();
        conforms(&value, &schema, &schema, command, &mut wrong);
        assert!(wrong.is_empty(), "{command}: {wrong:?}");
        let mut keys = BTreeSet::new();
        shape(&value, "", &mut keys);
        for key in keys.iter().filter(|k| k.ends_with(": number")) {
            let name = key.trim_end_matches(": number").rsplit(['.', ']']).next().unwrap_or_default();
            let units = [
                "_a", "_v", "_c", "_k", "_mm", "_mm2", "_s", "_w", "_wh", "_ah", "_ohm", "_mohm", "_kg",
                "_percent", "_m_s", "_nm", "_rpm", "_min", "_h", "_deg", "_mv", "_ma", "_n", "_j",
                "_db",
            ];
            let counts = ["line", "number", "load_fraction", "applied"];
            let ok = units.iter().any(|u| name.ends_with(u))
                || counts.contains(&name)
                || name == "percent"
                || name.contains("count")
                || name.contains("wires");
            assert!(ok || name.is_empty(), "{command}: {key} has no unit");
        }
    }
}

/// Whether a value has the keys that a schema asks for, and no others. Enough of JSON Schema for our
/// own schemas; a full validator runs in `verify/`.
fn conforms(v: &Value, schema: &Value, root: &Value, path: &str, wrong: &mut Vec<String>) {
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
            a.iter().for_each(|i| conforms(i, &schema["items"], root, &format!("{path}[]"), wrong))
        }
        _ => {}
    }
}

#[test]
fn the_same_robot_gives_the_same_bytes() {
    for args in [vec!["check", "--json"], vec!["situations", "--json"]] {
        let robot = demo("samovar");
        let mut args = args;
        args.insert(1, &robot);
        assert_eq!(run(0, &args).0, run(0, &args).0);
    }
    let dir = tempfile::tempdir().unwrap();
    let files = ["a.pdf", "b.pdf"].map(|n| dir.path().join(n).display().to_string());
    for f in &files {
        run(0, &["book", &demo("cart"), "-o", f]);
    }
    let books = files.map(|f| std::fs::read(f).unwrap());
    assert!(books[0].starts_with(b"%PDF-") && books[0] == books[1]);
}

#[test]
fn lengths_can_be_shown_in_inches() {
    let (mm, _) = run(1, &["check", &demo("samovar-first-try")]);
    let (inch, _) = run(1, &["check", &demo("samovar-first-try"), "--unit", "inch"]);
    assert!(mm.contains("\u{2009}mm ") && inch.contains("\u{2009}in"));
    let left: Vec<&str> =
        inch.lines().filter(|l| l.contains("\u{2009}mm") && !l.contains("mm²")).collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn mend_writes_the_chosen_remedy_and_keeps_the_rest() {
    let dir = copy("samovar-first-try");
    let robot = dir.path().display().to_string();
    let before = std::fs::read_to_string(dir.path().join("board.toml")).unwrap()
        + &std::fs::read_to_string(dir.path().join("wiring.toml")).unwrap();
    let (list, _) = run(1, &["mend", &robot]);
    assert!(list.contains("(tried: works"), "{list}");
    run(2, &["mend", &robot, "--apply", "999"]);
    let (_, told) = run(2, &["mend", &robot, "--apply", "0"]);
    assert!(told.contains("There is no remedy number 0"), "{told}");
    let done = loomdeck(&["mend", &robot, "--apply", "1"]);
    assert!(matches!(done.status.code(), Some(0 | 1)));
    let after = std::fs::read_to_string(dir.path().join("board.toml")).unwrap()
        + &std::fs::read_to_string(dir.path().join("wiring.toml")).unwrap();
    let comments = |t: &str| t.lines().filter(|l| l.contains('#')).count();
    assert_eq!(comments(&before), comments(&after));
    let changed = before.lines().filter(|l| !after.contains(*l)).count();
    assert!(before != after && changed <= 4, "{changed} lines changed");
}

#[test]
fn make_writes_every_file_and_leaves_others_alone() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("workshop");
    std::fs::create_dir(&out).unwrap();
    std::fs::write(out.join("mine.txt"), "keep").unwrap();
    let folder = out.display().to_string();
    let (text, _) = run(0, &["make", &demo("cart"), "-o", &folder, "--json"]);
    let made: Value = serde_json::from_str(&text).unwrap();
    for name in [
        "cutlist.csv",
        "holes.csv",
        "fasteners.csv",
        "shopping.csv",
        "labels.csv",
        "template.pdf",
        "front.svg",
        "back.svg",
        "front.dxf",
        "back.dxf",
    ] {
        assert!(made["files"].as_array().unwrap().iter().any(|f| f == name), "{name}");
        assert!(std::fs::metadata(out.join(name)).unwrap().len() > 100, "{name}");
    }
    assert_eq!(std::fs::read_to_string(out.join("mine.txt")).unwrap(), "keep");
    let holes = std::fs::read_to_string(out.join("holes.csv")).unwrap();
    assert!(holes.lines().next().unwrap().contains("x_mm"), "{holes}");
}

#[test]
fn nothing_is_written_over_what_is_not_ours() {
    let dir = copy("cart");
    let at = |name: &str| dir.path().join(name).display().to_string();
    let before = std::fs::read(dir.path().join("robot.toml")).unwrap();
    let robot = dir.path().display().to_string();
    let (_, told) = run(2, &["book", &robot, "-o", &at("robot.toml")]);
    assert!(told.contains("would replace a file of a robot"), "{told}");
    assert_eq!(std::fs::read(dir.path().join("robot.toml")).unwrap(), before);
    std::fs::create_dir(dir.path().join("folder.pdf")).unwrap();
    let (_, told) = run(2, &["book", &robot, "-o", &at("folder.pdf")]);
    assert!(told.contains("is a folder; name a file"), "{told}");
    let (_, told) = run(2, &["book", &robot, "-o", &at("no/such/place.pdf")]);
    assert!(told.contains("cannot be written: it is not there"), "{told}");
    let (_, told) = run(2, &["make", &robot, "-o", &at("robot.toml")]);
    assert!(!told.contains("os error"), "{told}");
}

#[cfg(unix)]
#[test]
fn links_stay_links_and_a_closed_pipe_changes_no_status() {
    let dir = copy("cart");
    let robot = dir.path().display().to_string();
    let real = dir.path().join("real.pdf");
    std::fs::write(&real, "old").unwrap();
    let link = dir.path().join("link.pdf");
    std::os::unix::fs::symlink(&real, &link).unwrap();
    run(0, &["book", &robot, "-o", &link.display().to_string()]);
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(std::fs::read(&real).unwrap().starts_with(b"%PDF-"));

    use std::process::Stdio;
    for command in ["check", "mend"] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_loomdeck"))
            .args([command, &demo("samovar-first-try")])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        assert_eq!(child.wait().unwrap().code(), Some(1), "{command}");
    }
}

#[test]
fn words_wrap_where_the_terminal_ends() {
    let done = Command::new(env!("CARGO_BIN_EXE_loomdeck"))
        .args(["check", &demo("samovar-first-try")])
        .env("COLUMNS", "50")
        .output()
        .unwrap();
    let text = String::from_utf8(done.stdout).unwrap();
    let long = text.lines().filter(|l| l.starts_with("     ") && l.chars().count() > 50).count();
    assert_eq!(long, 0, "{text}");
}

#[test]
fn a_part_type_is_shown_with_all_that_wiring_and_placing_need() {
    let (text, _) = run(0, &["parts", "fuse-block-blade-4"]);
    for word in ["holes of", "origin", "feed", "ring", "fuse-way", "limit_a", "Basis"] {
        assert!(text.contains(word), "{word}: {text}");
    }
    let (fuse, _) = run(0, &["parts", "blade-10a"]);
    assert!(fuse.contains("rating_a = 10") && fuse.contains("percent"), "{fuse}");
}

#[test]
fn every_command_has_a_summary_an_example_and_a_unit_in_every_number() {
    let (help, _) = run(0, &["--help"]);
    let commands: Vec<&str> = help
        .lines()
        .skip_while(|l| *l != "Commands:")
        .skip(1)
        .take_while(|l| !l.is_empty())
        .filter_map(|l| l.split_whitespace().next())
        .filter(|c| *c != "help")
        .collect();
    assert!(commands.len() >= 11, "{commands:?}");
    for c in commands {
        let (text, _) = run(0, &[c, "--help"]);
        assert!(text.contains("Example"), "{c} has no example:\n{text}");
        assert!(text.contains(&format!("loomdeck {c}")), "{c}:\n{text}");
    }
    let (man, _) = run(0, &["man"]);
    assert!(man.contains(".TH") && man.contains("mend"));
    let (bash, _) = run(0, &["completions", "bash"]);
    assert!(bash.contains("loomdeck"));
}

#[test]
fn every_finding_can_be_explained() {
    let (list, _) = run(0, &["explain"]);
    let slugs: Vec<&str> = list.lines().filter_map(|l| l.split_whitespace().next()).collect();
    assert!(slugs.len() >= 40, "{}", slugs.len());
    for slug in slugs {
        let (text, _) = run(0, &["explain", slug]);
        for head in ["What is computed, and why", "Source", "Where the model ends"] {
            assert!(text.contains(head), "{slug}");
        }
    }
}
