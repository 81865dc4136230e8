//! A plug that is left out while the rest is on, to somebody's harm.

use super::{deed_words, plug, severity, with_numbers};
use crate::faults::Ground;
use crate::faults::exchange::types::{Deed, Exchange, Verdict};
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "plug-harms-when-left-out",
    severity: Severity::Danger,
    title: "Leaving a plug out does harm",
    physics: "A plug that is forgotten takes away supplies and returns. What loses its return alone looks for another: two loads that shared it stand in series across the supply, and the smaller one gets most of the voltage. The network is solved without the plug.",
    source: "The solved network; the parts' stated limits; loads in series by Kirchhoff's laws",
    limits: "Steady state. Loads of constant power or current are taken as resistors below a twentieth of their voltage.",
    before: plugged!(
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("lamp", "lamp-led-12v-5w"),
        part!("heater", "led-strip-12v-24w"),
        plug!("middle-plug", "plug-power-2", "100"),
        wire!("link", "battery-a.plus", "battery-b.minus", "2.5"),
        wire!("heart", "battery-b.plus", "fuse.in", "2.5"),
        wire!("upper", "fuse.out", "lamp.plus", "1.5"),
        wire!("upper-end", "lamp.minus", "heater.plus", "1.5"),
        wire!("middle", "heater.plus", "middle-plug.board.1", "1.5"),
        wire!("middle-on", "middle-plug.body.1", "battery-a.plus", "1.5"),
        wire!("lower-end", "heater.minus", "battery-a.minus", "1.5"),
        "\n[[situation]]\nname = \"on\"\nlasting = true\nactivity = { lamp = \"on\", heater = \"bright\" }\n"
    ),
    after: plugged!(
        part!("battery-a", "lead-agm-12v-12ah"),
        part!("battery-b", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
        part!("lamp", "lamp-led-24v-10w"),
        plug!("middle-plug", "plug-power-2", "100"),
        wire!("link", "battery-a.plus", "battery-b.minus", "2.5"),
        wire!("heart", "battery-b.plus", "fuse.in", "2.5"),
        wire!("upper", "fuse.out", "lamp.plus", "1.5"),
        wire!("middle", "lamp.minus", "middle-plug.board.1", "1.5"),
        wire!("middle-on", "middle-plug.body.1", "battery-a.minus", "1.5"),
        "\n[[situation]]\nname = \"on\"\nlasting = true\nactivity = { lamp = \"on\" }\n"
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Exchange, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    for (i, case) in found.cases.iter().enumerate() {
        let Deed::Out { plug: id } = case.deed else { continue };
        let told = &found.cases[found.told_by(i)];
        let Some(harm) = told.harms.first().filter(|_| told.verdict == Verdict::Harms) else { continue };
        let same = if case.like.is_some() { "Like another of its kind: " } else { "" };
        out.push(
            with_numbers(
                Finding::new(
                    PAGE.slug,
                    severity(&told.harms),
                    plug(robot, id),
                    format!("{}. {same}{}", deed_words(robot, case.deed), harm.text),
                    "What it carried finds another way, or none.",
                    PAGE.source,
                )
                .with_situation(&robot.situations[harm.situation.0].name),
                harm,
            )
            .with_remedy(Remedy::advice(
                "Lead the supply and the return of a part through one plug, so that both go together.",
            ))
            .with_remedy(Remedy::advice(
                "Where that cannot be, lead the switched supply through a spare contact of this plug as well: without the plug nothing is on.",
            )),
        );
    }
}
