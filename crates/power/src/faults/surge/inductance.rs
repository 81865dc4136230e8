//! Inductance of wires: half of the loop that a wire makes with its return.

use loomdeck_model::{Function, Robot, WireId};
use loomdeck_space::Geometry;
use std::f64::consts::PI;

/// Permeability of empty space, H/m (2018 CODATA, rounded).
const MU_0: f64 = 1.256_637e-6;

/// Distance to the return, m, where a wire is not tied together with it: a hand's breadth in the body.
/// Common practice, no source; the logarithm makes little of it.
pub const APART: f64 = 0.1;

/// Inductance per metre of a loop of two parallel round wires, both together, H/m, at low frequency:
/// (µ₀/π)·(arcosh(s/d) + ¼), with the distance `spacing` of their middles and their diameter.
///
/// Source: E. B. Rosa, The self and mutual inductances of linear conductors, Bulletin of the Bureau of
/// Standards 4 (1908); arcosh(s/d) is ln(2s/d) for wires far apart. The quarter is the field within the
/// copper, which a surge of tens of microseconds no longer fills: the true value is then up to a quarter of
/// it less.
pub fn loop_per_metre(spacing: f64, diameter: f64) -> f64 {
    MU_0 / PI * ((spacing / diameter).max(1.0).acosh() + 0.25)
}

/// Inductance of every wire, H, in the robot's order: half of its loop's, as close to a return (or
/// supply) as its looms tie it.
pub fn of_wires(robot: &Robot, geometry: &Geometry, length: &[f64]) -> Vec<f64> {
    (0..robot.wires.len()).map(|w| of_wire(robot, geometry, WireId(w), length[w])).collect()
}

fn of_wire(robot: &Robot, geometry: &Geometry, id: WireId, length: f64) -> f64 {
    let wire = &robot.wires[id.0];
    let diameter = wire.gauge.conductor_diameter().0 / 1000.0;
    let outside = wire.insulation.outside_diameter(wire.gauge).0 / 1000.0;
    let opposite = |other: &WireId| {
        let other = robot.wires.get(other.0).map(|w| w.function);
        match wire.function {
            Function::Supply => other == Some(Function::Return),
            Function::Return => other == Some(Function::Supply),
            _ => false,
        }
    };
    let stretches = geometry.wires.get(id.0).map(|run| run.bundles.as_slice()).unwrap_or_default();
    let (mut henries, mut left) = (0.0, length);
    for stretch in stretches.iter().filter(|s| s.with.iter().any(opposite)) {
        let along = (stretch.length.0 / 1000.0).min(left);
        // Somewhere in the same bundle: half its diameter away, but not closer than side by side.
        let spacing = (stretch.diameter.0 / 2000.0).max(outside);
        henries += 0.5 * loop_per_metre(spacing, diameter) * along;
        left -= along;
    }
    henries + 0.5 * loop_per_metre(APART, diameter) * left
}

#[cfg(test)]
mod tests {
    use super::*;

    /// V. K. Mehta, Principles of Power System, example of a single-phase line: wires of 1.2 cm, 2 m apart,
    /// have 2.423 mH per kilometre of line.
    #[test]
    fn a_textbooks_line_of_two_wires() {
        let mh_per_km = loop_per_metre(2.0, 0.012) * 1e6;
        assert!((mh_per_km - 2.423).abs() < 0.001, "{mh_per_km}");
    }

    /// Touching bare wires leave only what is in the copper and the gap that is none.
    #[test]
    fn closer_is_less() {
        assert!((loop_per_metre(0.002, 0.002) - MU_0 / PI / 4.0).abs() < 1e-12);
        assert!(loop_per_metre(0.003, 0.002) < loop_per_metre(0.1, 0.002));
    }
}
