//! How much insulation comes off for the end of a wire.

use loomdeck_model::units::Millimetres;
use loomdeck_model::wire::{EndKind, Gauge};

/// What a crimped splice needs at either side (common practice).
pub const SPLICE_STRIP: Millimetres = Millimetres(7.0);

/// Insulation to strip for an end. Ferrules: sleeve length of DIN 46228-4 and about 2 mm more
/// (from memory). The others: barrel length of such ends on sale, rounded (common practice). An end's
/// own packet has the last word.
pub fn strip(kind: EndKind, gauge: Gauge) -> Millimetres {
    let area = gauge.area().0;
    let step = |steps: &[(f64, f64)], last: f64| {
        steps.iter().find(|(most, _)| area <= most + 1e-3).map_or(last, |(_, mm)| *mm)
    };
    Millimetres(match kind {
        EndKind::Ferrule => step(&[(2.5, 10.0), (4.0, 12.0), (6.0, 14.0), (16.0, 15.0)], 20.0),
        EndKind::Bare => step(&[(1.5, 7.0), (6.0, 9.0), (16.0, 12.0)], 15.0),
        EndKind::Ring(_) | EndKind::Fork(_) => {
            step(&[(1.5, 5.0), (2.5, 6.0), (6.0, 8.0), (10.0, 10.0), (16.0, 12.0)], 16.0)
        }
        EndKind::Receptacle(_) => step(&[(1.5, 5.0), (2.5, 6.0)], 7.0),
        EndKind::Contact => step(&[(1.5, 4.5), (4.0, 6.0)], 9.0),
        EndKind::HeaderContact => 2.5,
        EndKind::Soldered => 5.0,
        EndKind::Lead => SPLICE_STRIP.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thicker_wire_is_never_stripped_shorter() {
        for kind in [
            EndKind::Ferrule,
            EndKind::Bare,
            EndKind::Ring(6.0),
            EndKind::Receptacle(6.3),
            EndKind::Contact,
        ] {
            for gauge in [Gauge::Metric(0.22), Gauge::Awg(26)] {
                let strips: Vec<f64> = gauge.series().into_iter().map(|g| strip(kind, g).0).collect();
                assert!(strips.windows(2).all(|w| w[0] <= w[1]), "{kind:?} {strips:?}");
            }
        }
    }

    #[test]
    fn ferrules_follow_their_sleeve() {
        // DIN 46228-4 sleeves 8, 10, 12, 12 mm for 1.5, 4, 6, 10 mm² (from memory), with 2 to 3 mm more.
        for (mm2, sleeve) in [(1.5, 8.0), (4.0, 10.0), (6.0, 12.0), (10.0, 12.0)] {
            let extra = strip(EndKind::Ferrule, Gauge::Metric(mm2)).0 - sleeve;
            assert!((2.0..=3.0).contains(&extra), "{mm2} {extra}");
        }
    }
}
