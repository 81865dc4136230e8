//! Pushed while switched off, something on the bus wakes up.

use super::names;
use crate::faults::motion::Motion;
use crate::findings::{All, help};
use loomdeck_model::units::*;
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "pushing-wakes-consumers",
    severity: Severity::Look,
    title: "Pushed while switched off, consumers wake up",
    physics: "The motors of a pushed robot feed the bus of their drivers through the drivers' body diodes. What else hangs on that bus gets this voltage too, although the main switch is off: logic boots and crashes with every step, lights flicker, and a controller that is awake may command a driver that is awake as well.\n\nFound by solving the network with every switch open at rising speed: whatever has its brown-out voltage (a converter: the lower end of its window) while rolling but not at rest.",
    source: "The permanent-magnet motor's equations; the stated brown-out voltages and windows",
    limits: "Steady speed; capacitors, which keep a consumer awake a little longer, are left out.",
    before: roller!(
        "push_speed_m_s = 1.2",
        "",
        concat!(
            part!("lamp", "lamp-led-12v-5w"),
            wire!("lamp-plus", "bus.s4", "lamp.plus", 1),
            wire!("lamp-minus", "lamp.minus", "driver.minus", 1)
        )
    ),
    after: roller!(
        "push_speed_m_s = 0.4",
        "",
        concat!(
            part!("lamp", "lamp-led-12v-5w"),
            wire!("lamp-plus", "bus.s4", "lamp.plus", 1),
            wire!("lamp-minus", "lamp.minus", "driver.minus", 1)
        )
    ),
};

pub(super) fn find(all: &All<'_>, found: &Motion, out: &mut Vec<Finding>) {
    let Some(push) = found.pushes.iter().find(|p| p.with_battery && p.name == "switched off") else {
        return;
    };
    let woken: Vec<_> = push.wakes.iter().filter(|w| !w.driver).collect();
    let Some(first) = woken.first() else { return };
    let mut f = Finding::new(
        PAGE.slug,
        Severity::Look,
        help::part(all.robot, first.part),
        format!(
            "Pushed at {:.1} while switched off, the motors wake {}: {} has {:.1} at {:.1}.",
            MetresPerSecond(first.at_m_s),
            names(woken.iter().map(|w| w.name.as_str())),
            first.name,
            Volts(first.reached_v),
            MetresPerSecond(found.push_speed_m_s)
        ),
        "It hangs on the same bus as the drivers, whose body diodes rectify what the motors generate.",
        PAGE.source,
    )
    .with_value("speed_m_s", first.at_m_s)
    .with_limit("speed_m_s", found.push_speed_m_s)
    .with_value("voltage_v", first.reached_v)
    .with_remedy(Remedy::advice(
        "Feed it from before the drivers' bus, so that a contactor or relay that is open at rest lies between, or a diode that lets nothing back.",
    ));
    for w in &woken[1..] {
        f = f.with_subject(help::part(all.robot, w.part));
    }
    out.push(f);
}
