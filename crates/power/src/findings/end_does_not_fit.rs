//! A wire's end does not go into its terminal.

use super::{All, help};
use loomdeck_model::wire::EndKind;
use loomdeck_model::{Edit, Finding, Landing, Page, Remedy, Severity, WireId};

/// The page.
pub const PAGE: Page = Page {
    slug: "end-does-not-fit",
    severity: Severity::Fix,
    title: "A wire's end does not go into its terminal",
    physics: "Each fitting takes certain ends: a stud takes ring lugs of its own thread, a tab takes a receptacle of its own width, a screw clamp takes a ferrule. An end forced into another fitting comes loose.",
    source: "The terminal's stated ends",
    limits: "Compares kind and size of the end only.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300, "end_to = \"ring-6\""),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        situation!("on")
    ),
};

fn same(a: EndKind, b: EndKind) -> bool {
    match (a, b) {
        (EndKind::Ring(p), EndKind::Ring(q))
        | (EndKind::Fork(p), EndKind::Fork(q))
        | (EndKind::Receptacle(p), EndKind::Receptacle(q)) => (p - q).abs() < 0.05,
        _ => a == b,
    }
}

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (w, wire) in all.robot.wires.iter().enumerate() {
        for (end, chosen, key) in [(wire.from, wire.end_from, "end_from"), (wire.to, wire.end_to, "end_to")] {
            let (Some(kind), Landing::Part { part, terminal }) = (chosen, end) else { continue };
            let ends = &all.robot.type_of(part).terminals[terminal].ends;
            if ends.is_empty() || ends.iter().any(|&e| same(e, kind)) {
                continue;
            }
            let word = all.robot.landing_word(end);
            let taken: Vec<String> = ends.iter().map(ToString::to_string).collect();
            out.push(
                Finding::new(
                    PAGE.slug,
                    Severity::Fix,
                    help::wire(all.robot, WireId(w)),
                    format!("{} ends in a {kind} at {word}, which takes: {}.", wire.name, taken.join(", ")),
                    "The terminal's type lists the ends that go in.",
                    PAGE.source,
                )
                .with_subject(help::part(all.robot, part))
                .with_remedy(Remedy::edit(
                    format!("Leave the end to the terminal: a {}.", taken[0]),
                    vec![Edit::Unset { on: help::wire(all.robot, WireId(w)), key: key.to_owned() }],
                )),
            );
        }
    }
}
