//! Which keys of which things two states of the files differ in.

use loomdeck_model::Folder;
use std::collections::{BTreeMap, BTreeSet};
use toml::{Table, Value};

/// A key of a thing: section (`part`), name of the thing, key. Empty where there is none.
pub type Touch = (String, String, String);

/// The keys in which the files differ. A file that is not TOML differs as a whole.
pub fn touched(old: &Folder, new: &Folder) -> BTreeSet<Touch> {
    let mut all = BTreeSet::new();
    let names: BTreeSet<&String> = old.files.keys().chain(new.files.keys()).collect();
    for name in names {
        let (a, b) = (old.files.get(name), new.files.get(name));
        if a == b {
            continue;
        }
        let (a, b) = (keys(a), keys(b));
        match (a, b) {
            (Some(a), Some(b)) => {
                let differs = |k: &&Touch| a.get(*k) != b.get(*k);
                all.extend(a.keys().chain(b.keys()).filter(differs).cloned());
            }
            _ => {
                all.insert((name.clone(), String::new(), String::new()));
            }
        }
    }
    all
}

/// Every key of a text with its value; `None` when it is not TOML.
fn keys(text: Option<&String>) -> Option<BTreeMap<Touch, String>> {
    let mut keys = BTreeMap::new();
    let Some(text) = text else { return Some(keys) };
    let table: Table = text.trim_start_matches('\u{feff}').parse().ok()?;
    for (section, value) in table {
        match value {
            Value::Table(t) => thing(&mut keys, &section, "", t),
            Value::Array(list) if list.iter().all(Value::is_table) => {
                for (i, item) in list.into_iter().enumerate() {
                    let Value::Table(t) = item else { continue };
                    let name = t.get("name").and_then(Value::as_str);
                    let name = name.map_or_else(|| format!("#{i}"), str::to_owned);
                    thing(&mut keys, &section, &name, t);
                }
            }
            other => {
                keys.insert((section, String::new(), String::new()), other.to_string());
            }
        }
    }
    Some(keys)
}

fn thing(keys: &mut BTreeMap<Touch, String>, section: &str, name: &str, table: Table) {
    for (key, value) in table {
        keys.insert((section.to_owned(), name.to_owned(), key), value.to_string());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_differs_is_touched() {
        let old = Folder::single(
            "format = 1\n[robot]\nname = \"r\"\n[[part]]\nname = \"a\"\nat_mm = [1, 2]\nturn_deg = 0\n[[part]]\nname = \"b\"\nat_mm = [0, 0]\n",
        );
        let text = &old.files["robot.toml"];
        let differ = |new: String| {
            touched(&old, &Folder::single(new))
                .into_iter()
                .map(|(s, n, k)| format!("{s} {n} {k}"))
                .collect::<Vec<_>>()
        };
        assert_eq!(differ(format!("# a comment\n{text}")), [""; 0]);
        assert_eq!(differ(text.replace("[1, 2]", "[1, 3]")), ["part a at_mm"]);
        assert_eq!(differ(text.replace("format = 1", "format = 2")), ["format  "]);
        assert_eq!(differ(text.replace("\"r\"", "\"s\"")), ["robot  name"]);
        let renamed = differ(text.replace("\"b\"", "\"c\""));
        assert_eq!(renamed, ["part b at_mm", "part b name", "part c at_mm", "part c name"]);
        assert_eq!(differ("[".to_owned()), ["robot.toml  "]);
    }
}
