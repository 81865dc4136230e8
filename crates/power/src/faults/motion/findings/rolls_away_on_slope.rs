//! Switched off on its steepest slope, the robot rolls away.

use crate::faults::motion::Motion;
use crate::findings::All;
use loomdeck_model::units::*;
use loomdeck_model::{Edit, EditValue, Finding, HeldBy, Page, Remedy, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "rolls-away-on-slope",
    severity: Severity::Danger,
    title: "Left alone on the slope, it rolls away",
    physics: "On a slope gravity pulls with m·g·sin α. What holds a robot whose drivers are off is rolling resistance and the friction of motors and gearboxes that the load can turn: k·i₀·N/(η·r) for each wheel. When the pull is more, it speeds up until the motors' current brakes it. With open bridges that is only where the motors' voltage passes the battery's, at a walking pace; with the windings shorted it creeps, because the current flows from the first turn on: (k·N/r)²/(R·η) newtons for each metre a second.",
    source: "Balance of forces; friction of the motor from its no-load current; 0.25 m/s as the speed up to which a machine beside people counts as slow (ISO 10218-1, reduced speed; from memory)",
    limits: "Gearbox friction by its efficiency only: a stiff gearbox holds more, worn bearings hold less. Driven straight down. A brake stated with `held` is taken to hold; chocks only help while they lie there.",
    before: roller!("push_speed_m_s = 1.5", "steepest_percent = 12", ""),
    after: roller!("push_speed_m_s = 1.5", "steepest_percent = 3", ""),
};

/// Up to this speed a machine beside people counts as slow, m/s.
const SLOW: f64 = 0.25;

pub(super) fn find(all: &All<'_>, found: &Motion, out: &mut Vec<Finding>) {
    let Some((s, speed)) = found.slope.as_ref().and_then(|s| Some((s, s.settles_m_s?))) else { return };
    let held = all.robot.motion.held;
    if held == Some(HeldBy::Brake) {
        return;
    }
    let severity = match held {
        Some(_) => Severity::Note,
        None if speed > SLOW => Severity::Danger,
        None => Severity::Look,
    };
    let at = if speed.is_finite() {
        format!("up to {:.1}", MetresPerSecond(speed))
    } else {
        "faster and faster".to_owned()
    };
    let without = if held.is_some() { " without its chocks" } else { "" };
    let mut f = Finding::new(
        PAGE.slug,
        severity,
        Subject::Robot,
        format!(
            "Switched off or stopped on a slope of {:.0}\u{2009}%, the robot rolls away{without}, {at}.",
            s.slope_percent
        ),
        format!(
            "Gravity pulls with {:.0}\u{2009}N; rolling resistance, motors and gearboxes hold {:.0}\u{2009}N while the windings are open.",
            s.pull_n, s.hold_n
        ),
        PAGE.source,
    )
    .with_value("force_n", s.pull_n)
    .with_limit("force_n", s.hold_n);
    if speed.is_finite() {
        f = f.with_value("speed_m_s", speed).with_limit("speed_m_s", SLOW);
    }
    let creep = s
        .shorted_m_s
        .map_or(String::new(), |v| format!(", and it creeps at {:.2}\u{2009}m/s", v.max(0.01)));
    if held.is_some() {
        out.push(f.with_remedy(Remedy::advice(
            "Chock the wheels before you switch it off or let go of it on a slope, and keep a hand on it until they hold.",
        )));
        return;
    }
    out.push(
        f.with_remedy(Remedy::advice(format!(
            "Short the windings of the drive motors at rest, with a relay whose contact is closed while its coil is not fed and whose coil hangs on the drivers' bus{creep}."
        )))
        .with_remedy(Remedy::advice(
            "Use gearboxes that hold, or drive motors with a brake that closes without current, and note `held = \"brake\"` in `[motion]`.",
        ))
        .with_remedy(Remedy::edit(
            "Carry chocks that fit its wheels, use them whenever it stands on a slope, and note `held = \"chocks\"` in `[motion]`.",
            vec![Edit::Set {
                on: Subject::Robot,
                key: "motion.held".to_owned(),
                value: EditValue::Text("chocks".to_owned()),
            }],
        )),
    );
}
