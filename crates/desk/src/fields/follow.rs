//! What names a thing elsewhere in the files, and what becomes of it when the thing goes or takes another name.

use super::{section, table_list};
use loomdeck_model::read::names::same;
use loomdeck_model::{Edit, EditValue, Folder, Subject};
use toml::{Table, Value};

/// Keys that name things: section, key, kinds of things.
const LISTS: [(&str, &str, &[&str]); 4] = [
    ("situation", "closed", &["part"]),
    ("situation", "unplugged", &["plug"]),
    ("situation", "powered", &["part"]),
    ("wire", "via", &["pass"]),
];
const TEXTS: [(&str, &str, &[&str]); 6] = [
    ("wire", "loom", &["loom"]),
    ("wire", "cable", &["cable"]),
    ("part", "zone", &["zone"]),
    ("plug", "zone", &["zone"]),
    ("part", "type", &["type"]),
    ("plug", "family", &["type"]),
];
/// Tables whose keys are names of parts.
const MAPS: [&str; 2] = ["activity", "motors"];

/// Names of the wires that end at a part or plug.
pub fn hanging(folder: &Folder, on: &Subject) -> Vec<String> {
    if !matches!(on, Subject::Part(_) | Subject::Plug(_)) {
        return Vec::new();
    }
    let wires = table_list(folder, "wire");
    let ends = |t: &Table| ["from", "to"].iter().any(|k| end_at(t, k, on.name()).is_some());
    wires.iter().filter(|t| ends(t)).filter_map(name_of).map(str::to_owned).collect()
}

/// The changes that take a thing out of what names it, wires that end at it apart.
///
/// # Errors
/// What still needs it: its name would be missing there.
pub fn without(folder: &Folder, on: &Subject) -> Result<Vec<Edit>, String> {
    let mut edits = Vec::new();
    for (holder, key, how) in namings(folder, on) {
        edits.push(match how {
            Named::List(list) => {
                let left: Vec<String> =
                    list.into_iter().filter(|n| same(n) != same(on.name())).collect();
                match left.is_empty() {
                    true => Edit::Unset { on: holder, key },
                    false => Edit::Set { on: holder, key, value: EditValue::Texts(left) },
                }
            }
            Named::Key => Edit::Unset { on: holder, key: format!("{key}.{}", on.name()) },
            Named::Text if matches!(key.as_str(), "loom" | "cable") => Edit::Unset { on: holder, key },
            Named::Text => {
                let holder = holder.name();
                return Err(format!("`{}` is the {key} of `{holder}`: change that first.", on.name()));
            }
        });
    }
    Ok(edits)
}

/// The changes that give a thing another name, where it stands and wherever it is named.
pub fn renamed(folder: &Folder, on: &Subject, to: &str) -> Vec<Edit> {
    let mut edits = Vec::new();
    if matches!(on, Subject::Part(_) | Subject::Plug(_)) {
        for wire in table_list(folder, "wire") {
            let Some(name) = name_of(&wire) else { continue };
            for key in ["from", "to"] {
                if let Some(rest) = end_at(&wire, key, on.name()) {
                    let value = EditValue::Text(format!("{to}.{rest}"));
                    edits.push(Edit::Set {
                        on: Subject::Wire(name.to_owned()),
                        key: key.to_owned(),
                        value,
                    });
                }
            }
        }
    }
    let new = |n: String| if same(&n) == same(on.name()) { to.to_owned() } else { n };
    edits.extend(namings(folder, on).into_iter().map(|(holder, key, how)| match how {
        Named::List(list) => {
            let value = EditValue::Texts(list.into_iter().map(new).collect());
            Edit::Set { on: holder, key, value }
        }
        Named::Text => Edit::Set { on: holder, key, value: EditValue::Text(to.to_owned()) },
        Named::Key => Edit::Rekey { on: holder, key: format!("{key}.{}", on.name()), to: to.to_owned() },
    }));
    edits.push(Edit::Set {
        on: on.clone(),
        key: "name".to_owned(),
        value: EditValue::Text(to.to_owned()),
    });
    edits
}

/// How something names a thing.
enum Named {
    /// Among others.
    List(Vec<String>),
    /// As the one word there.
    Text,
    /// As a key.
    Key,
}

