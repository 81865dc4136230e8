//! Lengths off the faces, and what is added to a length for cutting.

use crate::geometry::{Leg, LengthBasis};
use loomdeck_model::part_type::Fitting;
use loomdeck_model::units::Millimetres;
use loomdeck_model::wire::EndKind;
use loomdeck_model::{Landing, PlugId, PlugPlace, Robot, Wire, ZoneId};

/// A length between two bounds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bounds {
    /// Shortest.
    pub least: f64,
    /// Longest.
    pub most: f64,
}

impl Bounds {
    /// A known length.
    pub const fn exactly(mm: f64) -> Self {
        Self { least: mm, most: mm }
    }
    /// Both together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { least: self.least + other.least, most: self.most + other.most }
    }
    /// How well it is known.
    pub fn basis(self) -> LengthBasis {
        if self.most - self.least < 1e-9 {
            LengthBasis::Routed
        } else {
            LengthBasis::Range { least: Millimetres(self.least), most: Millimetres(self.most) }
        }
    }
}

/// Size of a body of which nothing is known, mm; common practice, no source: the table-top end of
/// show robots.
const UNKNOWN_SIZE: f64 = 500.0;

/// Diagonal of the board's box, or of a robot without board.
pub fn diagonal(robot: &Robot) -> f64 {
    robot.board.as_ref().map_or(UNKNOWN_SIZE, |b| {
        let (low, high) = b.outline.bounds();
        low.distance(high)
    })
}

/// Path from the edge of the board to a zone. When it is not stated: between a quarter and twice
/// the board's diagonal, because a body that holds the board is seldom more than twice its size
/// (common practice, no source).
pub fn zone_path(robot: &Robot, zone: ZoneId) -> Bounds {
    match robot.zones[zone.0].path {
        Some(path) => Bounds::exactly(path.0),
        None => {
            let d = diagonal(robot);
            Bounds { least: 0.25 * d, most: 2.0 * d }
        }
    }
}

/// Path with the extra for joints that move, less a tail that covers its beginning.
pub fn zone_run(robot: &Robot, zone: ZoneId, plug: Option<PlugId>) -> Bounds {
    let tail = plug.map_or(0.0, |p| match robot.plugs[p.0].place {
        PlugPlace::Tail { length, .. } => length.0,
        PlugPlace::Fixed(_) => 0.0,
    });
    let path = zone_path(robot, zone);
    let allowance = robot.zones[zone.0].allowance.0;
    Bounds {
        least: (path.least - tail).max(0.0) + allowance,
        most: (path.most - tail).max(0.0) + allowance,
    }
}

/// Stripped length, or length taken up in the crimp, of an end. Common practice; the sheet of the
/// terminal at hand decides.
pub const fn strip_length(end: EndKind) -> Millimetres {
    Millimetres(match end {
        EndKind::Bare => 8.0,
        EndKind::Ferrule => 10.0,
        EndKind::Ring(_) | EndKind::Fork(_) | EndKind::Receptacle(_) => 7.0,
        EndKind::Contact => 5.0,
        EndKind::HeaderContact => 3.0,
        EndKind::Soldered => 6.0,
        EndKind::Lead => 0.0,
    })
}

/// What is fitted to an end: as the wire says, else the first that the terminal takes.
pub fn end_kind(robot: &Robot, landing: Landing, chosen: Option<EndKind>) -> EndKind {
    chosen.unwrap_or_else(|| match landing {
        Landing::Part { part, terminal } => {
            robot.type_of(part).terminals[terminal].ends.first().copied().unwrap_or(EndKind::Bare)
        }
        Landing::Plug { plug, .. } => robot.family_of(plug).map_or(EndKind::Contact, |f| f.end),
    })
}

/// Length to cut: installed length, less leads that the parts bring, with stripping and the
/// builder's service slack at both ends.
pub fn cut(robot: &Robot, wire: &Wire, installed: Millimetres) -> Millimetres {
    let ends = [(wire.from, wire.end_from), (wire.to, wire.end_to)];
    let mut length = installed;
    for (landing, _) in ends {
        length -= own_lead(robot, landing);
    }
    if length.0 <= 0.0 {
        return Millimetres::ZERO;
    }
    for (landing, chosen) in ends {
        length += strip_length(end_kind(robot, landing, chosen)) + robot.limits.service_slack;
    }
    length
}

/// Lead that a part brings at this landing.
pub fn own_lead(robot: &Robot, landing: Landing) -> Millimetres {
    match landing {
        Landing::Part { part, terminal } => match robot.type_of(part).terminals[terminal].fitting {
            Fitting::Lead(length) => length,
            _ => Millimetres::ZERO,
        },
        Landing::Plug { .. } => Millimetres::ZERO,
    }
}

/// Length of the legs of a wire: what its route measures.
pub fn of_legs(legs: &[Leg]) -> Millimetres {
    legs.iter()
        .map(|leg| match leg {
            Leg::Rise { height, .. } => *height,
            Leg::Along { points, .. } => Millimetres(crate::route::length(points)),
            Leg::Through { depth, .. } => *depth,
            Leg::Tail { length, .. } | Leg::Body { length, .. } => *length,
        })
        .sum()
}
