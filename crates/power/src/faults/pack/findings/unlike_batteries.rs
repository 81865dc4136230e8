//! Batteries that hang together are not of one kind.

use super::super::types::Pack;
use super::{part, swap, takes_its_wires};
use crate::faults::Ground;
use crate::fuse::reach::battery;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "unlike-batteries",
    severity: Severity::Danger,
    title: "Batteries that hang together are not of one kind",
    physics: "In series the smallest battery is empty first and is then driven backwards by the others, and full first and is then overcharged. Side by side the one with the higher voltage charges the other without end; of different chemistry or number of cells, that burns.",
    source: "Common practice of all battery makers: one type, one age, one state of charge",
    limits: "Only types are compared; age and state of charge you must know yourself.",
    before: small_robot!(
        takes!("heater", 24, 2),
        part!("upper", "lead-agm-12v-22ah"),
        part!("lower", "lead-agm-12v-18ah"),
        part!("main-fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("heat", "heater"),
        wire!("heart", "upper.plus", "main-fuse.in", 4, 200),
        wire!("link", "upper.minus", "lower.plus", 4, 200),
        wire!("feed", "main-fuse.out", "heat.plus", 2.5, 200),
        wire!("back", "heat.minus", "lower.minus", 2.5, 200),
        "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n"
    ),
    after: small_robot!(
        takes!("heater", 24, 2),
        part!("upper", "lead-agm-12v-22ah"),
        part!("lower", "lead-agm-12v-22ah"),
        part!("main-fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("heat", "heater"),
        wire!("heart", "upper.plus", "main-fuse.in", 4, 200),
        wire!("link", "upper.minus", "lower.plus", 4, 200),
        wire!("feed", "main-fuse.out", "heat.plus", 2.5, 200),
        wire!("back", "heat.minus", "lower.minus", 2.5, 200),
        "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n"
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Pack, out: &mut Vec<Finding>) {
    for string in &found.strings {
        judge(ground, &string.batteries, false, out);
    }
    for pair in &found.parallel {
        let (one, other) = (&found.strings[pair.strings.0], &found.strings[pair.strings.1]);
        // Two strings whose first batteries differ; within a string it is told already.
        if let (Some(&a), Some(&b)) = (one.batteries.first(), other.batteries.first()) {
            judge(ground, &[a, b], true, out);
        }
    }
}

fn judge(ground: &Ground<'_>, parts: &[PartId], beside: bool, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    let kind = |p: PartId| robot.parts[p.0].kind;
    let Some(&largest) = parts.iter().max_by(|a, b| {
        let capacity = |p: PartId| battery(robot, p).map_or(0.0, |b| b.capacity.0);
        capacity(**a).total_cmp(&capacity(**b)).then(b.cmp(a))
    }) else {
        return;
    };
    let others: Vec<PartId> = parts.iter().copied().filter(|&p| kind(p) != kind(largest)).collect();
    let (Some(&other), Some(most)) = (others.first(), battery(robot, largest)) else { return };
    let Some(least) = battery(robot, other) else { return };
    let strange = most.chemistry != least.chemistry || (beside && most.cells != least.cells);
    let (name, big) = (&robot.parts[other.0].name, &robot.parts[largest.0].name);
    let place = if beside { "side by side" } else { "in series" };
    let happens = if strange {
        "they are of different kinds, which overcharges one of them"
    } else if beside {
        "they share currents unequally and even out through each other"
    } else {
        "the smaller is empty first, and the larger then drives it backwards"
    };
    let mut f = Finding::new(
        PAGE.slug,
        if strange { Severity::Danger } else { Severity::Fix },
        part(robot, other),
        format!(
            "{name} ({:.0}) and {big} ({:.0}) hang {place}: {happens}.",
            least.capacity, most.capacity
        ),
        format!(
            "{} is `{}`, {} is `{}`.",
            name,
            robot.type_of(other).name,
            big,
            robot.type_of(largest).name
        ),
        PAGE.source,
    )
    .with_subject(part(robot, largest))
    .with_value("charge_ah", least.capacity.0)
    .with_limit("charge_ah", most.capacity.0);
    let like = robot.type_of(largest);
    if others.iter().all(|&p| takes_its_wires(robot, p, like)) {
        f = f.with_remedy(swap(robot, &others, like, ", like the other"));
    }
    out.push(
        f.with_remedy(Remedy::advice("Use batteries of one type and age, bought and charged together.")),
    );
}
