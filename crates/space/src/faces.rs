//! What stands on the two faces: parts and plugs as prisms, heads and nuts that come through, holes.

use crate::geometry::*;
use crate::hole_size::{HoleSize, of_pass, slot_ends};
use crate::{hardware, held};
use loomdeck_model::part_type::{Exit, Fixing, Head, PartType, PlugFamily, Thread};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{
    Board, Face, LengthUnit, Outline, PartId, PassShape, Place, Placement, PlugId, PlugPlace, Point,
    Robot, Subject,
};

/// Both faces of the robot's board, front first; empty without a board.
pub fn faces(robot: &Robot) -> Vec<FaceView> {
    let Some(board) = &robot.board else { return Vec::new() };
    let empty =
        |face| FaceView { face, bodies: Vec::new(), fasteners: Vec::new(), fixtures: Vec::new() };
    let mut views = Face::BOTH.map(empty);
    for thing in standing(robot) {
        put(&mut views, board, thing);
    }
    for view in &mut views {
        view.fasteners.extend(mounts(board));
    }
    views.into()
}

/// What a thing is called in findings.
pub fn subject(robot: &Robot, owner: Owner) -> Subject {
    match owner {
        Owner::Part(p) => Subject::Part(robot.parts[p.0].name.clone()),
        Owner::Plug(p) => Subject::Plug(robot.plugs[p.0].name.clone()),
    }
}

/// The type and placement of what stands on the board: parts, then fixed plugs.
fn placed(robot: &Robot) -> impl Iterator<Item = (Owner, &PartType, Placement)> {
    let parts = robot.parts.iter().enumerate().filter_map(|(i, p)| match p.place {
        Place::Board(at) => Some((Owner::Part(PartId(i)), &robot.types[p.kind.0], at)),
        Place::Zone { .. } => None,
    });
    let plugs = robot.plugs.iter().enumerate().filter_map(|(i, p)| match p.place {
        PlugPlace::Fixed(at) => Some((Owner::Plug(PlugId(i)), &robot.types[p.family.0], at)),
        PlugPlace::Tail { .. } => None,
    });
    parts.chain(plugs)
}

/// Something on the board, as it stands there.
#[derive(Clone, Debug)]
pub struct Standing<'a> {
    /// Whose it is.
    pub owner: Owner,
    /// Its name.
    pub subject: Subject,
    /// Its type.
    pub kind: &'a PartType,
    /// Where it is.
    pub at: Placement,
    /// How it is held.
    pub fixing: &'a Fixing,
    /// Its body; `None` where its outline is no shape.
    pub body: Option<Body>,
}

impl<'a> Standing<'a> {
    /// A thing at a place, held in a way.
    pub fn new(
        owner: Owner,
        subject: Subject,
        kind: &'a PartType,
        at: Placement,
        fixing: &'a Fixing,
    ) -> Self {
        let body = match owner {
            Owner::Part(_) => Some(part_body(owner, kind, fixing, at)),
            Owner::Plug(_) => {
                kind.plug_family.as_ref().map(|f| plug_body(owner, f, fixing.standoff, at))
            }
        };
        Self { owner, subject, kind, at, fixing, body: body.filter(|b| b.outline.0.len() >= 3) }
    }

    /// How much higher it stands than its type says, which has its own standoff.
    pub fn lift(&self) -> Millimetres {
        self.fixing.standoff - self.kind.fixing.standoff
    }
}

/// Everything on the board: parts, then fixed plugs, in the robot's order.
pub fn standing(robot: &Robot) -> impl Iterator<Item = Standing<'_>> {
    placed(robot).map(|(owner, kind, at)| {
        Standing::new(owner, subject(robot, owner), kind, at, fixing(robot, owner))
    })
}

/// One thing on the board.
pub fn stands(robot: &Robot, owner: Owner) -> Option<Standing<'_>> {
    let found = placed(robot).find(|(o, _, _)| *o == owner);
    found.map(|(owner, kind, at)| {
        Standing::new(owner, subject(robot, owner), kind, at, fixing(robot, owner))
    })
}

/// How an owner is fixed.
fn fixing(robot: &Robot, owner: Owner) -> &Fixing {
    match owner {
        Owner::Part(p) => &robot.parts[p.0].fixing,
        Owner::Plug(p) => &robot.plugs[p.0].fixing,
    }
}

/// Footprint of a mated plug in its own frame: length along x, width across, centred on its place.
pub fn plug_outline(family: &PlugFamily) -> Outline {
    let (l, w) = (family.length.0, family.width.0);
    Outline::rectangle(Point::new(-l / 2.0, -w / 2.0), l, w)
}

fn part_body(owner: Owner, kind: &PartType, fixing: &Fixing, at: Placement) -> Body {
    let base = fixing.standoff;
    // Heights of a type are above the face with the type's own standoff.
    let lift = base - kind.fixing.standoff;
    let terminals = kind.terminals.iter().enumerate().map(|(i, t)| TerminalSpot {
        terminal: i,
        at: at.to_board(t.at),
        height: (t.height + lift).max(Millimetres::ZERO),
        exit: turned(at, t.exit),
    });
    Body {
        owner,
        outline: at.outline_to_board(&kind.outline),
        base,
        top: (kind.height + lift).max(base),
        terminals: terminals.collect(),
    }
}

/// A direction of the part's own frame, in the board's.
pub fn turned(at: Placement, exit: Exit) -> Exit {
    match exit {
        Exit::Up => Exit::Up,
        Exit::Along(d) => Exit::Along(at.direction_to_board(d)),
    }
}

