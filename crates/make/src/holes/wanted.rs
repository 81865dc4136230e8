//! Who wants a hole where.

use crate::making::{HoleUse, Work};
use loomdeck_model::part_type::{Fixing, FixingStyle, Head, MountHole, Thread};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{Face, Place, Placement, PlugPlace, Point, Robot, Subject};
use loomdeck_space::hardware;
use loomdeck_space::held::FLOOR;
use loomdeck_space::hole_size::{self, HoleSize};

/// One hole that one thing asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Want {
    /// Centre, in the board's frame.
    pub at: Point,
    /// Face of the thing that asks.
    pub face: Face,
    /// The diameters that do.
    pub size: HoleSize,
    /// Length and turn, of a slot.
    pub slot: Option<(Millimetres, Degrees)>,
    /// Depth, when it must not go through.
    pub depth: Option<Millimetres>,
    /// Countersink.
    pub countersink: Option<Countersink>,
    /// What the size is for.
    pub fit: &'static str,
    /// What is set into it afterwards.
    pub then: Option<Work>,
    /// What it is for.
    pub purpose: HoleUse,
    /// Index of the mounting hole within its part or plug.
    pub mount_hole: Option<usize>,
}

/// A conical seat for a screw's head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Countersink {
    /// From this face.
    pub face: Face,
    /// Diameter at the face.
    pub diameter: Millimetres,
    /// Full angle.
    pub angle: Degrees,
}

impl Countersink {
    /// The seat of a head: as wide as the largest head of the standard and a little more, so that it
    /// never stands proud. Metric heads have 90° (ISO 7046), inch ones 82° (ASME B18.6.3).
    pub fn of(thread: Thread, face: Face) -> Self {
        const PROUD: f64 = 0.2;
        Self {
            face,
            diameter: hardware::head(thread, Head::Countersunk).diameter + Millimetres(PROUD),
            angle: Degrees(if thread.is_inch() { 82.0 } else { 90.0 }),
        }
    }
    /// Depth of the cone around a hole of this diameter.
    pub fn depth_in(&self, hole: Millimetres) -> Millimetres {
        let half = (self.angle.0 / 2.0).to_radians();
        Millimetres(((self.diameter.0 - hole.0) / 2.0 / half.tan()).max(0.0))
    }
}

/// What an opening with a grommet is for.
pub const GROMMET: &str = "grommet";

/// Everything that is wanted, in the robot's order: parts, plugs, pass-throughs, board mounts.
pub fn wanted(robot: &Robot) -> Vec<Want> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut wants = Vec::new();
    for part in &robot.parts {
        let Place::Board(placement) = part.place else { continue };
        let holes = &robot.types[part.kind.0].holes;
        let subject = Subject::Part(part.name.clone());
        wants.extend(of_mount(&subject, holes, &part.fixing, &placement, board.thickness));
    }
    for plug in &robot.plugs {
        let PlugPlace::Fixed(placement) = plug.place else { continue };
        let family = &robot.types[plug.family.0];
        let subject = Subject::Plug(plug.name.clone());
        wants.extend(of_mount(&subject, &family.holes, &family.fixing, &placement, board.thickness));
    }
    wants.extend(board.passes.iter().map(of_pass));
    wants.extend(board.mounts.iter().map(of_board_mount));
    wants
}

fn of_mount(
    subject: &Subject,
    holes: &[MountHole],
    fixing: &Fixing,
    placement: &Placement,
    thickness: Millimetres,
) -> Vec<Want> {
    let want = |(i, hole): (usize, &MountHole)| {
        let size = HoleSize::of_fixing(fixing, hole)?;
        let far = placement.face.other();
        let sunk = fixing.head == Head::Countersunk
            && matches!(fixing.style, FixingStyle::BoltAndNut | FixingStyle::Standoff);
        Some(Want {
            at: placement.to_board(hole.at),
            face: placement.face,
            size,
            slot: None,
            depth: (fixing.style == FixingStyle::WoodScrew)
                .then(|| (thickness - FLOOR).max(Millimetres(1.0))),
            countersink: fixing.thread.filter(|_| sunk).map(|t| Countersink::of(t, far)),
            fit: fit(fixing),
            then: match fixing.style {
                FixingStyle::Insert => Some(Work::SetInsert { face: placement.face }),
                FixingStyle::CaptiveNut => Some(Work::SetNut { face: far }),
                _ => None,
            },
            purpose: HoleUse { subject: subject.clone(), what: purpose(fixing), wants: size.aim },
            mount_hole: Some(i),
        })
    };
    holes.iter().enumerate().filter_map(want).collect()
}

const fn fit(fixing: &Fixing) -> &'static str {
    match fixing.style {
        FixingStyle::Insert => "insert bore",
        FixingStyle::WoodScrew => "pilot for a wood screw",
        _ => "clearance",
    }
}

fn purpose(fixing: &Fixing) -> String {
    let thread = fixing.thread.map_or("", Thread::word);
    let what = match fixing.style {
        FixingStyle::Insert => "insert",
        FixingStyle::WoodScrew => "wood screw",
        FixingStyle::Standoff => "standoff screw",
        FixingStyle::Clip => "clip screw",
        FixingStyle::Cleat => "cleat screw",
        FixingStyle::Housing => "housing screw",
        _ => "screw",
    };
    if thread.is_empty() { what.to_owned() } else { format!("{thread} {what}") }
}

fn of_pass(pass: &loomdeck_model::Pass) -> Want {
    let (size, slot) = hole_size::of_pass(pass.shape);
    let what = if pass.grommet { GROMMET } else { "loom" };
    Want {
        at: pass.at,
        face: Face::Front,
        size,
        slot,
        depth: None,
        countersink: None,
        fit: "opening",
        then: None,
        purpose: HoleUse {
            subject: Subject::Pass(pass.name.clone()),
            what: what.to_owned(),
            wants: size.aim,
        },
        mount_hole: None,
    }
}

fn of_board_mount(mount: &loomdeck_model::BoardMount) -> Want {
    let size = HoleSize::clearance(mount.thread);
    Want {
        at: mount.at,
        face: Face::Front,
        size,
        slot: None,
        depth: None,
        countersink: None,
        fit: "clearance",
        then: None,
        purpose: HoleUse {
            subject: Subject::BoardMount(mount.name.clone()),
            what: format!("{} board bolt", mount.thread.word()),
            wants: size.aim,
        },
        mount_hole: None,
    }
}
