//! Pushed by hand, the motors lift a driver's supply above its window.

use super::{All, help, shelf};
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::Volts;
use loomdeck_model::{Finding, MovedBy, Page, PartId, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "pushed-bus-too-high",
    severity: Severity::Danger,
    title: "Pushed by hand, the motors lift the bus too high",
    physics: "A motor that is turned from outside is a generator: its voltage is k·ω. The body diodes of a driver that is off rectify it onto the driver's supply. While the supply is cut off from the battery nothing takes the current, and the voltage follows the speed; with a way back to the battery it stays near the battery's voltage, and the builder feels the drag.",
    source: "The permanent-magnet motor's equations; diodes by their forward voltage; the driver's stated window and absolute maximum",
    limits: "Steady speed as the situation states it. The battery is taken to accept the current.",
    before: small_robot!(
        "\n[motion]\nmass_kg = 40\n",
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("wheel", "drive-gearmotor-24v-100w"),
        part!("switch", "isolator-key-100a"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed-1", "fuse.out", "switch.a", 6, 300),
        wire!("feed-2", "switch.b", "driver.plus", 4, 300),
        wire!("return", "driver.minus", "battery.minus", 4, 300),
        wire!("motor-a", "driver.motor-a", "wheel.a", 2.5, 300),
        wire!("motor-b", "driver.motor-b", "wheel.b", 2.5, 300),
        situation!("pushed", "moved_by = \"hand\"\nspeed_m_s = 2.5\n")
    ),
    after: small_robot!(
        "\n[motion]\nmass_kg = 40\n",
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("wheel", "drive-gearmotor-24v-100w"),
        part!("switch", "isolator-key-100a"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed-1", "fuse.out", "switch.a", 6, 300),
        wire!("feed-2", "switch.b", "driver.plus", 4, 300),
        wire!("return", "driver.minus", "battery.minus", 4, 300),
        wire!("motor-a", "driver.motor-a", "wheel.a", 2.5, 300),
        wire!("motor-b", "driver.motor-b", "wheel.b", 2.5, 300),
        situation!("pushed", "moved_by = \"hand\"\nspeed_m_s = 1\n")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Driver(d) = kind else { continue };
        let mut worst: Option<(Volts, SituationId)> = None;
        for s in &all.study.situations {
            let situation = &all.robot.situations[s.situation.0];
            if situation.moved_by != MovedBy::Hand || situation.speed.0 == 0.0 {
                continue;
            }
            if let ElementResult::Driver { voltage, .. } = &s.parts[part.0].elements[e]
                && *voltage > d.window_high
                && worst.is_none_or(|w| *voltage > w.0)
            {
                worst = Some((*voltage, s.situation));
            }
        }
        let Some((v, situation)) = worst else { continue };
        let destroyed = v > d.absolute_max;
        let limit = if destroyed { d.absolute_max } else { d.window_high };
        let name = &all.robot.parts[part.0].name;
        let speed = all.robot.situations[situation.0].speed;
        let stronger = shelf::other_driver(
            all,
            part,
            |o| o.window_high > v && o.continuous >= d.continuous && o.window_low < lowest(all, part, e),
            ", which bears this voltage",
        );
        let end = if destroyed { "it is destroyed above" } else { "its window ends at" };
        out.push(help::with_first(
            Finding::new(
                PAGE.slug,
                if destroyed { Severity::Danger } else { Severity::Fix },
                help::part(all.robot, part),
                format!(
                    "Pushed at {speed:.1} in `{}`, the motors lift the supply of {name} to {v:.1}; {end} {limit}.",
                    help::name(all, situation)
                ),
                "Its body diodes rectify what the motors generate, and nothing takes the current away at a lower voltage.",
                PAGE.source,
            )
            .with_value("voltage_v", v.0)
            .with_limit("voltage_v", limit.0)
            .with_situation(help::name(all, situation)),
            stronger,
            Remedy::advice(
                "Lead the current back to the battery past the open switch with a diode and a fuse of its own.",
            ),
        )
            .with_remedy(Remedy::advice("Push it more slowly, or lift the driven wheels.")),
        );
    }
}

/// The lowest supply at which a driver runs in any situation.
fn lowest(all: &All<'_>, part: PartId, e: usize) -> Volts {
    let running = all.study.situations.iter().filter_map(|s| match &s.parts[part.0].elements[e] {
        ElementResult::Driver { peak_voltage, running: true, .. } => Some(*peak_voltage),
        _ => None,
    });
    running.fold(Volts(f64::INFINITY), Volts::min)
}
