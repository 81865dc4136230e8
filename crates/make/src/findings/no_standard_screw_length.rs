//! A screw of no standard length fits.

use super::spot_of;
use crate::making::{Making, ScrewChoice, Stack};
use loomdeck_model::part_type::{FixingStyle, Thread};
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Robot, Severity, Subject};
use loomdeck_space::{hardware, screw};

/// What `explain` says.
pub const PAGE: Page = Page {
    slug: "no-standard-screw-length",
    severity: Severity::Fix,
    title: "No standard screw has the length that fits",
    physics: "A screw must be long enough to hold and short enough to do no harm. Through a nut, its \
        thread must reach out by a pitch at least, since the first turns are not fully formed. In a \
        standoff or an insert, as much thread must be engaged as a full nut has. Two \
        screws in one standoff may not meet inside; a screw in an insert may not come out of the other face.\n\n\
        Screws come in steps. When no length of the series lies between the two limits, something in \
        the stack must change by a little: a washer, a longer standoff, another way of fixing.",
    source: "Lengths: ISO 888 (from memory). Thread beyond the nut: AC 43.13-1B, chapter 7 (from memory). \
        Thread in a standoff or insert: common practice, no source.",
    limits: "Screws can be shortened, and shops differ in what they keep. Soft inserts and standoffs of plastic \
        want more thread than this.",
    before: r#"
format = 1
[robot]
name = "small tray"
[board]
size_mm = [200, 150]
thickness_mm = 10
material = "hdpe"
depth_front_mm = 80
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 3.2
fixing = { style = "bolt-and-nut", thread = "M3", standoff_mm = 40, flange_mm = 1.6 }
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
thickness_mm = 10
material = "hdpe"
depth_front_mm = 80
depth_back_mm = 40
[[type]]
name = "plate"
size_mm = [40, 30]
height_mm = 12
holes_mm = [[4, 4], [36, 26]]
hole_diameter_mm = 3.2
fixing = { style = "standoff", thread = "M3", standoff_mm = 40, flange_mm = 1.6 }
[[part]]
name = "sound-board"
type = "plate"
face = "front"
at_mm = [50, 50]
"#,
};

/// One finding for each part and screw that has no length.
pub fn find(robot: &Robot, making: &Making) -> Vec<Finding> {
    let mut seen: Vec<(&Subject, Millimetres, Millimetres)> = Vec::new();
    let mut found = Vec::new();
    for stack in &making.fasteners {
        for screw in stack.screws.iter().filter(|s| !s.fits) {
            let key = (&stack.subject, screw.grip, screw.least);
            if !seen.contains(&key) {
                seen.push(key);
                found.extend(finding(robot, stack, screw));
            }
        }
    }
    found
}

fn finding(robot: &Robot, stack: &Stack, screw: &ScrewChoice) -> Option<Finding> {
    let fixing = crate::stacks::fixing_of(robot, &stack.subject)?;
    let thread = fixing.thread?;
    let name = stack.subject.name();
    let (range, most_words) = match screw.most {
        Some(most) => (format!("from {} to {}", screw.least, most), "the next longer one goes too far"),
        None => (format!("of {} at least", screw.least), "none that long is commonly kept"),
    };
    let what = format!(
        "The {} screw of {name} would have to be {range} long; {} is the nearest of the standard lengths, and \
         {most_words}.",
        thread.word(),
        screw.length,
    );
    // With an upper limit, a washer or a file makes it fit; a bolt that does not reach its nut holds nothing.
    let severity = if screw.most.is_some() { Severity::Look } else { Severity::Fix };
    let why = format!(
        "It clamps {} and needs {} of thread beyond that.",
        screw.grip,
        screw.least - screw.grip
    );
    let mut f = Finding::new(PAGE.slug, severity, stack.subject.clone(), what, why, PAGE.source)
        .with_value("length_mm", screw.length.0)
        .with_value("clamped_mm", screw.grip.0)
        .with_limit("shortest_mm", screw.least.0);
    if let Some(most) = screw.most {
        f = f.with_limit("longest_mm", most.0);
    }
    f.spot = spot_of(robot, &stack.subject);
    f.remedies = remedies(robot, stack, screw, thread);
    Some(f)
}

fn remedies(robot: &Robot, stack: &Stack, screw: &ScrewChoice, thread: Thread) -> Vec<Remedy> {
    let mut remedies = Vec::new();
    if let (Subject::Part(_), FixingStyle::Standoff) = (&stack.subject, stack.style) {
        remedies.extend(longer_standoff(robot, stack, thread));
    }
    remedies.extend(other_style(robot, stack));
    remedies.extend(washers(screw, thread));
    if remedies.is_empty() {
        remedies.push(Remedy::advice(format!(
            "Use threaded rod cut to {} with a nut at both ends, or a thinner stack.",
            screw.least
        )));
    }
    remedies
}

/// Bolts and nuts where something else finds no length; standoffs where a bolt would be too long.
fn other_style(robot: &Robot, stack: &Stack) -> Option<Remedy> {
    let Subject::Part(_) = stack.subject else { return None };
    let gap = crate::stacks::fixing_of(robot, &stack.subject)?.standoff;
    let (text, style) = match stack.style {
        FixingStyle::BoltAndNut if gap.0 > 0.0 => {
            ("Put it on standoffs, with a screw at both ends.", "standoff")
        }
        FixingStyle::Insert | FixingStyle::WoodScrew => {
            ("Fix it with bolts and nuts through the board.", "bolt-and-nut")
        }
        _ => return None,
    };
    let edit = Edit::Set {
        on: stack.subject.clone(),
        key: "fixing.style".to_owned(),
        value: EditValue::Text(style.to_owned()),
    };
    Some(Remedy::edit(text, vec![edit]))
}

/// Washers under the head that bring the range onto a standard length.
fn washers(screw: &ScrewChoice, thread: Thread) -> Option<Remedy> {
    let t = hardware::washer(thread).thickness;
    let series = screw::lengths(thread);
    (1..=3).find_map(|n| {
        let more = t * f64::from(n);
        let (length, fits) = screw::choose(&series, screw.least + more, screw.most.map(|m| m + more));
        let word = if n == 1 { "washer" } else { "washers" };
        fits.then(|| {
            Remedy::advice(format!("Lay {n} more {word} under its head and use a screw of {length}."))
        })
    })
}

/// The next standoff with which both screws find a length.
fn longer_standoff(robot: &Robot, stack: &Stack, thread: Thread) -> Option<Remedy> {
    let fixing = crate::stacks::fixing_of(robot, &stack.subject)?;
    let board = robot.board.as_ref()?.thickness;
    let fit = |standoff: &f64| {
        let fixing =
            loomdeck_model::part_type::Fixing { standoff: Millimetres(*standoff), ..fixing.clone() };
        crate::stacks::standoff_fits(&fixing, thread, board)
    };
    let longer = screw::standoffs(thread).into_iter().filter(|l| *l > fixing.standoff.0).find(fit)?;
    let edit = Edit::Set {
        on: stack.subject.clone(),
        key: "fixing.standoff".to_owned(),
        value: EditValue::Length(Millimetres(longer)),
    };
    Some(Remedy::edit(
        format!("Put it on standoffs of {}, in which both screws find room.", Millimetres(longer)),
        vec![edit],
    ))
}
