//! Lengths off the faces, and what is added to a length for cutting.

use crate::geometry::{Leg, LengthBasis};
use loomdeck_model::part_type::Fitting;
use loomdeck_model::units::Millimetres;
use loomdeck_model::wire::EndKind;
use loomdeck_model::{Landing, PlugId, PlugPlace, Robot, Slack, Wire, ZoneId};

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

/// Slack class of a wire: its own, else its loom's, else a loop at each end.
pub fn slack(robot: &Robot, wire: &Wire) -> Slack {
    wire.slack.or(wire.loom.and_then(|l| robot.looms[l.0].slack)).unwrap_or(Slack::Service)
}

/// What an end of a fixed wire gets beyond its stripping, so that a nut can be turned without strain; common
/// practice, no source.
pub const STRAIN: Millimetres = Millimetres(5.0);

/// Bend radius of a wire that moves, over its outside diameter: the long-term radius of NASA-STD-8739.4
/// (1998), paragraph 7.3.21.
pub const MOVING_BEND: f64 = 10.0;

/// Slack left at each end of a wire: none but [`STRAIN`] when it is fixed, else the builder's service loop.
/// AC 43.13-1B, paragraph 11-118, wants enough for two re-terminations.
pub const fn end_slack(robot: &Robot, slack: Slack) -> Millimetres {
    match slack {
        Slack::Fixed => STRAIN,
        Slack::Service | Slack::Moving => robot.limits.service_slack,
    }
}

/// What a wire past a moving joint is longer than its way, beside its zone's allowance: half a turn at the
/// radius that a moving wire bears.
pub fn moving_loop(wire: &Wire, slack: Slack) -> Millimetres {
    match slack {
        Slack::Moving => {
            wire.insulation.outside_diameter(wire.gauge) * (MOVING_BEND * std::f64::consts::PI)
        }
        Slack::Fixed | Slack::Service => Millimetres::ZERO,
    }
}

