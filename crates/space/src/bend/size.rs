//! How stiff ends and wires are: what bends, from where, and how tightly.

use super::{BEHIND, Bend};
use crate::faces::Standing;
use crate::lengths::end_kind;
use crate::packing::bundle_diameter;
use loomdeck_model::part_type::{Exit, Fitting};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::wire::{EndKind, Gauge, Insulation};
use loomdeck_model::{CableKind, Point, Robot, Wire, WireId};

/// What bends, for the radius it takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A single wire, or a core that has left its jacket.
    Single,
    /// A single wire with soft silicone insulation.
    Soft,
    /// A screened cable, which is bent whole because its screen ends where its core does.
    Screened,
}

/// What bends at a wire's end.
pub fn kind(robot: &Robot, wire: &Wire) -> Kind {
    match wire.cable.map(|c| robot.cables[c.0].kind) {
        Some(CableKind::Screened) => Kind::Screened,
        _ if wire.insulation == Insulation::Silicone => Kind::Soft,
        _ => Kind::Single,
    }
}

/// Least radius on the inside of a bend, in outside diameters of what bends.
///
/// Single wires 3: FAA AC 43.13-1B, 11-96 (from memory), at terminal strips where the wire is supported;
/// NASA-STD-8739.4, 7.3.21, asks the same of insulated wires in flat cables. Screened cables 6: the same
/// paragraphs, for coaxial cable and for cables in general in the short term. Silicone 2: common practice,
/// no source.
pub const fn radius_in_diameters(kind: Kind) -> f64 {
    match kind {
        Kind::Single => 3.0,
        Kind::Soft => 2.0,
        Kind::Screened => 6.0,
    }
}

/// Outside diameter of what bends at a wire's ends.
pub fn diameter(robot: &Robot, wire: &Wire) -> Millimetres {
    let own = wire.insulation.outside_diameter(wire.gauge);
    let Some(cable) = wire.cable.filter(|_| kind(robot, wire) == Kind::Screened) else { return own };
    let stated = robot.cables[cable.0].outside;
    stated.unwrap_or_else(|| {
        let cores: Vec<Millimetres> = robot
            .wires
            .iter()
            .filter(|w| w.cable == Some(cable))
            .map(|w| w.insulation.outside_diameter(w.gauge))
            .collect();
        // Screen and jacket: half a millimetre each, all round (common practice, no source).
        bundle_diameter(&cores) + Millimetres(2.0)
    })
}

/// Width of a stiff end: a ring is about twice its stud wide, a fork a little less, a receptacle its tab
/// and the rolled edges with a sleeve, a contact or header its housing. Common practice, no source; never
/// less than the wire.
pub fn end_width(end: EndKind, gauge: Gauge, insulation: Insulation) -> Millimetres {
    let outside = insulation.outside_diameter(gauge);
    let end = match end {
        EndKind::Ring(d) => 2.0 * d,
        EndKind::Fork(d) => 1.8 * d,
        EndKind::Receptacle(w) => w + 2.0,
        EndKind::Ferrule => outside.0 + 1.0,
        EndKind::Contact | EndKind::HeaderContact => 3.0,
        EndKind::Bare | EndKind::Soldered | EndKind::Lead => outside.0,
    };
    Millimetres(end).max(outside)
}

/// Straight behind a stiff end, in which the wire is not bent: one diameter behind a crimp or a joint of
/// solder, where the strands are stiff and would break; none at clamps, which hold the wire by its copper
/// and lead it by their walls, and at leads. Common practice, no source.
pub fn straight(end: EndKind, diameter: Millimetres) -> Millimetres {
    match end {
        EndKind::Bare | EndKind::Ferrule | EndKind::Lead => Millimetres::ZERO,
        _ => diameter,
    }
}

/// The same end with other insulation on a single wire: thinner, or softer. Its ways are not known then.
pub fn with_insulation(robot: &Robot, bend: &Bend, insulation: Insulation) -> Bend {
    let other = Wire { insulation, ..robot.wires[bend.wire.0].clone() };
    let diameter = diameter(robot, &other);
    let straight = if bend.straight > Millimetres::ZERO { diameter } else { Millimetres::ZERO };
    let radius = diameter * radius_in_diameters(kind(robot, &other));
    Bend { diameter, straight, radius, ways: Vec::new(), ..bend.clone() }
}

/// A bend without its ways; `None` where the terminal is not on the board.
pub fn unbent(
    robot: &Robot,
    thing: &Standing,
    terminal: usize,
    id: WireId,
    from_end: bool,
) -> Option<Bend> {
    let wire = &robot.wires[id.0];
    let body = thing.body.as_ref()?;
    let (landing, chosen, trimmed) = if from_end {
        (wire.from, wire.end_from, wire.trim_from)
    } else {
        (wire.to, wire.end_to, wire.trim_to)
    };
    let (at, height, exit, full, short, end) = if terminal == BEHIND {
        let family = thing.kind.plug_family.as_ref()?;
        let at = thing.at.to_board(Point::new(-family.length.0 / 2.0, 0.0));
        let back = thing.at.direction_to_board(Degrees(180.0));
        let middle = (body.base + body.top) / 2.0;
        (at, middle, Exit::Along(back), family.boot, family.trimmed_boot, family.end)
    } else {
        let spot = body.terminals.get(terminal)?;
        let t = &thing.kind.terminals[terminal];
        let end = match t.fitting {
            Fitting::Lead(_) => EndKind::Lead,
            _ => end_kind(robot, landing, chosen),
        };
        (spot.at, spot.height, spot.exit, t.boot, t.trimmed_boot, end)
    };
    let short = short.filter(|s| *s < full);
    let diameter = diameter(robot, wire);
    Some(Bend {
        wire: id,
        owner: thing.owner,
        terminal: (terminal != BEHIND).then_some(terminal),
        from_end,
        face: thing.at.face,
        at,
        height,
        exit,
        diameter,
        end_width: end_width(end, wire.gauge, wire.insulation),
        boot: short.filter(|_| trimmed).unwrap_or(full),
        trim_saves: short.filter(|_| !trimmed).map(|s| full - s),
        straight: straight(end, diameter),
        radius: diameter * radius_in_diameters(kind(robot, wire)),
        ways: Vec::new(),
    })
}
