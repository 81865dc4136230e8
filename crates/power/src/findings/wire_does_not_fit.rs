//! A conductor is too thick or too thin for its terminal.

use super::{All, help};
use loomdeck_model::{Finding, Page, Remedy, Severity, WireId};

/// The page.
pub const PAGE: Page = Page {
    slug: "wire-does-not-fit-terminal",
    severity: Severity::Fix,
    title: "A wire does not fit its terminal",
    physics: "A terminal holds a range of conductors. Too thick, and the strands do not go in, or some are cut away; too thin, and the clamp or crimp does not grip, and the joint heats.",
    source: "The terminal's stated range; nominal sizes of the two systems count as equal within 15 % (common practice)",
    limits: "One conductor alone. Two thin ones folded together are not offered.",
    before: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("load", "lamp"),
        wire!("heart", "battery.plus", "fuse.in", 16, 100),
        wire!("feed", "fuse.out", "load.plus", 1.5, 300),
        wire!("return", "load.minus", "battery.minus", 1.5, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("lamp", "power", "power", 12, 5, 20, 1),
        ring!("lead-agm-12v-12ah", "blade-5a", "lamp", 1.5, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for id in (0..all.robot.wires.len()).map(WireId) {
        let wire = &all.robot.wires[id.0];
        for end in [wire.from, wire.to] {
            if help::fits(all.robot, end, wire.gauge) {
                continue;
            }
            let Some((thin, thick)) = help::range(all.robot, end) else { continue };
            let word = all.robot.landing_word(end);
            let area = wire.gauge.area();
            let (kind, bound) = if area > thick { ("thick", thick) } else { ("thin", thin) };
            let mut f = Finding::new(
                PAGE.slug,
                Severity::Fix,
                help::wire(all.robot, id),
                format!(
                    "{} is too {kind} for {word}: it is {}, and {thin} to {thick} go in.",
                    wire.name, wire.gauge
                ),
                "The terminal's range of conductors is stated in its type.",
                PAGE.source,
            )
            .with_subject(help::place(all.robot, end))
            .with_value("area_mm2", area.0)
            .with_limit("area_mm2", bound.0);
            let mut series = wire.gauge.series();
            series.sort_by(|a, b| {
                let far = |g: &loomdeck_model::wire::Gauge| (g.area().0 / area.0).ln().abs();
                far(a).total_cmp(&far(b))
            });
            let fitting = series
                .into_iter()
                .find(|&g| help::fits(all.robot, wire.from, g) && help::fits(all.robot, wire.to, g));
            f = f.with_remedy(match fitting {
                Some(g) => match help::fuse_too_large(all, id, g) {
                    Some((rating, holder)) => Remedy::advice(format!(
                        "{g} goes in, but the {rating} fuse in {holder} lets pass more than that bears: choose a part with a larger terminal, or a smaller fuse first."
                    )),
                    None => help::resize(all.robot, id, g, ""),
                },
                None => Remedy::advice(
                    "No size fits both its ends: put a terminal block or splice between, or another part.",
                ),
            });
            out.push(f);
        }
    }
}
