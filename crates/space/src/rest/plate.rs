//! A thin plate on point supports, by the method of Ritz.
//!
//! The deflection is a polynomial of the two coordinates; its coefficients make the energy of bending less
//! the work of the loads least, with the deflection held at zero over every support (the multipliers of
//! these conditions are the supports' forces). Free edges need no condition of their own: least energy
//! brings it about. Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd edition,
//! articles 80 and 82 (method of Ritz; from memory); energy of bending
//! D/2 ∫ (w_xx + w_yy)² − 2 (1 − ν) (w_xx w_yy − w_xy²).
//!
//! A polynomial is a little stiffer than the plate: near concentrated forces deflections come out some
//! percent too small (the tests say how much). Lengths are mm, forces N, stresses MPa.

use crate::shape::{Convex, pieces};
use loomdeck_model::{Outline, Point};

/// Highest total degree of the polynomial.
const DEGREE: usize = 12;

/// A force square to the plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Where.
    pub at: Point,
    /// How much, N; positive bends the plate in the direction of positive deflection.
    pub force: f64,
}

/// What is to be bent.
#[derive(Clone, Debug)]
pub struct Plate<'a> {
    /// Outline of the sheet; holes are left out of account.
    pub outline: &'a Outline,
    /// Bending stiffness E·t³ / 12 (1 − ν²), N·mm.
    pub stiffness: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Where it is held: deflection zero, free to turn.
    pub supports: &'a [Point],
    /// Forces.
    pub loads: &'a [Load],
    /// Evenly spread load, N/mm².
    pub pressure: f64,
}

/// The plate bent.
#[derive(Clone, Debug)]
pub struct Bent {
    frame: Frame,
    stiffness: f64,
    poisson: f64,
    coefficients: Vec<f64>,
    /// Force of each support on the plate, N, against the load.
    pub reactions: Vec<f64>,
}

/// Maps the outline's box to −1..1 both ways.
#[derive(Clone, Copy, Debug)]
struct Frame {
    centre: Point,
    half: Point,
}

impl Frame {
    fn of(outline: &Outline) -> Option<Self> {
        let (low, high) = outline.bounds();
        let half = Point::new((high.x - low.x) / 2.0, (high.y - low.y) / 2.0);
        let sound = half.x > 1e-9 && half.y > 1e-9 && half.x.is_finite() && half.y.is_finite();
        sound.then(|| Self { centre: Point::new((high.x + low.x) / 2.0, (high.y + low.y) / 2.0), half })
    }
    fn to_unit(self, p: Point) -> Point {
        Point::new((p.x - self.centre.x) / self.half.x, (p.y - self.centre.y) / self.half.y)
    }
}

/// Exponents of the products, by total degree.
fn products() -> Vec<(usize, usize)> {
    (0..=DEGREE).flat_map(|d| (0..=d).map(move |i| (i, d - i))).collect()
}

