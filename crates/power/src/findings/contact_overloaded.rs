//! A plug's contact carries too much.

use super::{All, help};
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, PlugId, Remedy, Severity, SituationId, Subject};
use std::collections::BTreeMap;

/// The page.
pub const PAGE: Page = Page {
    slug: "contact-overloaded",
    severity: Severity::Fix,
    title: "A plug's contact carries more than it bears",
    physics: "A mated contact of a few milliohms makes I²·R of heat in a spot without copper to carry it away. The rating of a family holds with all contacts loaded; a single loaded contact bears a little more, on which nobody should build.",
    source: "The plug family's stated rating",
    limits: "Lasting situations, rms current.",
    before: small_robot!(
        "\n[board]\nsize_mm = [200, 100]\nthickness_mm = 9\nmaterial = \"plywood\"\ndepth_front_mm = 60\ndepth_back_mm = 30\n",
        load_type!("heater", "power", "current", 12, 5, 20, 16),
        part!("battery", "lead-agm-12v-18ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-25a\" }"),
        part!("load", "heater"),
        "\n[[plug]]\nname = \"join\"\nfamily = \"plug-power-2\"\nzone = \"body\"\nface = \"front\"\nat_mm = [190, 50]\n",
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed-1", "fuse.out", "join.board.1", 4, 300),
        wire!("feed-2", "join.body.1", "load.plus", 4, 300),
        wire!("return-1", "battery.minus", "join.board.2", 4, 300),
        wire!("return-2", "join.body.2", "load.minus", 4, 300),
        situation!("on")
    ),
    after: small_robot!(
        load_type!("heater", "power", "current", 12, 5, 20, 16),
        ring!("lead-agm-12v-18ah", "blade-25a", "heater", 4, 300),
        situation!("on")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    let mut worst: BTreeMap<(PlugId, u32), (Amperes, SituationId)> = BTreeMap::new();
    for s in all.study.situations.iter().filter(|s| all.robot.situations[s.situation.0].lasting) {
        for c in &s.contacts {
            let slot = worst.entry((c.plug, c.contact)).or_insert((c.rms, s.situation));
            if c.rms > slot.0 {
                *slot = (c.rms, s.situation);
            }
        }
    }
    for ((plug, contact), (amperes, situation)) in worst {
        let Some(limit) = all.robot.family_of(plug).map(|f| f.rating) else { continue };
        if amperes.0 <= limit.0 * (1.0 + 1e-9) {
            continue;
        }
        let name = &all.robot.plugs[plug.0].name;
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Fix,
                Subject::Plug(name.clone()),
                format!(
                    "Contact {contact} of {name} carries {amperes} in `{}`; it bears {limit}.",
                    help::name(all, situation)
                ),
                "All of this current goes through one contact.",
                PAGE.source,
            )
            .with_value("current_a", amperes.0)
            .with_limit("current_a", limit.0)
            .with_situation(help::name(all, situation))
            .with_remedy(Remedy::advice(
                "Share the current between two contacts, each with its own wire, or use a larger family.",
            )),
        );
    }
}
