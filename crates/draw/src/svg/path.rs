//! Paths: outlines, and lines with rounded bends.

use super::{Spot, n};
use std::fmt::Write;

/// Builds the `d` of a path.
#[derive(Clone, Debug, Default)]
pub struct Outliner(String);

impl Outliner {
    /// Begins a stroke.
    pub fn start(&mut self, at: Spot) {
        let _ = write!(self.0, "M{} {}", n(at.x), n(at.y));
    }
    /// A straight line.
    pub fn to(&mut self, at: Spot) {
        let _ = write!(self.0, "L{} {}", n(at.x), n(at.y));
    }
    /// A curve pulled towards one point.
    pub fn bend(&mut self, pull: Spot, at: Spot) {
        let _ = write!(self.0, "Q{} {} {} {}", n(pull.x), n(pull.y), n(at.x), n(at.y));
    }
    /// A circular arc, the short way round, clockwise on the drawing if `sweep`.
    pub fn arc(&mut self, radius: f64, sweep: bool, at: Spot) {
        let r = n(radius);
        let _ = write!(self.0, "A{r} {r} 0 0 {} {} {}", u8::from(sweep), n(at.x), n(at.y));
    }
    /// Back to the start of the stroke.
    pub fn close(&mut self) {
        self.0.push('Z');
    }
    /// The path.
    pub fn finish(self) -> String {
        self.0
    }
}

/// A line through corners whose bends are rounded with up to this radius; less where the legs
/// are too short for it. Corners closer than a micrometre are one.
pub fn rounded(corners: &[Spot], radius: f64) -> String {
    let mut clean: Vec<Spot> = Vec::with_capacity(corners.len());
    for c in corners {
        if clean.last().is_none_or(|last| last.distance(*c) > 1e-3) {
            clean.push(*c);
        }
    }
    let mut d = Outliner::default();
    let (Some(first), Some(last)) = (clean.first(), clean.last()) else { return String::new() };
    d.start(*first);
    for three in clean.windows(3) {
        let (before, corner, after) = (three[0], three[1], three[2]);
        let (come, go) = (before.distance(corner), corner.distance(after));
        let reach = radius.min(come / 2.0).min(go / 2.0);
        d.to(corner.towards(before, reach / come));
        d.bend(corner, corner.towards(after, reach / go));
    }
    d.to(*last);
    d.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bend_stays_within_its_legs() {
        let d = rounded(&[Spot::new(0.0, 0.0), Spot::new(10.0, 0.0), Spot::new(10.0, 2.0)], 5.0);
        assert_eq!(d, "M0 0L9 0Q10 0 10 1L10 2");
        assert_eq!(rounded(&[], 1.0), "");
        assert_eq!(rounded(&[Spot::new(1.0, 1.0); 3], 1.0), "M1 1L1 1");
    }
}
