//! What is to be routed: both ends of every wire, and which wires run together.

use super::gates::Spot;
use super::view::View;
use crate::geometry::{FaceView, Owner};
use crate::shape::{nearest_on_edge, nearest_on_segment};
use loomdeck_model::part_type::Exit;
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{
    CableId, Half, Landing, LoomId, PartId, Place, PlugId, PlugPlace, Point, Robot, WireId, ZoneId,
};
use std::collections::BTreeMap;

/// Wires that are laid together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// A loom.
    Loom(LoomId),
    /// A cable outside any loom.
    Cable(CableId),
    /// On its own.
    Alone(WireId),
}

/// Two ends with the same key have the same gates.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EndKey {
    /// Terminal of a part.
    Terminal(PartId, usize),
    /// Half of a plug.
    Plug(PlugId, Half),
    /// Points of the edge, by their bits.
    Edge(Vec<usize>, Vec<(u64, u64)>),
}

/// One end of the way over the board.
#[derive(Clone, Debug, PartialEq)]
pub enum End {
    /// At a terminal or a fixed plug.
    Terminal {
        /// Which.
        key: EndKey,
        /// Where it begins.
        spot: Spot,
        /// Height of the terminal above the face.
        height: f64,
    },
    /// Over the edge.
    Edge {
        /// Faces it may come from, the better first: 0 front, 1 back.
        faces: Vec<usize>,
        /// Where it may leave, the nearest first; never empty.
        at: Vec<Point>,
    },
}

impl End {
    /// Two ends with the same key have the same gates.
    pub fn key(&self) -> EndKey {
        match self {
            Self::Terminal { key, .. } => key.clone(),
            Self::Edge { faces, at } => {
                EndKey::Edge(faces.clone(), at.iter().map(|p| (p.x.to_bits(), p.y.to_bits())).collect())
            }
        }
    }
    /// The face, or the better one.
    pub fn face(&self) -> usize {
        match self {
            Self::Terminal { spot, .. } => spot.face,
            Self::Edge { faces, .. } => faces.first().copied().unwrap_or(0),
        }
    }
    /// Where.
    pub fn at(&self) -> Point {
        match self {
            Self::Terminal { spot, .. } => spot.at,
            Self::Edge { at, .. } => at.first().copied().unwrap_or_default(),
        }
    }
}

/// The part of a way off the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Off {
    /// A tail of this length to a plug.
    Tail(PlugId, Millimetres),
    /// Into a zone, from this plug or from the edge; with the length inside the zone, if it ends there.
    Zone(ZoneId, Option<PlugId>, Option<Millimetres>),
}

/// A wire with its ends. `from` and `to` are `None` for an end that is not on the board.
#[derive(Clone, Debug)]
pub struct Job {
    /// Which.
    pub wire: WireId,
    /// Where the way over the board begins.
    pub from: Option<End>,
    /// Where it ends.
    pub to: Option<End>,
    /// The way over the board was turned round: it begins at the wire's `to`.
    pub turned: bool,
    /// Stretches off the board, in order from the board outwards (or from `from` to `to` when no
    /// end is on the board).
    pub off: Vec<Off>,
    /// Outside diameter.
    pub thickness: f64,
}

impl Job {
    /// Straight distance over the board, to a thousandth of a micrometre: wires that are equally long
    /// stay so however the board is turned.
    pub fn span(&self) -> f64 {
        match (&self.from, &self.to) {
            (Some(a), Some(b)) => (a.at().distance(b.at()) * 1e6).round() / 1e6,
            _ => 0.0,
        }
    }
}

/// Where a landing is.
enum Side {
    /// On the board.
    On(End),
    /// At the end of a plug's tail.
    Tail(PlugId, End, Millimetres),
    /// In the body.
    Off(ZoneId, Option<PlugId>, Option<Millimetres>),
    /// Nowhere: a part on a board that is not there.
    Nowhere,
}

/// The jobs of a robot, in the order of its wires; everything in the picture in which wires are laid.
pub fn jobs(robot: &Robot, faces: &[FaceView], view: &mut View) -> Vec<Job> {
    let mut spots = Spots::new(faces, view);
    (0..robot.wires.len()).map(|i| job(robot, &mut spots, WireId(i))).collect()
}

fn job(robot: &Robot, spots: &mut Spots, wire: WireId) -> Job {
    let w = &robot.wires[wire.0];
    let thickness = w.insulation.outside_diameter(w.gauge).0;
    let (a, b) = (spots.side(robot, w.from), spots.side(robot, w.to));
    let blank = Job { wire, from: None, to: None, turned: false, off: Vec::new(), thickness };
    match (a, b) {
        (Side::On(a), Side::On(b)) => Job { from: Some(a), to: Some(b), ..blank },
        (Side::On(a), Side::Tail(p, e, l)) => {
            Job { from: Some(a), to: Some(e), off: vec![Off::Tail(p, l)], ..blank }
        }
        (Side::Tail(p, e, l), Side::On(b)) => {
            Job { from: Some(b), to: Some(e), off: vec![Off::Tail(p, l)], turned: true, ..blank }
        }
        (Side::Tail(p, e, l), Side::Tail(q, f, m)) => {
            let off = vec![Off::Tail(p, l), Off::Tail(q, m)];
            Job { from: Some(e), to: Some(f), off, ..blank }
        }
        (Side::On(a) | Side::Tail(_, a, _), Side::Off(z, plug, lead)) => {
            let edge = spots.exit(robot, z, plug, &a);
            Job { to: edge, from: Some(a), off: vec![Off::Zone(z, plug, lead)], ..blank }
        }
        (Side::Off(z, plug, lead), Side::On(b) | Side::Tail(_, b, _)) => {
            let edge = spots.exit(robot, z, plug, &b);
            Job { to: edge, from: Some(b), off: vec![Off::Zone(z, plug, lead)], turned: true, ..blank }
        }
        (Side::Off(y, p, l), Side::Off(z, q, m)) => {
            Job { off: vec![Off::Zone(y, p, l), Off::Zone(z, q, m)], ..blank }
        }
        (Side::Nowhere, _) | (_, Side::Nowhere) => blank,
    }
}

