//! Laws that hold for any text. The fuzz targets and the replay of their corpus both call them.

use crate::Study;
use loomdeck_model::geometry::Point;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Folder, Subject, edit, read};

/// A text is read, or refused with places that lie in it; a robot that was read can be studied.
///
/// # Panics
/// When the law is broken.
pub fn any_text_is_read_and_studied(text: &str) {
    let (robot, problems) = read(&Folder::single(text));
    assert_eq!(robot.is_some(), problems.is_empty(), "read and refused at once");
    for p in &problems {
        assert!(p.span.start <= p.span.end && p.span.end <= text.len(), "a place outside the text: {p}");
        assert!(p.line >= 1 && p.line <= text.matches('\n').count() + 1, "a line outside the text: {p}");
    }
    // Large robots take their time; what is sought here breaks in small ones too.
    if let Some(robot) =
        robot.filter(|r| r.parts.len() <= 40 && r.wires.len() <= 80 && r.situations.len() <= 8)
    {
        let study = Study::of(robot);
        for f in &study.findings {
            assert!(
                f.values.values().chain(f.limits.values()).all(|v| v.is_finite()),
                "{}: {f:?}",
                f.slug
            );
        }
    }
}

/// Edits change single lines: every other line of the text keeps its bytes.
///
/// # Panics
/// When the law is broken.
pub fn edits_lose_no_byte(text: &str) {
    let folder = Folder::single(text);
    let (Some(robot), _) = read(&folder) else { return };
    let mut edits = Vec::new();
    if let Some(p) = robot.parts.first() {
        let note = EditValue::Text("x \" \\ \u{e4}".to_owned());
        edits.push(Edit::Set { on: Subject::Part(p.name.clone()), key: "note".to_owned(), value: note });
    }
    if let Some(w) = robot.wires.last() {
        let length = EditValue::Length(Millimetres(123.0));
        edits.push(Edit::Set {
            on: Subject::Wire(w.name.clone()),
            key: "length".to_owned(),
            value: length,
        });
    }
    if let Some(z) = robot.zones.first() {
        let exit = EditValue::Point(Point::new(1.0, 2.5));
        edits.push(Edit::Set { on: Subject::Zone(z.name.clone()), key: "exit".to_owned(), value: exit });
    }
    for e in edits {
        let after = match edit::apply(&folder, std::slice::from_ref(&e)) {
            Ok(after) => after.files["robot.toml"].clone(),
            Err(why) => panic!("{e:?}: {why}"),
        };
        assert!(lines_kept(text, &after), "{e:?}\n--- before\n{text}\n--- after\n{after}");
        let (again, problems) = read(&Folder::single(after));
        assert!(again.is_some(), "{e:?}: {problems:?}");
    }
}

/// All lines of `before` stand in `after`, in order and byte for byte, but for at most one stretch.
fn lines_kept(before: &str, after: &str) -> bool {
    let old: Vec<&str> = before.split_inclusive('\n').collect();
    let new: Vec<&str> = after.split_inclusive('\n').collect();
    let head = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    let room = old.len().min(new.len()) - head;
    let tail = old.iter().rev().zip(new.iter().rev()).take(room).take_while(|(a, b)| a == b).count();
    // A value may itself span lines; then its lines are what changed.
    let changed = &old[head..old.len() - tail];
    changed.len() <= 1 || changed.iter().all(|l| !l.trim_start().starts_with('[') || l.contains(','))
}
