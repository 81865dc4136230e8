//! Room for the bend of every wire in front of its terminal: boot, straight and bend radius.
//!
//! The stiff end of a wire (boot, lug or ferrule) runs straight out of its terminal, and so does a little
//! of the wire behind a crimp; then it may bend. [`Bend::need`] is how far in front of the terminal all of
//! that reaches. A wire need not bend to a certain side: it goes on straight, or to either side, or down to
//! the face or, off the face, any way round. It has room when one of these is free.
//!
//! Wires give way to one another: two bends may share a lane, the wires leaving one after another. Only
//! stiff ends, bodies, heads, nuts and the body of the robot are in the way.

mod facing;
mod size;
mod solids;
#[cfg(test)]
mod tests;

pub use facing::{Facing, Lane, facing, least_distance};
pub use size::{Kind, end_width, kind, radius_in_diameters, straight, with_insulation};

use crate::access::{Blocker, Place, Scene, Setting, Solid, blockers};
use crate::faces::{self, Standing};
use crate::geometry::{FaceView, Owner};
use loomdeck_model::part_type::Exit;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Half, Landing, Point, Robot, WireId};
use serde::Serialize;

/// The bend of the thickest wire at one terminal, or behind the board half of a fixed plug.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bend {
    /// The thickest wire there.
    pub wire: WireId,
    /// Whose terminal it is.
    pub owner: Owner,
    /// Index into the type's terminals; `None` behind a plug.
    pub terminal: Option<usize>,
    /// This is the wire's `from` end.
    pub from_end: bool,
    /// On which face.
    pub face: Face,
    /// Where, in the board's frame.
    pub at: Point,
    /// How far above the face.
    pub height: Millimetres,
    /// Which way it leaves, in the board's frame.
    pub exit: Exit,
    /// Outside diameter of what bends: the wire, or the screened cable that it is a core of.
    pub diameter: Millimetres,
    /// Width of the stiff end.
    pub end_width: Millimetres,
    /// Length of the stiff end, as it is fitted.
    pub boot: Millimetres,
    /// What trimming the boot saves; `None`: it is trimmed already, or cannot be.
    pub trim_saves: Option<Millimetres>,
    /// Straight behind the stiff end.
    pub straight: Millimetres,
    /// Least radius on the inside of the bend.
    pub radius: Millimetres,
    /// Ways to bend, best first; one that is free is enough, and then it is the only one.
    pub ways: Vec<BendWay>,
}

/// One way to bend.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BendWay {
    /// Which way.
    pub turn: Turn,
    /// The space of stiff end, straight and bend.
    pub solids: Vec<Solid>,
    /// What stands in it, worst first.
    pub blockers: Vec<Blocker>,
    /// How far it reaches beyond the board's edge, when the builder does not say how much room the body
    /// leaves there.
    pub beyond_edge: Option<Millimetres>,
}

/// Where a wire goes after its stiff end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turn {
    /// On, as it left.
    On,
    /// Along the face to this direction, counter-clockwise from x in the board's frame.
    To(loomdeck_model::units::Degrees),
    /// Down to the face.
    Down,
}

impl Bend {
    /// How far in front of the terminal it reaches: stiff end, straight, and the outside of the bend.
    pub fn need(&self) -> Millimetres {
        self.stiff() + self.radius + self.diameter
    }
    /// What does not bend at all.
    pub fn stiff(&self) -> Millimetres {
        self.boot + self.straight
    }
    /// It has room.
    pub fn is_free(&self) -> bool {
        self.ways.iter().any(|w| w.blockers.is_empty())
    }
}

/// The bends of all ends in use: parts in the robot's order, then fixed plugs.
pub fn bends(robot: &Robot, views: &[FaceView]) -> Vec<Bend> {
    let Some(board) = &robot.board else { return Vec::new() };
    let scene = Scene::new(robot, board, views);
    let thickest = thickest(robot);
    let mut out = Vec::new();
    for thing in faces::standing(robot) {
        of_thing(robot, &scene, &thing, &thickest, &mut out);
    }
    out
}

/// The bends at one thing, standing as given. For trying another place or turn.
pub(crate) fn bends_of(robot: &Robot, scene: &Scene, thing: &Standing) -> Vec<Bend> {
    let mut out = Vec::new();
    of_thing(robot, scene, thing, &thickest(robot), &mut out);
    out
}

/// The thickest wire at each terminal in use and behind each plug: owner, terminal, then the wire's
/// diameter negated, so that it comes first.
type Thickest = Vec<(Owner, usize, f64, usize, bool)>;

/// Stands for the board half of a plug among the terminals.
const BEHIND: usize = usize::MAX;

fn thickest(robot: &Robot) -> Thickest {
    let mut all: Thickest = Vec::with_capacity(2 * robot.wires.len());
    for (i, w) in robot.wires.iter().enumerate() {
        let d = size::diameter(robot, w).0;
        for (landing, from_end) in [(w.from, true), (w.to, false)] {
            match landing {
                Landing::Part { part, terminal } => {
                    all.push((Owner::Part(part), terminal, -d, i, from_end));
                }
                Landing::Plug { plug, half: Half::Board, .. } => {
                    all.push((Owner::Plug(plug), BEHIND, -d, i, from_end));
                }
                Landing::Plug { .. } => {}
            }
        }
    }
    all.sort_by(|a, b| {
        (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2)).then((a.3, !a.4).cmp(&(b.3, !b.4)))
    });
    all.dedup_by(|b, a| (a.0, a.1) == (b.0, b.1));
    all
}

fn of_thing(robot: &Robot, scene: &Scene, thing: &Standing, all: &Thickest, out: &mut Vec<Bend>) {
    let start = all.partition_point(|e| e.0 < thing.owner);
    for (_, terminal, _, wire, from_end) in all[start..].iter().take_while(|e| e.0 == thing.owner) {
        let found = size::unbent(robot, thing, *terminal, WireId(*wire), *from_end);
        let Some(mut bend) = found else { continue };
        bend.ways = ways(scene, thing, &bend);
        out.push(bend);
    }
}

/// The ways worth keeping: the first that is free alone, or all, best first.
pub(crate) fn ways(scene: &Scene, thing: &Standing, bend: &Bend) -> Vec<BendWay> {
    let place = Place {
        face: bend.face,
        at: bend.at,
        setting: Setting::Wire,
        own: Some(&thing.subject),
        own_body: false,
    };
    let mut kept = Vec::new();
    for (turn, solids) in solids::turns(bend) {
        let (blockers, beyond_edge) = blockers(scene, &place, &solids);
        let way = BendWay { turn, solids, blockers, beyond_edge };
        if way.blockers.is_empty() {
            return vec![way];
        }
        kept.push(way);
    }
    let rank = |w: &BendWay| (w.blockers.len(), w.blockers[0].overlap.0);
    kept.sort_by(|a, b| {
        let (a, b) = (rank(a), rank(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    kept
}