/// Wires that are laid together, in order, with their jobs over the board.
pub fn groups<'a>(robot: &Robot, jobs: &'a [Job]) -> BTreeMap<Group, Vec<&'a Job>> {
    let mut out: BTreeMap<Group, Vec<&Job>> = BTreeMap::new();
    for job in jobs.iter().filter(|j| j.from.is_some() && j.to.is_some()) {
        out.entry(group_of(robot, job.wire)).or_default().push(job);
    }
    out
}

/// The group of a wire.
pub fn group_of(robot: &Robot, wire: WireId) -> Group {
    let w = &robot.wires[wire.0];
    match (w.loom, w.cable) {
        (Some(loom), _) => Group::Loom(loom),
        (None, Some(cable)) => Group::Cable(cable),
        (None, None) => Group::Alone(wire),
    }
}

/// Bodies by owner.
struct Spots<'a> {
    faces: &'a [FaceView],
    view: &'a mut View,
    of: BTreeMap<Owner, (usize, usize)>,
}

impl<'a> Spots<'a> {
    fn new(faces: &'a [FaceView], view: &'a mut View) -> Self {
        let of = faces.iter().enumerate().flat_map(|(f, view)| {
            view.bodies.iter().enumerate().map(move |(i, body)| (body.owner, (f, i)))
        });
        Self { faces, view, of: of.collect() }
    }

    fn side(&mut self, robot: &Robot, landing: Landing) -> Side {
        match landing {
            Landing::Part { part, terminal } => match robot.parts[part.0].place {
                Place::Zone { zone, lead } => {
                    Side::Off(zone, None, Some(lead.unwrap_or(robot.zones[zone.0].lead)))
                }
                Place::Board(_) => self.terminal(robot, part, terminal),
            },
            Landing::Plug { plug, half: Half::Body, .. } => {
                Side::Off(robot.plugs[plug.0].zone, Some(plug), None)
            }
            Landing::Plug { plug, half: Half::Board, .. } => match robot.plugs[plug.0].place {
                PlugPlace::Fixed(_) => self.plug(robot, plug),
                PlugPlace::Tail { face, at, length } => {
                    let first = face as usize;
                    let at = self.view.named(at);
                    Side::Tail(plug, End::Edge { faces: vec![first, 1 - first], at: vec![at] }, length)
                }
            },
        }
    }

    fn terminal(&mut self, robot: &Robot, part: PartId, terminal: usize) -> Side {
        let Some((face, i)) = self.of.get(&Owner::Part(part)) else { return Side::Nowhere };
        let Some(t) = self.faces[*face].bodies[*i].terminals.get(terminal) else { return Side::Nowhere };
        let exit = match t.exit {
            Exit::Up => None,
            Exit::Along(d) => Some(self.view.direction(d)),
        };
        let boot = robot.type_of(part).terminals[terminal].boot.0;
        let spot = Spot { face: *face, at: self.view.named(t.at), exit, boot, own: Some(*i) };
        Side::On(End::Terminal { key: EndKey::Terminal(part, terminal), spot, height: t.height.0 })
    }

    /// The board half of a fixed plug: wires come out of its rear.
    fn plug(&mut self, robot: &Robot, plug: PlugId) -> Side {
        let (Some((face, i)), Some(family), PlugPlace::Fixed(at)) =
            (self.of.get(&Owner::Plug(plug)), robot.family_of(plug), robot.plugs[plug.0].place)
        else {
            return Side::Nowhere;
        };
        // Out of its rear, against the way in which the body half comes off.
        let away = self.view.direction(at.direction_to_board(Degrees(180.0)));
        let rear = at.to_board(Point::new(-family.length.0 / 2.0, 0.0));
        let spot = Spot {
            face: *face,
            at: self.view.named(rear),
            exit: Some(away),
            boot: family.boot.0,
            own: Some(*i),
        };
        let key = EndKey::Plug(plug, Half::Board);
        Side::On(End::Terminal { key, spot, height: family.height.0 / 2.0 })
    }

    /// Where a wire leaves the board for a zone: at the plug, at the zone's exit, else at the edge
    /// nearest to where it begins.
    fn exit(&mut self, robot: &Robot, zone: ZoneId, plug: Option<PlugId>, from: &End) -> Option<End> {
        if let Some(plug) = plug {
            return match self.side(robot, Landing::Plug { plug, half: Half::Board, contact: 1 }) {
                Side::On(end) | Side::Tail(_, end, _) => Some(end),
                Side::Off(..) | Side::Nowhere => None,
            };
        }
        let outline = &self.view.outline;
        if outline.0.is_empty() {
            return None;
        }
        let at = match robot.zones[zone.0].exit {
            Some(exit) => vec![nearest_on_edge(outline, self.view.point(exit))],
            None => {
                let here = from.at();
                let n = outline.0.len();
                let mut sides: Vec<Point> = (0..n)
                    .map(|i| nearest_on_segment(here, outline.0[i], outline.0[(i + 1) % n]))
                    .collect();
                sides.sort_by(|a, b| here.distance(*a).total_cmp(&here.distance(*b)));
                sides.truncate(NEAREST_SIDES);
                sides
            }
        };
        Some(End::Edge { faces: vec![from.face()], at })
    }
}

/// How many sides of the board a wire tries that may leave anywhere.
const NEAREST_SIDES: usize = 4;
