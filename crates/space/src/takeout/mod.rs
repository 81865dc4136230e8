//! Taking the whole board out of the body: which plugs, which bolts, which way through the opening.
//!
//! [`silhouette`] is the shadow that the loaded board throws in the direction it travels; [`fit`] searches
//! the turn and place at which the shadow passes the opening with most air; [`unplug`] puts the plugs in
//! order.

pub mod fit;
pub mod silhouette;
pub mod unplug;

pub use fit::{Fit, Pose};
pub use silhouette::{Piece, Shadow, Whose};

use crate::geometry::FaceView;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Board, BodyOpening, PlugId, Robot, Subject, WireId};
use serde::Serialize;

/// What it takes to get the board out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TakeOut {
    /// Plugs to pull, in order: those that feed the board from a battery first.
    pub plugs: Vec<PlugId>,
    /// Wires that leave the board without a plug, in the robot's order: they must be unscrewed.
    pub tied: Vec<WireId>,
    /// Bolts to take out: indices into the board's mounts, the lower ones first, so that the board still
    /// hangs while you work.
    pub mounts: Vec<usize>,
    /// The ways through the opening, the one with most air first; empty when no opening is stated.
    pub ways: Vec<Way>,
}

/// One way through the opening.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Way {
    /// What goes first.
    pub leading: Leading,
    /// How well it goes.
    pub fit: Fit,
    /// It goes with the air wanted all round.
    pub goes: bool,
    /// What comes nearer than the gap, or hits, at that place: worst first.
    pub in_the_way: Vec<Obstacle>,
}

/// What of the board goes through the opening first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Leading {
    Front,
    Back,
    LeftEdge,
    RightEdge,
    UpperEdge,
    LowerEdge,
}

impl Leading {
    /// All, faces first.
    pub const ALL: [Self; 6] =
        [Self::Front, Self::Back, Self::LeftEdge, Self::RightEdge, Self::UpperEdge, Self::LowerEdge];
    /// In words; left and right as seen from the front.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Front => "front first",
            Self::Back => "back first",
            Self::LeftEdge => "left edge first",
            Self::RightEdge => "right edge first",
            Self::UpperEdge => "upper edge first",
            Self::LowerEdge => "lower edge first",
        }
    }
    /// The way that throws the same shadow seen in a mirror.
    const fn mirrored(self) -> Self {
        match self {
            Self::Front => Self::Back,
            Self::Back => Self::Front,
            Self::LeftEdge => Self::RightEdge,
            Self::RightEdge => Self::LeftEdge,
            Self::UpperEdge => Self::LowerEdge,
            Self::LowerEdge => Self::UpperEdge,
        }
    }
    /// The sheet's plane lies in the opening's.
    pub const fn flat(self) -> bool {
        matches!(self, Self::Front | Self::Back)
    }
}

/// A thing that does not pass.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Obstacle {
    /// What.
    pub subject: Subject,
    /// How much air it has; negative: it reaches over the rim by that much.
    pub air: Millimetres,
}

/// Works it out; `None` without a board.
pub fn take_out(robot: &Robot, faces: &[FaceView]) -> Option<TakeOut> {
    let board = robot.board.as_ref()?;
    let ways = board.body_opening.as_ref().map(|o| ways(robot, board, o, faces)).unwrap_or_default();
    Some(TakeOut {
        plugs: unplug::order(robot, faces),
        tied: unplug::tied(robot),
        mounts: bolts(board),
        ways,
    })
}

/// Lower bolts first, then from left to right.
fn bolts(board: &Board) -> Vec<usize> {
    let mut order: Vec<usize> = (0..board.mounts.len()).collect();
    order.sort_by(|a, b| {
        let (p, q) = (board.mounts[*a].at, board.mounts[*b].at);
        p.y.total_cmp(&q.y).then(p.x.total_cmp(&q.x)).then(a.cmp(b))
    });
    order
}

/// Every way through the opening, best first. Ways that throw mirrored shadows are the same where the
/// opening is its own mirror image.
pub fn ways(robot: &Robot, board: &Board, opening: &BodyOpening, faces: &[FaceView]) -> Vec<Way> {
    let rim = fit::Rim::new(&opening.outline);
    let mut out: Vec<Way> = Vec::new();
    for leading in Leading::ALL {
        let twin = out.iter().find(|w| w.leading == leading.mirrored()).cloned();
        if let Some(twin) = twin.filter(|_| rim.mirrors_itself()) {
            out.push(Way { leading, fit: twin.fit.mirrored(&rim), ..twin });
            continue;
        }
        out.push(way_through(robot, board, opening, faces, &rim, leading));
    }
    out.sort_by(|a, b| b.fit.air.0.total_cmp(&a.fit.air.0).then(a.leading.cmp(&b.leading)));
    out
}

/// The best that can be done with one side leading.
pub fn way(
    robot: &Robot,
    board: &Board,
    opening: &BodyOpening,
    faces: &[FaceView],
    leading: Leading,
) -> Way {
    way_through(robot, board, opening, faces, &fit::Rim::new(&opening.outline), leading)
}

fn way_through(
    robot: &Robot,
    board: &Board,
    opening: &BodyOpening,
    faces: &[FaceView],
    rim: &fit::Rim,
    leading: Leading,
) -> Way {
    let gap = opening.gap.0;
    let shadow = silhouette::shadow(robot, board, faces, leading);
    let fit = fit::best(&shadow, rim, gap);
    let in_the_way = obstacles(&shadow, rim, &fit.pose, gap);
    Way { leading, goes: fit.air.0 >= gap - 1e-9, fit, in_the_way }
}

/// What comes nearer to the rim than the gap at a pose.
fn obstacles(shadow: &Shadow, rim: &fit::Rim, pose: &Pose, gap: f64) -> Vec<Obstacle> {
    let mut out: Vec<Obstacle> = Vec::new();
    for piece in &shadow.pieces {
        let air = rim.air_of(&piece.corners, pose);
        if air >= gap - 1e-9 {
            continue;
        }
        match out.iter_mut().find(|o| o.subject == piece.subject) {
            Some(o) => o.air = o.air.min(Millimetres(air)),
            None => out.push(Obstacle { subject: piece.subject.clone(), air: Millimetres(air) }),
        }
    }
    out.sort_by(|a, b| a.air.0.total_cmp(&b.air.0).then(a.subject.cmp(&b.subject)));
    out
}
