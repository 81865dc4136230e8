//! A motor or its driver carries more for long than it bears.

use super::{All, help, shelf};
use crate::results::ElementResult;
use loomdeck_model::element::{Driver, ElementKind};
use loomdeck_model::units::Amperes;
use loomdeck_model::{Finding, Page, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "motor-overloaded",
    severity: Severity::Fix,
    title: "A motor or driver carries too much for long",
    physics: "A motor's winding heats with the square of its current; the continuous current is what it bears with its case at a safe temperature. A driver's transistors likewise. A stall is many times that current and burns a small motor within a minute.",
    source: "The part's stated continuous current",
    limits: "Situations that do not last are left out, except a stall that lasts longer than the builder allows.",
    before: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("pump", "pump-motor-12v-20w"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "driver.plus", 2.5, 300),
        wire!("return", "driver.minus", "battery.minus", 2.5, 300),
        wire!("motor-a", "driver.motor-a", "pump.a", 1.5, 300),
        wire!("motor-b", "driver.motor-b", "pump.b", 1.5, 300),
        situation!("on", "motors = { pump = { turning_rpm = 1500, torque_nm = 0.12 } }")
    ),
    after: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("pump", "pump-motor-12v-20w"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "driver.plus", 2.5, 300),
        wire!("return", "driver.minus", "battery.minus", 2.5, 300),
        wire!("motor-a", "driver.motor-a", "pump.a", 1.5, 300),
        wire!("motor-b", "driver.motor-b", "pump.b", 1.5, 300),
        situation!("on", "motors = { pump = { turning_rpm = 1500, torque_nm = 0.05 } }")
    ),
};

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let limit = match kind {
            ElementKind::Motor(m) => m.continuous,
            ElementKind::Driver(d) => d.continuous,
            _ => continue,
        };
        let mut worst: Option<(Amperes, SituationId)> = None;
        for s in &all.study.situations {
            let situation = &all.robot.situations[s.situation.0];
            let long =
                situation.lasting || situation.lasts.is_some_and(|t| t > all.robot.limits.stall * 10.0);
            if !long {
                continue;
            }
            let amperes = match &s.parts[part.0].elements[e] {
                ElementResult::Motor { current, .. } => current.abs(),
                ElementResult::Driver { channels, .. } => {
                    channels.iter().map(|c| c.current.abs()).fold(Amperes(0.0), Amperes::max)
                }
                _ => continue,
            };
            if amperes.0 > limit.0 * (1.0 + 1e-9) && worst.is_none_or(|w| amperes > w.0) {
                worst = Some((amperes, s.situation));
            }
        }
        let Some((amperes, situation)) = worst else { continue };
        let name = &all.robot.parts[part.0].name;
        let other = shelf::driver(all.robot.type_of(part)).and_then(|own| {
            let suits = |d: &Driver| {
                d.continuous >= amperes
                    && d.window_low <= own.window_low
                    && d.window_high >= own.window_high
            };
            shelf::other_driver(all, part, suits, &format!(", which bears {amperes} for long"))
        });
        out.push(help::with_first(
            Finding::new(
                PAGE.slug,
                Severity::Fix,
                help::part(all.robot, part),
                format!("{name} carries {amperes} in `{}`; for long it bears {limit}.", help::name(all, situation)),
                "The torque asked for sets this current.",
                PAGE.source,
            )
            .with_value("current_a", amperes.0)
            .with_limit("current_a", limit.0)
            .with_situation(help::name(all, situation)),
            other,
            Remedy::advice(
                "Ask for less torque, gear it lower, or use a larger one; if this lasts only seconds, say so with `lasts_s`.",
            ),
        ));
    }
}
