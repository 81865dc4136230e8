//! A motor driver holds a short for ever, with more than the motor's wire bears.

use super::held;
use crate::faults::Ground;
use crate::faults::short::{Never, Short};
use loomdeck_model::{Finding, Page, Severity};

/// A head that turns, behind a driver of 20 A peak: mm² of the motor's wires.
macro_rules! driven_short {
    ($mm2:literal) => {
        small_robot!(
            part!("battery-a", "lead-agm-12v-12ah"),
            part!("battery-b", "lead-agm-12v-12ah"),
            part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-5a\" }"),
            part!("driver", "motor-driver-12v-24v-10a"),
            part!("head", "turning-gearmotor-24v-30w"),
            wire!("link", "battery-a.plus", "battery-b.minus", 4, 100),
            wire!("heart", "battery-b.plus", "fuse.in", 4, 100),
            wire!("feed", "fuse.out", "driver.plus", 1.5),
            wire!("back", "driver.minus", "battery-a.minus", 1.5),
            wire!("head-1", "driver.motor-a", "head.a", $mm2),
            wire!("head-2", "driver.motor-b", "head.b", $mm2),
            situation!("on")
        )
    };
}

/// The page.
pub const PAGE: Page = Page {
    slug: "driver-feeds-short",
    severity: Severity::Fix,
    title: "A motor driver feeds a short for ever, and the motor's wire does not bear it",
    physics: "A motor driver switches the battery on and off so quickly that the motor sees a part of its voltage. Into a short it gives its limiting current with next to none of the battery's voltage, so that next to no power, and next to no current, goes in: the fuse before the driver does not see the short. As long as the driver drives, the motor's wire carries the limit. The same happens with a motor that is jammed for long, but a motor is seen to stand still; a chafed wire is not. The wire must bear the driver's limit for ever, or a fuse smaller than that must stand at the driver's output, or the driver must switch off by itself. Where the insulation bears the current and only what the wire ends in does not, it is said as something to look at.",
    source: "The driver's stated peak current; the heat balance of `wire-too-hot`",
    limits: "Drivers are taken to hold their stated peak current. Many switch off, or reduce it, within seconds; when the data sheet says so, say so in its type with `shorted = \"trips\"`. A driver whose transistor has burnt through holds nothing back: then the fuse before it opens.",
    before: driven_short!(0.75),
    after: driven_short!(2.5),
};

pub(super) fn find(ground: &Ground<'_>, found: &Short, out: &mut Vec<Finding>) {
    held::find(ground, found, out, &PAGE, |never| match never {
        Never::Driven { part, .. } => Some(*part),
        _ => None,
    });
}
