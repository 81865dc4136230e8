//! Batteries side by side drive a large current into each other when they are joined unequally charged.

use super::super::types::Pack;
use super::part;
use crate::faults::Ground;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "parallel-batteries-even-out",
    severity: Severity::Look,
    title: "Joined unequally charged, batteries side by side even out too fast",
    physics: "When two batteries are joined in parallel, the fuller one charges the emptier with the difference of their voltages over both internal resistances; nothing else limits it. Told for one full and one half empty, against twice the charging limit for a moment.",
    source: "Ohm's law with the batteries' stated resistances; twice the charging limit for a moment: common practice, no source",
    limits: "Wires and fuses between them lower the current a little; warm batteries have less resistance.",
    before: small_robot!(
        takes!("heater", 12, 5),
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse-a", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("fuse-b", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("bar", "bus-bar-m6-4"),
        part!("back", "bus-bar-m6-4"),
        part!("heat", "heater"),
        wire!("a-heart", "battery-a.plus", "fuse-a.in", 4, 200),
        wire!("b-heart", "battery-b.plus", "fuse-b.in", 4, 200),
        wire!("a-feed", "fuse-a.out", "bar.s1", 4, 200),
        wire!("b-feed", "fuse-b.out", "bar.s2", 4, 200),
        wire!("feed", "bar.s3", "heat.plus", 4, 200),
        wire!("return", "heat.minus", "back.s3", 4, 200),
        wire!("a-back", "back.s1", "battery-a.minus", 4, 200),
        wire!("b-back", "back.s2", "battery-b.minus", 4, 200),
        "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n"
    ),
    after: small_robot!(
        takes!("heater", 12, 5),
        part!("battery-a", "lead-agm-12v-35ah"),
        part!("fuse-a", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("bar", "bus-bar-m6-4"),
        part!("back", "bus-bar-m6-4"),
        part!("heat", "heater"),
        wire!("a-heart", "battery-a.plus", "fuse-a.in", 4, 200),
        wire!("a-feed", "fuse-a.out", "bar.s1", 4, 200),
        wire!("feed", "bar.s3", "heat.plus", 4, 200),
        wire!("return", "heat.minus", "back.s3", 4, 200),
        wire!("a-back", "back.s1", "battery-a.minus", 4, 200),
        "\n[[situation]]\nname = \"on\"\ncharge_percent = 80\nlasting = true\n"
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Pack, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    for pair in found.parallel.iter().filter(|p| p.current > p.limit) {
        let (one, other) = (&found.strings[pair.strings.0], &found.strings[pair.strings.1]);
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Look,
            part(robot, one.batteries[0]),
            format!(
                "Joined while one is full and the other half empty, {} and {} even out with {:.0}; the emptier bears {:.0} for a moment.",
                one.names.join(" and "),
                other.names.join(" and "),
                pair.current,
                pair.limit
            ),
            "Only their own resistance stands between them.",
            PAGE.source,
        )
        .with_value("current_a", pair.current.0)
        .with_limit("current_a", pair.limit.0)
        .with_value("voltage_v", pair.bears.0);
        for &p in one.batteries[1..].iter().chain(&other.batteries) {
            f = f.with_subject(part(robot, p));
        }
        out.push(f.with_remedy(Remedy::advice(format!(
            "Charge both full before you join them, and join them only when they differ by less than {:.2}.",
            pair.bears
        ))));
    }
}
