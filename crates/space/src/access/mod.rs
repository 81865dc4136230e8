//! What hands and tools must reach, and what stands in their way.
//!
//! A [`Need`] is one thing to be done at one place; any one of its [`Way`]s does it; a way needs all of
//! its [`ToolUse`]s at once (a through bolt wants a screwdriver on one face and a spanner on the
//! other). A tool's space is a few [`Solid`]s, tested against everything that stands there.

mod fasteners;
mod kept;
pub mod plugs;
pub mod reach;
mod scene;
pub(crate) mod sweep;
mod terminals;
#[cfg(test)]
mod tests;
pub mod tools;
mod ways;

pub use fasteners::{KEY_PLACES, slide_distance};
pub use kept::Kept;

use crate::faces::{self, Standing};
use crate::geometry::{FaceView, Owner};
use kept::Found;
use loomdeck_model::part_type::Fixing;
use loomdeck_model::units::Millimetres;
use loomdeck_model::{Face, Outline, Placement, Point, Robot, Subject};
pub(crate) use scene::{Scene, Setting};
use serde::Serialize;
pub(crate) use ways::{Place, blockers};

/// Everything that must be reached, in the robot's order.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Access {
    /// One per thing to be done.
    pub needs: Vec<Need>,
}

/// One thing to be done at one place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Need {
    /// The part, plug or mount whose it is.
    pub subject: Subject,
    /// The same, when it is a part or a plug on the board.
    pub owner: Option<Owner>,
    /// What is done.
    pub job: Job,
    /// When it is done.
    pub when: When,
    /// Ways of doing it, best first; one that is free is enough.
    pub ways: Vec<Way>,
}

/// What is done.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Job {
    /// A screw, nut, clip or cleat end at this mounting hole of the part's type (of a board mount: 0).
    Fastener {
        /// Index into the type's holes.
        hole: usize,
    },
    /// The screw or nut of this terminal.
    Terminal {
        /// Index into the type's terminals.
        terminal: usize,
    },
    /// One of the type's reach needs: card, trimmer, fuse.
    Reach {
        /// Index into the type's needs.
        need: usize,
    },
    /// Pressing the latch and pulling the plug.
    Unplug,
    /// Sliding a part out of its cleats.
    Slide,
}

/// When it is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// To put on the board what stays there (standoff, cleat, clip): before the part is there.
    Prepare,
    /// To fix the part and to take it off again.
    Hold,
    /// To wire it and to unwire it.
    Wire,
    /// In use, with everything in place.
    Use,
}

/// One way of doing it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Way {
    /// All at once.
    pub uses: Vec<ToolUse>,
}

impl Way {
    /// Nothing stands in its way.
    pub fn is_free(&self) -> bool {
        self.uses.iter().all(|u| u.blockers.is_empty())
    }
}

impl Need {
    /// Nothing stands in the way of at least one way.
    pub fn is_free(&self) -> bool {
        self.ways.iter().any(Way::is_free)
    }
}

/// A tool or hand at its place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToolUse {
    /// Which.
    pub tool: Tool,
    /// The face it works on.
    pub face: Face,
    /// Where, in the board's frame.
    pub at: Point,
    /// The space it sweeps.
    pub solids: Vec<Solid>,
    /// What of the finished board stands in that space, worst first. The body of the robot, where the
    /// board is in it, is [`Subject::Robot`]; the board itself is [`Subject::Board`].
    pub blockers: Vec<Blocker>,
    /// With the board in the body: how far the space reaches beyond the board's edge, when the builder
    /// does not say how much room the body leaves there.
    pub beyond_edge: Option<Millimetres>,
}

/// Tools and hands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the meaning")]
pub enum Tool {
    Screwdriver,
    HexKey,
    NutDriver,
    OpenSpanner,
    FusePuller,
    Fingers,
    Card,
    UsbPlug,
    TrimTool,
    Other,
}

impl Tool {
    /// Its name in sentences.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Screwdriver => "screwdriver",
            Self::HexKey => "hex key",
            Self::NutDriver => "nut driver",
            Self::OpenSpanner => "open spanner",
            Self::FusePuller => "fuse puller",
            Self::Fingers => "fingers",
            Self::Card => "card",
            Self::UsbPlug => "USB plug",
            Self::TrimTool => "trimming tool",
            Self::Other => "tool",
        }
    }
}

/// An upright prism swept by a tool: footprint and heights above the face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Solid {
    /// Footprint in the board's frame.
    pub outline: Outline,
    /// Lower end above the face.
    pub from: Millimetres,
    /// Upper end above the face.
    pub to: Millimetres,
}

/// What stands in a tool's way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Blocker {
    /// What.
    pub by: Subject,
    /// How far it reaches into the tool's space: the least move along the face that brings it out of it.
    /// Of a wall of the body: how far the space reaches into the wall.
    pub overlap: Millimetres,
    /// Taking its part off does not help: a standoff, clip or captive nut of it stays there.
    pub stays: bool,
}

/// Everything that must be reached: fasteners, terminals in use, what the types ask for, plugs.
///
/// An earlier study makes it sooner, and changes nothing. What this one keeps is for the next.
pub fn access(robot: &Robot, views: &[FaceView], before: Option<crate::Before<'_>>) -> (Access, Kept) {
    let Some(board) = &robot.board else { return Default::default() };
    let scene = Scene::new(robot, board, views);
    let mut found = Found::after(robot, views, before);
    for thing in faces::standing(robot) {
        found.begin(robot, Some(thing.owner));
        all_of(&scene, &thing, &mut found);
    }
    found.begin(robot, None);
    fasteners::board_mounts(&scene, &mut found);
    (Access { needs: found.needs }, found.kept)
}

/// What must be reached at one thing when it stands at another place, another turn, or is held
/// otherwise, with everything else where it is.
pub fn needs_with(
    robot: &Robot,
    views: &[FaceView],
    owner: Owner,
    at: Placement,
    fixing: &Fixing,
) -> Vec<Need> {
    let (Some(board), Some(now)) = (&robot.board, faces::stands(robot, owner)) else {
        return Vec::new();
    };
    let scene = Scene::new(robot, board, views);
    needs_of(&scene, &Standing::new(owner, now.subject, now.kind, at, fixing))
}

/// What must be reached at one thing, standing as given, with everything else where it is.
pub(crate) fn needs_of(scene: &Scene, thing: &Standing) -> Vec<Need> {
    let mut found = Found::default();
    all_of(scene, thing, &mut found);
    found.needs
}

/// The bolts that hold the board.
pub(crate) fn board_needs(scene: &Scene) -> Vec<Need> {
    let mut found = Found::default();
    fasteners::board_mounts(scene, &mut found);
    found.needs
}

/// Whether the same thing can be done at one that stands as given.
pub(crate) fn is_free_at(scene: &Scene, thing: &Standing, wanted: &Need) -> bool {
    let mut found = Found::default();
    match wanted.job {
        Job::Fastener { .. } | Job::Slide => fasteners::needs(scene, thing, &mut found),
        Job::Terminal { .. } => terminals::needs(scene, thing, &mut found),
        Job::Reach { .. } => reach::needs(scene, thing, &mut found),
        Job::Unplug => plugs::needs(scene, thing, &mut found),
    }
    let same = |n: &&Need| n.job == wanted.job && n.when == wanted.when;
    found.needs.iter().find(same).is_some_and(Need::is_free)
}

fn all_of(scene: &Scene, thing: &Standing, out: &mut Found) {
    fasteners::needs(scene, thing, out);
    terminals::needs(scene, thing, out);
    reach::needs(scene, thing, out);
    plugs::needs(scene, thing, out);
}
