//! A stop takes the wheels and leaves something else that moves.

use super::{SOURCE, names};
use crate::faults::stop::{StopKind, Stopping};
use loomdeck_model::{Finding, Page, Remedy, Robot, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "stop-leaves-something-moving",
    severity: Severity::Fix,
    title: "A stop leaves something moving",
    physics: "Whoever presses a stop expects everything that moves to stand: wheels, arms, lids, pumps. Here the switch takes the drive motors, but motors or servos on another way keep their supply and go on with what they were told. Found by opening the switch and solving the network.",
    source: SOURCE,
    limits: "Servos and other consumers that move are known by `moves` in their type. A servo that loses its supply lets go: what it holds may drop.",
    before: roller!(
        "",
        "",
        concat!(
            part!("arm-supply", "converter-12v-6v-10a"),
            part!("arm", "servo-group-6v-4"),
            wire!("arm-1", "live.s4", "arm-supply.in-plus", 1.5),
            wire!("arm-2", "arm-supply.in-minus", "driver.minus", 1.5),
            wire!("arm-3", "arm-supply.out-plus", "arm.plus", 0.75),
            wire!("arm-4", "arm.minus", "arm-supply.out-minus", 0.75)
        )
    ),
    after: roller!(
        "",
        "",
        concat!(
            part!("arm-supply", "converter-12v-6v-10a"),
            part!("arm", "servo-group-6v-4"),
            wire!("arm-1", "bus.s4", "arm-supply.in-plus", 1.5),
            wire!("arm-2", "arm-supply.in-minus", "driver.minus", 1.5),
            wire!("arm-3", "arm-supply.out-plus", "arm.plus", 0.75),
            wire!("arm-4", "arm.minus", "arm-supply.out-minus", 0.75)
        )
    ),
};

pub(super) fn find(_robot: &Robot, found: &Stopping, out: &mut Vec<Finding>) {
    let wheels: Vec<&str> = found.movers.iter().filter(|m| m.wheel).map(|m| m.name.as_str()).collect();
    let mut told: Vec<&str> = Vec::new();
    for row in found.rows.iter().filter(|r| r.kind == StopKind::Switch) {
        let takes_wheels = row.stopped.iter().any(|n| wheels.contains(&n.as_str()));
        let wheels_left = row.moving.iter().any(|n| wheels.contains(&n.as_str()));
        if !takes_wheels || wheels_left || row.moving.is_empty() || told.contains(&row.name.as_str()) {
            continue;
        }
        told.push(&row.name);
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            Subject::Part(row.name.clone()),
            format!(
                "{} stops the wheels, but {} can still move.",
                row.name,
                names(&row.moving)
            ),
            format!("In `{}` with {} open, their supply is still there.", row.situation, row.name),
            PAGE.source,
        )
        .with_value("moving_count", row.moving.len() as f64)
        .with_limit("moving_count", 0.0)
        .with_situation(&row.situation)
        .with_remedy(Remedy::advice(
            "Feed them (a servo group: its converter) from behind the same contactor or switch as the drive motors. Something that would drop without its supply needs a spring or a stop that holds it.",
        ));
        for name in &row.moving {
            f = f.with_subject(Subject::Part(name.clone()));
        }
        out.push(f);
    }
}
