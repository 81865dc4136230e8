//! The polynomials that the deflection is made of: products of Legendre's in the two coordinates.

use loomdeck_model::{Outline, Point};

/// Highest total degree of the polynomial.
pub(super) const DEGREE: usize = 12;

/// Maps the outline's box to −1..1 both ways.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub centre: Point,
    pub half: Point,
}

impl Frame {
    pub(super) fn of(outline: &Outline) -> Option<Self> {
        let (low, high) = outline.bounds();
        let half = Point::new((high.x - low.x) / 2.0, (high.y - low.y) / 2.0);
        let sound = half.x > 1e-9 && half.y > 1e-9 && half.x.is_finite() && half.y.is_finite();
        sound.then(|| Self { centre: Point::new((high.x + low.x) / 2.0, (high.y + low.y) / 2.0), half })
    }
    pub(super) fn to_unit(self, p: Point) -> Point {
        Point::new((p.x - self.centre.x) / self.half.x, (p.y - self.centre.y) / self.half.y)
    }
}

/// Exponents of the products, by total degree.
pub(super) fn products() -> Vec<(usize, usize)> {
    (0..=DEGREE).flat_map(|d| (0..=d).map(move |i| (i, d - i))).collect()
}

/// Legendre polynomials up to [`DEGREE`] with first and second derivatives at one place.
pub(super) fn legendre(x: f64) -> [[f64; 3]; DEGREE + 1] {
    let mut p = [[0.0; 3]; DEGREE + 1];
    p[0] = [1.0, 0.0, 0.0];
    p[1] = [x, 1.0, 0.0];
    for n in 1..DEGREE {
        let (a, b) = ((2 * n + 1) as f64, n as f64);
        let c = (n + 1) as f64;
        // Bonnet's recursion and its derivatives.
        p[n + 1][0] = (a * x * p[n][0] - b * p[n - 1][0]) / c;
        p[n + 1][1] = (a * (p[n][0] + x * p[n][1]) - b * p[n - 1][1]) / c;
        p[n + 1][2] = (a * (2.0 * p[n][1] + x * p[n][2]) - b * p[n - 1][2]) / c;
    }
    p
}

/// The polynomials alone.
pub(super) fn legendre_values(x: f64) -> [f64; DEGREE + 1] {
    let mut p = [1.0; DEGREE + 1];
    p[1] = x;
    for n in 1..DEGREE {
        let (a, b, c) = ((2 * n + 1) as f64, n as f64, (n + 1) as f64);
        p[n + 1] = (a * x * p[n] - b * p[n - 1]) / c;
    }
    p
}

/// Values of the products at a place.
pub(super) fn values(frame: Frame, at: Point, basis: &[(usize, usize)]) -> Vec<f64> {
    let p = frame.to_unit(at);
    let (px, py) = (legendre(p.x), legendre(p.y));
    basis.iter().map(|(i, j)| px[*i][0] * py[*j][0]).collect()
}

/// Second derivatives of all products at one place of the unit square, in mm.
pub(super) fn curvatures(frame: Frame, p: Point, basis: &[(usize, usize)]) -> Vec<[f64; 3]> {
    let (px, py) = (legendre(p.x), legendre(p.y));
    let (a, b) = (frame.half.x, frame.half.y);
    basis
        .iter()
        .map(|&(i, j)| {
            [px[i][2] * py[j][0] / (a * a), px[i][0] * py[j][2] / (b * b), px[i][1] * py[j][1] / (a * b)]
        })
        .collect()
}
