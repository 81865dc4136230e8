//! Which body half goes into which board half.

use super::types::Mate;
use loomdeck_model::wiring::{Plug, PlugPlace};
use loomdeck_model::{PlugId, Point, Robot};

/// Whether the body half of one plug goes into the board half of another.
pub fn mate(robot: &Robot, body: PlugId, board: PlugId) -> Mate {
    if body == board {
        return Mate::Own;
    }
    let (one, other) = (&robot.plugs[body.0], &robot.plugs[board.0]);
    let Some(family) = robot.family_of(body).filter(|_| one.family == other.family) else {
        return Mate::OtherFamily;
    };
    if !within_reach(robot, body, board) {
        Mate::OutOfReach
    } else if one.arrangement(family) != other.arrangement(family) {
        Mate::OtherKeying
    } else if !family.alike && one.pins_on != other.pins_on {
        Mate::SameGender
    } else {
        Mate::Fits
    }
}

/// Where a board half sits or leaves the board, and how far it may be moved about.
fn place(plug: &Plug) -> (Point, f64) {
    match plug.place {
        PlugPlace::Fixed(p) => (p.at, 0.0),
        PlugPlace::Tail { at, length, .. } => (at, length.0),
    }
}

/// How far a body half can be from its own place, mm: its loom may come from any side, so up to twice
/// the path to its zone, and what moves or is spare; `None` while the path is not measured.
pub fn range(robot: &Robot, body: PlugId) -> Option<f64> {
    let zone = &robot.zones[robot.plugs[body.0].zone.0];
    let path = zone.path?.0;
    Some(2.0 * path + zone.allowance.0 + robot.limits.service_slack.0)
}

/// Whether a body half may reach a board half. Sooner yes than no: the way between them is taken as
/// straight, also between the two faces, and nothing stands in it.
fn within_reach(robot: &Robot, body: PlugId, board: PlugId) -> bool {
    let ((a, own_tail), (b, tail)) = (place(&robot.plugs[body.0]), place(&robot.plugs[board.0]));
    let apart = (a.x - b.x).hypot(a.y - b.y);
    range(robot, body).is_none_or(|range| apart <= range + own_tail + tail)
}

/// Two plugs of one family of which either body half may reach the other's board half.
pub fn near(robot: &Robot, one: PlugId, other: PlugId) -> bool {
    robot.plugs[one.0].family == robot.plugs[other.0].family
        && (within_reach(robot, one, other) || within_reach(robot, other, one))
}
