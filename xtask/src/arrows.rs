//! Dependencies between the crates, held against the map in `ARCHITECTURE.md`.

use crate::run;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Which crates each crate may import, or does.
type Arrows = BTreeMap<String, BTreeSet<String>>;

/// Checks the real arrows against the map; gives their number.
///
/// # Errors
/// The arrows that the map does not show, and crates of which it says nothing.
pub fn check() -> Result<usize, String> {
    let file = run::root().join("ARCHITECTURE.md");
    let text = std::fs::read_to_string(&file).map_err(|e| format!("{}: {e}", file.display()))?;
    let metadata = run::output(run::cargo(&["metadata", "--no-deps", "--format-version", "1"]))?;
    let real = from_metadata(&metadata)?;
    let wrong = compare(&real, &from_map(&text)?);
    if wrong.is_empty() { Ok(real.values().map(BTreeSet::len).sum()) } else { Err(wrong.join("\n")) }
}

/// The lines of the map's block that is marked `arrows`: `study <- model space power make`.
fn from_map(text: &str) -> Result<Arrows, String> {
    let block = text.split("```arrows\n").nth(1).and_then(|rest| rest.split("```").next());
    let block = block.ok_or("ARCHITECTURE.md has no block marked `arrows`")?;
    let mut arrows = Arrows::new();
    for line in block.lines().filter(|l| !l.trim().is_empty()) {
        let (name, imports) =
            line.split_once("<-").ok_or_else(|| format!("ARCHITECTURE.md: `{line}` has no `<-`"))?;
        let imports = imports.split_whitespace().map(str::to_owned).collect();
        arrows.insert(name.trim().to_owned(), imports);
    }
    Ok(arrows)
}

/// Imports of every kind: a test that imports from below is a wrong arrow too.
fn from_metadata(json: &str) -> Result<Arrows, String> {
    let metadata: Value = serde_json::from_str(json).map_err(|e| format!("cargo metadata: {e}"))?;
    let packages = metadata["packages"].as_array().ok_or("cargo metadata lists no packages")?;
    let short = |v: &Value| v.as_str().map(|s| s.strip_prefix("loomdeck-").unwrap_or(s).to_owned());
    let own: BTreeSet<String> = packages.iter().filter_map(|p| short(&p["name"])).collect();
    let mut arrows = Arrows::new();
    for package in packages {
        let Some(name) = short(&package["name"]) else { continue };
        let listed = package["dependencies"].as_array().map(Vec::as_slice).unwrap_or_default();
        let imports =
            listed.iter().filter_map(|d| short(&d["name"])).filter(|d| own.contains(d) && *d != name);
        arrows.insert(name.clone(), imports.collect());
    }
    Ok(arrows)
}

fn compare(real: &Arrows, map: &Arrows) -> Vec<String> {
    let mut wrong = Vec::new();
    for (name, imports) in real {
        let Some(may) = map.get(name) else {
            wrong.push(format!("`{name}` is not on the map"));
            continue;
        };
        wrong.extend(imports.difference(may).map(|i| format!("`{name}` may not import `{i}`")));
    }
    wrong.extend(
        map.keys()
            .filter(|n| !real.contains_key(*n))
            .map(|n| format!("the map shows `{n}`, which is gone")),
    );
    wrong
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_crates_keep_to_the_map() {
        assert!(check().is_ok_and(|n| n > 5), "{:?}", check());
    }

    #[test]
    fn a_wrong_arrow_is_seen() {
        let map =
            from_map("x\n```arrows\nmodel <-\nspace <- model\ngone <- model\n```\n").unwrap_or_default();
        let arrows = |pairs: &[(&str, &[&str])]| -> Arrows {
            pairs
                .iter()
                .map(|(n, i)| ((*n).to_owned(), i.iter().map(|s| (*s).to_owned()).collect()))
                .collect()
        };
        let real = arrows(&[("model", &["space"]), ("space", &["model"]), ("desk", &[])]);
        assert_eq!(
            compare(&real, &map),
            [
                "`desk` is not on the map",
                "`model` may not import `space`",
                "the map shows `gone`, which is gone"
            ]
        );
    }

    #[test]
    fn the_map_keeps_chores_apart_from_drawing() {
        let text = std::fs::read_to_string(run::root().join("ARCHITECTURE.md")).unwrap_or_default();
        let map = from_map(&text).unwrap_or_default();
        assert!(map.get("xtask").is_some_and(|may| !may.contains("draw") && !may.contains("loomdeck")));
        // The order of the crates: nobody imports from below.
        let order = ["model", "space", "power", "make", "study", "draw", "desk", "loomdeck"];
        for (i, name) in order.iter().enumerate() {
            for may in map.get(*name).into_iter().flatten() {
                assert!(order[..i].contains(&may.as_str()), "{name} <- {may}");
            }
        }
    }
}