/// Every place outside the ends of wires where a thing is named: by what, at which key, and how.
fn namings(folder: &Folder, on: &Subject) -> Vec<(Subject, String, Named)> {
    let kind = section(on).unwrap_or_default();
    let is = |n: &str| same(n) == same(on.name());
    let mut all = Vec::new();
    for (holder, key, _) in LISTS.iter().filter(|(.., kinds)| kinds.contains(&kind)) {
        for table in table_list(folder, holder) {
            let (Some(by), Some(Value::Array(list))) = (subject(holder, &table), table.get(*key)) else {
                continue;
            };
            let list: Vec<String> = list.iter().filter_map(Value::as_str).map(str::to_owned).collect();
            if list.iter().any(|n| is(n)) {
                all.push((by, (*key).to_owned(), Named::List(list)));
            }
        }
    }
    for (holder, key, _) in TEXTS.iter().filter(|(.., kinds)| kinds.contains(&kind)) {
        for table in table_list(folder, holder) {
            let (Some(by), Some(Value::String(text))) = (subject(holder, &table), table.get(*key))
            else {
                continue;
            };
            if is(text) {
                all.push((by, (*key).to_owned(), Named::Text));
            }
        }
    }
    if kind == "part" {
        for table in table_list(folder, "situation") {
            let Some(by) = subject("situation", &table) else { continue };
            for key in MAPS {
                let Some(Value::Table(map)) = table.get(key) else { continue };
                if map.keys().any(|k| is(k)) {
                    all.push((by.clone(), key.to_owned(), Named::Key));
                }
            }
        }
    }
    all
}

fn subject(section: &str, table: &Table) -> Option<Subject> {
    let name = name_of(table)?.to_owned();
    Some(match section {
        "wire" => Subject::Wire(name),
        "part" => Subject::Part(name),
        "plug" => Subject::Plug(name),
        "situation" => Subject::Situation(name),
        _ => return None,
    })
}

fn name_of(table: &Table) -> Option<&str> {
    table.get("name").and_then(Value::as_str)
}

/// What stands behind the name of a part in an end that lies on it.
fn end_at<'t>(wire: &'t Table, key: &str, part: &str) -> Option<&'t str> {
    let (on, rest) = wire.get(key)?.as_str()?.split_once('.')?;
    (same(on) == same(part)).then_some(rest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use loomdeck_model::{edit, read};
    use std::path::Path;

    fn demo() -> Folder {
        Folder::load(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos/samovar")).unwrap()
    }

    #[test]
    fn every_part_and_zone_can_be_renamed_and_the_robot_stays_the_same() {
        let folder = demo();
        let robot = read(&folder).0.unwrap();
        let parts = robot.parts.iter().map(|p| Subject::Part(p.name.clone()));
        let zones = robot.zones.iter().map(|z| Subject::Zone(z.name.clone()));
        let looms = robot.looms.iter().map(|l| Subject::Loom(l.name.clone()));
        let mut done = 0;
        for on in parts.chain(zones).chain(looms) {
            let after = edit::apply(&folder, &renamed(&folder, &on, "quite-another")).unwrap();
            let (after, problems) = read(&after);
            let after = after.unwrap_or_else(|| panic!("{on:?}: {}", problems[0]));
            let ends =
                |r: &loomdeck_model::Robot| r.wires.iter().map(|w| (w.from, w.to)).collect::<Vec<_>>();
            assert_eq!(ends(&after), ends(&robot), "{on:?}");
            // What each part does in each situation goes with it.
            assert_eq!(after.situations, robot.situations, "{on:?}");
            done += 1;
        }
        assert!(done > 20, "{done} were renamed");
        let tables = folder.files["robot.toml"].matches("motors = {").count();
        assert!(tables > 0, "some do it in tables of their own");
    }

    #[test]
    fn a_part_goes_with_its_wires_and_from_the_situations() {
        let folder = demo();
        let robot = read(&folder).0.unwrap();
        let mut done = 0;
        for part in &robot.parts {
            let on = Subject::Part(part.name.clone());
            let mut edits = without(&folder, &on).unwrap();
            let wires = hanging(&folder, &on);
            edits.extend(wires.iter().map(|w| Edit::Remove { on: Subject::Wire(w.clone()) }));
            edits.push(Edit::Remove { on });
            let after = edit::apply(&folder, &edits).unwrap();
            let (after, problems) = read(&after);
            let after = after.unwrap_or_else(|| panic!("{}: {}", part.name, problems[0]));
            assert_eq!(after.wires.len(), robot.wires.len() - wires.len());
            assert_eq!(after.parts.len(), robot.parts.len() - 1);
            done += 1;
        }
        assert!(done > 10);
        let zone = Subject::Zone(robot.zones[0].name.clone());
        assert!(without(&folder, &zone).unwrap_err().contains("change that first"));
    }
}
