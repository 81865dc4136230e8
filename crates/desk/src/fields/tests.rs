use super::*;
use loomdeck_model::{Edit, edit, read};
use std::path::Path;

fn demo(name: &str) -> Folder {
    Folder::load(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demos").join(name)).unwrap()
}

/// Everything that a robot's files name.
fn subjects(robot: &Robot) -> Vec<Subject> {
    let mut all: Vec<Subject> = robot.places.keys().cloned().collect();
    all.extend([Subject::Robot, Subject::Board]);
    all
}

#[test]
fn what_is_shown_means_what_stands_there() {
    let mut tried = 0;
    for name in ["samovar", "samovar-first-try", "cart"] {
        let folder = demo(name);
        let robot = read(&folder).0.unwrap();
        for on in subjects(&robot) {
            // Types of the library and steps of the day have no table of their own name.
            let Some(rows) = of(&folder, Some(&robot), &on) else { continue };
            let mut edits = Vec::new();
            for row in rows.iter().filter(|r| r.editable && !r.text.is_empty()) {
                let value = value(&on, &row.key, &row.text);
                let value = value.unwrap_or_else(|why| panic!("{on:?} {}: {why}", row.key));
                edits.push(Edit::Set { on: on.clone(), key: row.key.clone(), value });
            }
            tried += edits.len();
            let again = edit::apply(&folder, &edits).unwrap_or_else(|e| panic!("{on:?}: {e}"));
            let (after, problems) = read(&again);
            assert_eq!(after.as_ref().map(|r| &r.parts), Some(&robot.parts), "{on:?} {problems:?}");
            assert_eq!(after.map(|r| (r.wires, r.board, r.zones, r.situations)), {
                let r = robot.clone();
                Some((r.wires, r.board, r.zones, r.situations))
            });
        }
    }
    assert!(tried > 1000, "{tried}");
}

#[test]
fn every_key_tells_its_meaning_and_what_it_takes() {
    let folder = demo("samovar");
    let robot = read(&folder).0.unwrap();
    let wire = Subject::Wire(robot.wires[0].name.clone());
    let rows = of(&folder, Some(&robot), &wire).unwrap();
    assert!(rows.iter().all(|r| !r.about.is_empty()));
    let row = |key: &str| rows.iter().find(|r| r.key == key).unwrap();
    assert!(row("size").required && row("size").hint.contains("AWG"));
    assert!(row("insulation").only_these && row("insulation").words.contains(&"silicone".to_owned()));
    assert!(!row("length").required);
    assert!(of(&folder, None, &Subject::Wire("nowhere".into())).is_none());
    let robot_rows = of(&folder, None, &Subject::Robot).unwrap();
    assert!(robot_rows.iter().any(|r| r.key == "limits.stall"));
    assert!(!robot_rows.iter().any(|r| r.key.starts_with("board")), "the board is a thing of its own");
}

#[test]
fn ways_without_a_fuse_are_offered() {
    let folder = Folder::single(
        "format = 1\n[robot]\nname = \"r\"\n[board]\nsize_mm = [200, 100]\nthickness_mm = 6\nmaterial = \"plywood\"\ndepth_front_mm = 60\ndepth_back_mm = 20\n[[part]]\nname = \"f\"\ntype = \"fuse-block-blade-4\"\nface = \"front\"\nat_mm = [100, 50]\nfuses = { way-1 = \"blade-2a\" }\n",
    );
    let robot = read(&folder).0.unwrap();
    let on = Subject::Part("f".into());
    let rows = of(&folder, Some(&robot), &on).unwrap();
    let text = |key: &str| rows.iter().find(|r| r.key == key).map(|r| r.text.as_str());
    assert_eq!((text("fuses.way-1"), text("fuses.way-2")), (Some("blade-2a"), Some("")));
    assert!(needed(&on, "type").unwrap().contains("must be given"));
    assert_eq!(needed(&on, "note"), None);
    assert!(value(&on, "tpye", "x").is_err() && value(&on, "fixing.style.x", "x").is_err());
    let keys: Vec<String> = written(&folder, &on).unwrap().into_iter().map(|(k, _)| k).collect();
    assert_eq!(keys, ["type", "face", "at", "fuses.way-1"]);
}
