//! Braking sends more into the battery than it accepts.

use crate::faults::motion::Motion;
use crate::findings::{All, help};
use loomdeck_model::units::*;
use loomdeck_model::{Finding, Page, PartId, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "braking-overcharges",
    severity: Severity::Fix,
    title: "Braking sends more into the battery than it accepts",
    physics: "A driver that brakes boosts the motor's voltage onto its bus: kinetic energy, and on a slope potential energy, goes back less the losses in winding, bridge and gearbox. With a current i the motor gives k·ω·i − i²·R, most at i = k·ω/(2·R) or at the driver's peak current. The network is solved with that current at speeds up to `push_speed_m_s`; what the consumers on the bus do not take flows into the battery.\n\nA lead-acid battery bears a second of it; a protection (battery-management system) that watches the charge current opens, and then nothing takes the energy at all.",
    source: "Maximum power transfer from a source with inner resistance; the battery's and its protection's stated charge limits",
    limits: "The strongest braking the driver could do, at full charge of all situations; a gentle ramp in the control gives less. Steady at each speed.",
    before: roller!("push_speed_m_s = 1.5", "", ""),
    after: roller!("push_speed_m_s = 0.5", "", ""),
};

pub(super) fn find(all: &All<'_>, found: &Motion, out: &mut Vec<Finding>) {
    let Some(b) = &found.braking else { return };
    let name = |p: PartId| all.robot.parts[p.0].name.as_str();
    let gentle =
        "Let the control slow down by a ramp, with less braking current than the driver could give";
    if let (Some(part), Some(limit)) = (b.protection, b.protection_a) {
        out.push(
            Finding::new(
                PAGE.slug,
                Severity::Fix,
                help::part(all.robot, part),
                format!(
                    "Hard braking (`{}`) can send more than {:.1} into {}, and its protection opens.",
                    b.situation,
                    Amperes(limit),
                    name(part)
                ),
                "With the protection open nothing takes the braking energy, and the bus rises until a driver stops switching or dies.",
                PAGE.source,
            )
            .with_limit("current_a", limit)
            .with_value("speed_m_s", found.push_speed_m_s)
            .with_situation(&b.situation)
            .with_remedy(Remedy::advice(format!("{gentle}; or put a braking resistor with its own switch on the bus."))),
        );
        return;
    }
    let (Some(battery), Some(limit)) = (b.battery, b.charge_limit_a) else { return };
    let downhill = b.downhill_a.filter(|i| *i > limit);
    let worst = b.points.iter().max_by(|a, c| a.into_battery_a.total_cmp(&c.into_battery_a));
    let Some(worst) = worst.filter(|w| w.into_battery_a > limit || downhill.is_some()) else { return };
    let (severity, amperes, when) = match downhill {
        Some(i) => (
            Severity::Fix,
            i,
            format!(
                "Down a slope of {:.0}\u{2009}% at {:.1}",
                found.steepest_percent,
                MetresPerSecond(b.downhill_m_s)
            ),
        ),
        None => (
            Severity::Look,
            worst.into_battery_a,
            format!("Braking as hard as the drivers can from {:.1}", MetresPerSecond(worst.speed_m_s)),
        ),
    };
    out.push(
        Finding::new(
            PAGE.slug,
            severity,
            help::part(all.robot, battery),
            format!(
                "{when}, the motors send up to {:.1} into {}, which accepts {:.1}.",
                Amperes(amperes),
                name(battery),
                Amperes(limit)
            ),
            format!(
                "The drivers boost what the motors generate onto the bus, at {:.1} up to {:.0}, and the consumers take only a part of it.",
                MetresPerSecond(worst.speed_m_s),
                Watts(worst.power_w)
            ),
            PAGE.source,
        )
        .with_value("current_a", amperes)
        .with_limit("current_a", limit)
        .with_situation(&b.situation)
        .with_remedy(Remedy::advice(format!("{gentle}."))),
    );
}
