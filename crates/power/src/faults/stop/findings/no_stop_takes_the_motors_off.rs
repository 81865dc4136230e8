//! No switch takes the power of all motors.

use super::{SOURCE, names};
use crate::faults::stop::{StopKind, Stopping};
use loomdeck_model::{Finding, Page, Remedy, Robot, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "no-stop-takes-the-motors-off",
    severity: Severity::Danger,
    title: "No switch takes the motors' power",
    physics: "A moving robot among people needs a stop within reach that works by hardware alone: it takes the supply of everything that drives, whatever a program, a radio link or a stuck transistor does. Each switch is opened in turn and the network solved again; a motor counts as able to move while its driver has its supply.",
    source: SOURCE,
    limits: "Whether a switch lies within reach is not known to this model. Fuses and plugs do not count as a stop.",
    before: roller!("", "", wire!("around", "live.s4", "bus.s4", 6)),
    after: roller!("", "", ""),
};

pub(super) fn find(robot: &Robot, found: &Stopping, out: &mut Vec<Finding>) {
    let motors: Vec<_> = found.movers.iter().filter(|m| m.motor).collect();
    let driven = robot.situations.iter().any(crate::faults::motion::push::driven);
    if motors.is_empty() || !driven || !found.hardware.is_empty() {
        return;
    }
    let left = |r: &&crate::faults::stop::StopRow| {
        r.moving.iter().filter(|n| motors.iter().any(|m| m.name == **n)).count()
    };
    let switches = found.rows.iter().filter(|r| r.kind == StopKind::Switch && !r.stopped.is_empty());
    let best = switches.min_by_key(left);
    let all: Vec<String> = motors.iter().map(|m| m.name.clone()).collect();
    let (what, still) = match best {
        Some(row) => (
            format!(
                "No switch takes the power of all motors: {} comes nearest and leaves {} able to move.",
                row.name,
                names(&row.moving)
            ),
            left(&row),
        ),
        None => (
            format!(
                "No switch takes the power of {}: nothing but a plug or a fuse stops a driver that hangs.",
                names(&all)
            ),
            all.len(),
        ),
    };
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Danger,
        Subject::Part(motors[0].name.clone()),
        what,
        "A stop that only tells the control to stand fails with the control; a driver whose transistor is shorted goes on at full power.",
        PAGE.source,
    )
    .with_value("motors_count", still as f64)
    .with_limit("motors_count", 0.0)
    .with_remedy(Remedy::advice(
        "Put a stop button within reach that opens the coil of a contactor in the common supply of all motor drivers, or a stop switch that breaks that supply itself.",
    ));
    for m in &motors[1..] {
        f = f.with_subject(Subject::Part(m.name.clone()));
    }
    out.push(f);
}
