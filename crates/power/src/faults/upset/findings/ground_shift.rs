//! Currents on a shared return shift the levels of logic.

use super::{listener, remedies, why, worst_per_pair};
use crate::faults::Ground;
use crate::faults::upset::LOGIC_MARGIN;
use crate::faults::upset::types::{Kind, Upset};
use loomdeck_model::{Finding, Page, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "ground-shifts-logic",
    severity: Severity::Fix,
    title: "Ground shift upsets logic",
    physics: "A logic input compares with its own ground. When a current lifts that ground above the sender's, or lowers it, the levels arrive shifted. Between the highest voltage sent as low and the highest taken as low there are 0.4 V in 3.3 V logic; a larger shift makes ones of noughts, or the other way. The voltage between the two grounds is read off the solved network, with all loads at their peak as well.",
    source: "Ohm's law on the solved network; JEDEC JESD8C, interface levels of 3.3 V logic (from memory), scaled with the level",
    limits: "Steady currents. The inductance of the wires adds short spikes that are not in it; an input with more hysteresis bears more.",
    before: pair!(
        talker!("sender", "0.1", "0.1", "logic", "output", "3.3", "5.5"),
        talker!("listener", "10", "40", "logic", "input", "3.3", "5.5"),
        "battery.minus",
    ),
    after: pair!(
        talker!("sender", "0.1", "0.1", "logic", "output", "3.3", "5.5"),
        talker!("listener", "10", "40", "logic", "input", "3.3", "5.5"),
        "listener.minus",
        "",
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Upset, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    let share = |l: &super::Link| l.noticed_mv() / 1000.0 / (LOGIC_MARGIN * l.wants_v.max(0.1));
    for link in worst_per_pair(found, |l| l.kind == Kind::Logic && share(l) > 1.0, share) {
        let Some(worst) = link.worst() else { continue };
        let (mv, limit) = (link.noticed_mv(), LOGIC_MARGIN * link.wants_v);
        let f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            listener(robot, link),
            format!(
                "The levels that {} gets from {} are shifted by {mv:.0}\u{2009}mV; more than {:.0}\u{2009}mV turn one into the other.",
                link.to_name,
                link.from_name,
                1000.0 * limit
            ),
            why(robot, link.cause.as_ref()),
            PAGE.source,
        )
        .with_subject(crate::findings::help::place(robot, link.from))
        .with_value("voltage_v", mv / 1000.0)
        .with_limit("voltage_v", limit)
        .with_situation(&robot.situations[worst.situation.0].name);
        out.push(remedies(robot, f, link.cause.as_ref(), |mv| format!("{mv:.0}\u{2009}mV")));
    }
}