/// Length to cut: installed length, less leads that the parts bring, with stripping and slack at each end,
/// so that each can be terminated anew.
pub fn cut(robot: &Robot, wire: &Wire, installed: Millimetres) -> Millimetres {
    let ends = [(wire.from, wire.end_from), (wire.to, wire.end_to)];
    let mut length = installed;
    for (landing, _) in ends {
        length -= own_lead(robot, landing);
    }
    if length.0 <= 0.0 {
        return Millimetres::ZERO;
    }
    let slack = slack(robot, wire);
    for (landing, chosen) in ends {
        length += strip_length(end_kind(robot, landing, chosen)) + end_slack(robot, slack);
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
            Leg::Along { points, radii, .. } => Millimetres(crate::route::path::length(points, radii)),
            Leg::Through { depth, .. } => *depth,
            Leg::Tail { length, .. } | Leg::Body { length, .. } => *length,
        })
        .sum()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::findings::robot as small;
    use loomdeck_model::testing::robot;

    /// Two modules on the front, two in the leg, plugs and wires between them.
    const BODY: &str = small!(
        r#"
[[zone]]
name = "leg"
path_mm = 300
allowance_mm = 40
lead_mm = 100
exit_mm = [0, 75]
[[zone]]
name = "head"
path_mm = 500
[[part]]
name = "amp"
type = "box"
face = "front"
at_mm = [80, 60]
[[part]]
name = "lamp"
type = "box"
zone = "leg"
[[part]]
name = "horn"
type = "box"
zone = "leg"
lead_mm = 30
[[part]]
name = "eye"
type = "box"
zone = "head"
[[plug]]
name = "tail-plug"
family = "plug-2"
zone = "leg"
face = "front"
at_mm = [0, 75]
tail_mm = 120
[[plug]]
name = "edge-plug"
family = "plug-2"
zone = "head"
face = "front"
at_mm = [175, 75]
[[pass]]
name = "near"
at_mm = [60, 120]
diameter_mm = 12
[[pass]]
name = "far"
at_mm = [180, 20]
diameter_mm = 12
[[part]]
name = "deep"
type = "box"
face = "back"
at_mm = [60, 20]
"#
    );

    /// Length and basis of one wire between two landings, with further keys.
    fn wire(from: &str, to: &str, more: &str) -> (f64, LengthBasis, Vec<Leg>) {
        let text = format!(
            "{BODY}\n[[wire]]\nname = \"w\"\nfrom = \"{from}\"\nto = \"{to}\"\nsize_mm2 = 0.5\n{more}"
        );
        let geometry = crate::study(&robot(&text));
        assert!(geometry.blocked.is_empty(), "{:?}", geometry.blocked);
        let run = geometry.wires[0].clone();
        (run.length.0, run.basis, run.legs)
    }

    #[test]
    fn to_a_zone_without_plug() {
        // Terminal at (82, 75), 8 mm up, straight left to the exit, then path, allowance and lead.
        let (length, basis, legs) = wire("amp.left", "lamp.left", "");
        assert!((length - (8.0 + 82.0 + 300.0 + 40.0 + 100.0)).abs() < 1e-6, "{length}");
        assert_eq!(basis, LengthBasis::Routed);
        assert!(matches!(legs.last(), Some(Leg::Body { .. })));
        // The other way round is as long, with its legs turned.
        let (back, _, legs) = wire("lamp.left", "amp.left", "");
        assert!((back - length).abs() < 1e-9);
        assert!(matches!(legs.first(), Some(Leg::Body { .. })));
        // A part's own lead counts instead of the zone's.
        assert!((wire("amp.left", "horn.left", "").0 - (length - 70.0)).abs() < 1e-6);
    }

    #[test]
    fn over_a_tail_plug() {
        let (board, _, legs) = wire("amp.left", "tail-plug.board.1", "");
        assert!((board - (8.0 + 82.0 + 120.0)).abs() < 1e-6, "{board}");
        assert!(matches!(legs.last(), Some(Leg::Tail { length, .. }) if length.0 == 120.0));
        // The tail covers the first 120 mm of the path.
        let (body, ..) = wire("tail-plug.body.1", "lamp.left", "");
        assert!((body - (300.0 - 120.0 + 40.0 + 100.0)).abs() < 1e-9, "{body}");
    }

    #[test]
    fn to_a_fixed_plug() {
        // Right terminal at (118, 75); the plug's rear at x = 155; rises of 8 and 5 mm.
        let (length, ..) = wire("amp.right", "edge-plug.board.1", "");
        assert!((length - (8.0 + 37.0 + 5.0)).abs() < 1e-6, "{length}");
        let (body, ..) = wire("edge-plug.body.2", "eye.left", "");
        assert!((body - 650.0).abs() < 1e-9, "{body}");
    }

    #[test]
    fn within_and_between_zones() {
        let (length, basis, _) = wire("lamp.left", "horn.left", "");
        assert_eq!(length, 130.0);
        assert_eq!(basis, LengthBasis::Range { least: Millimetres(70.0), most: Millimetres(130.0) });
        let (length, basis, _) = wire("lamp.left", "eye.left", "");
        assert!((length - (440.0 + 650.0)).abs() < 1e-9, "{length}");
        assert_eq!(basis, LengthBasis::Range { least: Millimetres(210.0), most: Millimetres(1090.0) });
    }

    #[test]
    fn a_pinned_opening_is_used() {
        let through = |legs: &[Leg]| {
            legs.iter().find_map(|l| if let Leg::Through { pass, .. } = l { Some(pass.0) } else { None })
        };
        let (free, _, legs) = wire("amp.left", "deep.right", "");
        assert_eq!(through(&legs), Some(0));
        let (pinned, _, legs) = wire("amp.left", "deep.right", "via = [\"far\"]\n");
        assert_eq!(through(&legs), Some(1));
        assert!(pinned > free);
        assert!((of_legs(&legs).0 - pinned).abs() < 1e-9);
    }

    #[test]
    fn a_robot_without_board_is_measured_by_its_zones() {
        let whole = small!(
            r#"
[[zone]]
name = "leg"
[[part]]
name = "lamp"
type = "box"
zone = "leg"
[[plug]]
name = "leg-plug"
family = "plug-2"
zone = "leg"
tail_mm = 0
at_mm = [0, 0]
face = "front"
[[part]]
name = "horn"
type = "box"
zone = "leg"
lead_mm = 30
[[wire]]
name = "w"
from = "lamp.left"
to = "horn.left"
size_mm2 = 0.5
length_mm = 90
[[wire]]
name = "v"
from = "lamp.right"
to = "horn.right"
size_mm2 = 0.5
"#
        );
        let mut robot = robot(whole);
        robot.board = None;
        let geometry = crate::study(&robot);
        assert!(geometry.faces.is_empty() && geometry.blocked.is_empty());
        assert_eq!(geometry.wires[0].basis, LengthBasis::Measured);
        assert_eq!(geometry.wires[1].length.0, 180.0);
        // Nothing about a board is found.
        let found = crate::findings(&robot, &geometry);
        assert!(found.iter().all(|f| f.slug == "length-only-bounded"), "{found:?}");
    }

    #[test]
    fn a_measured_length_stands() {
        let (length, basis, legs) = wire("amp.left", "lamp.left", "length_mm = 700\n");
        assert_eq!((length, basis), (700.0, LengthBasis::Measured));
        assert!(of_legs(&legs).0 < 700.0);
    }

    #[test]
    fn what_is_cut_is_longer_by_slack_and_stripping() {
        let text = format!(
            "{BODY}\n[[wire]]\nname = \"w\"\nfrom = \"amp.left\"\nto = \"amp.right\"\nsize_mm2 = 0.5\n"
        );
        let geometry = crate::study(&robot(&text));
        let run = &geometry.wires[0];
        // A ferrule and a ring, 40 mm of slack at either end.
        assert!((run.cut.0 - run.length.0 - (10.0 + 7.0 + 80.0)).abs() < 1e-9);
    }

    #[test]
    fn slack_follows_its_class() {
        let cut = |more: &str| {
            let text = format!(
                "{BODY}\n[[wire]]\nname = \"w\"\nfrom = \"amp.left\"\nto = \"amp.right\"\nsize_mm2 = 0.5\n{more}"
            );
            let robot = robot(&text);
            let run = crate::study(&robot).wires[0].clone();
            (run, robot.wires[0].insulation.outside_diameter(robot.wires[0].gauge).0)
        };
        let (service, d) = cut("");
        let (fixed, _) = cut("slack = \"fixed\"\n");
        let (moving, _) = cut("slack = \"moving\"\n");
        assert_eq!(
            (service.slack, fixed.slack, moving.slack),
            (Slack::Service, Slack::Fixed, Slack::Moving)
        );
        assert!((service.cut.0 - fixed.cut.0 - 2.0 * (40.0 - STRAIN.0)).abs() < 1e-9);
        let half_turn = std::f64::consts::PI * 10.0 * d;
        assert!((moving.length.0 - service.length.0 - half_turn).abs() < 1e-9);
        assert!((moving.cut.0 - service.cut.0 - half_turn).abs() < 1e-9);
    }

    #[test]
    fn the_default_loop_is_enough_for_two_terminations() {
        let robot = robot(BODY);
        let ends = [EndKind::Bare, EndKind::Ferrule, EndKind::Ring(6.0), EndKind::Receptacle(6.3)];
        for end in ends {
            assert!(robot.limits.service_slack.0 >= 2.0 * strip_length(end).0);
        }
    }

    #[test]
    fn wires_of_a_loom_stay_together_through_the_body() {
        let text = format!(
            "{BODY}\n[[loom]]\nname = \"leg\"\n{}",
            ["left", "right"]
                .map(|t| format!(
                    "[[wire]]\nname = \"{t}\"\nfrom = \"amp.{t}\"\nto = \"lamp.{t}\"\nsize_mm2 = 0.5\nloom = \"leg\"\n"
                ))
                .concat()
        );
        let robot = robot(&text);
        let geometry = crate::study(&robot);
        let d = robot.wires[0].insulation.outside_diameter(robot.wires[0].gauge).0;
        for run in &geometry.wires {
            let tied: f64 = run.bundles.iter().map(|b| b.length.0).sum();
            // The path and its allowance at least; never more than the wire.
            assert!(tied >= 340.0 && tied < run.length.0, "{tied}");
            assert!(run.bundles.iter().all(|b| (b.diameter.0 - 2.0 * d).abs() < 1e-9));
        }
        assert!((geometry.looms[0].diameter.0 - 2.0 * d).abs() < 1e-9);
        assert!(geometry.looms[0].trunk.iter().any(|t| t.wires.len() == 2));
    }
}