/// The height of a plug family is above the face, with its own standoff.
fn plug_body(owner: Owner, family: &PlugFamily, base: Millimetres, at: Placement) -> Body {
    Body {
        owner,
        outline: at.outline_to_board(&plug_outline(family)),
        base,
        top: family.height.max(base),
        terminals: Vec::new(),
    }
}

/// Thread of a fixing; one that states none takes the largest that its hole lets through.
pub fn thread_of(fixing: &Fixing, hole: Millimetres) -> Thread {
    fixing.thread.unwrap_or_else(|| {
        Thread::ALL
            .into_iter()
            .rfind(|t| !t.is_inch() && hardware::clearance_hole(*t, hardware::Fit::Close) <= hole)
            .unwrap_or(Thread::M2)
    })
}

/// What the fixing of one thing shows on the two faces, hole by hole.
fn shown_of(thing: &Standing, board: &Board) -> Vec<(Face, Fastener)> {
    let comes_off = held::end_comes_off(thing.fixing, &thing.kind.holes);
    let mut out = Vec::new();
    for (hole, comes_off) in thing.kind.holes.iter().zip(comes_off) {
        let thread = thread_of(thing.fixing, hole.diameter);
        let all = held::shown(thing.fixing, thread, thing.at.face, board.thickness, comes_off);
        out.extend(all.into_iter().map(|piece| {
            let fastener = Fastener {
                subject: thing.subject.clone(),
                kind: piece.kind,
                at: thing.at.to_board(hole.at),
                diameter: piece.diameter,
                base: piece.base,
                height: piece.top,
                bare: piece.bare,
            };
            (piece.face, fastener)
        }));
    }
    out
}

/// Puts a thing on the faces: its body on its own, what its fixing shows on both.
fn put(views: &mut [FaceView], board: &Board, thing: Standing) {
    let own = thing.at.face;
    for (face, fastener) in shown_of(&thing, board) {
        let Some(view) = views.iter_mut().find(|v| v.face == face) else { continue };
        let list = if face == own { &mut view.fixtures } else { &mut view.fasteners };
        list.push(fastener);
    }
    if let Some(view) = views.iter_mut().find(|v| v.face == own) {
        view.bodies.extend(thing.body);
    }
}

/// The faces with one thing standing otherwise than it does; it is then the last of its lists.
pub(crate) fn with(views: &[FaceView], board: &Board, thing: Standing) -> Vec<FaceView> {
    let mut out = views.to_vec();
    for view in &mut out {
        view.bodies.retain(|b| b.owner != thing.owner);
        view.fasteners.retain(|f| f.subject != thing.subject);
        view.fixtures.retain(|f| f.subject != thing.subject);
    }
    put(&mut out, board, thing);
    out
}

fn mounts(board: &Board) -> impl Iterator<Item = Fastener> {
    board.mounts.iter().map(|m| {
        let head = hardware::head(m.thread, Head::Socket);
        let height = hardware::washer(m.thread).thickness + head.height;
        Fastener {
            subject: Subject::BoardMount(m.name.clone()),
            kind: FastenerKind::Mount,
            at: m.at,
            diameter: m.clear,
            base: Millimetres::ZERO,
            height,
            bare: Some(height),
        }
    })
}

/// Every hole in the board as it is drilled: parts' and plugs', mounts', pass-throughs.
pub fn holes(robot: &Robot) -> Vec<BoardHole> {
    let Some(board) = &robot.board else { return Vec::new() };
    let unit = robot.book.unit;
    let mut out = Vec::new();
    for (owner, kind, at) in placed(robot) {
        let fixing = fixing(robot, owner);
        for hole in &kind.holes {
            if let Some(size) = HoleSize::of_fixing(fixing, hole) {
                let centre = at.to_board(hole.at);
                out.push(BoardHole {
                    subject: subject(robot, owner),
                    from: centre,
                    to: centre,
                    diameter: size.drilled(unit),
                });
            }
        }
    }
    out.extend(board.mounts.iter().map(|m| BoardHole {
        subject: Subject::BoardMount(m.name.clone()),
        from: m.at,
        to: m.at,
        diameter: HoleSize::of_mount(m).drilled(unit),
    }));
    out.extend(openings(board, unit));
    out
}

/// The board's openings as they are drilled, in its order.
pub fn openings(board: &Board, unit: LengthUnit) -> impl Iterator<Item = BoardHole> + '_ {
    board.passes.iter().map(move |p| {
        let (size, slot) = of_pass(p.shape);
        let diameter = size.drilled(unit);
        let [from, to] =
            slot.map_or([p.at; 2], |(length, turn)| slot_ends(p.at, length, diameter, turn));
        BoardHole { subject: Subject::Pass(p.name.clone()), from, to, diameter }
    })
}

/// Area and narrowest width of a pass-through, mm² and mm.
pub fn opening(shape: PassShape) -> (f64, f64) {
    let circle = |d: f64| std::f64::consts::PI / 4.0 * d * d;
    match shape {
        PassShape::Round(d) => (circle(d.0), d.0),
        PassShape::Rect { length, width, corner, .. } => {
            let lost = (4.0 - std::f64::consts::PI) * corner.0 * corner.0;
            (length.0 * width.0 - lost, width.0)
        }
        PassShape::Slot { length, width, .. } => {
            (circle(width.0) + (length - width).0.max(0.0) * width.0, width.0)
        }
    }
}

/// Free depth in front of a face.
pub fn depth(board: &Board, face: Face) -> Millimetres {
    match face {
        Face::Front => board.depth_front,
        Face::Back => board.depth_back,
    }
}

/// Direction in which the body half of a fixed plug comes off, in the board's frame.
pub fn plug_direction(at: Placement) -> Point {
    crate::shape::direction(at.direction_to_board(Degrees(0.0)).0)
}
