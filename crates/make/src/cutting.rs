//! From lengths to wires ready to cut, with their ends and labels.

use crate::making::{CableCut, ColourBasis, Cut, End, Label, Spool};
use crate::{colour, ends};
use loomdeck_model::units::{MM_PER_INCH, Millimetres};
use loomdeck_model::wire::{EndKind, Gauge};
use loomdeck_model::{CableId, Landing, LengthUnit, Robot, Wire, WireId};
use loomdeck_space::{Geometry, LengthBasis, WireRun, lengths};

/// The step that lengths are rounded up to.
pub fn rounding(unit: LengthUnit) -> f64 {
    match unit {
        LengthUnit::Mm => 5.0,
        LengthUnit::Inch => MM_PER_INCH / 4.0,
    }
}

/// Rounds up to whole steps. A length that is a whole number of steps but for the last bits of a
/// floating-point sum stays as it is.
pub fn round_up(length: f64, step: f64) -> f64 {
    (length / step - 1e-9).ceil().max(0.0) * step
}

/// All cuts, in the robot's order.
pub fn cuts(robot: &Robot, geometry: &Geometry) -> Vec<Cut> {
    robot
        .wires
        .iter()
        .enumerate()
        .filter_map(|(i, wire)| Some(cut(robot, WireId(i), wire, geometry.wires.get(i)?)))
        .collect()
}

fn cut(robot: &Robot, id: WireId, wire: &Wire, run: &WireRun) -> Cut {
    let (colour, colour_basis) = match wire.cable {
        Some(_) if wire.colour.is_none() => (colour::choose(robot, wire).0, ColourBasis::Core),
        _ => colour::choose(robot, wire),
    };
    let from = end(robot, wire, wire.from, wire.end_from, wire.to);
    let to = end(robot, wire, wire.to, wire.end_to, wire.from);
    Cut {
        wire: id,
        spool: Spool { gauge: wire.gauge, insulation: wire.insulation, colour },
        colour_basis,
        cut: Millimetres(from_the_reel(run.cut, &from, &to, rounding(robot.book.unit))),
        measure_first: matches!(run.basis, LengthBasis::Range { .. }),
        from,
        to,
        cable: wire.cable,
    }
}

/// What the geometry reckons for cutting, and what these ends take beyond the stripping it allowed for.
/// Nothing when the modules' own leads reach all the way.
fn from_the_reel(reckoned: Millimetres, from: &End, to: &End, step: f64) -> f64 {
    if reckoned.0 <= 0.0 {
        return 0.0;
    }
    let more = |end: &End| (end.strip - lengths::strip_length(end.kind)).0.max(0.0);
    round_up(reckoned.0 + more(from) + more(to), step)
}

fn end(robot: &Robot, wire: &Wire, here: Landing, chosen: Option<EndKind>, far: Landing) -> End {
    let kind = lengths::end_kind(robot, here, chosen);
    let own_lead = Some(lengths::own_lead(robot, here)).filter(|l| l.0 > 0.0);
    End {
        at: robot.landing_word(here),
        kind,
        strip: ends::strip(kind, wire.gauge),
        own_lead,
        label: format!("{} > {}", wire.name, robot.landing_word(far)),
    }
}

/// All cables, in the robot's order. A cable without wires has nothing to cut.
pub fn cables(robot: &Robot, cuts: &[Cut]) -> Vec<CableCut> {
    let step = rounding(robot.book.unit);
    let of = |i: usize| -> Option<CableCut> {
        let cable = CableId(i);
        let cores: Vec<&Cut> = cuts.iter().filter(|c| c.cable == Some(cable)).collect();
        let longest = cores.iter().map(|c| c.cut.0).max_by(f64::total_cmp)?;
        Some(CableCut {
            cable,
            kind: robot.cables[i].kind,
            gauge: thickest(cores.iter().map(|c| c.spool.gauge)),
            cores: cores.iter().map(|c| c.wire).collect(),
            cut: Millimetres(round_up(longest, step)),
        })
    };
    (0..robot.cables.len()).filter_map(of).collect()
}

fn thickest(gauges: impl Iterator<Item = Gauge>) -> Option<Gauge> {
    gauges.max_by(|a, b| a.area().0.total_cmp(&b.area().0))
}

/// The labels of both ends, in the robot's order.
pub fn labels(robot: &Robot, cuts: &[Cut]) -> Vec<Label> {
    let label = |cut: &Cut, here: &End, far: &End| Label {
        wire: cut.wire,
        at: here.at.clone(),
        name: robot.wires[cut.wire.0].name.clone(),
        far: far.at.clone(),
        wraps: cut.spool.insulation.outside_diameter(cut.spool.gauge),
    };
    cuts.iter().flat_map(|c| [label(c, &c.from, &c.to), label(c, &c.to, &c.from)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn rounding_up_never_shortens_and_adds_less_than_a_step(
            length in 0.0f64..20_000.0, inch in any::<bool>(),
        ) {
            let step = rounding(if inch { LengthUnit::Inch } else { LengthUnit::Mm });
            let rounded = round_up(length, step);
            prop_assert!(rounded >= length - 1e-6 && rounded < length + step + 1e-6);
            prop_assert!((rounded / step - (rounded / step).round()).abs() < 1e-6);
        }
    }

    #[test]
    fn a_whole_number_of_steps_is_left_alone() {
        assert_eq!(round_up(0.1 + 0.2 + 34.7, 5.0), 35.0);
        assert_eq!(round_up(35.01, 5.0), 40.0);
        assert_eq!(round_up(0.0, 5.0), 0.0);
    }
}
