//! A signal between two parts that have no ground in common.

use super::{listener, new_wire, worst_per_pair};
use crate::faults::Ground;
use crate::faults::upset::types::Upset;
use crate::findings::help;
use loomdeck_model::part_type::TerminalRole;
use loomdeck_model::{Finding, Landing, Page, PartId, Place, Remedy, Robot, Severity};

/// Two parts that share a signal, each on a battery of its own, with further wires.
macro_rules! apart {
    ($($more:expr)?) => {
        small_robot!(
            talker!("sender", "0.1", "0.1", "audio", "output", "1", "5"),
            talker!("listener", "0.2", "0.2", "audio", "input", "1", "5"),
            part!("battery", "lead-agm-12v-12ah"),
            part!("battery-2", "lead-agm-12v-12ah"),
            part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
            part!("fuse-2", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
            part!("sender", "sender"),
            part!("listener", "listener"),
            wire!("heart", "battery.plus", "fuse.in", "2.5", "100"),
            wire!("heart-2", "battery-2.plus", "fuse-2.in", "2.5", "100"),
            wire!("feed", "fuse.out", "listener.plus", "2.5", "500"),
            wire!("feed-2", "fuse-2.out", "sender.plus", "2.5", "500"),
            wire!("return", "listener.minus", "battery.minus", "2.5", "500"),
            wire!("return-2", "sender.minus", "battery-2.minus", "2.5", "500"),
            wire!("line", "sender.line", "listener.line", "0.25", "300"),
            $($more,)?
            "\n[[situation]]\nname = \"on\"\nlasting = true\n"
        )
    };
}

/// The page.
pub const PAGE: Page = Page {
    slug: "signal-without-return",
    severity: Severity::Fix,
    title: "A signal has no return",
    physics: "A signal is a voltage between two wires. When the grounds of the two parts are not joined, the second wire is missing: the input floats, hears hum and radio, and finds its return through whatever joins the two parts by accident.",
    source: "Kirchhoff's current law: a current needs a way back",
    limits: "Joined means by wires, mated plugs, slip rings, fuses and closed switches. An isolated or balanced input needs none: say so in its type.",
    before: apart!(),
    after: apart!(wire!("line-return", "sender.ground", "listener.ground", "0.25", "300")),
};

pub(super) fn find(ground: &Ground<'_>, found: &Upset, out: &mut Vec<Finding>) {
    let robot = ground.robot;
    for link in worst_per_pair(found, |l| !l.common && !l.isolated, |_| 0.0) {
        let mut f = Finding::new(
            PAGE.slug,
            Severity::Fix,
            listener(robot, link),
            format!("The signal from {} to {} has no return.", link.from_name, link.to_name),
            "Nothing joins the grounds of the two parts.",
            PAGE.source,
        )
        .with_subject(help::place(robot, link.from));
        let ends = super::super::part_of(link.from).zip(super::super::part_of(link.to));
        let pair = ends
            .filter(|&(a, b)| same_place(robot, a, b))
            .and_then(|(a, b)| Some((free_ground(robot, a)?, free_ground(robot, b)?, a, b)));
        if let Some((from, to, a, b)) = pair {
            let name = format!("{}-{}-return", robot.parts[a.0].name, robot.parts[b.0].name);
            if robot.wire(&name).is_none() {
                let (from, to) = (robot.landing_word(from), robot.landing_word(to));
                let text = format!("Add a wire from {from} to {to} beside the signal.");
                f = f.with_remedy(Remedy::edit(text, vec![new_wire(name, from, to)]));
            }
        }
        out.push(f.with_remedy(Remedy::advice("Lead a return beside the signal, twisted with it.")));
    }
}

/// Both on the board, or both in one zone: a wire between them passes no plug.
fn same_place(robot: &Robot, a: PartId, b: PartId) -> bool {
    match (robot.parts[a.0].place, robot.parts[b.0].place) {
        (Place::Board(_), Place::Board(_)) => true,
        (Place::Zone { zone: a, .. }, Place::Zone { zone: b, .. }) => a == b,
        _ => false,
    }
}

/// A ground terminal with room for a thin wire.
fn free_ground(robot: &Robot, part: PartId) -> Option<Landing> {
    let terminals = &robot.type_of(part).terminals;
    [TerminalRole::SignalReturn, TerminalRole::Return].into_iter().find_map(|role| {
        terminals
            .iter()
            .enumerate()
            .filter(|(_, t)| t.role == role && t.thinnest.0 <= 0.25)
            .map(|(terminal, t)| (Landing::Part { part, terminal }, t.room_for as usize))
            .find(|&(landing, room)| {
                robot.wires.iter().flat_map(|w| [w.from, w.to]).filter(|&e| e == landing).count() < room
            })
            .map(|(landing, _)| landing)
    })
}
