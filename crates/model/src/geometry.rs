//! Points, outlines, and the two faces of the board.
//!
//! **One frame for the board.** Every position on the board is given as seen looking at the
//! *front*: x to the right, y up, millimetres, from the board's own origin. The back face uses the
//! same numbers; only its *drawing* is mirrored left to right, as you see it after turning the
//! board over about its upright axis.
//!
//! **A part's own frame** is as seen looking at the part where it is mounted: x right, y up.
//! `turn` is counter-clockwise for someone looking at the face that carries the part.
//!
//! ```text
//!        front, seen from the front          back, seen from the back
//!        y                                              y
//!        |   +--+ turn 0                     turn 0 +--+ |
//!        |   |A |                                   |A | |
//!        |   +--+                                   +--+ |
//!        o--------- x                          x --------o
//! ```

use crate::units::{Degrees, Millimetres};
use serde::Serialize;

/// A point in millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize)]
pub struct Point {
    /// To the right, mm.
    pub x: f64,
    /// Up, mm.
    pub y: f64,
}

impl Point {
    /// A point from its two coordinates in mm.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }
    /// Distance to another point, mm.
    pub fn distance(self, other: Self) -> f64 {
        // Millimetres neither overflow nor vanish when squared, and the root is much faster than `hypot`.
        let (dx, dy) = (self.x - other.x, self.y - other.y);
        (dx * dx + dy * dy).sqrt()
    }
}

/// A simple closed outline: at least three corners, no crossing edges, counter-clockwise, the
/// first corner not repeated. The reader guarantees this for every outline of a robot.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Outline(pub Vec<Point>);

impl Outline {
    /// A rectangle by its lower left corner, width and height, mm.
    pub fn rectangle(corner: Point, width: f64, height: f64) -> Self {
        Self(vec![
            corner,
            Point::new(corner.x + width, corner.y),
            Point::new(corner.x + width, corner.y + height),
            Point::new(corner.x, corner.y + height),
        ])
    }

    /// A circle as a polygon drawn *around* it, so that clearances are never flattered. The
    /// number of sides keeps the corners within `bound` mm of the true circle (at least 16).
    pub fn circle(centre: Point, radius: f64, bound: f64) -> Self {
        let ratio = (radius / (radius + bound.max(1e-6))).clamp(-1.0, 1.0);
        let sides = (std::f64::consts::PI / ratio.acos().max(1e-3)).ceil().clamp(16.0, 720.0);
        let outer = radius / (std::f64::consts::PI / sides).cos();
        let corners = (0..sides as usize).map(|i| {
            let a = std::f64::consts::TAU * i as f64 / sides;
            Point::new(centre.x + outer * a.cos(), centre.y + outer * a.sin())
        });
        Self(corners.collect())
    }

    /// Signed area, mm²; positive when counter-clockwise.
    pub fn signed_area(&self) -> f64 {
        let p = &self.0;
        let sum: f64 = (0..p.len())
            .map(|i| {
                let (a, b) = (p[i], p[(i + 1) % p.len()]);
                a.x * b.y - b.x * a.y
            })
            .sum();
        sum / 2.0
    }

    /// Smallest and largest coordinates: (lower left, upper right).
    pub fn bounds(&self) -> (Point, Point) {
        let mut low = Point::new(f64::INFINITY, f64::INFINITY);
        let mut high = Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
        for p in &self.0 {
            low = Point::new(low.x.min(p.x), low.y.min(p.y));
            high = Point::new(high.x.max(p.x), high.y.max(p.y));
        }
        (low, high)
    }

    /// The same outline, counter-clockwise.
    pub fn counter_clockwise(mut self) -> Self {
        if self.signed_area() < 0.0 {
            self.0.reverse();
        }
        self
    }
}

/// One of the two faces of the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Face {
    /// The face you look at when the board is in the robot and its cover is off.
    Front,
    /// The other one.
    Back,
}

impl Face {
    /// Both, front first.
    pub const BOTH: [Self; 2] = [Self::Front, Self::Back];

    /// The face on the other side.
    pub const fn other(self) -> Self {
        match self {
            Self::Front => Self::Back,
            Self::Back => Self::Front,
        }
    }
    /// The word used in files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
        }
    }
}

/// Where on the board a part sits, and how it is turned.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Placement {
    /// The face that carries it.
    pub face: Face,
    /// Where the origin of the part's own frame lies, in the board's frame.
    pub at: Point,
    /// Counter-clockwise, looking at the face that carries it.
    pub turn: Degrees,
}

impl Placement {
    /// A point of the part's own frame, in the board's frame.
    pub fn to_board(&self, local: Point) -> Point {
        let (s, c) = sin_cos_exact(self.turn);
        let (x, y) = (c * local.x - s * local.y, s * local.x + c * local.y);
        match self.face {
            Face::Front => Point::new(self.at.x + x, self.at.y + y),
            Face::Back => Point::new(self.at.x - x, self.at.y + y),
        }
    }

    /// A direction of the part's own frame (counter-clockwise from its x axis), in the board's
    /// frame, in the range 0 ≤ angle < 360.
    pub fn direction_to_board(&self, local: Degrees) -> Degrees {
        let seen = local + self.turn;
        let board = match self.face {
            Face::Front => seen.0,
            Face::Back => 180.0 - seen.0,
        };
        Degrees(board.rem_euclid(360.0))
    }

    /// An outline of the part's own frame, in the board's frame, counter-clockwise.
    pub fn outline_to_board(&self, local: &Outline) -> Outline {
        Outline(local.0.iter().map(|p| self.to_board(*p)).collect()).counter_clockwise()
    }
}

/// Sine and cosine, exact for multiples of a right angle so that square parts stay square.
fn sin_cos_exact(angle: Degrees) -> (f64, f64) {
    match angle.0.rem_euclid(360.0) {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        other => other.to_radians().sin_cos(),
    }
}

/// A straight-line length as a quantity.
pub fn length_between(a: Point, b: Point) -> Millimetres {
    Millimetres(a.distance(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_on_the_back_is_mirrored() {
        let local = Point::new(10.0, 5.0);
        let front = Placement { face: Face::Front, at: Point::new(100.0, 50.0), turn: Degrees(90.0) };
        assert_eq!(front.to_board(local), Point::new(95.0, 60.0));
        let back = Placement { face: Face::Back, ..front };
        assert_eq!(back.to_board(local), Point::new(105.0, 60.0));
        assert_eq!(back.direction_to_board(Degrees(0.0)), Degrees(90.0));
        let flat = Placement { turn: Degrees(0.0), ..back };
        assert_eq!(flat.direction_to_board(Degrees(0.0)), Degrees(180.0));
    }

    #[test]
    fn a_faceted_circle_never_cuts_into_the_true_one() {
        let c = Outline::circle(Point::new(3.0, -2.0), 8.0, 0.01);
        let n = c.0.len();
        for i in 0..n {
            let (a, b) = (c.0[i], c.0[(i + 1) % n]);
            let middle = Point::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
            assert!(middle.distance(Point::new(3.0, -2.0)) >= 8.0 - 1e-9);
            assert!(a.distance(Point::new(3.0, -2.0)) <= 8.0 + 0.011);
        }
        assert!(c.signed_area() > 0.0);
    }
}
