//! More wires on a terminal than it takes.

use super::{All, help};
use loomdeck_model::{Finding, Landing, Page, Remedy, Severity, WireId};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "terminal-overfull",
    severity: Severity::Fix,
    title: "More wires on a terminal than it takes",
    physics: "A clamp made for one wire holds two badly: when one settles, the other comes loose. A stud takes as many lugs as leave its nut all its thread.",
    source: "The terminal's stated number of wires; for plugs one wire to a contact (common practice)",
    limits: "Counts wires; their thickness together is not compared.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        part!("second", "lamp"),
        wire!("feed-2", "fuse.out", "second.plus", 1.5, 300),
        wire!("return-2", "second.minus", "battery.minus", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let mut on: BTreeMap<Landing, Vec<WireId>> = BTreeMap::new();
    for (w, wire) in all.robot.wires.iter().enumerate() {
        for end in [wire.from, wire.to] {
            on.entry(end).or_default().push(WireId(w));
        }
    }
    for (end, wires) in on {
        let room = match end {
            Landing::Part { part, terminal } => all.robot.type_of(part).terminals[terminal].room_for,
            Landing::Plug { .. } => 1,
        };
        if wires.len() <= room as usize {
            continue;
        }
        let word = all.robot.landing_word(end);
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            help::place(all.robot, end),
            format!("{} wires land on {word}; it takes {room}.", wires.len()),
            format!(
                "They are {}.",
                wires.iter().map(|w| all.robot.wires[w.0].name.as_str()).collect::<Vec<_>>().join(", ")
            ),
            PAGE.source,
        )
        .with_value("wire_count", wires.len() as f64)
        .with_limit("wire_count", f64::from(room));
        for w in &wires {
            f = f.with_subject(help::wire(all.robot, *w));
        }
        out.push(f.with_remedy(Remedy::advice(format!(
            "Lead one wire from {word} to a bus bar or splice, and the others from there."
        ))));
    }
}
