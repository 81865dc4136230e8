//! A motor cannot turn as fast, or pull as hard, as the situation asks.

use super::{All, help};
use crate::results::ElementResult;
use loomdeck_model::element::ElementKind;
use loomdeck_model::units::three_digits;
use loomdeck_model::{Finding, MotorTask, Page, Remedy, Severity, SituationId};

/// The page.
pub const PAGE: Page = Page {
    slug: "motor-too-slow",
    severity: Severity::Fix,
    title: "A motor does not reach what is asked of it",
    physics: "A brushed motor turns as fast as the voltage left to it allows: v = i·R + k·ω. The torque it must give sets the current i; the driver can apply no more than its supply, less what its transistors and the wires lose. If the torque asks for more current than the driver's peak, the motor stands still.",
    source: "The permanent-magnet motor's equations (any textbook; checked against published exercises); gearbox efficiency as stated",
    limits: "Steady turning; starting torque, hills shorter than a moment and slipping wheels are not in it.",
    before: small_robot!(
        part!("battery", "lead-agm-12v-12ah"),
        part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
        part!("driver", "motor-driver-12v-24v-10a"),
        part!("pump", "pump-motor-24v-30w"),
        wire!("heart", "battery.plus", "fuse.in", 4, 100),
        wire!("feed", "fuse.out", "driver.plus", 2.5, 300),
        wire!("return", "driver.minus", "battery.minus", 2.5, 300),
        wire!("motor-a", "driver.motor-a", "pump.a", 1.5, 300),
        wire!("motor-b", "driver.motor-b", "pump.b", 1.5, 300),
        situation!("on", "motors = { pump = { turning_rpm = 2600, torque_nm = 0.05 } }")
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
        situation!("on", "motors = { pump = { turning_rpm = 2300, torque_nm = 0.05 } }")
    ),
};

/// Shortfall that nobody notices.
const NOTICED: f64 = 0.02;

pub(super) fn find(all: &All<'_>, out: &mut Vec<Finding>) {
    for (part, e, kind) in help::elements(all) {
        let ElementKind::Motor(_) = kind else { continue };
        let mut worst: Option<(f64, f64, f64, SituationId)> = None;
        for s in &all.study.situations {
            let task = all.robot.situations[s.situation.0].motors.get(&part);
            if matches!(task, Some(MotorTask::Stalled { .. })) {
                continue;
            }
            let ElementResult::Motor { turning_rpm, wanted_rpm: Some(wanted), .. } =
                &s.parts[part.0].elements[e]
            else {
                continue;
            };
            let short = if *wanted == 0.0 { 0.0 } else { 1.0 - turning_rpm / wanted };
            if short > NOTICED && worst.is_none_or(|w| short > w.0) {
                worst = Some((short, *turning_rpm, *wanted, s.situation));
            }
        }
        let Some((_, rpm, wanted, situation)) = worst else { continue };
        let name = &all.robot.parts[part.0].name;
        let what = if rpm == 0.0 {
            format!("{name} stands still in `{}` instead of turning.", help::name(all, situation))
        } else {
            format!(
                "{name} turns at {} of the {} rpm asked for in `{}`.",
                three_digits(rpm),
                three_digits(wanted),
                help::name(all, situation)
            )
        };
        let why = if rpm == 0.0 {
            "The torque asks for more current than its driver gives."
        } else {
            "Its driver is fully on; the supply gives no more voltage."
        };
        out.push(
            Finding::new(PAGE.slug, Severity::Fix, help::part(all.robot, part), what, why, PAGE.source)
                .with_value("turning_rpm", rpm)
                .with_limit("turning_rpm", wanted)
                .with_situation(help::name(all, situation))
                .with_remedy(Remedy::advice(
                    "Ask for less speed or torque, change the gearing, or use a motor made for this supply.",
                )),
        );
    }
}
