//! The last steps: the body, the plugs, the checks before power.

use super::Group;
use super::bench::{Bench, briefly, listed};
use loomdeck_model::element::ElementKind;
use loomdeck_model::{Place, PlugPlace, Subject};

/// Parts that are not on the board.
pub fn in_the_body(bench: &mut Bench<'_>) {
    for (z, zone) in bench.robot.zones.iter().enumerate() {
        let in_zone =
            |p: &&loomdeck_model::Part| matches!(p.place, Place::Zone { zone, .. } if zone.0 == z);
        let parts: Vec<&loomdeck_model::Part> = bench.robot.parts.iter().filter(in_zone).collect();
        if parts.is_empty() {
            continue;
        }
        let names: Vec<String> = parts.iter().map(|p| p.name.clone()).collect();
        let mut step =
            bench.step(Group::Parts, format!("In the body, {}: {}", zone.name, briefly(&names)));
        step.adds = parts.iter().map(|p| Subject::Part(p.name.clone())).collect();
        step.words.push(format!("Fix {} in the {}.", listed(&names), zone.name));
        if parts.iter().any(|p| is_battery(bench, p)) {
            step.cautions.push(
                "Leave the battery's terminals covered and nothing connected to it until the last checks: a dropped spanner across them burns."
                    .to_owned(),
            );
        }
        bench.done(step);
    }
}

fn is_battery(bench: &Bench<'_>, part: &loomdeck_model::Part) -> bool {
    let elements = &bench.robot.types[part.kind.0].elements;
    elements.iter().any(|e| matches!(e.kind, ElementKind::Battery(_)))
}

/// The bolts that hold the board.
pub fn board_into_body(bench: &mut Bench<'_>) {
    let Some(board) = &bench.robot.board else { return };
    if board.mounts.is_empty() {
        return;
    }
    let mut step = bench.step(Group::Plugs, "Put the board into the body".to_owned());
    step.adds = board.mounts.iter().map(|m| Subject::BoardMount(m.name.clone())).collect();
    let mut counted: Vec<(&str, usize)> = Vec::new();
    for mount in &board.mounts {
        match counted.iter_mut().find(|(t, _)| *t == mount.thread.word()) {
            Some((_, n)) => *n += 1,
            None => counted.push((mount.thread.word(), 1)),
        }
    }
    let bolts: Vec<String> = counted.iter().map(|(t, n)| format!("{n} × {t}")).collect();
    step.words.push(format!(
        "Bolt it down with {}, with washers; start all bolts before you tighten any.",
        listed(&bolts)
    ));
    let hole = |m: &loomdeck_model::BoardMount| {
        let subject = Subject::BoardMount(m.name.clone());
        bench.making.holes.iter().position(|h| h.uses.iter().any(|u| u.subject == subject))
    };
    step.holes = board.mounts.iter().filter_map(hole).collect();
    step.watch.push("No wire may be caught between the board and its rests.".to_owned());
    bench.done(step);
}

/// Both halves of every plug.
pub fn plugs(bench: &mut Bench<'_>) {
    if bench.robot.plugs.is_empty() {
        return;
    }
    let mut step = bench.step(Group::Plugs, "Plugs".to_owned());
    for plug in &bench.robot.plugs {
        let family = bench.robot.types[plug.family.0].plug_family.as_ref();
        let latch = if family.is_some_and(|f| f.locks) { ", until its latch clicks" } else { "" };
        let hangs = match plug.place {
            PlugPlace::Fixed(_) => "",
            PlugPlace::Tail { .. } => " on its tail",
        };
        let zone = &bench.robot.zones[plug.zone.0].name;
        step.words.push(format!("{}{hangs}, to the {zone}{latch}.", plug.name));
        let subject = Subject::Plug(plug.name.clone());
        if !bench.is_there(&subject) {
            step.adds.push(subject);
        }
    }
    step.watch.push(
        "Label both halves and try each one dry; then leave apart whatever leads to a battery until the checks are done."
            .to_owned(),
    );
    bench.done(step);
}

/// What is done before the first power.
pub fn checks(bench: &mut Bench<'_>) {
    let mut step = bench.step(Group::Checks, "Look and pull".to_owned());
    step.words = vec![
        "Pull at every wire by hand: none may move in its end.".to_owned(),
        "Go over the board with the fastener table: every screw tight, nothing left over, no chip, washer or strand lying loose.".to_owned(),
        "Hold the wire list against the board, wire by wire, both ends.".to_owned(),
    ];
    bench.done(step);

    let mut step = bench.step(Group::Checks, "Measure, with every battery off".to_owned());
    step.tools.push("multimeter".to_owned());
    step.words = vec![
        "Between the supply and its return, at every fuse way: no short. Capacitors let the reading climb from near zero; wait for it.".to_owned(),
        "From each part's supply terminal back to its fuse: below an ohm, and on no other fuse.".to_owned(),
        "Between supply or return and the chassis: open, unless the chassis is bonded on purpose.".to_owned(),
    ];
    bench.done(step);

    let fused: Vec<&loomdeck_model::Part> =
        bench.robot.parts.iter().filter(|p| !p.fuses.is_empty()).collect();
    let mut step = bench.step(Group::Checks, "First power".to_owned());
    step.words.push("Take all fuses out. Connect the battery, or better a bench supply with its current limit at an ampere.".to_owned());
    step.words.push("Measure the voltage and its polarity at the open fuse ways, then put in one fuse at a time and look what it wakes.".to_owned());
    for part in fused {
        for (way, kind) in &part.fuses {
            step.words.push(format!("{}, {way}: {}.", part.name, bench.robot.types[kind.0].title));
        }
        step.adds.push(Subject::Part(part.name.clone()));
    }
    step.tools = vec!["multimeter".to_owned(), "bench supply with a current limit".to_owned()];
    step.cautions = vec![
        "Take off rings and watches. A short across a battery welds and burns before any hand is quick enough.".to_owned(),
        "Prop the robot up so that its wheels turn freely, keep hands off what moves, and have the stop within reach.".to_owned(),
        "Stay with it; if something smells or gets warm, take the battery off first and think afterwards.".to_owned(),
    ];
    bench.done(step);
}
