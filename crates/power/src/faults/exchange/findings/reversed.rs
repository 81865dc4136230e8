//! A plug that mates the wrong way round and harms something by it.

use super::{deed_words, plug, set, severity, with_numbers};
use crate::faults::Ground;
use crate::faults::exchange::rekey::other_family;
use crate::faults::exchange::types::{Deed, Exchange, Verdict};
use loomdeck_model::{Edit, Finding, Page, Remedy, Severity};
use std::collections::BTreeSet;

/// The page.
pub const PAGE: Page = Page {
    slug: "plug-harms-when-reversed",
    severity: Severity::Danger,
    title: "A plug mated the wrong way round does harm",
    physics: "A family without a key mates both ways: the last contact then lies where the first belongs. A supply so reversed drives current through the protective diodes of everything behind it, and a motor so reversed runs backwards. The network is solved with the contacts in reverse order.",
    source: "The solved network; the parts' stated limits",
    limits: "Contacts in one row, reversed end for end. Steady state with every fuse still in.",
    before: plugged!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("lamp", "lamp-led-12v-5w"),
        plug!("lamp-plug", "plug-spade-2-15a", "100"),
        wire!("heart", "battery.plus", "fuse.in", "2.5"),
        wire!("feed", "fuse.out", "lamp-plug.board.1", "1.5"),
        wire!("return", "lamp-plug.board.2", "battery.minus", "1.5"),
        wire!("lamp-plus", "lamp-plug.body.1", "lamp.plus", "0.75"),
        wire!("lamp-minus", "lamp.minus", "lamp-plug.body.2", "0.75"),
        "\n[[situation]]\nname = \"on\"\nlasting = true\nactivity = { lamp = \"on\" }\n"
    ),
    after: plugged!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("lamp", "lamp-led-12v-5w"),
        plug!("lamp-plug", "plug-power-2", "100"),
        wire!("heart", "battery.plus", "fuse.in", "2.5"),
        wire!("feed", "fuse.out", "lamp-plug.board.1", "1.5"),
        wire!("return", "lamp-plug.board.2", "battery.minus", "1.5"),
        wire!("lamp-plus", "lamp-plug.body.1", "lamp.plus", "0.75"),
        wire!("lamp-minus", "lamp.minus", "lamp-plug.body.2", "0.75"),
        "\n[[situation]]\nname = \"on\"\nlasting = true\nactivity = { lamp = \"on\" }\n"
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Exchange, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    let mut taken: BTreeSet<String> =
        robot.plugs.iter().map(|p| robot.types[p.family.0].name.clone()).collect();
    for (i, case) in found.cases.iter().enumerate() {
        let Deed::Reversed { plug: id } = case.deed else { continue };
        let told = &found.cases[found.told_by(i)];
        let Some(harm) = told.harms.first().filter(|_| told.verdict == Verdict::Harms) else { continue };
        let family = &robot.types[robot.plugs[id.0].family.0].name;
        let same = if case.like.is_some() { "Like another of its kind: " } else { "" };
        let mut f = with_numbers(
            Finding::new(
                PAGE.slug,
                severity(&told.harms),
                plug(robot, id),
                format!("{}. {same}{}", deed_words(robot, case.deed), harm.text),
                format!("Nothing in {family} keeps it from being turned round."),
                PAGE.source,
            )
            .with_situation(&robot.situations[harm.situation.0].name),
            harm,
        );
        let other = robot.family_of(id).and_then(|own| other_family(ground, id, own, &taken));
        if let Some(other) = other {
            let mut edits = vec![set(plug(robot, id), "family", &other)];
            if !robot.plugs[id.0].keying.is_empty() {
                edits.push(Edit::Unset { on: plug(robot, id), key: "keying".to_owned() });
            }
            f = f.with_remedy(Remedy::edit(format!("Use {other}, which mates one way only."), edits));
            taken.insert(other);
        }
        out.push(f.with_remedy(Remedy::advice("Use a family that mates one way only.")));
    }
}
