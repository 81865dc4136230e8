//! Parts and plugs added, gone, moved, turned, or of another type.

use loomdeck_model::part_type::Fixing;
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Face, Place, PlugPlace, Point, Robot, Subject};
use serde::Serialize;
use std::collections::BTreeMap;

/// A part or plug that is different.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartChange {
    /// Which.
    pub subject: Subject,
    /// As it was; `None`: it is new.
    pub old: Option<PartNow>,
    /// As it is; `None`: it is gone.
    pub new: Option<PartNow>,
    /// How far it moved, when it is on the board in both.
    pub moved: Option<Millimetres>,
    /// How far it was turned, −180 to 180, counter-clockwise as seen on its face, when it is on the same
    /// face of the board in both.
    pub turned: Option<Degrees>,
}

/// A part or plug in one of the robots.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartNow {
    /// Which.
    pub subject: Subject,
    /// Name of its type.
    pub kind: String,
    /// Where it is: the face in words, or the zone.
    pub place: String,
    /// Its face, when it is on the board.
    pub face: Option<Face>,
    /// Where its own origin lies, in the board's frame.
    pub at: Option<Point>,
    /// How it is turned.
    pub turn: Option<Degrees>,
    /// Length of the tail it hangs on.
    pub tail: Option<Millimetres>,
    /// How it is held.
    pub fixing: Fixing,
    /// Fuses in its ways, by type.
    pub fuses: BTreeMap<String, String>,
}

impl PartChange {
    /// It was moved by more than a hand can tell.
    pub fn has_moved(&self) -> bool {
        self.moved.is_some_and(|m| m.0 > 0.05)
    }
    /// It was turned.
    pub fn is_turned(&self) -> bool {
        self.turned.is_some_and(|t| t.0.abs() > 0.05)
    }
    /// What is in both and another way.
    pub fn both(&self) -> Option<(&PartNow, &PartNow)> {
        self.old.as_ref().zip(self.new.as_ref())
    }
}

/// What is different.
pub fn changes(old: &Robot, new: &Robot) -> Vec<PartChange> {
    let (olds, news) = (all(old), all(new));
    super::paired(&olds, &news, |p| p.subject.name())
        .into_iter()
        .filter_map(|[o, n]| change(o, n))
        .collect()
}

fn change(old: Option<&PartNow>, new: Option<&PartNow>) -> Option<PartChange> {
    let subject = new.or(old)?.subject.clone();
    if old == new {
        return None;
    }
    let moved = old.zip(new).and_then(|(o, n)| Some(Millimetres(o.at?.distance(n.at?))));
    let turned = old.zip(new).filter(|(o, n)| o.face == n.face).and_then(|(o, n)| {
        let by = (n.turn?.0 - o.turn?.0).rem_euclid(360.0);
        Some(Degrees(if by > 180.0 { by - 360.0 } else { by }))
    });
    Some(PartChange { subject, old: old.cloned(), new: new.cloned(), moved, turned })
}

fn all(robot: &Robot) -> Vec<PartNow> {
    let parts = robot.parts.iter().map(|p| {
        let (place, face, at, turn) = match p.place {
            Place::Board(at) => (at.face.word().to_owned(), Some(at.face), Some(at.at), Some(at.turn)),
            Place::Zone { zone, .. } => (robot.zones[zone.0].name.clone(), None, None, None),
        };
        PartNow {
            subject: Subject::Part(p.name.clone()),
            kind: robot.types[p.kind.0].name.clone(),
            place,
            face,
            at,
            turn,
            tail: None,
            fixing: p.fixing.clone(),
            fuses: p.fuses.iter().map(|(w, t)| (w.clone(), robot.types[t.0].name.clone())).collect(),
        }
    });
    let plugs = robot.plugs.iter().map(|p| {
        let (face, at, turn, tail) = match p.place {
            PlugPlace::Fixed(at) => (at.face, at.at, Some(at.turn), None),
            PlugPlace::Tail { face, at, length } => (face, at, None, Some(length)),
        };
        PartNow {
            subject: Subject::Plug(p.name.clone()),
            kind: robot.types[p.family.0].name.clone(),
            place: face.word().to_owned(),
            face: Some(face),
            at: Some(at),
            turn,
            tail,
            fixing: p.fixing.clone(),
            fuses: BTreeMap::new(),
        }
    });
    parts.chain(plugs).collect()
}
