//! The radio link is lost and the robot goes on, or nobody has said what it does.

use super::{SOURCE, names};
use crate::faults::stop::Stopping;
use crate::faults::stop::radio::{Loss, commanded, loss};
use loomdeck_model::{Edit, EditValue, Finding, Page, Remedy, Robot, Severity, Subject};

/// The page.
pub const PAGE: Page = Page {
    slug: "radio-loss-keeps-moving",
    severity: Severity::Danger,
    title: "Without its radio link the robot goes on",
    physics: "A receiver that loses its link gives out what it was set to: the command to stand, the last command it heard, or nothing. Then the drivers go by that, and when nothing comes they do what their type says. With the last command held the robot goes on at the speed it had, until something is in its way.\n\nThe link counts as commanding a driver when signal wires lead from the receiver to it, through controllers and plugs.",
    source: SOURCE,
    limits: "What a controller's program does between receiver and driver is not known: try it with the wheels off the ground.",
    before: roller!(
        "",
        "radio_loss = \"holds\"",
        concat!(
            part!("receiver", "radio-receiver-5v"),
            wire!("command", "receiver.channel-1", "driver.motor-command", 0.25)
        )
    ),
    after: roller!(
        "",
        "radio_loss = \"stops\"",
        concat!(
            part!("receiver", "radio-receiver-5v"),
            wire!("command", "receiver.channel-1", "driver.motor-command", 0.25)
        )
    ),
};

pub(super) fn find(robot: &Robot, found: &Stopping, out: &mut Vec<Finding>) {
    let Some((receiver, drivers)) = commanded(robot) else { return };
    if drivers.is_empty() || found.movers.iter().all(|m| !m.motor) {
        return;
    }
    let what = loss(robot, &drivers);
    let receiver = robot.parts[receiver.0].name.clone();
    let all: Vec<String> = drivers.iter().map(|p| robot.parts[p.0].name.clone()).collect();
    let (severity, told, why) = match what {
        Loss::Stops => return,
        Loss::Holds => (
            Severity::Danger,
            format!(
                "When {receiver} loses its link, the last command to {} holds and the robot goes on.",
                names(&all)
            ),
            "The files say that the last command is held.",
        ),
        Loss::Unknown => (
            Severity::Look,
            format!(
                "Nothing states which command reaches {} when {receiver} loses its link.",
                names(&all)
            ),
            "A receiver may hold the last command, give none, or give the command to stand; only a trial shows it.",
        ),
    };
    let mut f = Finding::new(PAGE.slug, severity, Subject::Part(receiver), told, why, PAGE.source)
        .with_value("drivers_count", all.len() as f64)
        .with_limit("drivers_count", 0.0)
        .with_remedy(Remedy::edit(
            "Set the receiver to give the command to stand, switch the remote off while the wheels turn in the air, and once they stand note `radio_loss = \"stops\"` in `[motion]`.",
            vec![Edit::Set {
                on: Subject::Robot,
                key: "motion.radio_loss".to_owned(),
                value: EditValue::Text("stops".to_owned()),
            }],
        ));
    for name in all {
        f = f.with_subject(Subject::Part(name));
    }
    out.push(f);
}
