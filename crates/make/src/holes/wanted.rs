//! Who wants a hole where.

use super::seats::{Countersink, Pocket};
use crate::making::{HoleUse, Work};
use loomdeck_model::part_type::{Fixing, FixingStyle, Head, MountHole, Thread};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{
    Board, Face, LengthUnit, PassShape, Place, Placement, PlugPlace, Point, Robot, Subject,
};
use loomdeck_space::held::{self, FLOOR};
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
    /// Its shape, when it is not round.
    pub long: Option<Long>,
    /// Depth, when it must not go through.
    pub depth: Option<Millimetres>,
    /// Countersink.
    pub countersink: Option<Countersink>,
    /// Pocket for a captive nut.
    pub pocket: Option<Pocket>,
    /// Its edges are broken, since wires lie on them.
    pub relief: bool,
    /// What the size is for.
    pub fit: &'static str,
    /// What is set into it afterwards.
    pub then: Option<Work>,
    /// What it is for.
    pub purpose: HoleUse,
    /// Index of the mounting hole within its part or plug.
    pub mount_hole: Option<usize>,
}

/// A slot or a rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Long {
    /// Slot with round ends.
    Slot {
        /// End to end.
        length: Millimetres,
        /// Turn of its long axis.
        turn: Degrees,
    },
    /// Rectangle.
    Rect {
        /// Along its long axis.
        length: Millimetres,
        /// Across.
        width: Millimetres,
        /// Turn of its long axis.
        turn: Degrees,
        /// Radius of its corners.
        corner: Millimetres,
    },
}

/// What an opening with a grommet is for.
pub const GROMMET: &str = "grommet";

/// What an opening that lets a tool through is for.
pub const ACCESS: &str = "a tool's way";

/// Everything that is wanted, in the robot's order: parts, plugs, pass-throughs, board mounts.
pub fn wanted(robot: &Robot) -> Vec<Want> {
    let Some(board) = &robot.board else { return Vec::new() };
    let mut wants = Vec::new();
    for part in &robot.parts {
        let Place::Board(placement) = part.place else { continue };
        let holes = &robot.types[part.kind.0].holes;
        let subject = Subject::Part(part.name.clone());
        wants.extend(of_mount(&subject, holes, &part.fixing, &placement, (board, robot.book.unit)));
    }
    for plug in &robot.plugs {
        let PlugPlace::Fixed(placement) = plug.place else { continue };
        let family = &robot.types[plug.family.0];
        let subject = Subject::Plug(plug.name.clone());
        wants.extend(of_mount(
            &subject,
            &family.holes,
            &plug.fixing,
            &placement,
            (board, robot.book.unit),
        ));
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
    (board, unit): (&Board, LengthUnit),
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
            long: None,
            depth: (fixing.style == FixingStyle::WoodScrew)
                .then(|| (board.thickness - FLOOR).max(Millimetres(1.0))),
            countersink: fixing.thread.filter(|_| sunk).map(|t| Countersink::of(t, far)),
            pocket: fixing
                .thread
                .and_then(|t| held::pocket(fixing, t, placement.face, board.thickness))
                .filter(|p| p.depth.0 > 0.0)
                .map(|p| Pocket::of(&p, board.material, unit)),
            relief: false,
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
    let long = match pass.shape {
        PassShape::Rect { length, width, turn, corner } => {
            Some(Long::Rect { length, width, turn, corner })
        }
        _ => slot.map(|(length, turn)| Long::Slot { length, turn }),
    };
    let what = match (pass.tools_only, pass.grommet) {
        (true, _) => ACCESS,
        (false, true) => GROMMET,
        (false, false) => "loom",
    };
    Want {
        at: pass.at,
        face: Face::Front,
        size,
        long,
        depth: None,
        countersink: None,
        pocket: None,
        relief: !pass.grommet && !pass.tools_only,
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
    let size = HoleSize::of_mount(mount);
    Want {
        at: mount.at,
        face: Face::Front,
        size,
        long: None,
        depth: None,
        countersink: None,
        pocket: None,
        relief: false,
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
