//! Currents on a shared return are heard.

use super::{listener, remedies, why, worst_per_pair};
use crate::faults::Ground;
use crate::faults::upset::types::{Kind, Upset};
use crate::faults::upset::{HEARD_DB, LOUD_DB};
use loomdeck_model::{Finding, Page, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "ground-shared-hum",
    severity: Severity::Fix,
    title: "Currents on a shared return are heard",
    physics: "An amplifier hears the voltage between its input and its own ground. When the return current of a motor or of the amplifier itself flows through a wire that lies between its ground and the player's, what that wire drops is added to the sound. A millivolt is 60 dB below a volt, and 60 dB is what a quiet room lets you hear. Returns that meet in one point only, a star, have no such wire in common.\n\nThe voltage between the two grounds is read off the solved network with mean, rms and peak currents, and with the motors off. What stays as it is is not heard; what comes and goes is. The wire that drops most on the way between them is named, and the move of one wire end that helps most is found by solving the network with each.",
    source: "Ohm's law on the solved network; star and chain of returns as in H. W. Ott, Noise Reduction Techniques in Electronic Systems, 2nd edition (1988), chapter 3 (from memory). That 60 dB below full scale is heard in a pause, and 40 dB over the music: common practice, no source",
    limits: "Direct and slowly changing currents along wires; what couples through the air or rides on the supply is not in it. All loads are taken to change at once.",
    before: pair!(
        talker!("sender", "0.1", "0.1", "audio", "output", "1", "5"),
        talker!("listener", "1", "4", "audio", "input", "1", "5"),
        "battery.minus",
    ),
    after: pair!(
        talker!("sender", "0.1", "0.1", "audio", "output", "1", "5"),
        talker!("listener", "1", "4", "audio", "input", "1", "5"),
        "listener.minus",
        "",
    ),
};

pub(super) fn find(ground: &Ground<'_>, found: &Upset, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    let db = |l: &super::Link| l.below_full_scale_db().unwrap_or(f64::NEG_INFINITY);
    for link in worst_per_pair(found, |l| l.kind == Kind::Audio && db(l) > HEARD_DB, db) {
        let Some(worst) = link.worst() else { continue };
        let (mv, level) = (link.noticed_mv(), db(link));
        let severity = if level > LOUD_DB { Severity::Fix } else { Severity::Look };
        let loud = if level > LOUD_DB { "over the music" } else { "in a pause" };
        let f = Finding::new(
            PAGE.slug,
            severity,
            listener(robot, link),
            format!(
                "{} hears {mv:.1}\u{2009}mV that are not sound: {:.0}\u{2009}dB below full scale, and {:.0}\u{2009}dB are heard {loud}.",
                link.to_name,
                -level,
                if level > LOUD_DB { -LOUD_DB } else { -HEARD_DB }
            ),
            why(robot, link.cause.as_ref()),
            PAGE.source,
        )
        .with_subject(crate::findings::help::place(robot, link.from))
        .with_value("voltage_v", mv / 1000.0)
        .with_value("level_db", level)
        .with_limit("level_db", HEARD_DB)
        .with_situation(&robot.situations[worst.situation.0].name);
        let after = |mv: f64| format!("{mv:.1}\u{2009}mV");
        out.push(remedies(robot, f, link.cause.as_ref(), after));
    }
}
