//! The way back to the battery is broken while somebody pushes.

use super::names;
use crate::faults::motion::Motion;
use crate::findings::{All, help};
use loomdeck_model::units::*;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "pushed-without-battery",
    severity: Severity::Look,
    title: "Pushed with the battery out, the bus rises too high",
    physics: "What the motors give when the robot is pushed can go into the battery. With the battery's plug pulled, its fuse blown or its protection open that way is gone, and the voltage follows the speed as if there were none. The network is solved once more with every battery cut out.",
    source: "The permanent-magnet motor's equations; the stated absolute maximum, damage and rated voltages",
    limits: "Every battery is out at once. Steady speed.",
    before: roller!("push_speed_m_s = 2.5", "", way_back!("schottky-60a-100v-plate", 4)),
    after: roller!("push_speed_m_s = 1.5", "", way_back!("schottky-60a-100v-plate", 4)),
};

pub(super) fn find(all: &All<'_>, found: &Motion, out: &mut Vec<Finding>) {
    let harmed = |part| {
        let with = found.pushes.iter().filter(|p| p.with_battery);
        with.flat_map(|p| &p.victims).any(|v| v.part == part)
    };
    let alone = found.pushes.iter().filter(|p| !p.with_battery).filter_map(|p| {
        let new: Vec<_> = p.victims.iter().filter(|v| !harmed(v.part)).collect();
        (!new.is_empty()).then_some((p, new))
    });
    let Some((push, victims)) = alone.min_by(|a, b| a.1[0].at_m_s.total_cmp(&b.1[0].at_m_s)) else {
        return;
    };
    let first = victims[0];
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Look,
        help::part(all.robot, first.part),
        format!(
            "With the battery out and the robot pushed faster than {:.1} ({}), {} gets more than its {} of {:.1}.",
            MetresPerSecond(first.at_m_s),
            push.name,
            names(victims.iter().map(|v| v.name.as_str())),
            first.limit,
            Volts(first.limit_v)
        ),
        format!(
            "The battery takes what the motors give; with its plug pulled or its fuse blown nothing does, and at {:.1} the voltage there is {:.1}.",
            MetresPerSecond(found.push_speed_m_s),
            Volts(first.reached_v)
        ),
        PAGE.source,
    )
    .with_value("voltage_v", first.reached_v)
    .with_limit("voltage_v", first.limit_v)
    .with_value("speed_m_s", first.at_m_s)
    .with_limit("speed_m_s", found.push_speed_m_s)
    .with_remedy(Remedy::advice(
        "Pull the plugs of the drive motors as well before the robot rolls without its battery, or lift its wheels; a relay that cuts the motors off at rest does it by itself.",
    ));
    for v in &victims[1..] {
        f = f.with_subject(help::part(all.robot, v.part));
    }
    out.push(f);
}
