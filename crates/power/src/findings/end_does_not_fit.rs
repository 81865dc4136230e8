//! A wire's end does not go into its terminal.

use super::{All, help};
use loomdeck_model::part_type::Fitting;
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
        for (end, chosen, key) in
            [(wire.from, wire.end_from, "end_from"), (wire.to, wire.end_to, "end_to")]
        {
            let (Some(kind), Landing::Part { part, terminal }) = (chosen, end) else { continue };
            let ends = &all.robot.type_of(part).terminals[terminal].ends;
            if ends.is_empty() || ends.iter().any(|&e| same(e, kind)) {
                continue;
            }
            let word = all.robot.landing_word(end);
            let taken: Vec<String> = ends.iter().map(ToString::to_string).collect();
            let fitting = all.robot.type_of(part).terminals[terminal].fitting;
            let f = numbers(
                Finding::new(
                    PAGE.slug,
                    Severity::Fix,
                    help::wire(all.robot, WireId(w)),
                    format!(
                        "{} ends in a {kind} at {word}, which takes: {}.",
                        wire.name,
                        taken.join(", ")
                    ),
                    "The terminal's type lists the ends that go in.",
                    PAGE.source,
                )
                .with_subject(help::part(all.robot, part)),
                kind,
                fitting,
                (wire.gauge.area().0, all.robot.type_of(part).terminals[terminal].thickest.0),
            );
            out.push(f.with_remedy(Remedy::edit(
                format!("Leave the end to the terminal: a {}.", taken[0]),
                vec![Edit::Unset { on: help::wire(all.robot, WireId(w)), key: key.to_owned() }],
            )));
        }
    }
}

/// The size of the end against that of what it should go on or into; the conductor's cross-section
/// against the largest that goes in where neither has another size.
fn numbers(f: Finding, kind: EndKind, fitting: Fitting, area: (f64, f64)) -> Finding {
    let f = match kind {
        EndKind::Ring(d) | EndKind::Fork(d) => f.with_value("hole_mm", d),
        EndKind::Receptacle(w) => f.with_value("tab_mm", w),
        _ => f.with_value("area_mm2", area.0),
    };
    match fitting {
        Fitting::Stud(thread) => f.with_limit("hole_mm", thread.major().0),
        Fitting::Tab(width) => f.with_limit("tab_mm", width.0),
        _ => f.with_limit("area_mm2", area.1),
    }
}
