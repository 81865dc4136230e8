//! A rectangular opening as it is cut by hand: holes in the corners, saw, file.

use crate::bit::{Bit, Found};
use loomdeck_model::units::{Degrees, Millimetres};
use loomdeck_model::{LengthUnit, Point};
use loomdeck_space::hole_size::HoleSize;

/// Hole through which a jigsaw's blade goes in: blades for curves and general work are 6 to 8 mm wide
/// (common practice, no source).
pub const BLADE: Millimetres = Millimetres(10.0);

/// Hole through which a coping saw's blade goes in with its pin (common practice, no source).
pub const FINE_BLADE: Millimetres = Millimetres(3.0);

/// How much a corner's hole may differ from the drawn corner, and still be that corner.
const CORNER_PLAY: Millimetres = Millimetres(0.5);

/// How a rectangle is begun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// The bit of the corner holes.
    pub found: Found,
    /// Centres of the corner holes, counter-clockwise from the lower left of the unturned rectangle.
    pub corners: [Point; 4],
    /// The corners are filed square: no bit is small enough for them.
    pub square: bool,
    /// A hole for the saw's blade, where the corner holes are too small for it and there is room.
    pub entry: Option<(Bit, Point)>,
}

/// Corner holes of twice the corner's radius that touch both sides. Corners sharper than a coping
/// saw's blade hole are filed, and the corner holes are then wide enough for a blade.
pub fn cut(
    at: Point,
    (length, width): (Millimetres, Millimetres),
    turn: Degrees,
    corner: Millimetres,
    unit: LengthUnit,
) -> Cut {
    let side = length.min(width);
    let square = corner * 2.0 < FINE_BLADE;
    let aim = if square { BLADE.min(side) } else { (corner * 2.0).min(side) };
    let size = HoleSize { least: aim - CORNER_PLAY, aim, most: (aim + CORNER_PLAY).min(side.max(aim)) };
    let found = size.bit(unit);
    let bit = found.bit.diameter();
    let entry = HoleSize::opening(BLADE).bit(unit).bit;
    let needs_entry = bit < BLADE - CORNER_PLAY && entry.diameter() <= side;
    let (s, c) = turn.0.to_radians().sin_cos();
    let place = |x: f64, y: f64| Point::new(at.x + c * x - s * y, at.y + s * x + c * y);
    let inset = |full: Millimetres| ((full.0 - bit.0) / 2.0).max(0.0);
    let (x, y) = (inset(length), inset(width));
    Cut {
        found,
        corners: [place(-x, -y), place(x, -y), place(x, y), place(-x, y)],
        square,
        entry: needs_entry.then_some((entry, at)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn corner_holes_touch_both_sides() {
        let c = cut(
            Point::new(100.0, 50.0),
            (Millimetres(60.0), Millimetres(40.0)),
            Degrees(0.0),
            Millimetres(5.0),
            LengthUnit::Mm,
        );
        assert_eq!(c.found.bit, Bit::Metric(10.0));
        assert_eq!(c.corners[0], Point::new(75.0, 35.0));
        assert_eq!(c.corners[2], Point::new(125.0, 65.0));
        assert!(!c.square && c.entry.is_none());
    }

    #[test]
    fn a_tight_corner_wants_an_entry_and_a_sharp_one_a_file() {
        let of = |corner: f64, width: f64| {
            cut(
                Point::default(),
                (Millimetres(60.0), Millimetres(width)),
                Degrees(30.0),
                Millimetres(corner),
                LengthUnit::Mm,
            )
        };
        let tight = of(2.0, 40.0);
        assert_eq!(tight.found.bit, Bit::Metric(4.0));
        assert_eq!(tight.entry, Some((Bit::Metric(10.0), Point::default())));
        let sharp = of(0.0, 40.0);
        assert!(sharp.square && sharp.entry.is_none());
        assert_eq!(sharp.found.bit, Bit::Metric(10.0));
        // Too narrow for a jigsaw.
        assert_eq!(of(2.0, 8.0).entry, None);
    }

    proptest! {
        #[test]
        fn no_corner_hole_leaves_the_rectangle(
            length in 12.0f64..200.0, width in 12.0f64..200.0, turn in 0.0f64..360.0, corner in 0.0f64..6.0,
        ) {
            let at = Point::new(300.0, 200.0);
            let size = (Millimetres(length), Millimetres(width));
            let c = cut(at, size, Degrees(turn), Millimetres(corner), LengthUnit::Mm);
            let r = c.found.bit.diameter().0 / 2.0;
            let (s, k) = turn.to_radians().sin_cos();
            for p in c.corners {
                let (dx, dy) = (p.x - at.x, p.y - at.y);
                let (x, y) = (k * dx + s * dy, k * dy - s * dx);
                prop_assert!(x.abs() + r <= length / 2.0 + 1e-9 && y.abs() + r <= width / 2.0 + 1e-9);
            }
        }
    }
}
