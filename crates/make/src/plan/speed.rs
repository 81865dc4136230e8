//! How fast the drill turns: from the surface speed that the material takes.

use super::{Speed, ToolInHand};
use loomdeck_model::Material;
use loomdeck_model::units::{MM_PER_INCH, Millimetres};

/// Fastest a hand drill turns under load, turns a minute (common practice).
pub const HAND_DRILL: f64 = 3000.0;

/// Feet in metres.
const FOOT: f64 = 12.0 * MM_PER_INCH / 1000.0;

/// Turns a minute of a bit of this diameter at a surface speed in metres a minute: N = 1000·V/(π·D).
pub fn turns(metres_per_minute: f64, diameter: Millimetres) -> f64 {
    1000.0 * metres_per_minute / (std::f64::consts::PI * diameter.0)
}

/// Surface speeds of twist drills of high-speed steel, feet a minute. Machining practice tables: wood
/// 300 to 400, aluminium 200 to 300; thermoplastics 150 to 300 (from memory).
const fn surface(material: Material) -> ([f64; 2], &'static str) {
    match material {
        Material::Plywood => ([300.0, 400.0], "300 to 400 ft/min for wood, machining practice tables"),
        Material::Aluminium => {
            ([200.0, 300.0], "200 to 300 ft/min for aluminium, machining practice tables")
        }
        Material::Hdpe | Material::Acrylic | Material::Abs | Material::Polycarbonate => {
            ([150.0, 300.0], "150 to 300 ft/min for thermoplastics (from memory)")
        }
    }
}

/// Speed of a tool in a material; `None` for tools that do not turn in the drill. Saw-tooth bits, hole saws and
/// flat-bottomed bits run at half the surface speed of a twist drill, countersinks at a third (common
/// practice, no source).
pub fn of(tool: &ToolInHand, diameter: Millimetres, material: Material) -> Option<Speed> {
    let part = match tool {
        ToolInHand::Bit(bit) if bit.is_cutter() => 0.5,
        ToolInHand::Bit(_) => 1.0,
        ToolInHand::FlatBottom(_) => 0.5,
        ToolInHand::Countersink(_) => 1.0 / 3.0,
        _ => return None,
    };
    let (feet, source) = surface(material);
    let [slow, fast] = feet.map(|v| two_digits(turns(v * FOOT * part, diameter)).min(HAND_DRILL));
    (diameter.0 > 0.0).then_some(Speed { slow, fast, source })
}

/// No more digits than are known.
fn two_digits(x: f64) -> f64 {
    if x <= 0.0 || !x.is_finite() {
        return 0.0;
    }
    let step = 10f64.powf(x.log10().floor() - 1.0);
    (x / step).round() * step
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::bit::Bit;

    #[test]
    fn turns_are_those_of_the_printed_charts() {
        // Printed charts: 300 ft/min in wood, 1/4 in: 4584 turns; aluminium 300 ft/min, 1/2 in: 2280 (that
        // chart takes 3.8 V/D and is half a per cent low).
        let inch = |x: f64| Millimetres(x * MM_PER_INCH);
        assert!((turns(300.0 * FOOT, inch(0.25)) - 4584.0).abs() < 1.0);
        let aluminium = turns(300.0 * FOOT, inch(0.5));
        assert!((aluminium / 2280.0 - 1.0).abs() < 0.006, "{aluminium}");
    }

    #[test]
    fn larger_bits_turn_slower_and_none_faster_than_the_drill() {
        for material in [Material::Hdpe, Material::Plywood, Material::Aluminium] {
            let of = |d: f64| of(&ToolInHand::Bit(Bit::Metric(d)), Millimetres(d), material).unwrap();
            for d in 1..13 {
                let (a, b) = (of(f64::from(d)), of(f64::from(d + 1)));
                assert!(b.slow <= a.slow && b.fast <= a.fast && a.slow <= a.fast);
                assert!(a.fast <= HAND_DRILL && a.slow > 0.0);
            }
        }
        // 150 to 300 ft/min with 13 mm: 1100 to 2200 turns.
        let large = of(&ToolInHand::Bit(Bit::Metric(13.0)), Millimetres(13.0), Material::Hdpe).unwrap();
        assert_eq!((large.slow, large.fast), (1100.0, 2200.0));
        assert_eq!(of(&ToolInHand::Punch, Millimetres(3.0), Material::Hdpe), None);
    }
}
