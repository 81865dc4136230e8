//! The room that bends, tools and hands want.

use super::corners;
use super::pt;
use crate::talk::RoomWanted;
use loomdeck_model::Subject;
use loomdeck_space::rooms::{Room, bends, reach};
use loomdeck_study::Study;

/// Of bends, and of tools and hands.
pub fn rooms(study: &Study) -> (Vec<RoomWanted>, Vec<RoomWanted>) {
    let (robot, geometry) = (&study.robot, &study.geometry);
    let shown = |all: Vec<Room>| all.iter().map(room).collect();
    (shown(bends(robot, geometry)), shown(reach(robot, geometry)))
}

fn room(r: &Room) -> RoomWanted {
    RoomWanted {
        of: r.subject.name().to_owned(),
        words: r.words.clone(),
        face: r.face.into(),
        at_mm: pt(r.at),
        outlines: r.outlines.iter().map(corners).collect(),
        by: r.by.iter().map(by).collect(),
    }
}

fn by(subject: &Subject) -> String {
    match subject {
        Subject::Robot => "the body of the robot".to_owned(),
        Subject::Board => "the board itself".to_owned(),
        other => other.name().to_owned(),
    }
}