/// Legendre polynomials up to [`DEGREE`] with first and second derivatives at one place.
fn legendre(x: f64) -> [[f64; 3]; DEGREE + 1] {
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
fn legendre_values(x: f64) -> [f64; DEGREE + 1] {
    let mut p = [1.0; DEGREE + 1];
    p[1] = x;
    for n in 1..DEGREE {
        let (a, b, c) = ((2 * n + 1) as f64, n as f64, (n + 1) as f64);
        p[n + 1] = (a * x * p[n] - b * p[n - 1]) / c;
    }
    p
}

/// Nodes and weights of Gauss's rule on −1..1, by Newton from Chebyshev's nodes.
fn gauss(n: usize) -> Vec<(f64, f64)> {
    (0..n)
        .map(|i| {
            let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..50 {
                let (mut before, mut now) = (1.0, x);
                for k in 1..n {
                    let k = k as f64;
                    (before, now) = (now, ((2.0 * k + 1.0) * x * now - k * before) / (k + 1.0));
                }
                slope = n as f64 * (x * now - before) / (x * x - 1.0);
                let step = now / slope;
                x -= step;
                if step.abs() < 1e-15 {
                    break;
                }
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// Deflections and moments over a grid of lines of the outline's box.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Where, deflection in mm, largest moment per width in any direction in N; line by line.
    pub places: Vec<(Point, f64, f64)>,
}

/// Bends a plate; `None` when the supports do not hold it (fewer than three, or all on one line).
pub fn bend(plate: &Plate) -> Option<Bent> {
    Prepared::of(plate.outline, plate.poisson, plate.supports)?.bend(plate)
}

/// A sheet with its supports, ready to be loaded in any way.
#[derive(Clone, Debug)]
pub struct Prepared {
    outline: Outline,
    poisson: f64,
    supports: Vec<Point>,
    frame: Frame,
    even: Vec<f64>,
    factors: Factors,
}

impl Prepared {
    /// `None` when the supports do not hold it.
    pub fn of(outline: &Outline, poisson: f64, supports: &[Point]) -> Option<Self> {
        let frame = Frame::of(outline)?;
        let basis = products();
        let (n, m) = (basis.len(), supports.len());
        if m < 3 {
            return None;
        }
        let (energy, even) = integrals(outline, frame, poisson, &basis);
        let size = n + m;
        let mut matrix = vec![0.0; size * size];
        for i in 0..n {
            matrix[i * size..i * size + n].copy_from_slice(&energy[i * n..(i + 1) * n]);
        }
        for (k, support) in supports.iter().enumerate() {
            for (i, v) in values(frame, *support, &basis).into_iter().enumerate() {
                matrix[i * size + n + k] = v;
                matrix[(n + k) * size + i] = v;
            }
            // A trace of give in every support: conditions that repeat one another stay solvable.
            matrix[(n + k) * size + n + k] = -1e-9 * frame.half.x * frame.half.y;
        }
        let factors = Factors::of(matrix, size)?;
        Some(Self {
            outline: outline.clone(),
            poisson,
            supports: supports.to_vec(),
            frame,
            even,
            factors,
        })
    }

    /// It is this sheet on these supports.
    pub fn is_of(&self, outline: &Outline, poisson: f64, supports: &[Point]) -> bool {
        self.poisson == poisson && self.supports == supports && self.outline == *outline
    }

    /// Bends it under the loads of a plate of this outline on these supports.
    pub fn bend(&self, plate: &Plate) -> Option<Bent> {
        if plate.stiffness <= 0.0 {
            return None;
        }
        let basis = products();
        let n = basis.len();
        let mut right = vec![0.0; n + self.supports.len()];
        for (r, even) in right.iter_mut().zip(&self.even) {
            *r = plate.pressure * even / plate.stiffness;
        }
        for load in plate.loads {
            let p = self.frame.to_unit(load.at);
            let (px, py) = (legendre_values(p.x), legendre_values(p.y));
            for (r, (i, j)) in right.iter_mut().zip(&basis) {
                *r += load.force * (px[*i] * py[*j]) / plate.stiffness;
            }
        }
        let solved = self.factors.solve(right)?;
        let reactions = solved[n..].iter().map(|r| r * plate.stiffness).collect();
        Some(Bent {
            frame: self.frame,
            stiffness: plate.stiffness,
            poisson: plate.poisson,
            coefficients: solved[..n].to_vec(),
            reactions,
        })
    }
}

/// Values of the products at a place.
fn values(frame: Frame, at: Point, basis: &[(usize, usize)]) -> Vec<f64> {
    let p = frame.to_unit(at);
    let (px, py) = (legendre(p.x), legendre(p.y));
    basis.iter().map(|(i, j)| px[*i][0] * py[*j][0]).collect()
}

/// Second derivatives of all products at one place of the unit square, in mm.
fn curvatures(frame: Frame, p: Point, basis: &[(usize, usize)]) -> Vec<[f64; 3]> {
    let (px, py) = (legendre(p.x), legendre(p.y));
    let (a, b) = (frame.half.x, frame.half.y);
    basis
        .iter()
        .map(|&(i, j)| {
            [px[i][2] * py[j][0] / (a * a), px[i][0] * py[j][2] / (b * b), px[i][1] * py[j][1] / (a * b)]
        })
        .collect()
}

/// ∫ of the energy of each pair of products (for stiffness one), and of each product, over the outline.
fn integrals(
    outline: &Outline,
    frame: Frame,
    poisson: f64,
    basis: &[(usize, usize)],
) -> (Vec<f64>, Vec<f64>) {
    let whole = match pieces(outline).as_slice() {
        [one] => upright_box(one).is_some(),
        _ => false,
    };
    let (mut energy, even) = if whole {
        over_box(frame, poisson, basis)
    } else {
        over_pieces(outline, frame, poisson, basis)
    };
    let n = basis.len();
    for i in 0..n {
        for j in i + 1..n {
            energy[i * n + j] = energy[j * n + i];
        }
    }
    (energy, even)
}

/// The same over the whole box, where the integrals of both directions part.
fn over_box(frame: Frame, poisson: f64, basis: &[(usize, usize)]) -> (Vec<f64>, Vec<f64>) {
    let n = basis.len();
    // ∫ of the product of two polynomials' derivatives: [first's][second's] order, by degrees.
    let mut one = vec![[[0.0; 3]; 3]; (DEGREE + 1) * (DEGREE + 1)];
    for (x, weight) in gauss(DEGREE + 1) {
        let p = legendre(x);
        for i in 0..=DEGREE {
            for j in 0..=DEGREE {
                let cell = &mut one[i * (DEGREE + 1) + j];
                for (a, row) in cell.iter_mut().enumerate() {
                    for (b, value) in row.iter_mut().enumerate() {
                        *value += weight * p[i][a] * p[j][b];
                    }
                }
            }
        }
    }
    let (a, b) = (frame.half.x, frame.half.y);
    let mut energy = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..=i {
            let x = &one[basis[i].0 * (DEGREE + 1) + basis[j].0];
            let y = &one[basis[i].1 * (DEGREE + 1) + basis[j].1];
            let across = x[2][0] * y[0][2] + x[0][2] * y[2][0];
            energy[i * n + j] = x[2][2] * y[0][0] * b / (a * a * a)
                + x[0][0] * y[2][2] * a / (b * b * b)
                + (poisson * across + 2.0 * (1.0 - poisson) * x[1][1] * y[1][1]) / (a * b);
        }
    }
    // Every product but the first has no mean.
    let mut even = vec![0.0; n];
    even[0] = 4.0 * a * b;
    (energy, even)
}

/// The same by places all over the outline.
fn over_pieces(
    outline: &Outline,
    frame: Frame,
    poisson: f64,
    basis: &[(usize, usize)],
) -> (Vec<f64>, Vec<f64>) {
    let n = basis.len();
    let mut energy = vec![0.0; n * n];
    let mut even = vec![0.0; n];
    let rule = gauss(DEGREE + 1);
    for (at, weight) in places(outline, &rule) {
        let k = curvatures(frame, frame.to_unit(at), basis);
        for (e, v) in even.iter_mut().zip(values(frame, at, basis)) {
            *e += weight * v;
        }
        for i in 3..n {
            let [xx, yy, xy] = k[i];
            // What the pair's energy is made of, gathered for the inner loop.
            let (gx, gy) = (weight * (xx + poisson * yy), weight * (yy + poisson * xx));
            let gt = weight * 2.0 * (1.0 - poisson) * xy;
            let row = &mut energy[i * n + 3..i * n + i + 1];
            for (e, c) in row.iter_mut().zip(&k[3..]) {
                *e += gx * c[0] + gy * c[1] + gt * c[2];
            }
        }
    }
    (energy, even)
}

/// Places and weights that integrate the products' energies exactly over the outline.
fn places(outline: &Outline, rule: &[(f64, f64)]) -> Vec<(Point, f64)> {
    let mut out = Vec::new();
    for piece in pieces(outline) {
        match upright_box(&piece) {
            Some((low, high)) => {
                let (w, h) = (high.x - low.x, high.y - low.y);
                for (u, a) in rule {
                    for (v, b) in rule {
                        let at = Point::new(low.x + w * (u + 1.0) / 2.0, low.y + h * (v + 1.0) / 2.0);
                        out.push((at, a * b * w * h / 4.0));
                    }
                }
            }
            None => {
                let c = &piece.corners;
                (1..c.len().saturating_sub(1))
                    .for_each(|i| triangle([c[0], c[i], c[i + 1]], rule, &mut out));
            }
        }
    }
    out
}

fn upright_box(piece: &Convex) -> Option<(Point, Point)> {
    let on_box = |p: &Point| {
        (p.x == piece.low.x || p.x == piece.high.x) && (p.y == piece.low.y || p.y == piece.high.y)
    };
    (piece.corners.len() == 4 && piece.corners.iter().all(on_box)).then_some((piece.low, piece.high))
}

/// The square's rule squeezed into a triangle.
fn triangle(t: [Point; 3], rule: &[(f64, f64)], out: &mut Vec<(Point, f64)>) {
    let (p, q) =
        (Point::new(t[1].x - t[0].x, t[1].y - t[0].y), Point::new(t[2].x - t[1].x, t[2].y - t[1].y));
    let twice = (p.x * q.y - p.y * q.x).abs();
    for (u, a) in rule {
        for (v, b) in rule {
            let (s, r) = ((u + 1.0) / 2.0, (v + 1.0) / 2.0);
            let at = Point::new(t[0].x + s * (p.x + r * q.x), t[0].y + s * (p.y + r * q.y));
            out.push((at, a * b / 4.0 * s * twice));
        }
    }
}

/// A dense matrix taken apart by elimination with the largest pivot of each column.
#[derive(Clone, Debug)]
struct Factors {
    size: usize,
    /// What is left above and on the diagonal; below it what each line was multiplied by.
    lines: Vec<f64>,
    /// With which line each was exchanged.
    pivots: Vec<usize>,
}

impl Factors {
    /// `None` when a column has no pivot.
    fn of(mut a: Vec<f64>, n: usize) -> Option<Self> {
        let largest = a.iter().fold(0.0f64, |m, x| m.max(x.abs()));
        let mut pivots = Vec::with_capacity(n);
        for c in 0..n {
            let pivot = (c..n).max_by(|i, j| a[i * n + c].abs().total_cmp(&a[j * n + c].abs()))?;
            let value = a[pivot * n + c];
            if value.abs() < 1e-13 * largest.min(1.0) || !value.is_finite() {
                return None;
            }
            if pivot != c {
                let (upper, lower) = a.split_at_mut(pivot * n);
                upper[c * n..(c + 1) * n].swap_with_slice(&mut lower[..n]);
            }
            pivots.push(pivot);
            let (upper, lower) = a.split_at_mut((c + 1) * n);
            let row = &upper[c * n..];
            for line in lower.chunks_exact_mut(n) {
                let factor = line[c] / value;
                line[c] = factor;
                if factor != 0.0 {
                    for (x, y) in line[c + 1..].iter_mut().zip(&row[c + 1..]) {
                        *x -= factor * y;
                    }
                }
            }
        }
        Some(Self { size: n, lines: a, pivots })
    }

    /// The solution for a right side; `None` when it is not finite.
    fn solve(&self, mut b: Vec<f64>) -> Option<Vec<f64>> {
        let n = self.size;
        for (c, pivot) in self.pivots.iter().enumerate() {
            b.swap(c, *pivot);
        }
        let line = |r: usize| &self.lines[r * n..(r + 1) * n];
        for r in 1..n {
            for (c, factor) in line(r)[..r].iter().enumerate() {
                b[r] -= factor * b[c];
            }
        }
        for r in (0..n).rev() {
            let rest: f64 = line(r)[r + 1..].iter().zip(&b[r + 1..]).map(|(x, y)| x * y).sum();
            b[r] = (b[r] - rest) / line(r)[r];
        }
        b.iter().all(|x| x.is_finite()).then_some(b)
    }
}

impl Bent {
    /// Deflection at a place, mm.
    pub fn deflection(&self, at: Point) -> f64 {
        values(self.frame, at, &products()).iter().zip(&self.coefficients).map(|(v, c)| v * c).sum()
    }

    /// Largest bending moment per width at a place in any direction, N (N·mm per mm).
    pub fn moment(&self, at: Point) -> f64 {
        let k = curvatures(self.frame, self.frame.to_unit(at), &products());
        let sum = k
            .iter()
            .zip(&self.coefficients)
            .fold([0.0; 3], |s, (k, c)| [s[0] + k[0] * c, s[1] + k[1] * c, s[2] + k[2] * c]);
        self.largest(sum)
    }

    /// The larger of the two chief moments of curvatures xx, yy, xy.
    fn largest(&self, k: [f64; 3]) -> f64 {
        let (d, nu) = (self.stiffness, self.poisson);
        let (mx, my) = (d * (k[0] + nu * k[1]), d * (k[1] + nu * k[0]));
        let mxy = d * (1.0 - nu) * k[2];
        let (middle, radius) = ((mx + my) / 2.0, ((mx - my) / 2.0).hypot(mxy));
        (middle + radius).abs().max((middle - radius).abs())
    }

    /// Both over `n` + 1 by `n` + 1 places of the outline's box. Line by line: the polynomial of a line is
    /// gathered once.
    pub fn grid(&self, n: usize) -> Grid {
        let basis = products();
        let f = self.frame;
        let (a, b) = (f.half.x, f.half.y);
        let along = |i: usize| 2.0 * i as f64 / n as f64 - 1.0;
        let lines: Vec<_> = (0..=n).map(|j| legendre(along(j))).collect();
        let mut places = Vec::with_capacity((n + 1) * (n + 1));
        for i in 0..=n {
            let p = legendre(along(i));
            let mut line = [[0.0; 3]; DEGREE + 1];
            for (&(x, y), c) in basis.iter().zip(&self.coefficients) {
                for (sum, order) in line[y].iter_mut().zip(p[x]) {
                    *sum += c * order;
                }
            }
            for (j, q) in lines.iter().enumerate() {
                let (mut w, mut k) = (0.0, [0.0; 3]);
                for (l, q) in line.iter().zip(q) {
                    w += l[0] * q[0];
                    k[0] += l[2] * q[0] / (a * a);
                    k[1] += l[0] * q[2] / (b * b);
                    k[2] += l[1] * q[1] / (a * b);
                }
                let at = Point::new(f.centre.x + a * along(i), f.centre.y + b * along(j));
                places.push((at, w, self.largest(k)));
            }
        }
        Grid { places }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const SIDE: f64 = 400.0;

    fn square() -> Outline {
        Outline::rectangle(Point::new(-30.0, 20.0), SIDE, SIDE)
    }

    fn bent(outline: &Outline, supports: &[Point], loads: &[Load], pressure: f64, poisson: f64) -> Bent {
        bend(&Plate { outline, stiffness: 1e5, poisson, supports, loads, pressure }).unwrap()
    }

    fn middle(o: &Outline) -> Point {
        let (low, high) = o.bounds();
        Point::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0)
    }

    /// Points along all four edges.
    fn edges(o: &Outline, each: usize) -> Vec<Point> {
        let (low, high) = o.bounds();
        let mut out = Vec::new();
        for k in 0..each {
            let t = k as f64 / each as f64;
            let (x, y) = (low.x + t * (high.x - low.x), low.y + t * (high.y - low.y));
            out.extend([Point::new(x, low.y), Point::new(high.x, y)]);
            out.extend([Point::new(high.x + low.x - x, high.y), Point::new(low.x, high.y + low.y - y)]);
        }
        out
    }

    /// Navier's double series for a simply supported rectangle under even load: the deflection of its
    /// middle as a multiple of q·a⁴/D.
    fn navier(ratio: f64) -> f64 {
        let mut w = 0.0;
        for m in (1..200).step_by(2) {
            for n in (1..200).step_by(2) {
                let (m, n) = (f64::from(m), f64::from(n));
                let sign = if ((m + n) as i32 / 2 - 1) % 2 == 0 { 1.0 } else { -1.0 };
                w += sign / (m * n * (m * m + n * n / (ratio * ratio)).powi(2));
            }
        }
        16.0 / std::f64::consts::PI.powi(6) * w
    }

    /// Published: 0.0444 q·b⁴/(E·t³) for a square with ν = 0.3, 0.1110 for two to one (Roark's Formulas
    /// for Stress and Strain, 7th edition, table 11.4, case 1a); 0.00406 q·a⁴/D (Timoshenko, table 8).
    #[test]
    fn simply_supported_plates_as_printed() {
        let per_d = |alpha: f64| alpha / (12.0 * (1.0 - 0.09));
        assert!((navier(1.0) / 0.00406 - 1.0).abs() < 0.002, "{}", navier(1.0));
        for (ratio, printed) in [(1.0, 0.0444), (1.4, 0.0770), (2.0, 0.1110)] {
            // The table is printed to three digits; its value for 1.4 is half a percent off the series.
            assert!((navier(ratio) / per_d(printed) - 1.0).abs() < 0.006, "{ratio}");
            let o = Outline::rectangle(Point::new(7.0, -3.0), SIDE, SIDE * ratio);
            let b = bent(&o, &edges(&o, 11), &[], 1e-3, 0.3);
            let w = b.deflection(middle(&o)) * 1e5 / (1e-3 * SIDE.powi(4));
            assert!((w / navier(ratio) - 1.0).abs() < 0.005, "{ratio}: {w} {}", navier(ratio));
        }
    }

    /// The same square loaded in its middle: 0.1267 P·b²/(E·t³) for a small spot (Roark, case 1b), which is
    /// 0.0116 P·a²/D (Timoshenko, table 23). A polynomial is too stiff under a point force.
    #[test]
    fn a_force_in_the_middle_as_printed() {
        let o = square();
        let load = [Load { at: middle(&o), force: 10.0 }];
        let b = bent(&o, &edges(&o, 11), &load, 0.0, 0.3);
        let w = b.deflection(middle(&o)) * 1e5 / (10.0 * SIDE * SIDE);
        assert!(w / 0.0116 < 1.002 && w / 0.0116 > 0.97, "{w}");
    }

    /// Held at its four corners only: 0.0257 q·a⁴/D in the middle with ν = 0.25, moment 0.1109 q·a² there
    /// (Timoshenko, article 47; from memory).
    #[test]
    fn held_at_four_corners_as_printed() {
        let o = square();
        let b = bent(&o, &o.0, &[], 1e-3, 0.25);
        let w = b.deflection(middle(&o)) * 1e5 / (1e-3 * SIDE.powi(4));
        assert!((w / 0.0257 - 1.0).abs() < 0.01, "{w}");
        let m = b.moment(middle(&o)) / (1e-3 * SIDE * SIDE);
        assert!((m / 0.1109 - 1.0).abs() < 0.01, "{m}");
        // The four corners share the load, and together they carry all of it.
        let quarter = 1e-3 * SIDE * SIDE / 4.0;
        assert!(b.reactions.iter().all(|r| (r / quarter - 1.0).abs() < 1e-6), "{:?}", b.reactions);
    }

    /// A strip on both ends is a beam: 5 q·L⁴/(384 E·I), with ν = 0.
    #[test]
    fn a_strip_is_a_beam() {
        let o = Outline::rectangle(Point::new(0.0, 0.0), 500.0, 50.0);
        let b = bent(&o, &o.0, &[], 1e-3, 0.0);
        let beam = 5.0 * 1e-3 * 500f64.powi(4) / (384.0 * 1e5);
        let w = b.deflection(Point::new(250.0, 25.0));
        // Its ends are held at their corners only, and bend a little across.
        assert!((w / beam - 1.0).abs() < 0.01, "{w} {beam}");
    }

    /// Cutting a rectangle in an L and back again changes nothing; nor does an L held as one.
    #[test]
    fn an_outline_in_pieces_is_integrated_whole() {
        let p = |x, y| Point::new(x, y);
        // A corner as thin as can be taken out: the pieces are triangles.
        let whole = Outline::rectangle(p(0.0, 0.0), 300.0, 200.0);
        let nicked = Outline(vec![
            p(0.0, 0.0),
            p(300.0, 0.0),
            p(300.0, 199.999),
            p(299.999, 199.999),
            p(299.999, 200.0),
            p(0.0, 200.0),
        ]);
        let supports = [p(10.0, 10.0), p(290.0, 15.0), p(20.0, 190.0), p(280.0, 180.0)];
        let loads = [Load { at: p(120.0, 90.0), force: 8.0 }];
        let (a, b) =
            (bent(&whole, &supports, &loads, 1e-4, 0.4), bent(&nicked, &supports, &loads, 1e-4, 0.4));
        let at = p(150.0, 100.0);
        assert!((a.deflection(at) / b.deflection(at) - 1.0).abs() < 1e-6);
        // A grid says the same as place by place.
        for (p, w, m) in a.grid(6).places {
            assert!((w - a.deflection(p)).abs() < 1e-9 && (m - a.moment(p)).abs() < 1e-6 * m.max(1.0));
        }
        let total: f64 = a.reactions.iter().sum();
        assert!((total - 8.0 - 1e-4 * 60_000.0).abs() < 1e-6, "{total}");
    }

    /// More supports than the polynomial can heed: they repeat one another, and it still holds.
    #[test]
    fn many_supports_are_no_trouble() {
        let o = square();
        let many: Vec<Point> = edges(&o, 25);
        let b = bent(&o, &many, &[], 1e-3, 0.3);
        let w = b.deflection(middle(&o)) * 1e5 / (1e-3 * SIDE.powi(4));
        assert!((w / 0.00406 - 1.0).abs() < 0.02, "{w}");
        let plate = Plate {
            outline: &o,
            stiffness: 1e5,
            poisson: 0.3,
            supports: &o.0[..2],
            loads: &[],
            pressure: 1e-3,
        };
        assert!(bend(&plate).is_none());
    }
}
