//! Geometry for tests that are not about geometry.

use loomdeck_model::units::Millimetres;
use loomdeck_model::{Robot, WireId};
use loomdeck_space::{Geometry, LengthBasis, WireRun};

/// Every wire as long as it was measured, half a metre where it was not; nothing tied together.
pub fn measured(robot: &Robot) -> Geometry {
    let wires = robot
        .wires
        .iter()
        .enumerate()
        .map(|(w, wire)| {
            let length = wire.length.unwrap_or(Millimetres(500.0));
            WireRun {
                wire: WireId(w),
                length,
                cut: length,
                basis: LengthBasis::Measured,
                legs: Vec::new(),
                bundles: Vec::new(),
            }
        })
        .collect();
    Geometry { wires, ..Geometry::default() }
}
