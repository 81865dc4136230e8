//! Plugs, fixed and on tails.

use super::board::body;
use super::{corners, milli, pt, pts};
use crate::talk::PlugOn;
use loomdeck_model::{Outline, Placement, Plug, PlugId, PlugPlace, Point, Subject, units::Degrees};
use loomdeck_space::{Owner, faces::plug_outline};
use loomdeck_study::Study;

/// Longest tail as it is drawn, mm: the picture stays that of the board.
const TAIL: f64 = 8.0;

/// Every plug, in the robot's order.
pub fn plugs(study: &Study) -> Vec<PlugOn> {
    let all = study.robot.plugs.iter().enumerate();
    all.map(|(i, p)| plug(study, PlugId(i), p)).collect()
}

fn plug(study: &Study, id: PlugId, p: &Plug) -> PlugOn {
    let robot = &study.robot;
    let kind = &robot.types[p.family.0];
    let (face, at, turn, outline, tail) = match p.place {
        PlugPlace::Fixed(at) => {
            let outline = body(study, Owner::Plug(id)).map(|b| corners(&b.outline));
            (at.face, at.at, at.turn, outline.unwrap_or_default(), None)
        }
        PlugPlace::Tail { face, at, length } => {
            let turn = outward(study, at);
            let front = |at, turn| Placement { face: loomdeck_model::Face::Front, at, turn };
            let reach = length.0.clamp(0.0, TAIL);
            let end = front(at, turn).to_board(Point::new(reach, 0.0));
            let half = kind.plug_family.as_ref().map_or(0.0, |f| f.length.0 / 2.0);
            let middle = front(end, turn).to_board(Point::new(half, 0.0));
            let own = kind.plug_family.as_ref().map_or_else(Outline::default, plug_outline);
            (face, at, turn, corners(&front(middle, turn).outline_to_board(&own)), Some(pts(&[at, end])))
        }
    };
    PlugOn {
        name: p.name.clone(),
        family: kind.name.clone(),
        face: face.into(),
        zone: robot.zones[p.zone.0].name.clone(),
        at_mm: pt(at),
        turn_deg: milli(turn.0),
        outline,
        tail,
        movable: robot.places.contains_key(&Subject::Plug(p.name.clone())),
        contacts: kind.plug_family.as_ref().map_or(0, |f| f.contacts),
    }
}

/// Which way a tail is drawn: off the nearest side of the sheet.
fn outward(study: &Study, at: Point) -> Degrees {
    let Some(board) = &study.robot.board else { return Degrees(0.0) };
    let (low, high) = board.outline.bounds();
    let sides =
        [(high.x - at.x, 0.0), (high.y - at.y, 90.0), (at.x - low.x, 180.0), (at.y - low.y, 270.0)];
    let nearest = sides.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
    Degrees(nearest.map_or(0.0, |(_, turn)| turn))
}
