//! A standoff or spacer has a length that shops do not keep.

use super::{some_of, spot_of};
use crate::making::{Making, Piece, Stack};
use loomdeck_model::part_type::{Fixing, FixingStyle, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Robot, Severity, Subject};
use loomdeck_space::screw;

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "spacer-of-odd-length",
    severity: Severity::Look,
    title: "A standoff or spacer has a length that shops do not keep",
    physics: "Standoffs and spacers are sold in steps, and the part stands as high as the step you find. \
        Every screw length of the stack, and the height of the part, is reckoned with the length in your \
        files: with another one the screws may be too short or meet inside.",
    source: "Standoffs of 5, 6, 8, 10, 12, 15, 16, 18, 20, 25, 30 and 40 mm; spacers also of 2, 3 and 4 mm; \
        for inch threads sixteenths of an inch up to 1 in (common practice, no source).",
    limits: "Shops differ. A printed or turned spacer has any length, and washers make up half millimetres.",
    before: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 3.2
fixing = { style = "standoff", thread = "M3", standoff_mm = 7.5, flange_mm = 1.6 }
[[part]]
name = "sound-board"
type = "plate"
face = "front"
at_mm = [50, 50]
"#,
    after: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 9
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 3.2
fixing = { style = "standoff", thread = "M3", standoff_mm = 8, flange_mm = 1.6 }
[[part]]
name = "sound-board"
type = "plate"
face = "front"
at_mm = [50, 50]
"#,
};

/// One finding for each part whose standoffs or spacers are of no length on sale.
pub fn find(robot: &Robot, making: &Making) -> Vec<Finding> {
    let mut found: Vec<Finding> = Vec::new();
    let mut seen: Vec<&Subject> = Vec::new();
    for stack in making.fasteners.iter().filter(|s| s.odd_spacer().is_some()) {
        if !seen.contains(&&stack.subject) {
            seen.push(&stack.subject);
            found.extend(finding(robot, stack));
        }
    }
    found
}

fn finding(robot: &Robot, stack: &Stack) -> Option<Finding> {
    let (thing, thread, length, series) = match stack.odd_spacer()? {
        Piece::Standoff { thread, length } => ("standoffs", *thread, *length, screw::standoffs(*thread)),
        Piece::Spacer { thread, length } => ("spacers", *thread, *length, screw::spacers(*thread)),
        _ => return None,
    };
    let name = stack.subject.name();
    let shorter = series.iter().rev().find(|l| **l < length.0).copied();
    let longer = series.iter().find(|l| **l > length.0).copied();
    let nearest: Vec<String> =
        [shorter, longer].into_iter().flatten().map(|l| Millimetres(l).to_string()).collect();
    let words: Vec<&str> = nearest.iter().map(String::as_str).collect();
    let what = format!(
        "{name} wants {thing} of {length}; those commonly sold for {} nearest to that are {}.",
        thread.word(),
        some_of(&words)
    );
    let why = "The screws and the height of the part are reckoned with a length that you will not find.";
    let mut f = Finding::new(PAGE.slug, PAGE.severity, stack.subject.clone(), what, why, PAGE.source)
        .with_value("length_mm", length.0);
    for (key, l) in [("shorter_mm", shorter), ("longer_mm", longer)] {
        if let Some(l) = l {
            f = f.with_limit(key, l);
        }
    }
    f.spot = spot_of(robot, &stack.subject);
    f.remedies.extend(next_longer(robot, stack, thread, &series));
    if f.remedies.is_empty() {
        f.remedies.push(Remedy::advice(format!("Print or cut {thing} of {length}.")));
    }
    Some(f)
}

/// The next longer one on sale in which the screws find room.
fn next_longer(robot: &Robot, stack: &Stack, thread: Thread, series: &[f64]) -> Option<Remedy> {
    let Subject::Part(_) = stack.subject else { return None };
    let fixing = crate::stacks::fixing_of(robot, &stack.subject)?;
    let board = robot.board.as_ref()?.thickness;
    let fit = |l: &&f64| {
        let with = Fixing { standoff: Millimetres(**l), ..fixing.clone() };
        fixing.style != FixingStyle::Standoff || crate::stacks::standoff_fits(&with, thread, board)
    };
    let length = Millimetres(series.iter().filter(|l| **l > fixing.standoff.0).find(fit).copied()?);
    let edit = Edit::Set {
        on: stack.subject.clone(),
        key: "fixing.standoff".to_owned(),
        value: EditValue::Length(length),
    };
    Some(Remedy::edit(format!("Use {length}."), vec![edit]))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::tests::of;

    #[test]
    fn a_plain_spacer_may_be_shorter_than_a_standoff() {
        let with = |style: &str, mm: &str| {
            let text = super::PAGE.before.replace("standoff_mm = 7.5", &format!("standoff_mm = {mm}"));
            let text = text.replace("style = \"standoff\"", &format!("style = \"{style}\""));
            of(&text).1.iter().filter(|f| f.slug == super::PAGE.slug).count()
        };
        assert_eq!(with("bolt-and-nut", "3"), 0);
        assert_eq!(with("standoff", "3"), 1);
        assert_eq!(with("bolt-and-nut", "7.5"), 1);
        assert_eq!(with("bolt-and-nut", "0"), 0);
    }

    #[test]
    fn an_odd_length_does_not_count_as_fitting() {
        let robot = loomdeck_model::testing::robot(super::PAGE.before);
        let making = crate::study(&robot, &loomdeck_space::study(&robot));
        let first = making.fasteners.first().unwrap();
        assert!(!first.fits());
        let table = crate::table::fasteners(&making, loomdeck_model::LengthUnit::Mm).to_csv();
        assert!(table.lines().skip(1).all(|l| l.trim_end().ends_with("no")), "{table}");
    }
}
