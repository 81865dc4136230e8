//! Words for what is done and what is in the way.

use crate::access::{Blocker, Job};
use crate::findings::mm;
use crate::geometry::Owner;
use loomdeck_model::{Robot, Subject};

/// What is done, as the object of a sentence: "the card of player".
pub fn job(robot: &Robot, owner: Option<Owner>, job: &Job, name: &str) -> String {
    let kind = owner.map(|o| match o {
        Owner::Part(p) => robot.type_of(p),
        Owner::Plug(p) => &robot.types[robot.plugs[p.0].family.0],
    });
    match (job, kind) {
        (Job::Fastener { .. }, None) => format!("the bolt at {name}"),
        (Job::Fastener { .. }, _) => format!("a screw of {name}"),
        (Job::Terminal { terminal }, Some(kind)) => {
            format!("the screw of {name}.{}", kind.terminals[*terminal].name)
        }
        (Job::Reach { need }, Some(kind)) => match kind.reach[*need].what.as_str() {
            "usb" => format!("the USB socket of {name}"),
            "fuse-pull" => format!("the fuses of {name}"),
            "terminal-screw" => format!("the terminal screws of {name}"),
            what => format!("the {} of {name}", what.replace('-', " ")),
        },
        (Job::Unplug, _) => format!("the latch of {name}"),
        _ => name.to_owned(),
    }
}

/// What stands in the way, in words.
pub fn by(blocker: &Blocker) -> String {
    match &blocker.by {
        Subject::Robot => "the body of the robot".to_owned(),
        Subject::Board => "the board itself".to_owned(),
        Subject::KeepOut(name) => format!("the kept-out region {name}"),
        other => other.name().to_owned(),
    }
}

/// How far, and what else is in the way.
pub fn and_others(blockers: &[Blocker]) -> String {
    match blockers {
        [] | [_] => String::new(),
        [_, more @ ..] => {
            let told: Vec<String> =
                more.iter().map(|b| format!("{} by {}", by(b), mm(b.overlap.0))).collect();
            format!(", and {} too", told.join(", "))
        }
    }
}
