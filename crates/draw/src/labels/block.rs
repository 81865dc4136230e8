//! Rectangles and straight lines, as far as labels need them.

use crate::svg::Spot;

/// An upright rectangle on the drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Upper left corner.
    pub low: Spot,
    /// Lower right corner.
    pub high: Spot,
}

impl Block {
    /// From two corners.
    pub const fn new(low: Spot, high: Spot) -> Self {
        Self { low, high }
    }
    /// By its centre and size.
    pub fn around(centre: Spot, width: f64, height: f64) -> Self {
        Self {
            low: Spot::new(centre.x - width / 2.0, centre.y - height / 2.0),
            high: Spot::new(centre.x + width / 2.0, centre.y + height / 2.0),
        }
    }
    /// The smallest one around some places; `None` without any.
    pub fn over(places: impl IntoIterator<Item = Spot>) -> Option<Self> {
        let mut places = places.into_iter();
        let first = places.next()?;
        Some(places.fold(Self::new(first, first), |b, p| Self {
            low: Spot::new(b.low.x.min(p.x), b.low.y.min(p.y)),
            high: Spot::new(b.high.x.max(p.x), b.high.y.max(p.y)),
        }))
    }
    /// Grown on every side.
    #[must_use]
    pub fn grown(self, by: f64) -> Self {
        Self {
            low: Spot::new(self.low.x - by, self.low.y - by),
            high: Spot::new(self.high.x + by, self.high.y + by),
        }
    }
    /// Its middle.
    pub fn centre(self) -> Spot {
        self.low.towards(self.high, 0.5)
    }
    /// Its width.
    pub fn width(self) -> f64 {
        self.high.x - self.low.x
    }
    /// Its height.
    pub fn height(self) -> f64 {
        self.high.y - self.low.y
    }
    /// The two share some area.
    pub fn overlaps(self, other: Self) -> bool {
        self.overlap(other) > 0.0
    }
    /// The area the two share.
    pub fn overlap(self, other: Self) -> f64 {
        let w = self.high.x.min(other.high.x) - self.low.x.max(other.low.x);
        let h = self.high.y.min(other.high.y) - self.low.y.max(other.low.y);
        w.max(0.0) * h.max(0.0)
    }
    /// All of the other lies in it.
    pub fn contains(self, other: Self) -> bool {
        self.low.x <= other.low.x
            && self.low.y <= other.low.y
            && self.high.x >= other.high.x
            && self.high.y >= other.high.y
    }
    /// The place in it that is nearest to another.
    pub fn nearest(self, to: Spot) -> Spot {
        Spot::new(to.x.clamp(self.low.x, self.high.x), to.y.clamp(self.low.y, self.high.y))
    }
    /// Length of the part of a straight line that runs within it (Liang and Barsky's clipping, 1984).
    pub fn run_within(self, a: Spot, b: Spot) -> f64 {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
        for (p, q) in [
            (-dx, a.x - self.low.x),
            (dx, self.high.x - a.x),
            (-dy, a.y - self.low.y),
            (dy, self.high.y - a.y),
        ] {
            if p == 0.0 {
                if q < 0.0 {
                    return 0.0;
                }
            } else if p < 0.0 {
                enter = enter.max(q / p);
            } else {
                leave = leave.min(q / p);
            }
        }
        (leave - enter).max(0.0) * dx.hypot(dy)
    }
}

/// Two straight lines cross within both.
pub fn cross((a, b): (Spot, Spot), (c, d): (Spot, Spot)) -> bool {
    let side = |p: Spot, q: Spot, r: Spot| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_measured_only_where_it_is_within() {
        let b = Block::new(Spot::new(0.0, 0.0), Spot::new(10.0, 10.0));
        assert!((b.run_within(Spot::new(-5.0, 5.0), Spot::new(5.0, 5.0)) - 5.0).abs() < 1e-12);
        assert_eq!(b.run_within(Spot::new(-5.0, 11.0), Spot::new(15.0, 11.0)), 0.0);
        assert_eq!(b.run_within(Spot::new(-5.0, -6.0), Spot::new(-1.0, 20.0)), 0.0);
    }

    #[test]
    fn blocks_that_touch_do_not_overlap() {
        let a = Block::around(Spot::new(0.0, 0.0), 2.0, 2.0);
        assert!(!a.overlaps(Block::around(Spot::new(2.0, 0.0), 2.0, 2.0)));
        assert!((a.overlap(Block::around(Spot::new(1.0, 1.0), 2.0, 2.0)) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn lines_that_share_an_end_do_not_cross() {
        let s = Spot::new;
        assert!(cross((s(0.0, 0.0), s(2.0, 2.0)), (s(0.0, 2.0), s(2.0, 0.0))));
        assert!(!cross((s(0.0, 0.0), s(2.0, 2.0)), (s(0.0, 0.0), s(2.0, 0.0))));
    }
}
